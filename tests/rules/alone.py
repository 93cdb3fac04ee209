"""Formulas by hand, one for each rule and each thing that it tells apart, in which it speaks.

``KINDS_ALONE`` maps a rule's code and a kind to a formula. The kind is the measure of the rule's rows
in ``limits``, a caution's key, or nothing for a rule that tells one thing. What a plain ratio of kinds
can tell needs no case here: ``test_ranges`` makes the formula from the row.

A formula lies outside by what its row says: the sources of the limits stand in the rows.
"""

from __future__ import annotations

import copy
import json
from collections.abc import Mapping
from dataclasses import dataclass, replace
from pathlib import Path

from schemas.formula import load
from service.domain.formula import Bake, Line, Pan, Range
from service.domain.weighed import Weighed
from service.kitchen import open_kitchen
from service.tables.rule_rows import LimitRow
from tests.rules.hand import Grams, a_formula, a_line, cupboard
from tests.rules.test_altitude import TOLD_OF
from tests.rules.test_pans import pan

KITCHEN = open_kitchen()
VECTORS = Path(__file__).parents[1] / "vectors" / "sound_formulas.ndjson"
ENTRIES = {e["id"]: e for e in map(json.loads, VECTORS.read_text("utf-8").splitlines()) if e}


@dataclass(frozen=True)
class Alone:
    """A weighed formula, which of its groups the rule speaks of, and the height in metres."""

    weighed: Weighed
    group: int = 0
    altitude: float | None = None


def made(
    of_class: str, *components: Mapping[str, Grams | None], roles=(), group=0, pans=(), bake=None,
    method=(),
) -> Alone:  # fmt: skip
    weighed = a_formula(*components, of_class=of_class, roles=roles, pans=pans, bake=bake, method=method)
    return Alone(weighed, group)


def in_measures(measures: str, case: Alone) -> Alone:
    """The same formula, written in a system of measures."""
    formula = replace(case.weighed.formula, measures=measures)
    return replace(case, weighed=replace(case.weighed, formula=formula))


FOAM = {"egg-white": 244.0, "granulated-sugar": 250.0, "cake-flour": 100.0}
YOLKS = {"cake-flour": 100.0, "egg-yolk": 50.0, "vegetable-oil": 50.0, "granulated-sugar": 80.0}
DOUGH = {"bread-flour": 1000.0, "water": 640.0, "table-salt": 18.0, "fresh-yeast": 30.0}


def banana_bread() -> Alone:
    """Pulp is thrice the flour, mashed: a line's state."""
    mashed = a_line("banana", 300.0, 1, line=Line(ingredient="banana", state=("mashed",)))
    return Alone(a_formula([a_line("all-purpose-flour", 100.0), mashed], of_class="quick-bread"))


def unbaked(**grams: float) -> Alone:
    """A part that no oven meets, beside a cake that one does."""
    part = {code.replace("_", "-"): mass for code, mass in grams.items()}
    return made("angel", FOAM, part, roles=("batter", "filling"), group=1)


def fried(*texts: str) -> Alone:
    """Doughnuts of some lines."""
    lines = [{"text": text} for text in texts]
    document = {"name": "x", "class": "doughnut", "components": [{"ingredients": lines}]}
    return Alone(KITCHEN.scales.weigh(load(document)))


def a_dose(row: LimitRow) -> Alone:
    """A kilogram of everything with a tenth more of an ingredient than its row admits."""
    grams = (row.high or 0.0) * 1.1
    code = row.measure.rpartition("/")[2]
    return made("butter-cake", {"dates": 1000.0 - grams, code: grams})


def a_practice(row: LimitRow) -> Alone:
    """As much soda as practice sets at most against 100 g of something sour: more than it takes up."""
    code = row.measure.rpartition("/")[2]
    return made("muffin", {"all-purpose-flour": 250.0, code: 100.0, "baking-soda": row.high})


#: By slip: a formula of the fixed set, one line's text, and what a slip of the pen made of it (nothing:
#: the line was lost).
SLIPPED = {
    "SLIP-01": ("lowe-drop-cookie", "4 teaspoons baking powder", "4 tablespoons baking powder"),
    "SLIP-02": (
        "farmer-baking-powder-biscuit-ii",
        "4 teaspoons baking powder",
        "4 teaspoons baking soda",
    ),
    "SLIP-03": ("farmer-baking-powder-biscuit-i", "1 teaspoon salt", "10 teaspoons salt"),
    "SLIP-04": ("farmer-baking-powder-biscuit-ii", "¾ cup milk", "1½ cups milk"),
    "SLIP-05": ("lowe-angel", "100 g cake flour", "150 g cake flour"),
    "SLIP-06": ("farmer-water-bread", "1 tablespoon lard", "1/10 tablespoon lard"),
    "SLIP-07": ("browne-wheat-cakes", "1 cup milk", "2 cups milk"),
    "SLIP-09": ("farmer-baking-powder-biscuit-ii", "¾ cup milk", ""),
    "SLIP-10": ("farmer-boston-favorite-cake", "3½ cups flour", "312 cups flour"),
    "SLIP-11": ("farmer-baking-powder-biscuit-ii", "¾ cup milk", "¾ g milk"),
}


def slipped(formula_id: str, was: str, becomes: str) -> Alone:
    document = copy.deepcopy(ENTRIES[formula_id]["formula"])
    ingredients = document["components"][0]["ingredients"]
    (line,) = [each for each in ingredients if each["text"] == was]
    line["text"] = becomes
    ingredients[:] = [each for each in ingredients if each["text"]]
    return Alone(KITCHEN.scales.weigh(load(document)))


KINDS_ALONE: dict[tuple[str, str], Alone] = {
    **{(code, ""): Alone(weighed, altitude=metres) for code, (weighed, metres) in TOLD_OF.items()},
    **{(code, ""): slipped(*slip) for code, slip in SLIPPED.items()},
    **{("DOSE-01", row.measure): a_dose(row) for row in cupboard().limits["DOSE-01"]},
    **{("LEAVEN-04", row.measure): a_practice(row) for row in cupboard().limits["LEAVEN-04"]},
    ("BAL-10", "puree_pct"): banana_bread(),
    ("BAL-13", "sugar_to_egg"): made("genoise", {"egg": 100.0, "granulated-sugar": 300.0}),
    ("BAL-15", "flour_to_egg"): made("genoise", {"egg": 100.0, "cake-flour": 300.0}),
    ("BAL-23", "flour_to_sugar"): made("genoise", {"granulated-sugar": 100.0, "cake-flour": 300.0}),
    ("BAL-41", "foam_sugar_to_white"): made(
        "chiffon", YOLKS, {"egg-white": 100.0, "granulated-sugar": 120.0}, roles=("batter", "foam")
    ),
    ("CAUTION-01", "egg-undercooked"): unbaked(powdered_sugar=200.0, egg_white=33.0),
    ("CAUTION-01", "flour-raw"): unbaked(all_purpose_flour=100.0, granulated_sugar=100.0),
    ("CAUTION-01", "cold-filling"): unbaked(whole_milk=500.0, cornstarch=40.0),
    ("CAUTION-01", "alcohol-stays"): made("pound", {"all-purpose-flour": 200.0, "brandy": 30.0}),
    ("CAUTION-01", "honey-infant"): made("pound", {"all-purpose-flour": 200.0, "honey": 30.0}),
    ("CAUTION-01", "nutmeg-dose"): made("pound", {"all-purpose-flour": 2000.0, "nutmeg": 6.0}),
    ("CAUTION-01", "ammonia-escapes"): made(
        "rolled-cookie", {"all-purpose-flour": 200.0, "baking-ammonia": 1.0}
    ),
    ("LEAVEN-05", ""): made("butter-cake", {"all-purpose-flour": 250.0, "whole-milk": 240.0}),
    ("LEAVEN-06", "acid_left_pct"): made(
        "muffin", {"all-purpose-flour": 250.0, "lemon-juice": 60.0, "baking-powder": 10.0}
    ),
    ("LEAVEN-08", "sour_without_soda_pct"): made(
        "pancake", {"all-purpose-flour": 250.0, "buttermilk": 490.0, "baking-powder": 12.0}
    ),
    ("LEAVEN-10", ""): made(
        "chocolate-cake", {"cake-flour": 200.0, "cocoa-natural": 40.0, "baking-soda": 4.0}
    ),
    ("MIX-01", ""): made("drop-cookie", {"all-purpose-flour": 200.0, "bittersweet-chocolate": 100.0}),
    ("MIX-02", ""): fried("2 cups flour", "1 L oil for frying"),
    ("PAN-03", ""): made(
        "pound", {"cake-flour": 2000.0}, pans=(pan("round", diameter="4 in", depth="1 in"),)
    ),
    ("PAN-04", ""): made("pound", {"cake-flour": 200.0}, pans=(pan("round", depth="2 in"),)),
    ("PAN-01", "pan_fill"): made(
        "butter-cake", {"cake-flour": 2000.0}, pans=(pan("round", diameter="9 in", depth="2 in"),)
    ),
    ("PAN-02", "pan_per_gram"): made(
        "lean-bread", {"bread-flour": 1000.0}, pans=(pan("loaf", volume="2 L"),)
    ),
    ("SALT-04", ""): in_measures("imperial", made("lean-bread", {**DOUGH, "table-salt": 22.0})),
    ("SLIP-08", ""): made(
        "butter-cake",
        {"cake-flour": 200.0, "whole-milk": 160.0},
        method=("Sift flour and baking powder together.",),
    ),
    ("STRUCT-01", "greased_sides"): made("angel", FOAM, pans=(Pan("tube", preparation="greased"),)),
    ("STRUCT-01", "greased_sides/layers"): made(
        "chiffon", FOAM, pans=(Pan("round", preparation="greased"),)
    ),
    ("STRUCT-02", "cooled_upright/layers"): made(
        "chiffon", FOAM, pans=(Pan("round", cooling="upright"),)
    ),
    ("STRUCT-02", "cooled_upright"): made("angel", FOAM, pans=(Pan("tube", cooling="upright"),)),
    ("STRUCT-03", "lined_base"): made("angel", FOAM, pans=(Pan("tube", preparation="lined-base"),)),
    ("STRUCT-04", "water_for_cocoa"): made(
        "butter-cake", {"cake-flour": 200.0, "cocoa-natural": 60.0, "water": 165.0}
    ),
    ("STRUCT-05", "oven_celsius"): made(
        "angel", FOAM, bake=Bake(temperature=Range(250.0, 250.0, "Cel"))
    ),
    ("STRUCT-08", "centre_celsius"): made(
        "lean-bread", {"bread-flour": 100.0, "water": 62.0}, method=("Bake until the centre is 60 C.",)
    ),
    ("STRUCT-06", "bake_minutes"): made("angel", FOAM, bake=Bake(minutes=Range(300.0, 300.0))),
    ("STRUCT-07", "fat_in_foam"): made(
        "chiffon",
        YOLKS,
        {"egg-white": 100.0, "granulated-sugar": 50.0, "egg-yolk": 3.0},
        roles=("batter", "foam"),
    ),
    ("YEAST-02", "slows_yeast/salt"): made("enriched-bread", {**DOUGH, "table-salt": 35.0}),
    ("YEAST-02", "slows_yeast/sugar"): made("enriched-bread", {**DOUGH, "granulated-sugar": 200.0}),
    ("YEAST-02", "slows_yeast/cinnamon"): made("enriched-bread", {**DOUGH, "cinnamon": 15.0}),
    ("YEAST-02", "slows_yeast/clove"): made("enriched-bread", {**DOUGH, "clove": 10.0}),
    ("YEAST-02", "slows_yeast/mustard-ground"): made("enriched-bread", {**DOUGH, "mustard-ground": 5.0}),
    ("YEAST-03", "yeast_meets/killed"): made(
        "enriched-bread", DOUGH, method=("Dissolve the yeast in boiling water.",)
    ),
    ("YEAST-03", "yeast_meets/harmed"): made(
        "enriched-bread", DOUGH, method=("Dissolve the yeast in water of 120 F.",)
    ),
}
