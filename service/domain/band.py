"""A value with the band in which it lies."""

from __future__ import annotations

from collections.abc import Iterable

from service.domain.record import sent


@sent
class Band:
    """A best value between a low and a high one. Units: the owner's.

    Arithmetic is that of intervals: sums of lows and of highs, so that a total's band is the
    widest one that its parts allow.
    """

    value: float
    low: float
    high: float

    @staticmethod
    def exact(value: float) -> Band:
        """Give a value that is known without doubt."""
        return Band(value, value, value)

    def times(self, factor: float) -> Band:
        """Scale by a factor of zero or more."""
        return Band(self.value * factor, self.low * factor, self.high * factor)

    def times_band(self, other: Band) -> Band:
        """Multiply two bands of non-negative values."""
        return Band(self.value * other.value, self.low * other.low, self.high * other.high)

    def plus(self, other: Band) -> Band:
        """Add another band."""
        return Band(self.value + other.value, self.low + other.low, self.high + other.high)

    def minus(self, other: Band) -> Band:
        """Take another band away; the result is as wide as both together."""
        return Band(self.value - other.value, self.low - other.high, self.high - other.low)

    def per(self, other: Band) -> Band | None:
        """Divide by another band of positive values; ``None`` where the divisor may be zero."""
        if other.low <= 0 or other.value <= 0:
            return None
        return Band(self.value / other.value, self.low / other.high, self.high / other.low)


ZERO = Band(0.0, 0.0, 0.0)


def total(bands: Iterable[Band]) -> Band:
    """Add bands up; nothing adds up to an exact zero."""
    value = low = high = 0.0
    for band in bands:
        value += band.value
        low += band.low
        high += band.high
    return Band(value, low, high)
