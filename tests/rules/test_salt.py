"""Salt by class, by kind, and what fats bring."""

from __future__ import annotations

import pytest

from service.rules.measures import MEASURES
from tests.rules.hand import a_formula, found, judged


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
    weighed = a_formula(
        {"bread-flour": 1000.0, "water": 640.0, "table-salt": grams}, of_class="lean-bread"
    )
    assert [f.severity for f in found(weighed, "SALT-04")] == notes
    assert all("of Great Britain" in f.message for f in found(weighed, "SALT-04"))  # a country's name
