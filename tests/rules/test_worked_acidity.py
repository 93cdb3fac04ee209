"""Worked examples of foods whose acid is stated: by a house's own value of it, within one percent.

The tables' own acidities have bands, since milk, fruit and honey differ (``test_worked_leavening`` holds
the examples to them); with the example's acid as a house's row the sum is stoichiometry alone. Molar
masses: soda 84.006, lactic acid 90.078 (one proton), acetic 60.052 (one), citric 192.123 (three), malic
134.087 (two), gluconolactone 178.140 (one): IUPAC abridged standard atomic weights 2021.
"""

from __future__ import annotations

from dataclasses import replace

import pytest

from service.rules.judging import groups_of
from service.rules.ledger import Ledger, soda_grams
from service.tables.rows import AcidityRow
from tests.rules.hand import a_formula, cupboard

CONSTANTS = cupboard().constants
PLENTY = 1000.0
#: By acid: milliequivalents a gram.
LACTIC, ACETIC, CITRIC, MALIC = 1000 / 90.078, 1000 / 60.052, 3000 / 192.123, 2000 / 134.087


def kept(food: str, grams: float, meq: float, soda: float) -> Ledger:
    """The ledger of soda beside a food that holds so many milliequivalents of acid in all."""
    per_hundred = meq / grams * 100
    own = AcidityRow(food, per_hundred, per_hundred, per_hundred, "as the example states", "R", "")
    house = cupboard().with_rows({"acidity": (own,)}, food)
    weighed = a_formula({food: grams, "baking-soda": soda})
    return groups_of(weighed, house)[0][0].ledger


@pytest.mark.parametrize(
    ("example", "food", "grams", "meq", "soda", "source"),
    [
        ("chem-22", "lactic-acid", 1.0, LACTIC, 0.9326, "1 g of lactic acid"),
        ("chem-23", "buttermilk", 245.0, 245 * 0.008 * LACTIC, 1.8279, "0.8 percent lactic"),
        ("chem-25", "sour-cream", 230.0, 230 * 0.005 * LACTIC, 1.0725, "0.5 percent lactic"),
        ("chem-26", "distilled-vinegar", 15.09, 15 * 0.05 * ACETIC, 1.0492, "15 mL of 5 g in 100 mL"),
        ("chem-27", "distilled-vinegar", 28.77, 28.5941 * 0.05 * ACETIC, 2.0, "28.5941 mL of the same"),
        ("chem-28", "lemon-juice", 15.45, 15 * 0.048 * CITRIC, 0.9445, "15 mL of 48 g citric a litre"),
        ("chem-29", "honey", 339.0, 339 * 0.0291, 0.8287, "29.1 meq a kilogram"),
        ("chem-31", "cocoa-natural", 100.0, 100 * 0.135, 1.1341, "bean of 0.135 meq a gram"),
        ("nv-09", "banana", 225.0, 225 * 0.006 * MALIC, 1.692, "Belitz and others, 0.6 percent malic"),
        ("nv-10", "lemon", 100.0, 100 * 0.049 * CITRIC, 6.428, "Belitz and others, 4.9 percent citric"),
        ("nv-11", "distilled-vinegar", 100.6, 4.0 * ACETIC, 5.596, "US FDA CPG 525.825: 4 g in 100 mL"),
    ],
)
def test_soda_that_a_stated_acid_takes_up(example, food, grams, meq, soda, source):
    taken = soda_grams(kept(food, grams, meq, PLENTY).acid, CONSTANTS).value
    assert taken == pytest.approx(soda, rel=0.01), f"{example}: {source}"


@pytest.mark.parametrize(
    ("example", "food", "share", "left", "within", "source"),
    [
        ("chem-24", "buttermilk", 0.008, 0.4721, 0.005, "stoichiometry, IUPAC atomic weights"),
        ("nv-08", "sour-milk", 0.0065, 0.815, 0.01, "Greer's half teaspoon a cup against stoichiometry"),
    ],
)
def test_soda_that_a_cup_leaves_of_half_a_teaspoon(example, food, share, left, within, source):
    ledger = kept(food, 245.0, 245 * share * LACTIC, 2.3)
    found = soda_grams(ledger.soda_left, CONSTANTS).value
    assert found == pytest.approx(left, abs=within), f"{example}: {source}"


def test_gluconolactone_by_stoichiometry():
    """chem-17: 2.1206 g to 1 g of soda, 178.140/84.006; trade lists, which the table follows, have it
    weaker by up to a tenth."""
    row = cupboard().leaveners["glucono-delta-lactone"]
    own = replace(row, acid_meq=1000 / 178.140, acid_meq_low=None, acid_meq_high=None)
    house = cupboard().with_rows({"leaveners": (own,)}, "lactone")
    weighed = a_formula({"glucono-delta-lactone": 2.1206, "baking-soda": PLENTY})
    ledger = groups_of(weighed, house)[0][0].ledger
    assert soda_grams(ledger.acid, CONSTANTS).value == pytest.approx(1.0, rel=0.01)
