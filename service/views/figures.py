"""How figures are shown: rounded once, here, for the answers of the checks."""

from __future__ import annotations

from service.domain.band import Band

PER_HUNDRED = 100.0
#: Significant figures of what is shown: more than any measure of the kitchen carries.
FIGURES = 5


def shown(value: float) -> float:
    """Round a figure for the answer."""
    return float(f"{value:.{FIGURES}g}")


def banded(band: Band) -> Band:
    """Round a band for the answer."""
    return Band(shown(band.value), shown(band.low), shown(band.high))


def share_of(band: Band | None, times: float) -> Band | None:
    """Multiply and round a band for the answer; ``None`` stays ``None``."""
    return None if band is None else banded(band.times(times))
