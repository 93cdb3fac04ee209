"""Short ways to put lines on the scales."""

from __future__ import annotations

from fractions import Fraction
from typing import Any

from service.domain.band import Band
from service.domain.formula import Component, Formula, Line
from service.domain.quantity import Quantity
from service.domain.weighed import Weighed, WeighedLine
from service.kitchen import Kitchen


def amount(text: str | int | None) -> Quantity | None:
    """Give an amount: ``"9/4"``, ``"2 to 3"``."""
    if text is None:
        return None
    low, _, high = str(text).partition(" to ")
    return Quantity(Fraction(low), Fraction(high)) if high else Quantity.of(Fraction(low))


def line(quantity: str | int | None, unit: str | None, ingredient: str | None, **more: Any) -> Line:
    """Give a line of fields."""
    return Line(ingredient=ingredient, quantity=amount(quantity), unit=unit, **more)


def weigh(kitchen: Kitchen, *lines: Line | str, **more: Any) -> Weighed:
    """Weigh a formula of one component."""
    as_lines = tuple(Line(text=one) if isinstance(one, str) else one for one in lines)
    return kitchen.scales.weigh(Formula("Some lines", (Component(ingredients=as_lines),), **more))


def one(kitchen: Kitchen, only: Line | str, **more: Any) -> WeighedLine:
    """Weigh one line that names one thing."""
    (weighed,) = weigh(kitchen, only, **more).lines
    return weighed


def grams(kitchen: Kitchen, only: Line | str, **more: Any) -> Band:
    """Give the mass of one line."""
    found = one(kitchen, only, **more).grams
    assert found is not None
    return found


def said(weighed: Weighed, code: str) -> list[tuple[str | None, str, float | None]]:
    """Give what was assumed under a code: line, value and worth."""
    return [(a.line, a.value, a.grams) for a in weighed.assumptions if a.code == code]
