"""Yeast: enough of it by class, all kinds counted as fresh yeast, and what slows it.

Sources: rows of ``limits`` with the codes YEAST-01 and YEAST-02; the kinds' worth stands in
``leaveners``.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from service.domain.band import ZERO, Band, total
from service.domain.finding import Expected, Finding, Measured
from service.domain.weighed import WeighedLine
from service.rules.judged import Judged
from service.rules.kinds import KINDS
from service.rules.outside import outside_row
from service.rules.ranges import plain
from service.rules.registry import range_rule, rule
from service.tables.rule_rows import LimitRow

_SLOWS = "slows_yeast/"
_PERCENT = 100.0
#: What is rolled in or laid on does not meet the yeast.
_APART = "swirl"

range_rule("YEAST-01", "yeast_pct", "Yeast on flour, as fresh yeast, stays inside its class's range.")


@dataclass(frozen=True, slots=True)
class Slowing:
    """What slows yeast: its ``name``, its share of the flour in percent, the limit's ``row``, and the
    ``lines`` that bring it."""

    name: str
    share: Band
    row: LimitRow
    lines: tuple[WeighedLine, ...]


def slowing(judged: Judged) -> Iterator[Slowing]:
    """Give all that slows yeast and stands in a dough that yeast raises, whether much or little."""
    amounts = judged.amounts
    flour = amounts.of("flour")
    if amounts.of("yeast").value <= 0:
        return
    for row in judged.cupboard.limits.get("YEAST-02", ()):
        what = row.measure.removeprefix(_SLOWS)
        lines, grams = _of_kind(judged, what) if what in KINDS else _of_ingredient(judged, what)
        share = grams.times(_PERCENT).per(flour)
        if share is not None and lines:
            yield Slowing(what, share, row, lines)


def _of_kind(judged: Judged, kind: str) -> tuple[tuple[WeighedLine, ...], Band]:
    return judged.amounts.lines(kind), judged.amounts.of(kind)


def _of_ingredient(judged: Judged, code: str) -> tuple[tuple[WeighedLine, ...], Band]:
    components = judged.formula.components
    lines = tuple(
        line
        for line in judged.lines
        if line.code == code and line.grams and components[line.component].role != _APART
    )
    return lines, total(line.grams or ZERO for line in lines)


@rule("YEAST-02", severity="note", source="limits:YEAST-02")
def slowed(judged: Judged) -> Iterator[Finding]:
    """Salt, sugar and spices do not slow the yeast."""
    for each in slowing(judged):
        found = outside_row(each.row, each.share)
        if found is None:
            continue
        certain = found.certain and judged.complete
        name = each.name if each.name in KINDS else each.lines[0].name
        yield Finding(
            rule="YEAST-02",
            severity="note",
            message=(
                f"{name.capitalize()} is {plain(each.share.value)} {each.row.unit}: above "
                f"{plain(found.limit)} it slows ordinary yeast. {each.row.note[:1].upper()}"
                f"{each.row.note[1:]}."
            ),
            measured=Measured(each.share.value, each.share.low, each.share.high, each.row.unit),
            expected=Expected(None, each.row.high, each.row.unit),
            certain=certain,
            lines=tuple(dict.fromkeys(line.pointer for line in each.lines)),
            source=each.row.source,
            evidence=each.row.evidence,
            settle=None if certain else f"Weigh the {each.lines[0].name}.",
            limit=each.row.code,
            group=judged.group,
        )


def forms_of(judged: Judged) -> tuple[tuple[str, float, str], ...]:
    """Give the group's yeast in each kind: the kind's code, its grams, and the source of its worth;
    empty where there is no yeast."""
    fresh = judged.amounts.of("yeast").value
    if fresh <= 0:
        return ()
    rows = (row for row in judged.cupboard.leaveners.values() if row.kind == "yeast")
    return tuple(
        (row.ingredient, fresh / row.fresh_yeast, row.source) for row in rows if row.fresh_yeast
    )
