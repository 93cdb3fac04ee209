"""Every row of every range: just inside, on the limit, just outside, and straddling it.

The limit and its source are the row's own; the formula is made for it: one ingredient that moves the
measure and nothing else beside what it is measured on. What is asserted is how a limit is held, by
its row's severity and evidence, not the row's numbers, which stand with their sources in the table.
"""

from __future__ import annotations

from dataclasses import dataclass, replace

import pytest

from service.domain.band import Band
from service.rules.measures import MEASURES
from service.rules.outside import Outside, _speaks_before, outside_row
from service.rules.ranges import severity_of
from service.rules.registry import all_rules
from service.tables.rule_rows import LimitRow
from tests.rules.hand import a_formula, a_line, cupboard, found, judged

#: One ingredient that stands for a kind and brings nothing else that the same measure counts.
PURE = {
    "flour": "all-purpose-flour", "meal": "all-purpose-flour", "sugar": "granulated-sugar",
    "dry_sugar": "granulated-sugar",
    "fat": "vegetable-oil", "butter": "vegetable-oil", "pure_fat": "vegetable-oil", "egg": "egg",
    "white": "egg-white", "yolk": "egg-yolk", "water": "water", "liquid": "water",
    "milk_solids": "dry-milk-nonfat", "cocoa": "cocoa-natural", "syrup": "molasses",
    "powder": "baking-powder", "soda": "baking-soda", "salt": "table-salt",
    "yeast": "fresh-yeast", "starch": "cornstarch", "gel": "gelatin", "acid_salt": "cream-of-tartar",
    "ammonia": "baking-ammonia", "milk": "whole-milk", "cream": "heavy-cream",
    "chocolate": "unsweetened-chocolate", "total": "dates", "whole_egg": "egg",
}  # fmt: skip
#: What a measure needs beside its two sides to mean anything.
BESIDE = {
    "sugar_to_flour_and_cocoa": {"cocoa-natural": 1.0},
    "water_to_flour_and_cocoa": {"cocoa-natural": 1.0}, "soda_to_syrup": {}, "puree_pct": {},
    "starch_to_milk": {"egg": 1.0}, "sugar_to_milk": {"egg": 1.0, "cornstarch": 1.0},
    "yolk_to_milk": {"cornstarch": 1.0}, "flour_to_milk": {"egg": 1.0},
    "custard_sugar_to_milk": {"egg": 1.0},
}  # fmt: skip
#: Measures that are no plain ratio of kinds are held to their rows in tests of their own.
OWN_TESTS = frozenset(
    {
        "foam_sugar_to_white", "acid_left_pct", "salt_in_product", "puree_pct", "water_for_cocoa",
        "oven_celsius", "centre_celsius", "bake_minutes", "fat_in_foam", "pan_fill", "pan_per_gram",
        "sour_without_soda_pct",
    }
)  # fmt: skip


@dataclass(frozen=True)
class End:
    """One end of one row."""

    rule: str
    row: LimitRow
    side: str

    @property
    def limit(self) -> float:
        end = self.row.low if self.side == "low" else self.row.high
        assert end is not None
        return end

    @property
    def outward(self) -> float:
        return -1.0 if self.side == "low" else 1.0

    def __str__(self) -> str:
        return f"{self.row.code}:{self.side}"


def admitted_by_another(row: LimitRow, value: float) -> bool:
    """Whether another row of the class and measure admits the value, or speaks as near to it."""
    rows = cupboard().limit_rows(row.rule, row.product_class)
    rivals = [
        other
        for other in rows
        if other is not row and (other.measure, other.style) == (row.measure, row.style)
    ]
    if any(_quieter(row, other, value) for other in rivals):
        return True
    return any(
        (other.low is None or value >= other.low) and (other.high is None or value <= other.high)
        for other in rivals
    ) or any(
        (value < (row.low or 0) and other.low == row.low)
        or (value > (row.low or 0) and other.high == row.high)
        for other in rivals
        if rows.index(other) < rows.index(row)
    )


def _quieter(row: LimitRow, other: LimitRow, value: float) -> bool:
    """Whether another row speaks before a row: the row only notes what the other warns of, or lies
    further off."""
    own, its = outside_row(row, Band.exact(value)), outside_row(other, Band.exact(value))
    return own is not None and its is not None and _speaks_before(its, own)


def ends() -> list[End]:
    held = []
    for rule in all_rules():
        for row in cupboard().limits.get(rule.code, ()):
            if row.measure not in MEASURES or row.measure in OWN_TESTS:
                continue
            for side in ("low", "high"):
                end = row.low if side == "low" else row.high
                out = None if end is None else end * (0.98 if side == "low" else 1.02)
                if end and out is not None and not admitted_by_another(row, out):
                    held.append(End(rule.code, row, side))
    return held


def a_class_of(row: LimitRow) -> str:
    """A class that the row speaks for: its own, or, of a row for all, one without rows of its own."""
    if row.product_class != "all":
        return row.product_class
    return next(
        code
        for code in ("sponge", "muffin", "butter-cake")
        if cupboard().limit_rows(row.rule, code)[0].product_class == "all"
    )


def weighed_at(row: LimitRow, low: float, value: float, high: float):
    """A formula whose measure has these values: the moving side is weighed in a band."""
    measure = MEASURES[row.measure]
    under = measure.under[0] if measure.under[0] in PURE else "flour"
    base = {PURE[under]: 100.0, **BESIDE.get(row.measure, {})}
    moving = PURE[measure.over[0]]
    if measure.under == ("total",):
        grams = tuple(100.0 * each / (100.0 - each) for each in (value, low, high))
        return a_formula({**base, moving: grams}, of_class=a_class_of(row)), measure
    one = judged(a_formula({**base, moving: 1.0}, of_class=a_class_of(row)))
    two = judged(a_formula({**base, moving: 2.0}, of_class=a_class_of(row)))
    first, second = measure.of(one), measure.of(two)
    assert first is not None
    assert second is not None
    slope = second.value - first.value
    start = first.value - slope
    grams = tuple((each - start) / slope for each in (value, low, high))
    return a_formula({**base, moving: grams}, of_class=a_class_of(row)), measure


def check(end: End, low: float, value: float, high: float) -> list:
    weighed, measure = weighed_at(end.row, low, value, high)
    band = measure.of(judged(weighed))
    assert isinstance(band, Band)
    assert band.value == pytest.approx(value, rel=1e-6), "the formula made for the row"
    findings = found(weighed, end.rule, style=end.row.style)
    return [f for f in findings if f.limit == end.row.code]


@pytest.mark.parametrize("end", ends(), ids=str)
def test_inside_and_on_the_limit_are_admitted(end):
    inside = end.limit * (1 - 0.005 * end.outward)
    if end.row.low is not None and end.row.high is not None:
        inside = min(max(inside, end.row.low), end.row.high)
    assert check(end, inside, inside, inside) == [], end.row.source
    assert check(end, end.limit, end.limit, end.limit) == [], end.row.source


@pytest.mark.parametrize("end", ends(), ids=str)
def test_just_outside_is_found_with_its_source(end):
    outside = end.limit * (1 + 0.02 * end.outward)
    (finding,) = check(end, outside, outside, outside)
    assert finding.certain, end.row.source
    assert finding.source == end.row.source
    assert finding.evidence == end.row.evidence
    assert finding.lines
    stated = end.row.severity_low if end.side == "low" else end.row.severity_high
    if not set("RGT") & set(end.row.evidence):
        assert finding.severity != "error", "memory and judgement never ground an error"
    if stated == "note":
        assert finding.severity == "note"


@pytest.mark.parametrize("end", ends(), ids=str)
def test_band_that_straddles_the_limit_is_uncertain(end):
    width = end.limit if end.row.typical is None else abs(end.limit - end.row.typical)
    step = min(0.02 * end.limit, 0.1 * width) * end.outward
    outside, back = end.limit + step, end.limit - step
    low, high = min(outside, back), max(outside, back)
    (finding,) = check(end, low, outside, high)
    assert not finding.certain, end.row.source
    assert finding.severity == "note", "a little outside, what may be right is told alone"
    assert finding.settle


def test_every_range_rule_has_rows_and_is_tried():
    tried = {end.rule for end in ends()}
    for rule in all_rules():
        if rule.measure is not None:
            assert cupboard().limits.get(rule.code), rule.code
            assert rule.code in tried or rule.measure in OWN_TESTS, rule.code


def test_every_row_names_a_rule_a_class_and_a_measure():
    codes = {rule.code: rule for rule in all_rules()}
    for code, rows in cupboard().limits.items():
        assert code in codes
        for row in rows:
            assert row.product_class == "all" or row.product_class in cupboard().classes, row.code
            if row.style:
                assert cupboard().styles[row.style].product_class == row.product_class, row.code
            assert row.measure in MEASURES or codes[code].measure is None, row.code
            assert row.low is not None or row.high is not None, row.code
            for end in (row.low, row.high):
                if end is not None and row.typical is not None:
                    assert row.low is None or row.low <= row.typical, row.code
                    assert row.high is None or row.typical <= row.high, row.code


def test_no_row_of_memory_or_judgement_alone_can_give_an_error():
    for rows in cupboard().limits.values():
        for row in rows:
            for side in ("low", "high"):
                far = Outside(row, side, gap=1e6, least=1e6)
                if not set("RGT") & set(row.evidence):
                    assert severity_of(far, cupboard().constants) != "error", row.code


@pytest.mark.parametrize(
    ("evidence", "stated", "gap", "least", "severity"),
    [
        ("R", "warning", 9.0, 9.0, "warning"),
        ("R", "warning", 0.3, 0.09, "note"),
        ("R", "warning", 0.3, 0.11, "warning"),
        ("R", "error", 0.3, 0.09, "note"),
        ("R", "error", 0.6, 0.4, "warning"),
        ("R", "error", 0.6, 0.51, "error"),
        ("T", "error", 0.6, 0.51, "error"),
        ("T", "warning", 9.0, 9.0, "warning"),
        ("M", "error", 0.4, 0.4, "note"),
        ("M", "error", 0.6, 0.1, "warning"),
        ("J", "warning", 9.0, 9.0, "warning"),
        ("R", "note", 9.0, 9.0, "note"),
    ],
)
def test_severity_needs_a_read_centre_and_some_width(evidence, stated, gap, least, severity):
    """Rule of the service: centre 1.0, end 1.5, so that a fifth of a width more ends at 1.6 and
    twice the width at 2.0."""
    row = LimitRow("x", "X-01", "all", "", "m", None, 1.0, 1.5, "g", "note", stated, "s", evidence, "")
    assert severity_of(Outside(row, "high", gap=gap, least=least), cupboard().constants) == severity


def test_limit_without_a_centre_speaks_as_it_stands():
    row = LimitRow("x", "X-01", "all", "", "m", None, None, 1.5, "g", "note", "error", "s", "R", "")
    assert severity_of(Outside(row, "high", gap=0.1, least=0.05), cupboard().constants) == "error"


def test_flour_without_an_amount_leaves_what_is_measured_on_flour_open():
    """Common practice, no source: a card that says "flour" alone means as much as the dough takes."""
    lines = [a_line("bread-flour", 100.0), a_line("water", 200.0, 1), a_line("table-salt", 2.0, 2)]
    (told,) = found(a_formula(lines, of_class="enriched-bread"), "BAL-06")
    assert told.severity == "error"
    flour = replace(a_line("rye-flour", None, 3), left_to_cook=True, reason="no-amount")
    (told,) = found(a_formula([*lines, flour], of_class="enriched-bread"), "BAL-06")
    assert (told.severity, told.certain) == ("note", False)
    assert told.settle
    assert "rye" in told.settle
    for slip in ("SLIP-03", "SLIP-04", "SLIP-07"):
        assert not found(a_formula([*lines, flour], of_class="enriched-bread"), slip)
