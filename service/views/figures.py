"""How figures are shown: rounded once, here, for the answers of the checks."""

from __future__ import annotations

from service.domain.band import Band

PER_HUNDRED = 100.0


def shown(value: float) -> float:
    """Round a figure for the answer: to a thousandth, below one to a hundred-thousandth."""
    return round(value, 3) if value >= 1 or value <= -1 else round(value, 5)


def banded(band: Band) -> Band:
    """Round a band for the answer."""
    value = shown(band.value)
    if band.low == band.value == band.high:
        return Band(value, value, value)
    return Band(value, shown(band.low), shown(band.high))


def share_of(band: Band | None, times: float) -> Band | None:
    """Multiply and round a band for the answer; ``None`` stays ``None``."""
    return None if band is None else banded(band.times(times))
