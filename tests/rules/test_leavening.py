"""The leavening rules on formulas of stated grams."""

from __future__ import annotations

import pytest

from tests.rules.hand import a_formula, cupboard, found, judged

#: Half a teaspoon of soda, 2.3 g, to a cup of buttermilk, 245 g: McGee, On Food and Cooking; USDA
#: spoon and cup weights.
GRIDDLE = {
    "all-purpose-flour": 250.0, "buttermilk": 490.0, "egg": 50.0, "baking-soda": 4.6, "table-salt": 3.0,
}  # fmt: skip


def test_practice_and_arithmetic_are_both_told_and_get_no_warning():
    weighed = a_formula(GRIDDLE, of_class="pancake")
    (finding,) = found(weighed, "LEAVEN-04")
    assert finding.severity == "note"
    assert finding.measured is not None
    source = (
        "4.6 g less 490 g x 0.653 to 0.839 percent (0.7 to 0.9 percent lactic acid, Quebec P-29 r.1)"
    )
    # The egg's own band (from memory) adds at most 0.1 g either way.
    assert finding.measured.low == pytest.approx(4.6 - 490 * 0.00839, abs=0.12), source
    assert finding.measured.high == pytest.approx(4.6 - 490 * 0.00653, abs=0.12), source
    assert finding.expected is not None
    assert finding.expected.high == pytest.approx(490 * 0.94 / 100), "1/2 tsp a cup: 2.3 g on 245 g"
    assert "McGee" in finding.source
    assert not [f for f in found(weighed, "LEAVEN-03") if f.severity != "note"]


def test_two_to_one_spoons_of_tartar_and_soda_are_practice():
    """2 teaspoons of cream of tartar (6.0 g) to 1 of soda (4.6 g): US household tables; arithmetic
    leaves 4.6 - 6.0 x 0.4464 = 1.92 g over."""
    weighed = a_formula(
        {"all-purpose-flour": 250.0, "whole-milk": 244.0, "baking-soda": 4.6, "cream-of-tartar": 6.0},
        of_class="muffin",
    )
    (finding,) = found(weighed, "LEAVEN-04")
    assert finding.measured is not None
    assert finding.measured.value == pytest.approx(1.92, abs=0.01), "4.6 - 6.0 x 84.006/188.176"
    assert [f.severity for f in found(weighed, "LEAVEN-03")] in ([], ["note"])


def test_twice_the_practice_is_warned_of():
    """Greer, School and Home Cooking, experiment 69: 1 teaspoon to a cup leaves soda over."""
    weighed = a_formula({**GRIDDLE, "baking-soda": 9.2}, of_class="pancake")
    (finding,) = found(weighed, "LEAVEN-03")
    assert finding.severity == "warning"
    assert found(weighed, "LEAVEN-04") == []
    assert "/components/0/ingredients/3" in finding.lines


def test_potassium_bicarbonate_counts_as_the_soda_that_it_stands_for():
    """4.6 g of soda (84.006 g/mol) are 5.482 g of potassium bicarbonate (100.114 g/mol), IUPAC atomic
    weights; as much of potash (138.205 g/mol, two equivalents) are 3.784 g."""
    (soda,) = found(a_formula(GRIDDLE, of_class="pancake"), "LEAVEN-04")
    for code, grams in (("potassium-bicarbonate", 5.482), ("potash", 3.784)):
        without = {other: each for other, each in GRIDDLE.items() if other != "baking-soda"}
        group = judged(a_formula({**without, code: grams}, of_class="pancake"))
        assert group.amounts.of("soda").value == pytest.approx(4.6, rel=0.001)
        (finding,) = found(a_formula({**without, code: grams}, of_class="pancake"), "LEAVEN-04")
        assert finding.expected == soda.expected
        assert "4.6 g" in finding.message
        assert cupboard().ingredients[code].name in finding.message


def test_no_soda_no_practice():
    assert found(a_formula({"buttermilk": 245.0, "baking-powder": 9.2}), "LEAVEN-04") == []


@pytest.mark.parametrize(
    ("of_class", "leavener", "raised"),
    [
        ("butter-cake", {}, False),
        ("butter-cake", {"baking-powder": 10.0}, True),
        ("butter-cake", {"baking-soda": 3.0}, True),
        ("lean-bread", {}, False),
        ("lean-bread", {"instant-yeast": 3.0}, True),
        ("angel", {}, True),
        ("choux", {}, True),
        ("flatbread", {}, True),
    ],
)
def test_something_raises_what_gas_or_yeast_must_raise(of_class, leavener, raised):
    """Classes and what raises them: table ``classes`` (Lowe, Experimental Cookery, and others)."""
    weighed = a_formula({"all-purpose-flour": 250.0, "whole-milk": 240.0, **leavener}, of_class=of_class)
    assert bool(found(weighed, "LEAVEN-05")) is not raised


def test_self_raising_flour_raises_a_scone():
    weighed = a_formula({"self-raising-flour": 225.0, "whole-milk": 150.0}, of_class="scone")
    assert found(weighed, "LEAVEN-05") == []


def test_yeast_dough_is_not_asked_for_powder():
    weighed = a_formula({"all-purpose-flour": 250.0, "fresh-yeast": 10.0}, of_class="doughnut")
    assert found(weighed, "LEAVEN-01") == []


def test_powder_dropped_from_a_cake_is_found_on_the_flour():
    weighed = a_formula({"cake-flour": 250.0, "whole-milk": 240.0}, of_class="butter-cake")
    (finding,) = found(weighed, "LEAVEN-01")
    assert finding.lines == ("/components/0/ingredients/0",)


@pytest.mark.parametrize(
    ("lemon", "severity"), [(40.0, []), (60.0, ["note"])], ids=["inside", "outside"]
)
def test_acid_left_over_is_a_note(lemon, severity):
    """Lemon juice takes up 6.11 g of soda a 100 g (48 g/L citric acid, Penniston and others 2008);
    the limit is 1.0 percent of flour as soda (judged from texts): 250 g of flour carry 2.5 g."""
    weighed = a_formula(
        {"all-purpose-flour": 250.0, "lemon-juice": lemon, "baking-powder": 10.0}, of_class="muffin"
    )
    assert [f.severity for f in found(weighed, "LEAVEN-06")] == severity


def test_acid_of_an_unleavened_group_is_nobodys_fault():
    weighed = a_formula({"all-purpose-flour": 100.0, "lemon-juice": 100.0}, of_class="short-pastry")
    assert found(weighed, "LEAVEN-06") == []


def test_ammonia_in_a_thick_cake_is_warned_of_and_not_in_a_cookie():
    """Food-grade ammonium bicarbonate, trade description: thin, dry goods only."""
    thick = a_formula({"all-purpose-flour": 250.0, "baking-ammonia": 2.0}, of_class="butter-cake")
    thin = a_formula({"all-purpose-flour": 250.0, "baking-ammonia": 2.0}, of_class="rolled-cookie")
    assert [f.severity for f in found(thick, "LEAVEN-07")] == ["warning"]
    assert found(thin, "LEAVEN-07") == []


def test_group_with_a_line_that_does_not_weigh_is_never_certain():
    weighed = a_formula(
        {"all-purpose-flour": 250.0, "baking-powder": 40.0, "starlight powder": None},
        of_class="butter-cake",
    )
    (finding,) = found(weighed, "BAL-30")
    assert not finding.certain
    assert finding.settle == "Say what starlight powder weighs."
    assert not judged(weighed).complete
