"""Say a mass by the measure that a line is written in: spoons, cups and eggs, as a kitchen has them."""

from __future__ import annotations

from fractions import Fraction

from service.domain.weighed import WeighedLine

#: The parts of a measure that a kitchen has, below one of it and above.
STEPS = {"cup": ((4, 3), (4, 3)), "tbsp": ((2,), (2,)), "tsp": ((8,), (4,)), "each": ((1,), (1,))}
#: A mass is said by them where they come so near, as a share of it.
NEARLY = 0.08


def by_measure(line: WeighedLine, grams: float) -> str:
    """Say a mass by the line's own measure too, in brackets; empty where no handy amount comes near."""
    amount, unit = line.line.quantity, line.line.unit or ""
    if amount is None or unit not in STEPS or line.grams is None or line.line.equivalent is not None:
        return ""
    if line.grams.value <= 0 or amount.middle <= 0:
        return ""
    wanted = grams * float(amount.middle) / line.grams.value
    handy = (Fraction(round(wanted * step), step) for step in STEPS[unit][wanted >= 1])
    nearest = min(handy, key=lambda each: abs(float(each) - wanted))
    if nearest <= 0 or abs(float(nearest) - wanted) > wanted * NEARLY:
        return ""
    named = "" if unit == "each" else " cups" if unit == "cup" and nearest > 1 else f" {unit}"
    return f" (about {spoken(nearest)}{named})"


def spoken(number: Fraction) -> str:
    """Write a number as cooks do.

    >>> spoken(Fraction(3, 2)), spoken(Fraction(1, 4)), spoken(Fraction(2))
    ('1 1/2', '1/4', '2')
    """
    whole, rest = divmod(number, 1)
    return " ".join(str(each) for each in (whole, rest) if each) or "0"
