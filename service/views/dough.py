"""The view ``dough``: a yeast dough's yeast in each of its kinds, what slows it, and how warm the water
should be for a wished dough temperature."""

from __future__ import annotations

import re
from dataclasses import dataclass, field
from typing import Any

from service.domain.band import Band
from service.domain.faults import do_not_fit, not_understood
from service.errors import Fault
from service.rules.dough import Heat, celsius, fahrenheit, kelvins
from service.rules.judged import Judged
from service.rules.judging import groups_of
from service.rules.ranges import plain
from service.rules.yeast import forms_of, slowing
from service.views.figures import PER_HUNDRED, banded, share_of, shown
from service.views.ratio import rated
from service.views.registry import view
from service.views.work import Work

_DEGREES = r"-?[0-9]{1,3}(?:\.[0-9]{1,2})? ?[CF]"
_SOURCE = "Common practice of bakeries: the wished temperature times the factors, less what is known"


def _degrees(example: str, meaning: str) -> Any:
    """Describe a parameter that is a temperature with its unit, C or F."""
    told = {"example": example, "meaning": f"{meaning} In C or F.", "pattern": f"^{_DEGREES}$"}
    return field(default=None, metadata=told)


@dataclass(frozen=True, slots=True)
class DoughParams:
    """Temperatures with their unit (``24C``, ``75F``), for the water's: the dough's, the room's and the
    friction are needed together. ``friction`` is a difference."""

    dough_temperature: str | None = _degrees("24C", "How warm the mixed dough is to be.")
    room_temperature: str | None = _degrees("21C", "How warm the room is.")
    flour_temperature: str | None = _degrees("20C", "How warm the flour is; the room's where not said.")
    preferment_temperature: str | None = _degrees(
        "22C", "How warm a preferment is; it makes the factors four."
    )
    friction: str | None = _degrees(
        "11C", "By how much mixing warms the dough, which a baker finds by trial."
    )


@dataclass(frozen=True, slots=True)
class YeastForm:
    """The yeast of the formula as another kind would weigh. Units: grams."""

    ingredient: str
    grams: float
    source: str


@dataclass(frozen=True, slots=True)
class Slower:
    """What slows the yeast: percent of flour, and from where on it does; ``slows`` is ``None`` where
    the band straddles that."""

    what: str
    percent_of_flour: Band
    slows_above: float
    slows: bool | None
    source: str
    evidence: str


@dataclass(frozen=True, slots=True)
class DoughWater:
    """The water for the wished dough temperature. ``factors`` is 3, or 4 with a preferment; ``notes``
    say what was taken for granted, and where water alone will not do."""

    celsius: float
    fahrenheit: float
    factors: int
    notes: tuple[str, ...]
    source: str


@dataclass(frozen=True, slots=True)
class DoughBeside:
    """Another dough of the formula, of another class, that yeast raises: as ``DoughAnswer`` tells it,
    under its ``group``."""

    group: str
    complete: bool
    yeast_as_fresh: Band | None
    yeast_percent: Band | None
    forms: tuple[YeastForm, ...]
    slowed_by: tuple[Slower, ...]
    water_percent: Band | None


@dataclass(frozen=True, slots=True)
class DoughAnswer:
    """The first ``group`` that yeast raises (else what is baked together), as a dough: yeast as fresh
    yeast (grams, percent of flour) and in each kind, what slows it, the water of all lines on flour, and
    the water's temperature where one is wished for. ``per`` is that of ``findings``; ``beside``: each
    other dough with yeast in it."""

    group: str | None
    per: str
    complete: bool
    yeast_as_fresh: Band | None
    yeast_percent: Band | None
    forms: tuple[YeastForm, ...]
    slowed_by: tuple[Slower, ...]
    water_percent: Band | None
    water: DoughWater | None
    beside: tuple[DoughBeside, ...]


@view("dough", answer=DoughAnswer, params=DoughParams)
def dough(work: Work, params: DoughParams) -> DoughAnswer:
    """Give a dough's yeast in each kind, what slows it, and the water's temperature."""
    wished = _water(work, params)
    seen = rated(work)
    groups = groups_of(seen.weighed, work.kitchen.cupboard, work.kitchen.measures)
    if not groups:
        return DoughAnswer(None, seen.per, work.weighed.complete, None, None, (), (), None, wished, ())
    raised = [judged for judged, _ in groups if judged.amounts.has("yeast")] or [groups[0][0]]
    first, *others = (_told(judged) for judged in raised)
    return DoughAnswer(
        first.group, seen.per, first.complete, first.yeast_as_fresh, first.yeast_percent, first.forms,
        first.slowed_by, first.water_percent, wished, tuple(others),
    )  # fmt: skip


def _told(judged: Judged) -> DoughBeside:
    """Tell a group as a dough."""
    yeast, flour = judged.amounts.of("yeast"), judged.amounts.of("flour")
    return DoughBeside(
        judged.group,
        judged.complete,
        banded(yeast) if yeast.value > 0 else None,
        share_of(yeast.per(flour), PER_HUNDRED) if yeast.value > 0 else None,
        tuple(YeastForm(code, shown(grams), source) for code, grams, source in forms_of(judged)),
        _slowers(judged),
        share_of(judged.amounts.of("water").per(flour), PER_HUNDRED),
    )


def _slowers(judged: Judged) -> tuple[Slower, ...]:
    answers = []
    for each in slowing(judged):
        limit = each.row.high or 0.0
        above = each.share.low > limit
        slows = above if above == (each.share.high > limit) else None
        answers.append(
            Slower(each.name, banded(each.share), limit, slows, each.row.source, each.row.evidence)
        )
    return tuple(answers)


def _water(work: Work, params: DoughParams) -> DoughWater | None:
    """Work out the water's temperature. Raises: Invalid, a fault a parameter."""
    given = {name: getattr(params, name) for name in DoughParams.__slots__}
    faults = [
        not_understood(name, text, "degrees with their unit, C or F", "24C or 75F")
        for name, text in given.items()
        if text is not None and not re.fullmatch(_DEGREES, text)
    ]
    asked = any(text is not None for text in given.values())
    faults += [
        Fault("required", f"{name} is needed for the water's temperature.", parameter=name)
        for name in ("dough_temperature", "room_temperature", "friction")
        if asked and given[name] is None
    ]
    if faults:
        raise do_not_fit(faults)
    if not asked:
        return None
    room = _celsius(params.room_temperature)
    flour = _celsius(params.flour_temperature)
    heat = Heat(
        _celsius(params.dough_temperature) or 0.0,
        room or 0.0,
        (room if flour is None else flour) or 0.0,
        kelvins(*_read(params.friction or "0C")),
        _celsius(params.preferment_temperature),
    )
    return DoughWater(
        shown(heat.water), shown(fahrenheit(heat.water)), heat.factors,
        tuple(_notes(work, params, heat)), _SOURCE,
    )  # fmt: skip


def _read(text: str) -> tuple[float, str]:
    number, unit = text[:-1].strip(), text[-1]
    return float(number), unit


def _celsius(text: str | None) -> float | None:
    return None if text is None else celsius(*_read(text))


def _notes(work: Work, params: DoughParams, heat: Heat) -> list[str]:
    """Say what was taken for granted, and where water alone will not do."""
    notes = []
    if params.flour_temperature is None:
        notes.append("The flour is taken to be as warm as the room.")
    roles = {component.role for component in work.changed.formula.components}
    if "preferment" in roles and heat.preferment is None:
        notes.append("The formula has a preferment; say how warm it is to count it.")
    death = work.kitchen.cupboard.constants["yeast_harmed"]
    if heat.water > (death.low or death.value):
        low, high = plain(death.low or death.value), plain(death.high or death.value)
        notes.append(f"Yeast is harmed from {low} to {high} degrees Celsius: warm the flour instead.")
    if heat.water < 0:
        notes.append("Water is not that cold: take ice for a part of it, or cool the flour.")
    return notes
