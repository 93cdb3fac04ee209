"""The view ``weights``: every line in grams and percent, with what each gram rests on.

Floats are rounded here and nowhere before: masses to a hundredth of a gram (below one gram to a
tenth of a milligram), percentages to a hundredth. The classes of the answer are neither frozen nor
slotted: each is filled once and handed to the encoder, which takes a quarter of the time over them.
"""

from __future__ import annotations

from dataclasses import dataclass

from service.domain.band import Band, total
from service.domain.formula import Formula
from service.domain.reading import Problem
from service.domain.weighed import Assumption, Basis, Weighed, WeighedLine
from service.views.registry import NoParams, view
from service.views.work import Work
from service.weighing.cracking import Cracked, crack


@dataclass
class Mass:
    """A mass with its band. Units: grams."""

    grams: float | None
    low: float | None
    high: float | None


@dataclass
class Total:
    """A total with its band, in ``unit``: g, or meq (milliequivalents) for acids.

    ``grams`` (the amount, in that unit) is ``None`` where the tables do not know how much of it
    the ingredients named in ``unknown`` hold; the band then runs from nothing of it in them to the
    most that they could hold, and is ``None`` where not even that can be told.
    """

    grams: float | None
    low: float | None
    high: float | None
    unit: str
    unknown: tuple[str, ...]


@dataclass
class OtherWeight:
    """An alternative of a line, weighed; it is in no total."""

    pointer: str
    ingredient: str | None
    name: str
    as_written: str
    grams: float | None
    low: float | None
    high: float | None
    basis: Basis | None
    reason: str | None


@dataclass
class LineWeight:
    """One item of a line. ``component`` counts the formula's components from 0, ``pointer`` is the
    line's JSON Pointer in the formula as given, ``ingredient`` its code in the tables (``None``:
    no table knows it).

    ``percent``: baker's percentage, all flour of the formula is 100; ``percent_of_group``: the same
    within what is baked together; both ``None`` without flour. ``share``: percent of the whole
    mass. Units: grams.
    """

    pointer: str
    component: int
    group: str
    ingredient: str | None
    name: str
    as_written: str
    grams: float | None
    low: float | None
    high: float | None
    percent: float | None
    percent_of_group: float | None
    share: float | None
    basis: Basis | None
    alternatives: tuple[OtherWeight, ...]


@dataclass
class ComponentWeight:
    """A component's mass; ``flour`` of the group with which it is baked. Units: grams."""

    component: int
    name: str | None
    role: str | None
    group: str
    grams: float
    low: float
    high: float
    share: float | None


@dataclass
class Unweighed:
    """A line without a mass, and why: no-amount (left to the cook), unknown-ingredient,
    unknown-unit, no-weight-for-measure, percent-without-flour, not-understood, not-an-ingredient.
    """

    pointer: str
    component: int
    ingredient: str | None
    name: str
    as_written: str
    reason: str
    states_amount: bool


@dataclass
class PerPortion:
    """The mass of one portion. Units: grams."""

    portions: float
    grams: float
    low: float
    high: float


@dataclass
class Weights:
    """The answer. ``complete``: every line that states an amount weighs; what does not is in
    ``unweighed`` and in no total. ``eggs``: how many eggs those that are counted come from, and which
    whites or yolks stay over; ``None`` where none are counted."""

    complete: bool
    lines: tuple[LineWeight, ...]
    components: tuple[ComponentWeight, ...]
    totals: dict[str, Total]
    assumptions: tuple[Assumption, ...]
    unweighed: tuple[Unweighed, ...]
    problems: tuple[Problem, ...]
    per_portion: PerPortion | None
    eggs: Cracked | None


def rounded(value: float) -> float:
    """Round a mass as scales show it: to 0.01 g, below one gram to 0.0001 g."""
    if value >= 1:
        return int(value * 100 + 0.5) / 100
    return round(value, 2) if value <= -1 else round(value, 4)


def _percent(value: float, whole: Band | None) -> float | None:
    if whole is None or whole.value <= 0:
        return None
    return int(10_000 * value / whole.value + 0.5) / 100


def _line(line: WeighedLine, weighed: Weighed) -> LineWeight:
    grams, totals, group = line.grams, weighed.totals, weighed.group_totals[line.group]
    value = None if grams is None else grams.value
    return LineWeight(
        line.pointer,
        line.component,
        line.group,
        line.code,
        line.name,
        line.as_written,
        None if grams is None else rounded(grams.value),
        None if grams is None else rounded(grams.low),
        None if grams is None else rounded(grams.high),
        None if value is None else _percent(value, totals["flour"]),
        None if value is None else _percent(value, group["flour"]),
        None if value is None else _percent(value, totals["grams"]),
        line.basis,
        tuple(_other(other) for other in line.alternatives),
    )


def _other(line: WeighedLine) -> OtherWeight:
    mass = _mass(line.grams)
    return OtherWeight(
        line.pointer,
        line.code,
        line.name,
        line.as_written,
        mass.grams,
        mass.low,
        mass.high,
        line.basis,
        line.reason,
    )


def _mass(band: Band | None) -> Mass:
    if band is None:
        return Mass(None, None, None)
    return Mass(rounded(band.value), rounded(band.low), rounded(band.high))


def _total(name: str, band: Band | None, weighed: Weighed) -> Total:
    unit = "meq" if name == "acids" else "g"
    unknown = weighed.unknown.get(name, ())
    if band is None:
        return Total(None, None, None, unit, unknown)
    value = None if unknown else rounded(band.value)
    return Total(value, rounded(band.low), rounded(band.high), unit, unknown)


def _components(formula: Formula, weighed: Weighed) -> tuple[ComponentWeight, ...]:
    whole = weighed.totals["grams"]
    found = []
    for place, component in enumerate(formula.components):
        lines = [line for line in weighed.lines if line.component == place]
        band = total(line.grams for line in lines if line.grams is not None)
        mass = (rounded(band.value), rounded(band.low), rounded(band.high))
        group, share = lines[-1].group if lines else "baked", _percent(band.value, whole)
        found.append(ComponentWeight(place, component.name, component.role, group, *mass, share))
    return tuple(found)


def _unweighed(weighed: Weighed) -> tuple[Unweighed, ...]:
    return tuple(
        Unweighed(
            line.pointer,
            line.component,
            line.code,
            line.name,
            line.as_written,
            line.reason or "not-understood",
            not line.left_to_cook,
        )
        for line in weighed.lines
        if line.grams is None
    )


def _assumption(one: Assumption) -> Assumption:
    worth = None if one.grams is None else rounded(one.grams)
    return Assumption(one.code, one.line, one.part, one.value, worth, one.detail)


def _per_portion(formula: Formula, grams: Band | None) -> PerPortion | None:
    makes = formula.yields
    if makes is None or makes.portions is None or grams is None:
        return None
    portions = makes.portions
    few, many = float(portions.low), float(portions.high)
    middle = float(portions.middle)
    return PerPortion(
        middle, rounded(grams.value / middle), rounded(grams.low / many), rounded(grams.high / few)
    )


@view("weights", answer=Weights)
def weights(work: Work, params: NoParams) -> Weights:
    """Weigh every line: grams with their bands, baker's percentages, totals, what was assumed."""
    weighed = work.weighed
    formula = work.changed.formula
    return Weights(
        weighed.complete,
        tuple(_line(line, weighed) for line in weighed.lines),
        _components(formula, weighed),
        {name: _total(name, band, weighed) for name, band in weighed.totals.items()},
        tuple(_assumption(one) for one in work.assumptions),
        _unweighed(weighed),
        work.problems,
        _per_portion(formula, weighed.totals["grams"]),
        crack(weighed, work.kitchen.cupboard.eggs),
    )
