"""The water's temperature for a wished dough temperature: the method of factors.

The dough's temperature is taken as the mean of what comes together (flour, room, water, and a
preferment where there is one) and of the mixer's friction, so that the wished temperature times the
number of factors, less all that is known, is the water's. The masses are left out, as bakers do: the
friction that a baker found for a mixer makes up for them.
"""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Heat:
    """What a dough is mixed of and in. Units: degrees Celsius; ``friction`` in kelvin of one factor."""

    dough: float
    room: float
    flour: float
    friction: float
    preferment: float | None = None

    @property
    def factors(self) -> int:
        """How many temperatures meet: flour, room and water, and a preferment's."""
        return 3 if self.preferment is None else 4

    @property
    def water(self) -> float:
        """The water's temperature. Units: degrees Celsius. Source: common practice of bakeries."""
        known = self.room + self.flour + self.friction + (self.preferment or 0.0)
        return self.factors * self.dough - known


def celsius(value: float, unit: str) -> float:
    """Give a temperature in degrees Celsius. Units: ``unit`` is C or F."""
    return (value - 32) / 1.8 if unit == "F" else value


def fahrenheit(value: float) -> float:
    """Give a temperature in degrees Fahrenheit."""
    return value * 1.8 + 32


def kelvins(value: float, unit: str) -> float:
    """Give a difference of temperatures in kelvin. Units: ``unit`` is C or F."""
    return value / 1.8 if unit == "F" else value
