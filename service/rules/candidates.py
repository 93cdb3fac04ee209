"""Which changes may clear a finding: solved for, not searched for.

A measure is a ratio of sums, so that the grams of one line that bring it to a value follow from one
division. Tried are each line that moves the measure, those of one side together, what stands for a
kind of which there is nothing, and the likeliest slip undone.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass

from service.domain.finding import Finding
from service.domain.weighed import WeighedLine
from service.rules.judged import Judged
from service.rules.kinds import Gram
from service.rules.ledger import soda_grams
from service.rules.meant import meant_style
from service.rules.measures import MEASURES, Measure, measure_of, practice_rows
from service.rules.ranges import limits_here
from service.rules.strain import LEFT_OUT, SLASH, likeliest_slip
from service.rules.styles import class_rows
from service.rules.trials import Change, Move, changed
from service.tables.rule_rows import LimitRow

#: How far inside a range a remedy aims, from the end that was passed toward the centre.
AIMS = (0.1, 0.5, 1.0)
#: A remedy of a slip may round it off by so much.
NEAR = (1.0, 0.85, 1.2, 0.7, 1.4)
#: A lost slash leaves one amount that was meant.
EXACT = (1.0,)
#: What is added where nothing stands for a kind.
ADDED = {
    "powder": "baking-powder", "yeast": "fresh-yeast", "liquid": "water", "water": "water",
    "sugar": "granulated-sugar", "dry_sugar": "granulated-sugar", "fat": "butter-unsalted",
    "egg": "egg", "white": "egg-white", "yolk": "egg-yolk", "salt": "table-salt",
    "acid_salt": "cream-of-tartar", "flour": "all-purpose-flour", "milk": "whole-milk",
    "milk_solids": "whole-milk", "cocoa": "cocoa-natural",
}  # fmt: skip
#: The classes that are mixed with a liquid, and the kind of it that is added where none stands.
WITH_LIQUID = {
    "butter-cake": "milk", "high-ratio": "milk", "chocolate-cake": "milk", "gingerbread": "water",
    "muffin": "milk", "quick-bread": "milk", "pancake": "milk", "waffle": "milk", "scone": "milk",
    "lean-bread": "water", "enriched-bread": "milk", "flatbread": "water", "doughnut": "milk",
}  # fmt: skip
#: The unit of a dose: a line's share of the whole.
DOSE = "g per kg"
#: The measure by which a leavener that is missing is given out: the centre of its class.
LEAVENED = {"powder": "powder_equivalent_pct", "yeast": "yeast_pct"}


@dataclass(frozen=True, slots=True)
class Source:
    """Where grams can be moved: some lines in proportion, or a new line of an ``ingredient``.
    ``over`` and ``under`` are what one gram moves of a measure's sums."""

    lines: tuple[WeighedLine, ...]
    ingredient: str | None
    over: float
    under: float

    def moved_by(self, grams: float) -> Change | None:
        """Give the change that moves so many grams; ``None`` where a line would be left empty."""
        if self.ingredient is not None:
            added = handy(grams)
            return Change((Move(None, added, self.ingredient),)) if added > 0 else None
        factor = 1 + grams / sum(grams_of(line) for line in self.lines)
        moves = tuple(Move(line, handy(grams_of(line) * factor), line.code or "") for line in self.lines)
        return Change(moves) if all(move.grams > 0 for move in moves) else None


def handy(grams: float) -> float:
    """Round a mass to three figures, as scales show it."""
    return float(f"{grams:.3g}")


def grams_of(line: WeighedLine) -> float:
    """Give a line's grams; nothing where it does not weigh."""
    return line.grams.value if line.grams is not None else 0.0


def row_of(judged: Judged, finding: Finding) -> LimitRow | None:
    """Give the row that a finding rests on, as it is at the height of baking."""
    rows = judged.cupboard.limits.get(finding.rule, ())
    row = next((row for row in rows if row.code == finding.limit), None)
    return None if row is None else limits_here(judged, (row,))[0]


def targets(value: float, row: LimitRow, shares: tuple[float, ...]) -> Iterator[float]:
    """Give the values that a remedy may aim at: inside the end that was passed."""
    low_side = row.low is not None and value < row.low
    end, other = (row.low, row.high) if low_side else (row.high, row.low)
    if end is None:
        return
    centre = row.typical
    if centre is None:
        centre = end * (1.3 if low_side else 0.7) if other is None else (end + other) / 2
    for aim in shares:
        yield end + aim * (centre - end)


def measured_changes(
    judged: Judged, finding: Finding, shares: tuple[float, ...] = AIMS
) -> Iterator[Change]:
    """Give the changes that bring a finding's measure back into its range, by each of the ``shares``
    of the way from the end that was passed to the centre."""
    row = row_of(judged, finding)
    if row is None or row.measure not in MEASURES or finding.measured is None:
        return
    measure = MEASURES[row.measure]
    aims = tuple(targets(finding.measured.value, row, shares))
    for source in _sources(judged, measure):
        solve = _ratio(judged, measure, source) if measure.scale else _bent(judged, measure, source)
        for aim in aims:
            grams = None if solve is None else solve(aim)
            change = None if grams is None else source.moved_by(grams)
            if change is not None:
                yield change


def _sources(judged: Judged, measure: Measure) -> Iterator[Source]:
    """Give the lines that move a measure, each alone and those of one side together, and what can
    be added where a side has none."""
    seen: set[tuple[int, ...]] = set()
    for side in (measure.over, measure.under):
        lines = tuple(line for line in judged.amounts.lines(*side) if line.code and grams_of(line) > 0)
        for some in (*((line,) for line in lines), lines):
            key = tuple(id(line) for line in some)
            if some and key not in seen:
                seen.add(key)
                yield _of_lines(judged, measure, some)
        for kind in _missing(judged, side) if lines else side:
            code = ADDED.get(kind)
            if code in judged.cupboard.ingredients and code is not None:
                gram = judged.amounts.contents.of_code(code)
                yield Source((), code, *_sides(measure, gram))


def _missing(judged: Judged, side: tuple[str, ...]) -> tuple[str, ...]:
    """Give the water of a side that stands in egg and fat alone, where the class is mixed with a
    liquid: a line of it is perhaps lost."""
    wet = [kind for kind in side if kind in ("liquid", "water", "liquid_water")]
    if not wet or judged.product_class not in WITH_LIQUID or judged.amounts.has("liquid"):
        return ()
    return (WITH_LIQUID[judged.product_class],)


def _of_lines(judged: Judged, measure: Measure, lines: tuple[WeighedLine, ...]) -> Source:
    whole = sum(grams_of(line) for line in lines)
    over = under = 0.0
    for line in lines:
        one, other = _sides(measure, judged.amounts.contents.of(line))
        over, under = over + one * grams_of(line) / whole, under + other * grams_of(line) / whole
    return Source(lines, None, over, under)


def _sides(measure: Measure, gram: Gram) -> tuple[float, float]:
    """Give what one gram brings to both sums of a measure."""
    shares = dict(gram.shares)
    return (
        sum(shares.get(kind, 0.0) for kind in measure.over),
        sum(shares.get(kind, 0.0) for kind in measure.under),
    )


#: Gives how many grams of a source bring a measure to a value; ``None`` where none do.
Solve = Callable[[float], float | None]


def _ratio(judged: Judged, measure: Measure, source: Source) -> Solve:
    """Solve a measure that is a ratio of sums."""
    over, under = judged.amounts.of(*measure.over).value, judged.amounts.of(*measure.under).value
    scale = measure.scale or 1.0

    def solve(aim: float) -> float | None:
        slope = scale * source.over - aim * source.under
        return (aim * under - scale * over) / slope if slope else None

    return solve


def _bent(judged: Judged, measure: Measure, source: Source) -> Solve | None:
    """Solve a measure that is more than a ratio, by two straight lines one after the other; ``None``
    where the source does not move it."""
    whole = sum(grams_of(line) for line in source.lines)
    step = (whole or judged.amounts.of("flour").value / 100) / 10
    start, there = (_at(judged, measure, source, grams) for grams in (0.0, step))
    if start is None or there is None or there == start:
        return None
    here, rise = start, (there - start) / step

    def solve(aim: float) -> float | None:
        grams = (aim - here) / rise
        near = None if whole and grams <= -whole else _at(judged, measure, source, grams)
        if near is None or near == here:
            return None
        return grams * (aim - here) / (near - here)

    return solve


def _at(judged: Judged, measure: Measure, source: Source, grams: float) -> float | None:
    """Give a measure's value with so many grams moved."""
    change = source.moved_by(grams) if grams else Change(())
    band = None if change is None else measure_of(changed(judged, change), measure.name)
    return None if band is None else band.value


def dose_changes(judged: Judged, finding: Finding) -> Iterator[Change]:
    """Give the changes of one line that bring its share of the whole back into its range."""
    row, line = row_of(judged, finding), _only_line(judged, finding)
    if row is None or row.unit != DOSE or line is None or finding.measured is None:
        return
    value, whole, grams = finding.measured.value, judged.amounts.of("total").value, grams_of(line)
    for aim in targets(value, row, AIMS):
        wanted = grams / whole * aim / value
        if 0 < wanted < 1:
            rest = handy((whole - grams) * wanted / (1 - wanted))
            yield Change((Move(line, rest, line.code or ""),))


def restated(judged: Judged, finding: Finding) -> Iterator[Change]:
    """Give the line of a slip of the pen in grams, as it is, where nothing tells what was meant."""
    line, slip = _only_line(judged, finding), likeliest_slip(judged)
    if finding.limit is None and line is not None and (slip is None or slip.line is not line):
        yield Change((Move(line, handy(grams_of(line)), line.code or ""),))


def _only_line(judged: Judged, finding: Finding) -> WeighedLine | None:
    """Give the line that a finding is about, where it is about one alone."""
    lines = [line for line in judged.lines if line.pointer in finding.lines and grams_of(line) > 0]
    return lines[0] if len(lines) == 1 and lines[0].code else None


def slip_changes(judged: Judged) -> Iterator[Change]:
    """Give the likeliest slip undone, and undone about."""
    slip = likeliest_slip(judged)
    if slip is None or slip.line.grams is None:
        return
    line = None if slip.kind == LEFT_OUT else slip.line
    for near in EXACT if slip.kind == SLASH else NEAR:
        grams = handy(slip.line.grams.value * slip.factor * near)
        yield Change((Move(line, grams, slip.ingredient),))


def added_changes(judged: Judged) -> Iterator[Change]:
    """Give a leavener where there is none of it: powder or yeast to the centre of the class, soda as
    the acids take it up, where practice sets soda against one of them."""
    flour = judged.amounts.of("flour").value
    for kind, name in LEAVENED.items():
        centre = _centre(judged, name)
        if judged.amounts.of(kind).value <= 0 and centre is not None:
            grams = handy(flour * centre / 100)
            if grams > 0:
                yield Change((Move(None, grams, ADDED[kind]),))
    if judged.amounts.of("soda").value <= 0 and _asks_for_soda(judged):
        grams = handy(soda_grams(judged.ledger.acid_left, judged.cupboard.constants).value)
        if grams > 0:
            yield Change((Move(None, grams, "baking-soda"),))


def _asks_for_soda(judged: Judged) -> bool:
    """Tell whether anything stands here that soda is set against: sour milk, molasses, a dry acid."""
    sour = practice_rows(judged.cupboard)
    return any(each.kind == "acid" or each.ingredient in sour for each in judged.ledger.entries)


def _centre(judged: Judged, name: str) -> float | None:
    """Give what a group lacks to the centre of a measure's range for its class."""
    rules = {"powder_equivalent_pct": "LEAVEN-01", "yeast_pct": "YEAST-01"}
    for rule, measure, rows in class_rows(judged.product_class, meant_style(judged), judged.cupboard):
        centre = rows[0].typical
        if (rule, measure) == (rules[name], name) and centre:
            have = measure_of(judged, name)
            return max(0.0, centre - (have.value if have else 0.0))
    return None
