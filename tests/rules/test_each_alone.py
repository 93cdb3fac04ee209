"""Each rule taken out by itself is missed: of every measure, and of every kind of slip.

For a measure: the formula made for one of its rows is found, and no longer once the rule is gone.
For a kind of slip: a formula of the fixed set with that slip is not called sound, and is once the one
rule that sees it is gone.
"""

from __future__ import annotations

import json
from collections.abc import Iterator
from pathlib import Path

import pytest

from schemas.formula import load
from service.kitchen import open_kitchen
from service.rules import ranges, registry
from service.rules.judging import Verdict, groups_of, verdict_of
from service.rules.registry import all_rules, run_rules
from tests.rules.hand import found
from tests.rules.slips import KINDS, inject
from tests.rules.test_ranges import End, ends, weighed_at

KITCHEN = open_kitchen()
VECTORS = Path(__file__).parents[1] / "vectors" / "sound_formulas.ndjson"
ENTRIES = {e["id"]: e for e in map(json.loads, VECTORS.read_text("utf-8").splitlines()) if e}

#: kind of slip, the formula and line that it befalls, and the one rule (or two) that sees it there.
SLIPS = (
    ("spoons exchanged", "farmer-hot-water-sponge-cake", "¼ teaspoon lemon extract", "SLIP-06"),
    ("powder and soda exchanged", "farmer-hot-water-gingerbread", "1 teaspoon soda", "LEAVEN-08"),
    ("salt times ten", "farmer-cream-filling", "⅛ teaspoon salt", "SALT-02"),
    ("leavener dropped", "farmer-water-bread", "¼ yeast cake dissolved in", "LEAVEN-05"),
    ("leavener dropped", "farmer-doughnuts-ii", "1¾ teaspoons soda", "LEAVEN-01"),
    ("leavener dropped", "wheat-lab-cookie", "0.82 g baking soda", "LEAVEN-09"),
    ("sugar a third", "usda-oatmeal-cookie", "14 oz sugar", "BAL-01"),
    ("sugar tripled", "farmer-queen-of-muffins", "⅓ cup sugar", "SLIP-04"),
    ("flour halved", "farmer-squash-biscuits", "2½ cups flour", "BAL-06 SLIP-04"),
    ("flour doubled", "armed-forces-sweet-dough", "10 lb bread flour", "BAL-06"),
    ("eggs tripled", "farmer-twin-mountain-muffins", "1 egg", "BAL-03"),
    ("liquid dropped", "farmer-third-bread", "2 cups lukewarm water", "BAL-06"),
    ("liquid doubled", "farmer-queen-of-muffins", "½ cup milk (scant)", "BAL-21"),
    ("decimal moved up", "farmer-water-bread", "¼ yeast cake dissolved in", "YEAST-01"),
    ("decimal moved up", "trade-biscuit", "8 g sugar", "SLIP-07"),
    ("decimal moved up", "farmer-baking-powder-biscuit-i", "1 tablespoon butter", "SLIP-01"),
    ("decimal moved up", "farmer-hot-water-sponge-cake", "¼ teaspoon lemon extract", "DOSE-01"),
    ("decimal moved down", "trade-biscuit", "95 g shortening", "SLIP-03"),
    ("decimal moved down", "farmer-water-bread", "1 tablespoon butter", "SLIP-06"),
)


@pytest.fixture
def without(monkeypatch):
    """Take rules out of the registry, by their codes."""

    def take(*codes: str) -> None:
        left = tuple(each for each in all_rules() if each.code not in codes)
        monkeypatch.setattr(registry, "all_rules", lambda: left)

    return take


def verdict(document) -> str:
    groups = groups_of(KITCHEN.scales.weigh(load(document)), KITCHEN.cupboard, KITCHEN.measures)
    return verdict_of(Verdict(each, told_by, run_rules(each)) for each, told_by in groups)


def slipped(kind: str, formula_id: str, text: str):
    return next(s.document for s in inject(ENTRIES[formula_id]) if (s.kind, s.was) == (kind, text))


@pytest.mark.parametrize(("kind", "formula_id", "text", "codes"), SLIPS)
def test_slip_is_missed_once_its_rule_is_gone(kind, formula_id, text, codes, without):
    document = slipped(kind, formula_id, text)
    assert verdict(ENTRIES[formula_id]["formula"]) == "sound"
    assert verdict(document) != "sound"
    without(*codes.split())
    assert verdict(document) == "sound"


def test_every_kind_of_slip_is_tried():
    assert {kind for kind, *_ in SLIPS} == set(KINDS)


def one_end_a_measure() -> Iterator[End]:
    seen: set[tuple[str, str]] = set()
    for end in ends():
        if (end.rule, end.row.measure) not in seen:
            seen.add((end.rule, end.row.measure))
            yield end


@pytest.mark.parametrize("end", tuple(one_end_a_measure()), ids=str)
def test_measure_is_missed_once_its_rule_is_gone(end, without):
    outside = end.limit * (1 + 0.02 * end.outward)
    weighed, _ = weighed_at(end.row, outside, outside, outside)
    assert found(weighed, end.rule), end.row.source
    without(end.rule)
    assert not found(weighed, end.rule)


@pytest.mark.parametrize("end", tuple(one_end_a_measure()), ids=str)
def test_measure_is_missed_once_its_rows_are_gone(end, monkeypatch):
    """The rule stays and its rows for the class go: nothing else speaks of the measure by its code."""
    outside = end.limit * (1 + 0.02 * end.outward)
    weighed, _ = weighed_at(end.row, outside, outside, outside)
    kept = ranges.class_rows

    def without_rows(product_class, cupboard):
        rows = kept(product_class, cupboard)
        return tuple(each for each in rows if each[:2] != (end.rule, end.row.measure))

    monkeypatch.setattr(ranges, "class_rows", without_rows)
    assert not found(weighed, end.rule)
