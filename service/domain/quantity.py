"""Quantities as people write them, kept exact.

A quantity is never a float here: ``2 ¼`` is the fraction 9/4, ``0.1`` the fraction 1/10. It turns
to a float once, where a mass is computed.
"""

from __future__ import annotations

import re
from fractions import Fraction

from service.domain.record import record

LARGEST = Fraction(10**6)

#: The vulgar fractions of Unicode (block Number Forms and Latin-1), each with its value.
VULGAR: dict[str, Fraction] = {
    "¼": Fraction(1, 4), "½": Fraction(1, 2), "¾": Fraction(3, 4), "⅐": Fraction(1, 7),
    "⅑": Fraction(1, 9), "⅒": Fraction(1, 10), "⅓": Fraction(1, 3), "⅔": Fraction(2, 3),
    "⅕": Fraction(1, 5), "⅖": Fraction(2, 5), "⅗": Fraction(3, 5), "⅘": Fraction(4, 5),
    "⅙": Fraction(1, 6), "⅚": Fraction(5, 6), "⅛": Fraction(1, 8), "⅜": Fraction(3, 8),
    "⅝": Fraction(5, 8), "⅞": Fraction(7, 8), "↉": Fraction(0),
}  # fmt: skip

_VULGAR = "".join(VULGAR)
_FORM = re.compile(
    rf"(?:(?P<whole>[0-9]{{1,12}})(?:[ \u00a0\u2009]?(?P<vulgar>[{_VULGAR}])"
    r"|[ \u00a0\u2009+-](?P<num>[0-9]{1,24})[/\u2044](?P<den>[0-9]{1,24}))?"
    rf"|(?P<only>[{_VULGAR}])"
    r"|(?P<num2>[0-9]{1,24})[/\u2044](?P<den2>[0-9]{1,24})"
    r"|(?P<decimal>[0-9]{0,12}\.[0-9]{1,12}))\Z"
)


@record
class Quantity:
    """An exact amount, or the range between two: ``low`` equals ``high`` for a single one."""

    low: Fraction
    high: Fraction

    @staticmethod
    def of(value: Fraction | int) -> Quantity:
        """Give a single amount."""
        exact = Fraction(value)
        return Quantity(exact, exact)

    @property
    def middle(self) -> Fraction:
        """Give the amount, of a range its middle."""
        return self.low if self.low == self.high else (self.low + self.high) / 2

    def times(self, factor: Fraction) -> Quantity:
        """Scale exactly."""
        return Quantity(self.low * factor, self.high * factor)


def read_fraction(text: str) -> Fraction | None:
    """Read one amount as people write it: ``2 1/4``, ``2¼``, ``¾``, ``1.5``, ``3/4``.

    Gives ``None`` for anything else (commas are the business of ``service.reading``, which knows
    the language). A denominator of zero is not an amount.
    """
    match = _FORM.match(text.strip())
    if match is None:
        return None
    part = match.groupdict()
    if part["only"]:
        return VULGAR[part["only"]]
    if part["decimal"]:
        return Fraction(part["decimal"])
    numerator, denominator = part["num"] or part["num2"], part["den"] or part["den2"]
    fraction = Fraction(0)
    if denominator:
        if int(denominator) == 0:
            return None
        fraction = Fraction(int(numerator), int(denominator))
    elif part["vulgar"]:
        fraction = VULGAR[part["vulgar"]]
    return Fraction(int(part["whole"] or 0)) + fraction


def write_fraction(value: Fraction) -> str:
    """Write an exact amount in lowest terms: ``9/4`` as ``2 1/4``."""
    whole, rest = divmod(value.numerator, value.denominator)
    if rest == 0:
        return str(whole)
    fraction = f"{rest}/{value.denominator}"
    return f"{whole} {fraction}" if whole else fraction
