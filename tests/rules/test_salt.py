"""Salt by class, by kind, and what fats bring."""

from __future__ import annotations

from dataclasses import replace

import pytest

from service.domain.formula import Line
from service.rules.judging import groups_of
from service.rules.measures import MEASURES
from service.rules.registry import run_rules
from tests.rules.hand import a_formula, cupboard, found, judged
from tests.rules.printed import KITCHEN


def salt_pct(grams, of_class="lean-bread"):
    band = MEASURES["salt_pct"].of(judged(a_formula(grams, of_class=of_class)))
    assert band is not None
    return band.value


def test_salt_of_a_dough():
    share = salt_pct({"bread-flour": 1000.0, "table-salt": 10.0, "fresh-yeast": 2.0, "water": 600.0})
    assert share == pytest.approx(1.0), "bakery school glossary: flour 1000, salt 10 is 1 percent"


def test_salted_butter_brings_salt():
    share = salt_pct({"all-purpose-flour": 100.0, "butter-salted": 100.0}, "pound")
    source = "USDA SR Legacy, butter, salted: 643 mg sodium in 100 g, x 2.5 to 2.54"
    assert share == pytest.approx(1.62, abs=0.03), source


@pytest.mark.parametrize("teaspoons", [0.5, 1.0])
def test_half_and_a_whole_teaspoon_to_a_chiffon_are_both_fine(teaspoons):
    """Common practice, no source: 1/2 and 1 teaspoon of salt to 2 1/4 cups of cake flour. Masses:
    USDA SR Legacy, salt 6 g a teaspoon, cake flour sifted 96 g a cup."""
    weighed = a_formula({"cake-flour": 2.25 * 96.0, "table-salt": teaspoons * 6.0}, of_class="chiffon")
    assert found(weighed, "SALT-01") == []


def test_ten_times_the_salt_of_a_bread_is_an_error():
    """Lean bread: 1.5 read at the WSU Western Wheat Quality Lab, 1.8 to 2 craft; 19 percent is far."""
    weighed = a_formula({"bread-flour": 1000.0, "table-salt": 190.0}, of_class="lean-bread")
    (finding,) = found(weighed, "SALT-01")
    assert (finding.severity, finding.certain) == ("error", True)
    assert finding.lines == ("/components/0/ingredients/1",)


def test_ten_times_the_salt_of_every_class_is_found():
    for code in (
        "angel", "chiffon", "sponge", "genoise", "butter-cake", "high-ratio", "pound",
        "chocolate-cake", "gingerbread", "muffin", "quick-bread", "pancake", "waffle", "scone",
        "drop-cookie", "rolled-cookie", "brownie", "short-pastry", "choux", "lean-bread",
        "enriched-bread", "flatbread", "doughnut",
    ):  # fmt: skip
        row = judged(a_formula({"all-purpose-flour": 100.0}, of_class=code)).cupboard.limit_rows(
            "SALT-01", code
        )[0]
        weighed = a_formula(
            {"all-purpose-flour": 100.0, "table-salt": 10 * (row.typical or 1.0)}, of_class=code
        )
        (finding,) = found(weighed, "SALT-01")
        assert finding.severity in ("warning", "error"), code


@pytest.mark.parametrize(("grams", "notes"), [(8.0, []), (20.0, ["note"])])
def test_public_target_is_a_note(grams, notes):
    """PHE targets for 2024, bread and rolls: at most 1.01 g of salt in 100 g (from memory). Flour
    1000, water 640: 8 g is 0.49 g in 100 g, 20 g is 1.2."""
    weighed = loaf(grams, "imperial")
    assert [f.severity for f in found(weighed, "SALT-04")] == notes
    assert all("of Great Britain" in f.message for f in found(weighed, "SALT-04"))  # a country's name


def loaf(grams, measures):
    """A lean loaf with so much salt to 1000 g of flour, written in a system of measures."""
    weighed = a_formula(
        {"bread-flour": 1000.0, "water": 640.0, "table-salt": grams}, of_class="lean-bread"
    )
    return replace(weighed, formula=replace(weighed.formula, measures=measures))


def targets_told(weighed, market=None):
    ((group, _),) = groups_of(weighed, cupboard(), market=market)
    return [f.limit for f in run_rules(group) if f.rule == "SALT-04"]


@pytest.mark.parametrize(
    ("measures", "told", "source"),
    [
        (
            "imperial",
            ["salt-04/gb-bread"],
            "Weights and Measures Act 1985: imperial measures",
        ),
        ("ca", ["salt-04/ca-bread"], "Canada's own cup; Health Canada 2020: at most 430 mg of sodium"),
        ("au", ["salt-04/au-bread"], "Australia's own spoon; Healthy Food Partnership: at most 380 mg"),
        ("us", [], "no target of the United States was read"),
        ("metric", [], "metric spoons are used in many markets"),
        (None, [], "a formula that states no measures states no market"),
    ],
)
def test_public_target_is_told_in_its_market_alone(measures, told, source):
    """1.4 g of salt in 100 g as mixed (24 of 1664), above every target of bread."""
    assert targets_told(loaf(24.0, measures)) == told, source


@pytest.mark.parametrize(
    ("measures", "market", "told"),
    [
        ("us", "gb", ["salt-04/gb-bread"]),
        ("imperial", "ca", ["salt-04/ca-bread"]),
        ("imperial", "us", []),
    ],
)
def test_market_asked_for_goes_before_that_of_the_measures(measures, market, told):
    """The caller sells where the caller says: ``market=`` of the contract, section 5."""
    assert targets_told(loaf(24.0, measures), market) == told


def test_targets_are_sodium_times_two_and_a_half():
    """22.990 / 58.443 of salt is sodium (IUPAC atomic masses): 430 mg are 1.09 g, 380 mg 0.97 g."""
    high = {row.code: row.high for row in cupboard().public_targets["lean-bread"]}
    assert high["salt-04/ca-bread"] == pytest.approx(0.430 * 58.443 / 22.990, abs=0.01)
    assert high["salt-04/au-bread"] == pytest.approx(0.380 * 58.443 / 22.990, abs=0.01)


@pytest.mark.parametrize(
    "name",
    [
        "coarse salt flakes", "flaky sea salt", "sea salt, coarse flakes", "coarse flakes of salt",
        "salt, flaked", "kosher salt flakes",
    ],
)  # fmt: skip
def test_a_spoon_of_coarse_flakes_weighs_about_half(name):
    """Kitchen weights as published, from memory: flakes 2 to 3.5 g a teaspoon, table salt 6."""
    (flakes,) = KITCHEN.scales.weigh_line(Line(text=f"1 tsp {name}"))
    (salt,) = KITCHEN.scales.weigh_line(Line(text="1 tsp salt"))
    assert flakes.grams is not None
    assert salt.grams is not None
    assert 2.0 <= flakes.grams.value <= 3.5
    assert 0.35 <= flakes.grams.value / salt.grams.value <= 0.6


def test_coarse_crystals_are_no_flakes():
    """From memory: coarse salt of crystals weighs by the spoon as fine salt does, nearly."""
    (crystals,) = KITCHEN.scales.weigh_line(Line(text="1 tsp coarse salt"))
    assert crystals.code == "coarse-salt"
