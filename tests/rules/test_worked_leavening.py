"""Worked examples of leavening chemistry, each with its source; the stoichiometric ones within 1 %.

Masses follow from IUPAC abridged standard atomic weights 2021 (soda 84.006 g a mole) or from the
publication beside the value. Acidities that a source states as a share of acid stand in the example
itself; the table's band must hold what they take up.
"""

from __future__ import annotations

import pytest

from service.domain.band import Band
from service.rules.ledger import fermented_gas, gas_grams, gas_millilitres, soda_grams
from tests.rules.hand import a_formula, cupboard, judged

CONSTANTS = cupboard().constants
PLENTY = 1000.0


def ledger(grams):
    return judged(a_formula(grams)).ledger


def soda_taken(code: str, grams: float) -> Band:
    return soda_grams(ledger({code: grams, "baking-soda": PLENTY}).acid, CONSTANTS)


@pytest.mark.parametrize(
    ("acid", "grams", "source"),
    [
        ("cream-of-tartar", 2.24, "188.176/84.006, IUPAC atomic weights"),
        ("tartaric-acid", 0.8933, "150.086/(2 x 84.006), IUPAC atomic weights"),
        ("citric-acid", 0.7623, "192.123/(3 x 84.006), IUPAC atomic weights"),
        ("sodium-acid-pyrophosphate", 1.3889, "100/72, neutralising value 72"),
        ("monocalcium-phosphate", 1.25, "Smith and Hong-Shum, Food additives data book (1.25 to 1)"),
    ],
)
def test_a_gram_of_soda_is_neutralised(acid, grams, source):
    assert soda_taken(acid, grams).value == pytest.approx(1.0, rel=0.01), source


@pytest.mark.parametrize(
    ("acid", "parts", "source"),
    [
        ("cream-of-tartar", 2.24, "Smith and Hong-Shum, Food additives data book, leavening entry"),
        ("sodium-acid-pyrophosphate", 1.39, "the same, commercial sodium acid pyrophosphate"),
        ("monocalcium-phosphate", 1.25, "the same, commercial acid calcium phosphate"),
        ("sodium-aluminium-phosphate", 1.0, "the same, sodium aluminium phosphate, value 100"),
        ("sodium-aluminium-sulphate", 100 / 104, "3 x 84.006/242.083, IUPAC atomic weights: 104.1"),
        ("fumaric-acid", 100 / 144.75, "2 x 84.006/116.072, IUPAC atomic weights"),
        ("adipic-acid", 100 / 114.96, "2 x 84.006/146.142, IUPAC atomic weights"),
    ],
)
def test_neutralising_value_as_printed(acid, parts, source):
    """Parts of acid to one of soda; the neutralising value is 100 over them."""
    taken = soda_taken(acid, 100.0)
    assert taken.value == pytest.approx(100.0 / parts, rel=0.01), source
    assert taken.low <= 100.0 / parts * 1.01
    assert taken.high >= 100.0 / parts * 0.99


def test_gluconolactone_by_printed_parts_and_by_stoichiometry():
    """2.12 parts to one of soda as printed (Smith and Hong-Shum); 178.140/84.006 by weights."""
    taken = soda_taken("glucono-delta-lactone", 2.12)
    assert taken.low == pytest.approx(0.953, rel=0.01), "low end of trade lists, value 45"
    assert taken.high >= 1.0, "2.12 parts neutralise 1 part of soda as printed"


def test_pyrophosphate_for_two_percent_soda():
    """An encyclopedia's entry on chemical leavening: 2 percent soda wants 2.78 of value 72."""
    assert soda_taken("sodium-acid-pyrophosphate", 2.78).value == pytest.approx(2.0, rel=0.01)


@pytest.mark.parametrize(
    ("food", "grams", "soda", "source"),
    [
        ("buttermilk", 245.0, 1.8279, "0.8 percent lactic acid x 84.006/90.078"),
        ("sour-milk", 245.0, 1.485, "0.65 percent lactic acid x 84.006/90.078: 2.3 - 0.815"),
        ("banana", 225.0, 1.692, "Belitz and others, table 18.3: 0.6 percent malic x 2 x 84.006/134.09"),
        (
            "lemon",
            100.0,
            6.428,
            "Belitz and others, table 18.3: 4.9 percent citric x 3 x 84.006/192.123",
        ),
        ("honey", 339.0, 0.8287, "White and others 1962: 29.1 meq a kg x 0.084006"),
        ("lemon-juice", 15.45, 0.9445, "48 g citric a litre, 15 mL at density 1.03, three protons"),
        ("distilled-vinegar", 15.09, 1.0492, "5 g acetic in 100 mL x 84.006/60.052, density 1.006"),
    ],
)
def test_sour_food_takes_up_its_soda(food, grams, soda, source):
    taken = soda_taken(food, grams)
    assert taken.low * 0.99 <= soda <= taken.high * 1.01, source
    assert taken.value == pytest.approx(soda, rel=0.12), source


def test_sour_cream_takes_up_the_law_s_least_and_more():
    """21 CFR 131.160(a): at least 0.5 percent as lactic acid; 230 x 0.005 x 84.006/90.078 = 1.0725."""
    assert soda_taken("sour-cream", 230.0).low <= 1.0725 <= soda_taken("sour-cream", 230.0).value


def test_practice_leaves_soda_over_on_sour_milk():
    """Greer, School and Home Cooking, half a teaspoon a cup: 2.3 - 245 x 0.0065 x 0.93259 = 0.815."""
    kept = ledger({"sour-milk": 245.0, "baking-soda": 2.3})
    left = soda_grams(kept.soda_left, CONSTANTS)
    assert left.low <= 0.815 <= left.high


def test_potassium_bicarbonate_in_the_place_of_soda():
    """100.114/84.006 = 1.1917, IUPAC atomic weights: as much acid taken up, as much gas given."""
    soda = ledger({"baking-soda": 1.0, "tartaric-acid": PLENTY})
    potassium = ledger({"potassium-bicarbonate": 1.1917, "tartaric-acid": PLENTY})
    assert potassium.carbonate.value == pytest.approx(soda.carbonate.value, rel=0.001)
    assert gas_grams(potassium.chemical_gas, CONSTANTS).value == pytest.approx(
        gas_grams(soda.chemical_gas, CONSTANTS).value, rel=0.001
    )


@pytest.mark.parametrize(
    ("soda", "share", "source"),
    [
        (22.906, 12.0, "12 percent of carbon dioxide: 12 x 84.006/44.009"),
        (26.7237, 14.0, "14 percent of carbon dioxide: 14 x 84.006/44.009"),
        (19.09, 10.0, "Canada, Food and Drug Regulations B.03.002 (10 percent): 10 x 84.006/44.009"),
        (30.0, 15.7164, "30 percent of soda, all neutralised: 30 x 44.009/84.006"),
        (18.0, 9.4298, "18 g of soda in 100 g of an alum powder: 18 x 44.009/84.006"),
        (0.9544, 0.5, "self-rising flour at 0.5 percent of gas: 0.5 x 84.006/44.009"),
    ],
)
def test_soda_of_a_powder_gives_its_share_of_gas(soda, share, source):
    kept = ledger({"baking-soda": soda, "tartaric-acid": PLENTY})
    assert gas_grams(kept.gas["acid-base"], CONSTANTS).value == pytest.approx(share, rel=0.001), source


def test_three_acid_powder_is_slightly_sour():
    """Soda 30, cream of tartar and monocalcium phosphate of value 80: 30 - 20 x 0.44642 - 28 x 0.8."""
    kept = ledger({"baking-soda": 30.0, "cream-of-tartar": 20.0, "monocalcium-phosphate": 28.0})
    assert soda_grams(kept.acid_left, CONSTANTS).value == pytest.approx(1.33, abs=0.02)
    assert kept.soda_left.value == 0


def test_carbonate_left_over_ends_as_sodium_carbonate():
    """10 g of soda by heat: 105.988/(2 x 84.006) x 10 = 6.3084 g of sodium carbonate, which is what is
    left of the mass after gas and water (2 NaHCO3 -> Na2CO3 + H2O + CO2), IUPAC atomic weights."""
    kept = ledger({"baking-soda": 10.0})
    gas = gas_grams(kept.gas["thermal"], CONSTANTS).value
    water = gas * 18.015 / 44.009
    assert 10.0 - gas - water == pytest.approx(6.3084, rel=0.001)


@pytest.mark.parametrize(
    ("example", "parts", "value", "commercial"),
    [
        ("nv-02", 1.32, 75.8, "sodium-acid-pyrophosphate"),
        ("nv-04", 1.045, 95.7, "monocalcium-phosphate"),
    ],
)
def test_pure_salts_take_up_more_than_the_commercial(example, parts, value, commercial):
    """Smith and Hong-Shum, Food additives data book: parts of the pure salt to one of soda. Bakers buy
    the commercial salt, and that is what the table holds: its value is less, and named otherwise."""
    assert 100 / parts == pytest.approx(value, abs=0.05), example
    assert soda_taken(commercial, 100.0).high < value


def test_alum_powder_is_sour():
    """chem-18: soda 30, sodium aluminium sulphate 21 (value 104), monocalcium phosphate 12 (80): acid
    for 1.44 parts of soda is over, within 0.01 (stoichiometry)."""
    kept = ledger(
        {"baking-soda": 30.0, "sodium-aluminium-sulphate": 21.0, "monocalcium-phosphate": 12.0}
    )
    assert soda_grams(kept.acid_left, CONSTANTS).value == pytest.approx(1.44, abs=0.01)


def test_ripe_sour_takes_up_its_soda():
    """chem-30: 14 mL of 0.1 N on 15 g of sour: 0.7841 g of soda a 100 g, within 0.005."""
    assert soda_taken("sourdough-starter", 100.0).value == pytest.approx(0.7841, abs=0.005)


def test_baking_ammonia_leaves_as_gas_and_water():
    """chem-33: 10 g of ammonium bicarbonate: 7.7212 g of ammonia (17.031) and carbon dioxide (44.009) of
    79.055, within 0.005; the rest is water."""
    kept = ledger({"baking-ammonia": 10.0})
    carbon_dioxide = gas_grams(kept.chemical_gas, CONSTANTS).value
    ammonia = kept.ammonia.value * 17.031 / 1000
    assert carbon_dioxide == pytest.approx(10 * 44.009 / 79.055, rel=0.001)
    assert carbon_dioxide + ammonia == pytest.approx(7.7212, abs=0.005)
    assert kept.chemical_gas.low == pytest.approx(kept.chemical_gas.value, rel=0.001)


def test_ammonium_salts_give_carbon_dioxide_and_ammonia_apart():
    """IUPAC atomic weights. NH4HCO3 (79.055 g/mol) gives one mole of each, (NH4)2CO3 (96.086) one of
    carbon dioxide and two of ammonia: 5 g of the one give 63.2 mmol of each, 96.086 g of the other
    1000 and 2000. Where the batter is moist, ammonia stays dissolved."""
    hydrogen = ledger({"baking-ammonia": 5.0})
    assert hydrogen.gas["ammonia"].value == pytest.approx(63.247, rel=1e-4)
    assert hydrogen.ammonia.value == pytest.approx(63.247, rel=1e-4)
    assert hydrogen.ammonia.low == 0
    neutral = ledger({"ammonium-carbonate": 96.086})
    assert neutral.gas["ammonia"].value == pytest.approx(1000, rel=1e-4)
    assert neutral.ammonia.value == pytest.approx(2000, rel=1e-4)
    assert hydrogen.carbonate.value == neutral.carbonate.value == 0, "neither leaves soda behind"


def test_gas_of_fermented_sugars():
    """chem-37: 10 g of sucrose wholly fermented: 5.1428 g of carbon dioxide, within 0.005; it is first
    split into 10 x 360.312/342.297 g of glucose and fructose. chem-38: 1 g of glucose at 30 degrees
    Celsius: 276.1572 mL, within 0.5. IUPAC atomic weights; the ideal gas law. We tell gas at 20."""

    def fermented(grams: float) -> Band:
        return fermented_gas(Band.exact(grams), CONSTANTS)

    assert gas_grams(fermented(10 * 360.312 / 342.297), CONSTANTS).value == pytest.approx(
        5.1428, abs=0.005
    )
    at_twenty = gas_millilitres(fermented(1.0), CONSTANTS).value
    assert at_twenty * 303.15 / 293.15 == pytest.approx(276.1572, abs=0.5)


def test_teaspoon_of_the_strongest_powder():
    """chem-06: 4.6 g at 14 percent of carbon dioxide give 0.644 g: we hold 12 percent, the US standard,
    with a band to 15."""
    gas = gas_grams(ledger({"baking-powder": 4.6}).chemical_gas, CONSTANTS)
    assert gas.low < 0.644 < gas.high
    assert gas.value == pytest.approx(4.6 * 0.12, rel=0.001)
