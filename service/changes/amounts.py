"""Exact amounts: made tidy where they came from a measurement, and written as people write them.

What a caller scales by a factor stays exact. What rests on a mass or on the sizes of two cups is a
measured number however many digits it has: it becomes the shortest decimal within one part in ten
million, or a plain fraction where it lies within three. That moves no mass by more than any table
knows it, and there and back gives the plain fraction again.
"""

from __future__ import annotations

from enum import Enum, auto
from fractions import Fraction

from service.domain.quantity import VULGAR, Quantity, write_fraction

_NEAR = Fraction(1, 10**7)
_NEAR_PLAIN = Fraction(3, 10**7)
_DIGITS = 8
#: Every fraction up to sixteenths is plain, and the further parts of a cup that spoons make.
_PLAIN, _PARTS = 16, 96
#: Beyond this denominator an amount is written as a decimal where it can be.
_LARGEST_WRITTEN = 96
_GLYPHS = {value: glyph for glyph, value in VULGAR.items() if value}


class Style(Enum):
    """How an amount is spelt: ``2.25``, ``2 1/4``, ``2¼`` or ``2 ¼``."""

    DECIMAL = auto()
    FRACTION = auto()
    GLYPH = auto()
    SPACED_GLYPH = auto()


def shortest(value: Fraction | float) -> Fraction:
    """Give the shortest decimal within one part in ten million of a measured amount."""
    exact = Fraction(value)
    for digits in range(1, _DIGITS):
        decimal = Fraction(f"{float(exact):.{digits}g}")
        if abs(decimal - exact) <= _NEAR * abs(exact):
            return decimal
    return Fraction(f"{float(exact):.{_DIGITS}g}")


def tidy(value: Fraction | float) -> Fraction:
    """Give the plain fraction, else the short decimal, that a measured amount stands for."""
    exact = Fraction(value)
    for plain in (exact.limit_denominator(_PLAIN), Fraction(round(exact * _PARTS), _PARTS)):
        if plain and abs(plain - exact) <= _NEAR_PLAIN * abs(exact):
            return plain
    return shortest(exact)


def terminates(value: Fraction) -> bool:
    """Tell whether a decimal of at most twelve places writes the amount in full."""
    return (10**12) % value.denominator == 0


def _decimal(value: Fraction) -> str:
    whole, rest = divmod(value, 1)
    digits = f"{int(rest * 10**12):012d}".rstrip("0")
    return f"{whole}.{digits}" if digits else str(whole)


def spell(value: Fraction, style: Style) -> str:
    """Write an amount so that ``read_fraction`` gives it back, in a style where that can be."""
    whole, rest = divmod(value, 1)
    if rest == 0:
        return str(whole)
    if style in (Style.GLYPH, Style.SPACED_GLYPH) and rest in _GLYPHS:
        between = " " if whole and style is Style.SPACED_GLYPH else ""
        return f"{whole or ''}{between}{_GLYPHS[rest]}"
    if terminates(value) and (style is Style.DECIMAL or value.denominator > _LARGEST_WRITTEN):
        return _decimal(value)
    return write_fraction(value)


def spell_quantity(quantity: Quantity, style: Style) -> str:
    """Write an amount, or a range as ``2 to 3``."""
    low = spell(quantity.low, style)
    return low if quantity.low == quantity.high else f"{low} to {spell(quantity.high, style)}"


def style_of(text: str, otherwise: Style) -> Style:
    """Tell in which style a written amount is spelt; a whole number is in none of its own."""
    glyph = next((i for i, c in enumerate(text) if c in VULGAR), None)
    if glyph is not None:
        return Style.SPACED_GLYPH if glyph and text[glyph - 1].isspace() else Style.GLYPH
    if any(c in "/\u2044" for c in text):
        return Style.FRACTION
    return Style.DECIMAL if "." in text.strip(". ") else otherwise


def nearest_multiple(amount: Fraction, step: Fraction) -> Fraction:
    """Give the multiple of a step that lies nearest, half a step upward, never zero."""
    count = (amount / step + Fraction(1, 2)).__floor__()
    return max(count, 1) * step
