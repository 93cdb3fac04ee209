"""The view ``leavening.svg``: acid against base of what is baked, and the gas, to be drawn.

The figures are those of the view ``findings``, by the same function.
"""

from __future__ import annotations

from dataclasses import dataclass

from service.rules.judging import groups_of
from service.views.findings import MeasureAnswer, measures_of
from service.views.leavening import LeaveningAnswer, leavening_of
from service.views.registry import NoParams, view
from service.views.work import Work


@dataclass(frozen=True, slots=True)
class LeaveningChart:
    """What the chart shows: the ledger of what is baked (``None``: the formula has no lines), what is
    ``left`` over of soda and acid beside the class's range, by measure, and ``names`` for the lines
    (by JSON Pointer) and ingredients (by code) that it speaks of."""

    name: str
    of_class: str | None
    class_name: str | None
    leavening: LeaveningAnswer | None
    left: dict[str, MeasureAnswer]
    names: dict[str, str]


#: Measures of what is left over.
LEFT = ("soda_left_pct", "acid_left_pct")


@view("leavening.svg", answer=LeaveningChart)
def leavening_svg(work: Work, params: NoParams) -> LeaveningChart:
    """Draw acid against base, what is left over with its band, and the gas by route."""
    kitchen, name = work.kitchen, work.changed.formula.name
    groups = groups_of(work.weighed, kitchen.cupboard, kitchen.measures, work.altitude)
    if not groups:
        return LeaveningChart(name, None, None, None, {}, {})
    judged, _ = groups[0]
    answer = leavening_of(judged)
    ingredients = kitchen.cupboard.ingredients
    row = kitchen.cupboard.classes.get(judged.product_class or "")
    codes = [entry.ingredient for entry in answer.entries]
    codes += [cocoa.ingredient for cocoa in answer.by_cocoa]
    names = {code: ingredients[code].name for code in codes if code in ingredients}
    names |= {line.pointer: line.name for line in judged.lines}
    left = {each.measure: each for each in measures_of(judged) if each.measure in LEFT}
    return LeaveningChart(name, judged.product_class, row.name if row else None, answer, left, names)
