"""Measures against values worked by hand from printed formulas (``vectors/worked_balance.csv``).

Each value is the source's own, or arithmetic on the grams that it prints. Where a source counts by
another rule than this service, or is misprinted, both its value and ours, worked by hand, stand in
``OTHERWISE`` with the reason.
"""

from __future__ import annotations

import csv
from pathlib import Path

import pytest

from service.domain.band import Band
from service.domain.formula import Dimension, Pan
from service.domain.quantity import Quantity, read_fraction
from service.kitchen import open_kitchen
from service.rules.ledger import powder_grams, soda_grams
from service.rules.measures import MEASURES
from service.rules.pans import area_of, volume_of
from service.rules.yeast import forms_of
from tests.rules.hand import a_formula, cupboard, judged

VECTORS = Path(__file__).parents[1] / "vectors" / "worked_balance.csv"
CONSTANTS = cupboard().constants
SIZES = open_kitchen().measures
CUBIC_INCH = 16.387064  # mL, by definition of the inch

#: By example: what we hold, and why the source's value is another.
OTHERWISE = {
    "gisslen-white-13": (45 / 700 * 100, "printed percent is not that of the printed grams"),
    "usda-aa20126-07": (
        (41.4 + 2.0 + 1.5 * 0.942 / 0.1243) / (43.4 + 9.5),
        "the source omits the dried white; we count it as liquid (USDA: 5.8 and 87.57 percent water)",
    ),
    "formulary-milkbread-08": (
        128 / (8 + 2 * 0.79),
        "the source leaves out the malt extract; we count its solids, about 79 percent, as sugar",
    ),
    "formulary-milkbread-09": ((200 + 17) / (8 + 5 + 2 * 0.79), "malt extract, as above"),
    "afrs-devil-11": (
        40 / (29 + 20 * 0.137),
        "the source leaves out the cocoa's fat (USDA: 13.7 percent); we count it",
    ),
    "afrs-devil-12": (
        (40 + 40 + 8 + 20) / (72 + 29 + 20 * 0.137),
        "the source leaves out the cocoa, which toughens, and its fat",
    ),
    "rorer-sponge-04": (
        (300 * 0.7615 + 45 * 0.9231) / 150 * 100,
        "the source takes lemon juice for water; it is 92.31 percent water (USDA)",
    ),
    "greer-gingerbread-09": (
        294 / (100 + 164 * 0.7813),
        "the source leaves out the molasses; we count its solids (USDA: 21.87 percent water) as sugar",
    ),
    "greer-gingerbread-11": (
        (252 + 50 + 244 * 0.1187) / (100 + 38 + 164 * 0.7813),
        "molasses, as above",
    ),
    "farmer-gingerbread-07": (261 / (57 + 328 * 0.7813), "molasses, as above"),
    "afrs-hermits-08": ((396.9 + 236.6) / (1247.4 + 492 * 0.7813), "molasses, as above"),
    "afrs-hermits-10": (
        (1927.8 + 396.9) / (1247.4 + 623.7 + 492 * 0.7813),
        "molasses, as above",
    ),
    "honey-rolls-08": (
        (60 + 3 * 4.04) / (7 + 10 * 0.829),
        "the source leaves out honey (USDA: 17.1 percent water) and dried egg (1 g is 4.04 g of liquid)",
    ),
    "honey-rolls-09": (
        (100 + 3 + 3 * 4.04) / (7 + 5 + 10 * 0.829),
        "honey and dried egg, as above",
    ),
    "honey-rolls-11": (
        60 + 10 * 0.171 + 5 * 0.1794 + 3 * 0.0278,
        "the source takes honey at 18.6 percent (USDA: 17.1) and leaves out butter and dried egg",
    ),
}  # fmt: skip


def rows() -> list[dict[str, str]]:
    lines = (line for line in VECTORS.read_text("utf-8").splitlines() if not line.startswith("#"))
    return list(csv.DictReader(lines))


def measured(row: dict[str, str]) -> float:
    parts = (part.split(":") for part in row["formula"].split(";"))
    grams = {code: float(mass) for code, mass in parts}
    band = MEASURES[row["measure"]].of(judged(a_formula(grams, of_class=row["product_class"])))
    assert band is not None
    return band.value


@pytest.mark.parametrize("row", [r for r in rows() if r["id"] not in OTHERWISE], ids=lambda r: r["id"])
def test_measure_of_a_printed_formula(row):
    expected, within = float(row["expected"]), float(row["tolerance"])
    assert measured(row) == pytest.approx(expected, abs=within + 1e-9), row["source"]


@pytest.mark.parametrize("row", [r for r in rows() if r["id"] in OTHERWISE], ids=lambda r: r["id"])
def test_measure_that_the_source_counts_otherwise(row):
    ours, reason = OTHERWISE[row["id"]]
    found = measured(row)
    assert found == pytest.approx(ours, rel=0.005), reason
    assert abs(found - float(row["expected"])) > float(row["tolerance"]), "no longer a disagreement"


def test_every_disagreement_is_of_an_example():
    assert set(OTHERWISE) <= {row["id"] for row in rows()}


def soda_taken(code: str, grams: float) -> Band:
    held = judged(a_formula({code: grams, "baking-soda": 1000.0}))
    return soda_grams(held.ledger.acid, CONSTANTS)


def test_soda_left_beside_cream_of_tartar():
    """rule-neutral-1: a food science laboratory's second variation: soda 3.5 g, cream of tartar 3.0 g;
    3.5 - 3/2.24."""
    ledger = judged(a_formula({"baking-soda": 3.5, "cream-of-tartar": 3.0})).ledger
    assert soda_grams(ledger.soda_left, CONSTANTS).value == pytest.approx(2.16, rel=0.01)


def test_soda_left_beside_a_cup_of_buttermilk():
    """chem-24: 0.8 percent lactic acid in 245 g; half a teaspoon, 2.3 g: 2.3 - 1.8279 (IUPAC atomic
    weights)."""
    ledger = judged(a_formula({"baking-soda": 2.3, "buttermilk": 245.0})).ledger
    left = soda_grams(ledger.soda_left, CONSTANTS)
    assert left.low <= 0.4721 <= left.high


def test_vinegar_for_two_grams_of_soda():
    """chem-27: 5 g acetic acid in 100 mL: 2 x 60.052/84.006 is in 28.594 mL, of density 1.006 (IUPAC
    weights)."""
    assert soda_taken("distilled-vinegar", 28.594 * 1.006).value == pytest.approx(2.0, rel=0.01)


@pytest.mark.parametrize(
    ("food", "grams", "soda", "source"),
    [
        ("distilled-vinegar", 100.6, 5.596, "US FDA CPG 525.825: 4 g acetic in 100 mL, the least"),
        ("cocoa-natural", 100.0, 1.1341, "bean of 0.135 meq a gram x 0.084006, IUPAC weights"),
    ],
)
def test_band_of_a_sour_food_holds_what_is_printed(food, grams, soda, source):
    taken = soda_taken(food, grams)
    assert taken.low * 0.99 <= soda <= taken.high * 1.01, source


def test_powder_in_a_cup_of_self_raising_flour():
    """rule-powder-1: household rule: 1 1/2 teaspoons of 4.6 g, 6.9 within 0.3. Our value rests on the
    law's least gas (21 CFR 137.180), 0.5 percent of 120 g, which is 5.0 g of powder that gives the
    least of the law, 12 percent; the band reaches to millers' practice and holds the rule."""
    ledger = judged(a_formula({"self-raising-flour": 120.0})).ledger
    powder = powder_grams(ledger.chemical_gas, CONSTANTS)
    assert powder.value == pytest.approx(120 * 0.005 / 0.12, rel=0.01)
    assert powder.low <= 6.9 <= powder.high


def test_salt_that_salted_butter_brings():
    """rule-salted-1: USDA: 643 mg sodium in 100 g; 227 g hold 3.7 g of salt (within 0.4)."""
    salt = judged(a_formula({"butter-salted": 227.0})).amounts.of("salt")
    assert salt.value == pytest.approx(3.7, abs=0.4)


def test_instant_yeast_for_fresh():
    """rule-yeast-1: a US miller's leaflet: three parts of fresh to one of instant; 30 g is 10 g, within
    0.5."""
    forms = {
        code: grams
        for code, grams, _ in forms_of(judged(a_formula({"bread-flour": 1000.0, "fresh-yeast": 30.0})))
    }
    assert forms["instant-yeast"] == pytest.approx(10.0, abs=0.5)


def pan(shape: str, **inches: str) -> Pan:
    def size(text: str) -> Dimension:
        value = read_fraction(text)
        assert value is not None
        return Dimension(Quantity.of(value), "in")

    return Pan(shape, **{name: size(text) for name, text in inches.items()})


def held_by(given: Pan) -> float:
    volume = volume_of(given, SIZES, CONSTANTS)
    assert volume is not None
    return volume.value


def test_pans_against_each_other():
    """rule-pan-1, rule-pan-2, pan-08, geometry: an 8 to a 9 in round 1.27 by area; two 9 x 2 in rounds
    to one of 13 x 9 x 2 in, 0.92."""
    eight, nine = (area_of(pan("round", diameter=d, depth="2"), SIZES, CONSTANTS) for d in "89")
    assert eight is not None
    assert nine is not None
    assert nine / eight == pytest.approx(1.27, abs=0.01)
    oblong = held_by(pan("rectangle", length="13", width="9", depth="2"))
    assert oblong / (2 * held_by(pan("round", diameter="9", depth="2"))) == pytest.approx(0.92, abs=0.01)


def test_tube_pan_in_cups():
    """rule-pan-3, geometry: 10 x 4 in, tube 2 1/4 in, sides sloped by a tenth: 18.6 cups of 236.588
    mL."""
    tube = pan("tube", diameter="10", depth="4", tube_diameter="2.25")
    assert held_by(tube) / 236.588 == pytest.approx(18.6, abs=0.1)


def test_dough_for_a_loaf_tin():
    """rule-loaf-1, geometry: 8.5 x 4.5 x 2.5 in, sides sloped by a tenth, at 3.3 mL a gram takes 427
    g."""
    tin = pan("loaf", length="8.5", width="4.5", depth="2.5")
    assert held_by(tin) == pytest.approx(8.5 * 4.5 * 2.5 * 0.9 * CUBIC_INCH, rel=0.001)
    assert held_by(tin) / 3.3 == pytest.approx(427, abs=5)


def test_a_poured_acid_is_a_liquid_and_a_dry_one_is_none():
    """USDA SR: lemon juice 92.31 percent water; cream of tartar is a powder."""
    amounts = judged(a_formula({"lemon-juice": 100.0, "cream-of-tartar": 10.0})).amounts
    assert amounts.of("liquid").value == 100.0
    assert amounts.of("water").value == pytest.approx(92.31, abs=0.01)
