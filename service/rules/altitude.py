"""Altitude: what a formula written for the sea needs at the height at which it is baked.

A formula does not say for which height it was written, so that it is held to its class: it is told to
change where it has more (or less) than the class's usual amount, moved by the least that any authority
changes at that height; what was adjusted already is left alone. Authorities that disagree give a band,
told in full. The rules of ranges hold to the limits of ``shifted``; what is told here are notes.

Sources: table ``altitude``; the physics stands in ``heights``.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass, replace

from service.domain.band import Band
from service.domain.finding import Edit, Expected, Finding, Measured, Remedy
from service.domain.weighed import WeighedLine
from service.rules.consequences import stated
from service.rules.heights import Adjusted, adjusted, air_at, rows_at
from service.rules.judged import Judged
from service.rules.meant import meant_style
from service.rules.measures import MEASURES, measure_of
from service.rules.outside import SLACK
from service.rules.ranges import plain
from service.rules.registry import rule
from service.rules.shifted import moved_end
from service.tables.rule_rows import LimitRow

#: The unit of a measure that is a share of the whole: what is added to it adds to the whole, too.
OF_WHOLE = "percent of the whole"
#: How finely a remedy looks for the least change that serves, from the least that any authority
#: changes to the most.
STEPS = 40


@dataclass(frozen=True, slots=True)
class Change:
    """What is changed at altitude. ``how``: less | more | up; ``measure`` and ``limit`` name what a
    class usually has of it; ``kinds`` whose lines change; ``noun`` says what it is and ``why`` why."""

    rule: str
    how: str
    measure: str
    limit: str
    kinds: tuple[str, ...]
    noun: str
    why: str


CHANGES: dict[str, Change] = {
    each.rule: each
    for each in (
        Change(
            "ALT-01", "less", "powder_equivalent_pct", "LEAVEN-01",
            ("powder", "soda", "ammonia", "acid_salt"), "leavening",
            "At {height} gas takes {expansion} times its room at sea level.",
        ),
        Change(
            "ALT-02", "less", "sugar_pct", "BAL-01", ("dry_sugar",), "sugar",
            "At {height} water leaves sooner, and the sugar that stays keeps the crumb from setting.",
        ),
        Change(
            "ALT-03", "more", "water_pct", "BAL-06", ("liquid",), "liquid",
            "At {height} water boils at {boiling} degrees Celsius and leaves sooner.",
        ),
        Change(
            "ALT-04", "up", "oven_celsius", "STRUCT-05", (), "oven heat",
            "At {height} water boils at {boiling} degrees Celsius: a hotter oven sets the crumb before"
            " it has risen too far.",
        ),
        Change(
            "ALT-05", "less", "yeast_pct", "YEAST-01", ("yeast",), "yeast",
            "At {height} a dough rises faster.",
        ),
        Change(
            "ALT-07", "more", "egg_pct", "BAL-03", ("egg",), "egg",
            "At {height} egg holds up what rises further.",
        ),
        Change(
            "ALT-08", "more", "flour_of_whole", "BAL-48", ("flour",), "flour",
            "At {height} flour holds up what rises further.",
        ),
        Change(
            "ALT-09", "less", "fat_pct", "BAL-02", ("butter",), "fat",
            "At {height} fat weakens what rises further.",
        ),
    )
}  # fmt: skip
#: What each rule of this module tells of: what is changed, and how.
TOLD: dict[str, tuple[str, str]] = {
    **{code: (change.noun, change.how) for code, change in CHANGES.items()},
    "ALT-06": ("fill of the pans", "to"),
    "ALT-10": ("what is done otherwise", "advice"),
}


@rule("ALT-01", severity="note", source="altitude:ALT-01")
def leavening_at_height(judged: Judged) -> Iterator[Finding]:
    """At altitude gas takes more room: less leavening."""
    yield from _told(judged, CHANGES["ALT-01"])


@rule("ALT-02", severity="note", source="altitude:ALT-02")
def sugar_at_height(judged: Judged) -> Iterator[Finding]:
    """At altitude water leaves sooner: less sugar, so that the crumb sets."""
    yield from _told(judged, CHANGES["ALT-02"])


@rule("ALT-03", severity="note", source="altitude:ALT-03")
def liquid_at_height(judged: Judged) -> Iterator[Finding]:
    """At altitude water leaves sooner: more liquid."""
    yield from _told(judged, CHANGES["ALT-03"])


@rule("ALT-04", severity="note", source="altitude:ALT-04")
def oven_at_height(judged: Judged) -> Iterator[Finding]:
    """At altitude a hotter oven sets the crumb in time."""
    yield from _told(judged, CHANGES["ALT-04"])


@rule("ALT-05", severity="note", source="altitude:ALT-05")
def yeast_at_height(judged: Judged) -> Iterator[Finding]:
    """At altitude dough rises faster: less yeast."""
    yield from _told(judged, CHANGES["ALT-05"])


@rule("ALT-06", severity="warning", source="altitude:ALT-06")
def fill_at_height(judged: Judged) -> Iterator[Finding]:
    """At altitude batter climbs further: pans are filled less."""
    said = _said(judged, "ALT-06")
    band = measure_of(judged, "pan_fill") if said else None
    if said is None or band is None or band.value - said.high <= SLACK:
        return
    yield Finding(
        rule="ALT-06",
        severity="warning",
        message=(
            f"At {_height(judged)} batter climbs further: the pans are {plain(band.value)} full, and"
            f" {plain(said.low)} to {plain(said.high)} is usual there. Take another pan."
        ),
        measured=Measured(band.value, band.low, band.high, "of the pan"),
        expected=Expected(said.low, said.high, "of the pan"),
        certain=band.low > said.high and judged.complete,
        lines=tuple(f"/pans/{place}" for place in range(len(judged.formula.pans))),
        source=said.source,
        evidence=said.evidence,
        settle=None if band.low > said.high and judged.complete else "Measure the pans with water.",
        group=judged.group,
    )


@rule("ALT-07", severity="note", source="altitude:ALT-07")
def egg_at_height(judged: Judged) -> Iterator[Finding]:
    """At altitude egg steadies a cake: more egg."""
    yield from _told(judged, CHANGES["ALT-07"])


@rule("ALT-08", severity="note", source="altitude:ALT-08")
def flour_at_height(judged: Judged) -> Iterator[Finding]:
    """At altitude flour steadies a cake: more flour."""
    yield from _told(judged, CHANGES["ALT-08"])


@rule("ALT-09", severity="note", source="altitude:ALT-09")
def fat_at_height(judged: Judged) -> Iterator[Finding]:
    """At altitude a rich cake is weak: less fat."""
    yield from _told(judged, CHANGES["ALT-09"])


@rule("ALT-10", severity="note", source="altitude:ALT-10")
def advice_at_height(judged: Judged) -> Iterator[Finding]:
    """At altitude some things are done otherwise."""
    if judged.altitude is None:
        return
    for row in rows_at("ALT-10", judged.product_class, judged.altitude, judged.cupboard):
        yield Finding(
            rule="ALT-10",
            severity="note",
            message=f"At {_height(judged)}: {row.note}",
            measured=None,
            expected=None,
            certain=True,
            lines=(),
            source=row.source,
            evidence=row.evidence,
            limit=row.code,
            group=judged.group,
        )


def _said(judged: Judged, code: str) -> Adjusted | None:
    """Give what the authorities change by a rule; ``None`` at the sea, or where none speaks."""
    if judged.altitude is None:
        return None
    return adjusted(code, judged.product_class, judged.altitude, judged.cupboard)


def _height(judged: Judged) -> str:
    return f"{judged.altitude:,.0f} m"


@dataclass(frozen=True, slots=True)
class Usual:
    """What a class usually has at the height (``bound``), in the ``unit`` of its ``row``."""

    row: LimitRow
    bound: float


def _usual(judged: Judged, change: Change, said: Adjusted) -> Usual | None:
    """Give the class's usual amount, moved by the least that any authority changes."""
    rows = judged.cupboard.limit_rows(change.limit, judged.product_class)
    styled = [row for row in rows if row.measure == change.measure and row.typical]
    by_style = {row.style: row for row in reversed(styled)}
    row = by_style.get(meant_style(judged) or "", by_style.get(""))
    if row is None or row.typical is None:
        return None
    share = judged.liquid_share if change.measure == "water_pct" else 1.0
    bound = moved_end(row.typical, said.low * share, change.how)
    if row.unit == OF_WHOLE:
        bound *= 100 / (100 + bound - row.typical)
    return Usual(row, bound)


def _beyond(change: Change, value: float, usual: Usual) -> bool:
    """Tell whether a value is more, or less, than is usual at the height, by as much as is shown."""
    off = value - usual.bound if change.how == "less" else usual.bound - value
    return off > 0 and plain(value) != plain(usual.bound)


def _told(judged: Judged, change: Change) -> Iterator[Finding]:
    """Tell one change, where the formula is not there yet; yields one finding at most."""
    said = _said(judged, change.rule)
    if said is None:
        return
    lines = _lines(judged, change)
    band = measure_of(judged, change.measure) if change.measure else None
    usual = _usual(judged, change, said) if band else None
    if (change.kinds and not lines) or (change.measure and band is None):
        return
    ends = (band.value, band.low, band.high) if band and usual else ()
    beyond = [_beyond(change, end, usual) for end in ends if usual]
    if beyond and not beyond[0]:
        return
    sure = all(beyond) and judged.complete
    remedy = _remedy(judged, change, said, usual, lines)
    says = (
        _why(judged, change), *_held(judged, change, band, usual), _asks(change, said, lines),
        *_set_to(change, said, band), *_beyond_reach(change, usual, remedy),
    )  # fmt: skip
    yield Finding(
        rule=change.rule,
        severity="note",
        message=" ".join(says),
        measured=Measured(band.value, band.low, band.high, usual.row.unit) if band and usual else None,
        expected=_expected(change, usual),
        certain=sure,
        lines=tuple(dict.fromkeys(line.pointer for line in lines)),
        source=said.source,
        evidence=said.evidence,
        remedy=remedy,
        settle=None if sure else "Weigh what was measured by the cup.",
        group=judged.group,
    )


def _lines(judged: Judged, change: Change) -> tuple[WeighedLine, ...]:
    """Give the lines that change: of dry acids those that soda takes up, not what steadies a foam."""
    lines = judged.amounts.lines(*change.kinds)
    acids = judged.amounts.lines("acid_salt") if "acid_salt" in change.kinds else ()
    spared = [
        line
        for line in acids
        if judged.amounts.of("soda").value <= 0
        or judged.formula.components[line.component].role == "foam"
    ]
    return tuple(line for line in lines if line not in spared)


def _expected(change: Change, usual: Usual | None) -> Expected | None:
    if usual is None:
        return None
    if change.how == "less":
        return Expected(None, usual.bound, usual.row.unit)
    return Expected(usual.bound, None, usual.row.unit)


def _why(judged: Judged, change: Change) -> str:
    air = air_at(judged.altitude or 0.0, judged.cupboard.constants)
    return change.why.format(
        height=_height(judged), expansion=plain(air.expansion), boiling=plain(air.boiling.value)
    )


def _held(judged: Judged, change: Change, band: Band | None, usual: Usual | None) -> Iterator[str]:
    """Say what the formula has beside the centre of what is usual at the height."""
    if band is None or usual is None or judged.product_class is None:
        return
    name = judged.cupboard.classes[judged.product_class].name
    has = stated(MEASURES[change.measure].says, plain(band.value), usual.row.unit)
    yield f"{has} and about {plain(usual.bound)} is usual for {name} at this height."


def _asks(change: Change, said: Adjusted, lines: tuple[WeighedLine, ...]) -> str:
    """Say what the authorities ask, in shares and in this formula's grams."""
    if change.how == "up":
        return f"Authorities bake {_span(said.low, said.high, 1)} degrees Celsius hotter."
    share = _span(said.low, said.high, 100) if said.low > 0 else f"up to {plain(said.high * 100)}"
    asked = f"Authorities take {share} percent {change.how} {change.noun}"
    ends = sorted(moved_end(1.0, end, change.how) for end in (said.low, said.high))
    grams = [
        f"{plain(line.grams.value)} g of {line.name} {_become(change, said, ends, line.grams.value)}"
        for line in lines
        if line.grams is not None
    ]
    return f"{asked}: {', '.join(grams)}." if grams else f"{asked}."


def _become(change: Change, said: Adjusted, ends: list[float], grams: float) -> str:
    """Say what a line comes to; where one authority leaves it, only how far another goes."""
    if said.low > 0:
        return f"becomes {_span(ends[0], ends[1], grams)} g"
    if change.how == "less":
        return f"becomes {plain(ends[0] * grams)} g at the least"
    return f"becomes {plain(ends[1] * grams)} g at the most"


def _set_to(change: Change, said: Adjusted, band: Band | None) -> Iterator[str]:
    """Say at what heat to set the oven: a remedy changes lines, and this is none of theirs."""
    if change.how == "up" and band is not None:
        heats = _span(band.value + said.low, band.value + said.high, 1)
        yield f"Set a still oven to {heats} degrees Celsius; no line changes."


def _beyond_reach(change: Change, usual: Usual | None, remedy: Remedy | None) -> Iterator[str]:
    """Say that no authority's change comes to what is usual, where none does."""
    if remedy is None and usual is not None and change.how != "up":
        yield "None of this alone brings it to what is usual: change it by what they ask, and try."


def _span(low: float, high: float, times: float) -> str:
    one, other = plain(low * times), plain(high * times)
    return one if one == other else f"{one} to {other}"


def _remedy(
    judged: Judged, change: Change, said: Adjusted, usual: Usual | None, lines: tuple[WeighedLine, ...]
) -> Remedy | None:
    """Give the least change that serves, of those that the authorities ask; ``None`` where none of
    them does, or lines cannot be told apart."""
    if usual is None or not lines or change.how == "up" or any(line.code is None for line in lines):
        return None
    if any(sum(each.pointer == line.pointer for each in judged.lines) > 1 for line in lines):
        return None
    for step in range(STEPS + 1):
        by = said.low + (said.high - said.low) * step / STEPS
        grams = {line.pointer: _scaled(line, by, change.how) for line in lines}
        trial = _weighed_out(judged, grams)
        band, bound = measure_of(trial, change.measure), _usual(trial, change, said)
        if band is not None and bound is not None and not _beyond(change, band.value, bound):
            edits = tuple(
                Edit(line.pointer, grams[line.pointer], line.code or "", line.component)
                for line in lines
            )
            told = ", ".join(f"{plain(grams[line.pointer])} g of {line.name}" for line in lines)
            return Remedy(f"Take {told}.", edits)
    return None


def _scaled(line: WeighedLine, by: float, how: str) -> float:
    """Give a line's changed mass in three figures, on the far side of what was asked."""
    exact = moved_end(line.grams.value if line.grams else 0.0, by, how)
    unit = 10.0 ** (math.floor(math.log10(exact)) - 2) if exact > 0 else 1.0
    away = math.floor if how == "less" else math.ceil
    return float(f"{away(exact / unit + (SLACK if how == 'less' else -SLACK)) * unit:.3g}")


def _weighed_out(judged: Judged, grams: dict[str, float]) -> Judged:
    """Give the group with some lines weighed out to other masses."""
    return judged.with_lines(
        tuple(
            replace(line, grams=Band.exact(grams[line.pointer])) if line.pointer in grams else line
            for line in judged.lines
        )
    )
