"""The view ``balance.svg``: every measure of a formula beside its class's range, to be drawn.

The figures are those of the view ``findings``, by the same function.
"""

from __future__ import annotations

from dataclasses import dataclass

from service.rules.judged import BAKED, Judged
from service.rules.judging import groups_of
from service.rules.meant import meant_style
from service.views.findings import MeasureAnswer, measures_of
from service.views.ratio import rated
from service.views.registry import NoParams, view
from service.views.work import Work


@dataclass(frozen=True, slots=True)
class BalanceGroup:
    """One baked group: its ``title`` for people, the class that it is held to (``None``: not known)
    and the style of it (``None``: the class at large), whether every line of it weighs, and its
    measures."""

    group: str
    title: str
    of_class: str | None
    class_name: str | None
    style_name: str | None
    complete: bool
    measures: tuple[MeasureAnswer, ...]


@dataclass(frozen=True, slots=True)
class BalanceChart:
    """What the chart shows. ``inside``, ``outside`` and ``uncertain`` count the measures: inside
    their range, outside it, and those whose band straddles an end. ``altitude``: the height that the
    ranges are for, in metres, where the caller said one."""

    name: str
    inside: int
    outside: int
    uncertain: int
    altitude: float | None
    groups: tuple[BalanceGroup, ...]


def title_of(judged: Judged) -> str:
    """Give a group's title: of what is baked, or the component's own name."""
    if judged.group == BAKED:
        return "What is baked"
    named = next((component.name for component in judged.components if component.name), None)
    role = next((component.role for component in judged.components if component.role), None)
    return named or (role or "part").capitalize()


def _group(judged: Judged) -> BalanceGroup:
    row = judged.cupboard.classes.get(judged.product_class or "")
    style = judged.cupboard.styles.get(meant_style(judged) or "")
    return BalanceGroup(
        judged.group,
        title_of(judged),
        judged.product_class,
        row.name if row else None,
        style.name if style else None,
        judged.complete,
        measures_of(judged),
    )


@view("balance.svg", answer=BalanceChart)
def balance_svg(work: Work, params: NoParams) -> BalanceChart:
    """Draw each measure of the formula inside its class's range, its band with it."""
    kitchen = work.kitchen
    groups = tuple(
        _group(judged)
        for judged, _ in groups_of(
            rated(work).weighed, kitchen.cupboard, kitchen.measures, work.altitude
        )
    )
    found = [measure.inside for group in groups for measure in group.measures]
    return BalanceChart(
        work.changed.formula.name,
        found.count(True),
        found.count(False),
        found.count(None),
        work.altitude,
        groups,
    )
