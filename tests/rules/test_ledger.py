"""The acid-base ledger against stoichiometry from IUPAC atomic weights and printed tables.

Every expected value was worked from the source beside it: molar masses NaHCO3 84.006, CO2 44.009,
KC4H5O6 188.176, tartaric acid 150.086, citric acid 192.123, KHCO3 100.114, NH4HCO3 79.055,
K2CO3 138.205 (IUPAC abridged standard atomic weights 2021).
"""

from __future__ import annotations

import pytest

from service.domain.band import Band
from service.rules.ledger import gas_grams, gas_millilitres, keep_ledger, powder_grams, soda_grams
from tests.rules.hand import a_formula, cupboard, judged

CONSTANTS = cupboard().constants
PLENTY = 1000.0


def ledger(**grams):
    return judged(a_formula({code.replace("_", "-"): g for code, g in grams.items()})).ledger


@pytest.mark.parametrize(
    ("acid", "grams", "soda", "source"),
    [
        ("cream-of-tartar", 1.0, 0.4464, "84.006/188.176, IUPAC atomic weights"),
        ("cream-of-tartar", 10.0, 4.4642, "84.006/188.176 x 10, IUPAC atomic weights"),
        ("tartaric-acid", 1.0, 1.1194, "2 x 84.006/150.086, IUPAC atomic weights"),
        ("citric-acid", 1.0, 1.3118, "3 x 84.006/192.123, IUPAC atomic weights"),
    ],
)
def test_acid_takes_up_its_soda(acid, grams, soda, source):
    kept = ledger(**{acid: grams, "baking_soda": PLENTY})
    taken = soda_grams(kept.acid, CONSTANTS).value
    assert taken == pytest.approx(soda, rel=0.001), source
    assert soda_grams(kept.soda_left, CONSTANTS).value == pytest.approx(PLENTY - soda, abs=0.01)


def test_cream_of_tartar_takes_446_milligrams_of_soda_a_gram():
    kept = ledger(cream_of_tartar=1.0, baking_soda=1.0)
    left = soda_grams(kept.soda_left, CONSTANTS).value
    assert left == pytest.approx(1 - 0.446, abs=0.001), "84.006/188.176, IUPAC atomic weights"


@pytest.mark.parametrize(
    ("base", "grams", "co2", "source"),
    [
        ("baking-soda", 10.0, 5.2388, "10 x 44.009/84.006, IUPAC atomic weights"),
        ("potassium-bicarbonate", 10.0, 4.3959, "10 x 44.009/100.114, IUPAC atomic weights"),
        ("potash", 10.0, 3.1843, "10 x 44.009/138.205, IUPAC atomic weights"),
    ],
)
def test_carbonate_gives_its_gas_with_enough_acid(base, grams, co2, source):
    kept = ledger(**{base: grams, "tartaric_acid": PLENTY})
    assert gas_grams(kept.gas["acid-base"], CONSTANTS).value == pytest.approx(co2, rel=0.001), source
    assert kept.gas["thermal"].value == 0
    assert kept.soda_left.value == 0


@pytest.mark.parametrize(
    ("base", "grams", "co2", "source"),
    [
        ("baking-soda", 10.0, 2.6194, "half of 10 x 44.009/84.006, IUPAC atomic weights"),
        ("potassium-bicarbonate", 10.0, 2.1979, "half of 10 x 44.009/100.114, IUPAC atomic weights"),
        ("potash", 10.0, 0.0, "a carbonate gives no gas by oven heat, general chemistry"),
    ],
)
def test_carbonate_alone_gives_half_its_gas_by_heat(base, grams, co2, source):
    kept = ledger(**{base: grams})
    thermal = gas_grams(kept.gas["thermal"], CONSTANTS).value
    assert thermal == pytest.approx(co2, rel=0.001, abs=1e-9), source
    assert kept.gas["acid-base"].value == 0


@pytest.mark.parametrize(
    ("mmol", "millilitres", "source"),
    [
        (1000 / 84.006, 286.35, "1 g soda, R T / P / 84.006 at 20 Cel and 101325 Pa, CODATA 2018"),
        (4600 / 84.006, 1317.21, "one teaspoon of soda, USDA SR 26 4.6 g, times 286.35"),
        (1000 / 44.009, 546.6, "1 g carbon dioxide, R T / P / 44.009, CODATA 2018"),
    ],
)
def test_gas_volume_at_twenty_degrees(mmol, millilitres, source):
    assert gas_millilitres(Band.exact(mmol), CONSTANTS).value == pytest.approx(millilitres, rel=0.001), (
        source
    )


def test_baking_ammonia_gives_two_moles_of_gas():
    kept = ledger(baking_ammonia=1.0)
    volume = gas_millilitres(kept.gas["ammonia"].plus(kept.ammonia), CONSTANTS).value
    assert volume == pytest.approx(608.6, rel=0.001), "2 R T / P / 79.055 at 20 Cel, CODATA 2018"
    assert kept.chemical_gas.value == kept.ammonia.value, "one of carbon dioxide, one of ammonia"


def test_crampton_powder_leaves_a_tenth_of_its_soda():
    kept = ledger(cream_of_tartar=2.0, baking_soda=1.0)
    share = soda_grams(kept.soda_left, CONSTANTS).value
    assert share == pytest.approx(0.107, abs=0.001), "Crampton's formula, Henley 1914; 1 - 2 x 0.4464"


def test_workshop_powder_is_balanced():
    kept = ledger(tartaric_acid=8.0, baking_soda=9.0)
    left = soda_grams(kept.soda_left, CONSTANTS).value
    assert left == pytest.approx(0.0445, abs=0.005), "Workshop Receipts 2nd series; 9 - 8 x 1.1194"


CUP_OF_BUTTERMILK = 245.0  # USDA SR Legacy, buttermilk, one cup
HALF_TEASPOON_OF_SODA = 2.3  # USDA SR Legacy, NDB 18372: 4.6 g a teaspoon


def test_cup_of_buttermilk_takes_up_two_grams_of_soda():
    kept = ledger(buttermilk=CUP_OF_BUTTERMILK, baking_soda=HALF_TEASPOON_OF_SODA)
    taken = soda_grams(kept.acid, CONSTANTS)
    source = "0.7 to 0.9 percent lactic acid (Quebec P-29 r.1 s.11.8.2; dairy practice) x 84.006/90.078"
    assert (round(taken.low, 1), round(taken.high, 1)) == (1.6, 2.1), source
    assert taken.value == pytest.approx(1.828, rel=0.01), "0.8 percent: 245 x 0.008 x 0.93259"


def test_usual_half_teaspoon_leaves_a_little_over():
    kept = ledger(buttermilk=CUP_OF_BUTTERMILK, baking_soda=HALF_TEASPOON_OF_SODA)
    left = soda_grams(kept.soda_left, CONSTANTS)
    source = "2.3 g less 1.6 to 2.1 g; common practice, half a teaspoon a cup"
    assert (round(left.low, 1), round(left.high, 1)) == (0.2, 0.7), source


def test_powder_equivalent_counts_twelve_percent_powder():
    kept = ledger(baking_soda=12.0, tartaric_acid=PLENTY)
    grams = powder_grams(kept.chemical_gas, CONSTANTS).value
    assert grams == pytest.approx(12 * 0.52388 / 0.12, rel=0.001), "44.009/84.006 over 12 percent"


def test_powder_gives_its_own_gas_whatever_the_soda():
    kept = ledger(baking_powder=100.0)
    assert gas_grams(kept.gas["powder"], CONSTANTS).value == pytest.approx(12, rel=0.001), (
        "at least 12 percent, US federal standard as quoted in a bakers' dictionary"
    )
    assert kept.soda_left.value == 0


@pytest.mark.parametrize(
    ("code", "grams", "sodium", "source"),
    [
        ("baking-soda", 1.0, 273.67, "1000 x 22.990/84.006, IUPAC atomic weights"),
        ("baking-powder", 4.6, 487.6, "USDA SR 26, NDB 18369: 10600 mg in 100 g"),
        ("cream-of-tartar", 100.0, 52.0, "USDA SR 26, NDB 18373"),
    ],
)
def test_sodium_that_leaveners_bring(code, grams, sodium, source):
    assert ledger(**{code: grams}).sodium.value == pytest.approx(sodium, rel=0.002), source


def test_yeast_gas_is_apart_from_the_chemical():
    kept = ledger(fresh_yeast=20.0, bread_flour=1000.0)
    co2 = gas_grams(kept.gas["yeast"], CONSTANTS).value
    assert co2 == pytest.approx(1000 * 0.02 * 0.4886, rel=0.001), (
        "2 percent of flour's weight of sugars ferments (cereal texts, from memory) x 2 x 44.009/180.156"
    )
    assert kept.chemical_gas.value == 0


def test_alkaline_foods_take_acid_and_give_no_gas():
    kept = ledger(egg_white=243.0, cream_of_tartar=3.0)
    assert kept.carbonate.value == 0
    assert kept.food_alkali.value > 0
    assert kept.gas["acid-base"].value == 0
    assert kept.acid_left.value < 3.0 * 5.314, "the whites take up some of 3 g x 5.314 meq"


def test_lines_without_mass_are_left_out():
    kept = keep_ledger(
        a_formula({"baking-soda": None, "cream-of-tartar": 2.0}).lines, Band.exact(0.0), cupboard()
    )
    assert kept.carbonate.value == 0
    assert len(kept.entries) == 1


def test_other_cocoa_is_reckoned_by_its_own_acidity():
    weighed = a_formula({"cocoa-natural": 50.0, "baking-soda": 4.6})
    natural = keep_ledger(weighed.lines, Band.exact(0.0), cupboard())
    alkalised = keep_ledger(
        weighed.lines, Band.exact(0.0), cupboard(), {"cocoa-natural": "cocoa-alkalised"}
    )
    apart = (
        soda_grams(alkalised.soda_left, CONSTANTS).value - soda_grams(natural.soda_left, CONSTANTS).value
    )
    assert apart > 0.3, (
        "natural cocoa takes 1 to 3 g of soda a 100 g (Jinap and Dimick 1990), alkalised none"
    )
