"""Leavening: enough gas and not too much, soda against the acids, and something that raises it.

The chemistry stands in ``ledger``, the limits in ``limits`` under the codes LEAVEN-01 to LEAVEN-07.
Where cooks' practice and arithmetic differ, both are told, and practice alone gets no warning.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace

from service.domain.band import Band, total
from service.domain.finding import Expected, Finding, Measured
from service.domain.weighed import WeighedLine
from service.rules.judged import Judged
from service.rules.ledger import soda_grams
from service.rules.measures import practice_rows
from service.rules.ranges import held, judge_measure, plain
from service.rules.registry import range_rule, rule
from service.rules.styles import of_the_mix
from service.tables.rule_rows import LimitRow


@rule("LEAVEN-01", severity="error", source="limits:LEAVEN-01")
def too_little_gas(judged: Judged) -> Iterator[Finding]:
    """Soda, powder and ammonia give enough gas for the class, where no yeast does."""
    if judged.amounts.of("yeast", "leaven").value > 0:
        return
    for finding in judge_measure(judged, "LEAVEN-01", "powder_equivalent_pct"):
        lines = finding.lines or tuple(line.pointer for line in judged.amounts.lines("flour"))
        yield replace(finding, lines=lines)


range_rule("LEAVEN-02", "gas_pct", "Soda, powder and ammonia do not give more gas than a batter holds.")


@rule("LEAVEN-03", severity="error", source="limits:LEAVEN-03")
def soda_left_over(judged: Judged) -> Iterator[Finding]:
    """The soda that the acids leave over stays below what is tasted."""
    for finding in judge_measure(judged, "LEAVEN-03", "soda_left_pct"):
        accepted = practice_of(judged)
        within = accepted is not None and accepted.soda.value <= accepted.high * _ROOM
        if within and accepted is not None:
            yield replace(finding, severity="note", message=f"{finding.message} {accepted.words}")
        else:
            yield finding


#: Practice measures by the spoon: a tenth over it is still practice.
_ROOM = 1.1


@dataclass(frozen=True, slots=True)
class Practice:
    """What cooks set against the acids at hand. Units: grams of soda; ``soda`` is what stands in the
    formula (other carbonates by the acid that they take up), ``low`` to ``high`` what practice would
    set, ``words`` says so, ``rows`` are the limits' rows that it rests on."""

    soda: Band
    low: float
    high: float
    words: str
    rows: tuple[LimitRow, ...]
    lines: tuple[WeighedLine, ...]


def practice_of(judged: Judged) -> Practice | None:
    """Give the soda that practice sets against the group's acid ingredients; ``None`` where there
    is no soda or no ingredient that practice speaks of. Source: limits, LEAVEN-04."""
    soda = judged.amounts.of("soda")
    if soda.value <= 0:
        return None
    rows = practice_rows(judged.cupboard)
    lines = tuple(line for line in judged.lines if line.code in rows and line.grams)
    if not lines:
        return None
    low = high = 0.0
    for line in lines:
        row, grams = rows[line.code or ""], line.grams.value if line.grams else 0.0
        low += grams * (row.low or 0.0) / 100
        high += grams * (row.high or 0.0) / 100
    names = ", ".join(dict.fromkeys(line.name for line in lines))
    words = (
        f"Accepted practice sets {plain(low)} to {plain(high)} g of soda against the {names} here; "
        f"the formula has {plain(soda.value)} g{_other_carbonates(judged)}."
    )
    used = tuple(dict.fromkeys(rows[line.code or ""] for line in lines))
    return Practice(soda, low, high, words, used, lines)


def _other_carbonates(judged: Judged) -> str:
    """Say what else than soda takes up acid, where there is some: it was counted as so much soda."""
    others = dict.fromkeys(
        line.name for line in judged.amounts.lines("soda") if line.code != "baking-soda"
    )
    return (
        f", with {' and '.join(others)} counted as the soda that takes up as much acid" if others else ""
    )


@rule("LEAVEN-04", severity="note", source="limits:LEAVEN-04")
def practice_and_arithmetic(judged: Judged) -> Iterator[Finding]:
    """Where practice and arithmetic differ on soda, both are told."""
    accepted = practice_of(judged)
    if accepted is None:
        return
    constants = judged.cupboard.constants
    acid = total(e.meq for e in judged.ledger.entries if e.kind in ("acid", "food-acid"))
    taken = soda_grams(acid, constants)
    left = soda_grams(judged.ledger.soda_left, constants)
    if left.value <= 0 or accepted.soda.value > accepted.high * _ROOM:
        return
    yield Finding(
        rule="LEAVEN-04",
        severity="note",
        message=(
            f"{accepted.words} By arithmetic the acids take up {plain(taken.low)} to "
            f"{plain(taken.high)} g, which leaves {plain(left.low)} to {plain(left.high)} g over."
        ),
        measured=Measured(left.value, left.low, left.high, "g of soda left over"),
        expected=Expected(accepted.low, accepted.high, "g of soda, by practice"),
        certain=left.low > 0,
        lines=tuple(
            dict.fromkeys(line.pointer for line in (*judged.amounts.lines("soda"), *accepted.lines))
        ),
        source="; ".join(dict.fromkeys(row.source for row in accepted.rows)),
        evidence="/".join(dict.fromkeys(row.evidence for row in accepted.rows)),
        group=judged.group,
    )


_MEANS: dict[str, tuple[str, ...]] = {
    "gas": ("soda", "powder", "ammonia", "yeast", "leaven"),
    "yeast": ("yeast", "leaven"),
}
_CALLED = {"gas": "soda, powder, ammonia or yeast", "yeast": "yeast"}


@rule("LEAVEN-05", severity="warning", source="classes: raised_by")
def nothing_raises_it(judged: Judged) -> Iterator[Finding]:
    """A class that gas or yeast must raise has some of it."""
    row = judged.cupboard.classes.get(judged.product_class or "")
    if row is None or row.raised_by[0] not in _MEANS or judged.amounts.of("flour").value <= 0:
        return
    means = row.raised_by[0]
    if judged.amounts.of(*_MEANS[means]).value > 0 or _raised_by_flour(judged) or _needs_nothing(judged):
        return
    none = "no line has any" if judged.complete else "no line that could be read has any"
    yield Finding(
        rule="LEAVEN-05",
        severity="warning" if judged.complete else "note",
        message=f"Nothing raises it: {row.name} rises by {_CALLED[means]}, and {none}.",
        measured=Measured(0.0, 0.0, 0.0, "g"),
        expected=Expected(0.0, None, "g"),
        certain=judged.complete,
        lines=tuple(line.pointer for line in judged.amounts.lines("flour")),
        source=row.source,
        evidence=row.evidence,
        settle=None if judged.complete else "Say what the lines without a mass are.",
        group=judged.group,
    )


def _needs_nothing(judged: Judged) -> bool:
    """Tell whether a group is of a style that nothing need raise (its limit of gas begins or ends at
    none), and lies outside its ranges in one measure at most."""
    measured = held(judged)
    gas = measured.get(("LEAVEN-01", "powder_equivalent_pct"))
    if gas is None or any(row.high != 0 and row.low != 0 for row in gas.rows):
        return False
    outside = [key for key, each in measured.items() if each.found is not None and of_the_mix(key[0])]
    return len(outside) <= 1


def _raised_by_flour(judged: Judged) -> bool:
    """Tell whether the flour brings its own powder, or a preferment the yeast."""
    leaveners = judged.cupboard.leaveners
    return any(line.code in leaveners and line.grams for line in judged.lines) or any(
        component.role == "preferment" for component in judged.components
    )


@rule("LEAVEN-06", severity="note", source="limits:LEAVEN-06")
def acid_left_over(judged: Judged) -> Iterator[Finding]:
    """The acid that the soda leaves over stays below what is tasted."""
    yield from judge_measure(judged, "LEAVEN-06", "acid_left_pct")


range_rule("LEAVEN-07", "ammonia_pct", "Baking ammonia stands only in goods that let its gas escape.")


@rule("LEAVEN-08", severity="warning", source="limits:LEAVEN-08")
def sour_without_soda(judged: Judged) -> Iterator[Finding]:
    """Sour milk and molasses that are raised by powder have some soda set against them."""
    yield from judge_measure(judged, "LEAVEN-08", "sour_without_soda_pct")


range_rule(
    "LEAVEN-09",
    "fat_unleavened_pct",
    "A dough without leavener is short by its fat.",
    severity="warning",
)

range_rule(
    "LEAVEN-11",
    "powder_alone_pct",
    "Powder that raises alone is enough to raise: so little may be soda written as powder.",
    severity="warning",
)
