"""Formulas for tests of changes, in as few words as may be."""

from __future__ import annotations

from collections.abc import Callable

from service.changes.apply import Changed
from service.domain.formula import Component, Formula, Line

#: Changes a formula as a query says: ``change(formula, "factor=2&rounding=kitchen")``.
Change = Callable[[Formula, str], Changed]


def card(*texts: str, measures: str | None = "us", **members: object) -> Formula:
    """Make a formula of one component from text lines."""
    component = Component(ingredients=tuple(Line(text=text) for text in texts))
    return Formula("A card", (component,), measures=measures, **members)  # type: ignore[arg-type]


def texts(formula: Formula) -> list[str | None]:
    """Give the text of every line."""
    return [line.text for component in formula.components for line in component.ingredients]


def lines(formula: Formula) -> list[Line]:
    """Give every line."""
    return [line for component in formula.components for line in component.ingredients]
