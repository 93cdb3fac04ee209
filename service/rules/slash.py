"""A fraction whose slash was lost: "112 cups" for "1 1/2 cups", "34 cup" for "3/4 cup"."""

from __future__ import annotations

from fractions import Fraction

from service.domain.weighed import WeighedLine

#: Fractions of sets of measures, as they stand without their slash.
_FRACTIONS = {
    "12": Fraction(1, 2), "13": Fraction(1, 3), "23": Fraction(2, 3), "14": Fraction(1, 4),
    "34": Fraction(3, 4), "18": Fraction(1, 8), "38": Fraction(3, 8), "58": Fraction(5, 8),
    "78": Fraction(7, 8), "16": Fraction(1, 6),
}  # fmt: skip
#: Units of which parts are written as decimals: 458 g are no 4 5/8.
_DECIMAL = frozenset(("g", "kg", "mg", "mL", "cL", "dL", "L", "%"))
#: So many digits and more are no kitchen's whole number before a fraction.
_LONGEST = 4


def amount_meant(written: str) -> Fraction | None:
    """Give the amount that digits stand for if a slash was lost; ``None`` where they end in no fraction.

    >>> amount_meant("112"), amount_meant("34"), amount_meant("225")
    (Fraction(3, 2), Fraction(3, 4), None)
    """
    whole, part = written[:-2], _FRACTIONS.get(written[-2:])
    if part is None or len(written) > _LONGEST or whole.startswith("0"):
        return None
    return part + int(whole or "0")


def without_slash(line: WeighedLine) -> float | None:
    """Give the factor by which a line's mass changes if its amount lost a slash; ``None`` where it is
    no whole number that ends so, or of a unit that has no fractions."""
    quantity = line.line.quantity
    if quantity is None or line.line.unit in _DECIMAL:
        return None
    if quantity.low != quantity.high or quantity.low.denominator != 1:
        return None
    meant = amount_meant(str(quantity.low.numerator))
    return float(meant / quantity.low) if meant is not None else None
