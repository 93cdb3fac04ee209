"""How figures are written for people: three figures of what the answer says."""

from __future__ import annotations

from service.domain.band import Band


def figure(value: float) -> str:
    """Write a figure: three figures, no needless zeros, a true minus.

    >>> figure(254.96), figure(1.3333), figure(0.5), figure(1234.5), figure(-2.0)
    ('255', '1.33', '0.5', '1234', '−2')
    """
    text = f"{value:.3g}" if abs(value) < 999.5 else f"{value:.0f}"
    return text.replace("-", "−")


def span(low: float, high: float) -> str:
    """Write two ends: one figure where they look alike.

    >>> span(1.0, 2.5), span(2.001, 2.002)
    ('1 to 2.5', '2')
    """
    one, other = figure(low), figure(high)
    return one if one == other else f"{one} to {other}"


def banded(band: Band) -> str:
    """Write a value with its band, where it has one that shows.

    >>> banded(Band(2.0, 1.5, 2.5)), banded(Band(2.0, 2.0, 2.0))
    ('2 (1.5 to 2.5)', '2')
    """
    ends = span(band.low, band.high)
    return figure(band.value) if ends == figure(band.value) else f"{figure(band.value)} ({ends})"
