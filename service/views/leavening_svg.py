"""The view ``leavening.svg``: acid against base of each group that rises, and the gas, to be drawn.

The figures are those of the view ``findings``, by the same function.
"""

from __future__ import annotations

from dataclasses import dataclass

from service.rules.judged import Judged
from service.rules.judging import groups_of
from service.views.findings import MeasureAnswer, measures_of
from service.views.leavening import LeaveningAnswer, leavening_of, rises
from service.views.ratio import can_be_told, rated
from service.views.registry import NoParams, view
from service.views.work import Work


@dataclass(frozen=True, slots=True)
class LeaveningBeside:
    """What the chart shows of another group that rises: its class, its ledger, and what is ``left``
    over of soda and acid beside the class's range, by measure. ``name``: of its component, ``None``
    where the formula gives none."""

    name: str | None
    of_class: str | None
    class_name: str | None
    leavening: LeaveningAnswer
    left: dict[str, MeasureAnswer]


@dataclass(frozen=True, slots=True)
class LeaveningChart:
    """What the chart shows: the ledger of what is baked together (``None``: it has no lines, or
    some that do not weigh for want of flour), ``per`` as in ``findings``, what is ``left`` over of
    soda and acid beside the class's range, by measure, ``names`` for the lines (by JSON Pointer) and
    ingredients (by code) that it speaks of, and the same of each group ``beside`` that rises."""

    name: str
    per: str
    of_class: str | None
    class_name: str | None
    leavening: LeaveningAnswer | None
    left: dict[str, MeasureAnswer]
    names: dict[str, str]
    beside: tuple[LeaveningBeside, ...]


#: Measures of what is left over.
LEFT = ("soda_left_pct", "acid_left_pct")


@view("leavening.svg", answer=LeaveningChart)
def leavening_svg(work: Work, params: NoParams) -> LeaveningChart:
    """Draw acid against base, what is left over with its band, and the gas by route."""
    kitchen, name = work.kitchen, work.changed.formula.name
    seen = rated(work)
    groups = groups_of(seen.weighed, kitchen.cupboard, kitchen.measures, work.altitude)
    if not groups:
        return LeaveningChart(name, seen.per, None, None, None, {}, {}, ())
    first = groups[0][0]
    main, told = _drawn(first), can_be_told(first)
    others = tuple(_drawn(each) for each, _ in groups[1:] if rises(each) and can_be_told(each))
    names: dict[str, str] = {}
    for drawn in (main, *others):
        names |= _names(drawn.leavening, work)
    names |= {line.pointer: line.name for judged, _ in groups for line in judged.lines}
    return LeaveningChart(
        name, seen.per, main.of_class, main.class_name, main.leavening if told else None, main.left,
        names, others,
    )  # fmt: skip


def _drawn(judged: Judged) -> LeaveningBeside:
    """Give what is drawn of a group."""
    row = judged.cupboard.classes.get(judged.product_class or "")
    left = {each.measure: each for each in measures_of(judged) if each.measure in LEFT}
    name = next((each.name for each in judged.components if each.name), None)
    return LeaveningBeside(
        name, judged.product_class, row.name if row else None, leavening_of(judged), left
    )


def _names(answer: LeaveningAnswer, work: Work) -> dict[str, str]:
    """Give the names of the ingredients that an answer speaks of, by code."""
    ingredients = work.kitchen.cupboard.ingredients
    codes = [entry.ingredient for entry in answer.entries]
    codes += [cocoa.ingredient for cocoa in answer.by_cocoa]
    return {code: ingredients[code].name for code in codes if code in ingredients}
