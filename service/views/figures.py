"""How figures are shown: rounded once, here, for the answers of the checks."""

from __future__ import annotations

from service.domain.band import Band

PER_HUNDRED = 100.0


def shown(value: float) -> float:
    """Round a figure for the answer: to a thousandth, below one to a hundred-thousandth."""
    places, parts = (3, 1e3) if value >= 1 or value <= -1 else (5, 1e5)
    scaled = value * parts
    whole = int(scaled + 0.5)
    # ``round`` takes three times as long; it is needed near the middle of two, and below zero.
    return whole / parts if -0.49 < scaled - whole < 0.49 else round(value, places)


def banded(band: Band) -> Band:
    """Round a band for the answer."""
    value, low, high = band.value, band.low, band.high
    shown_value = shown(value)
    if low == value == high:
        return Band(shown_value, shown_value, shown_value)
    return Band(shown_value, shown(low), shown(high))


def share_of(band: Band | None, times: float) -> Band | None:
    """Multiply and round a band for the answer; ``None`` stays ``None``."""
    return None if band is None else banded(band.times(times))
