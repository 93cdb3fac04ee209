"""Formulas of muffins, quick breads, pancakes, waffles, scones and doughnuts as books print them.

They were read for the ranges' sake and are named in the rows' sources; each stands with its book.
Hardly one is warned of; those that err by what literature says are, and what they are told is right.
"""

from __future__ import annotations

import json
from functools import cache
from pathlib import Path

import pytest

from schemas.formula import load
from service.domain.finding import Finding
from service.rules.judging import groups_of
from service.rules.styles import style_of
from tests.rules.hand import a_formula, judged
from tests.rules.printed import KITCHEN, look

VECTORS = Path(__file__).parents[1] / "vectors" / "read_formulas_batters.ndjson"
ENTRIES = {
    entry["id"]: entry
    for entry in (json.loads(line) for line in VECTORS.read_text("utf-8").splitlines() if line.strip())
}
CLASSES = sorted({entry["class"] for entry in ENTRIES.values()})

#: What errs in print: the formula, the rule that says so, and who says that it is right.
ERRS = (
    # Four tablespoons of powder to 2 1/2 cups of flour; common practice is 1 1/2 to 2 teaspoons a cup.
    ("freezer-biscuit", "SLIP-01"),
    # Four teaspoons of soda to a cup of buttermilk; McGee, On Food and Cooking: half a teaspoon.
    ("spider-corn-bread-soda", "LEAVEN-03"),
    # No leavener is printed at all.
    ("neafcs-chocolate-banana", "LEAVEN-05"),
    # Powder alone with buttermilk; McGee, On Food and Cooking: half a teaspoon of soda a cup.
    ("mathias-scones", "LEAVEN-08"),
    # 500 g of sugar to 340 g of flour; every other scone read has a third of the flour at most.
    ("kiwi-ginger-scones", "BAL-01"),
)

#: The formula and the style that its title or its text says.
STYLES = (
    ("beeton-everyday-pancakes", "thin-pancake"),
    ("scandinavian-pancakes", "thin-pancake"),
    ("farmer-raised-waffles", "raised-waffle"),
    ("farmer-steamed-graham-bread", "brown-bread"),
    ("planet-soda-bread", "soda-bread"),
    ("frozen-assets-banana-bread", "fruit-loaf"),
    ("canadian-date-bran-muffins", "bran-muffin"),
    ("lemonade-scones", "cream-scone"),
    ("atomheart-raised-doughnuts", "yeast-doughnut"),
)


@cache
def looked_at(formula_id: str) -> tuple[str, tuple[Finding, ...]]:
    verdict, findings = look(load(ENTRIES[formula_id]["formula"]))
    return verdict, tuple(findings)


def of_class(product_class: str) -> list[str]:
    return [key for key, entry in ENTRIES.items() if entry["class"] == product_class]


@pytest.mark.parametrize("product_class", CLASSES)
def test_hardly_one_is_warned_of(product_class):
    """What errs in print is warned of rightly, and is not counted."""
    verdicts = {formula_id: looked_at(formula_id)[0] for formula_id in of_class(product_class)}
    assert len(verdicts) >= 20
    errs = {formula_id for formula_id, _ in ERRS}
    warned = {formula_id for formula_id, verdict in verdicts.items() if verdict != "sound"}
    assert len(warned - errs) <= 0.15 * len(verdicts)
    unsound = {formula_id for formula_id, verdict in verdicts.items() if verdict == "unsound"}
    assert unsound <= {formula_id for formula_id, _ in ERRS}


@pytest.mark.parametrize(("formula_id", "rule"), ERRS)
def test_what_errs_in_print_is_told(formula_id, rule):
    verdict, findings = looked_at(formula_id)
    assert verdict != "sound"
    assert rule in {finding.rule for finding in findings if finding.severity != "note"}


@pytest.mark.parametrize(("formula_id", "style"), STYLES)
def test_style_is_what_the_title_says(formula_id, style):
    weighed = KITCHEN.scales.weigh(load(ENTRIES[formula_id]["formula"]))
    group, _ = groups_of(weighed, KITCHEN.cupboard, KITCHEN.measures)[0]
    assert style_of(group) == style


def rules_told(grams: dict[str, float]) -> set[str]:
    _, findings = look_at_grams(grams)
    return {finding.rule for finding in findings if finding.severity != "note"}


def look_at_grams(grams: dict[str, float]):
    lines = [{"text": f"{mass} g {name}"} for name, mass in grams.items()]
    return look(load({"name": "Pancakes", "class": "pancake", "components": [{"ingredients": lines}]}))


def test_nothing_need_raise_a_thin_pancake_and_something_a_griddle_cake():
    """Beeton's Everyday Cookery (1963): 250 g of flour, 500 mL of milk, two eggs, no leavener. Lincoln,
    Boston Cook Book: griddle cakes have a measure of liquid to one of flour, and powder."""
    thin = {"all-purpose flour": 250.0, "whole milk": 516.0, "egg": 100.0, "salt": 1.5}
    cake = {"all-purpose flour": 250.0, "whole milk": 380.0, "egg": 50.0, "salt": 3.0}
    assert "LEAVEN-05" not in rules_told(thin)
    assert "LEAVEN-05" in rules_told(cake)
    assert "LEAVEN-05" not in rules_told({**cake, "baking powder": 14.0})


@pytest.mark.parametrize(
    ("crumbs", "counts"),
    # USDA SR28: fat and sugars of 5 and 6 percent, 9 and 1, 11 and 25; fresh crumbs hold 36 of water.
    [
        ("breadcrumbs", True),
        ("saltines", True),
        ("graham-crackers", False),
        ("breadcrumbs-fresh", False),
    ],
)
def test_dry_plain_crumbs_drink_as_flour(crumbs, counts):
    group = judged(a_formula({"all-purpose-flour": 100.0, crumbs: 50.0}, of_class="pancake"))
    assert group.amounts.of("flour").value == (150.0 if counts else 100.0)


def test_sauce_and_canned_pulp_bring_their_water():
    """USDA SR28: applesauce holds 88 percent of water, canned pumpkin 90."""
    for pulp, water in (("applesauce", 88.0), ("pumpkin-canned", 90.0)):
        group = judged(a_formula({"all-purpose-flour": 100.0, pulp: 100.0}, of_class="quick-bread"))
        assert group.amounts.of("water").value == pytest.approx(water, abs=0.5)
        assert group.amounts.of("puree").value == 100.0
