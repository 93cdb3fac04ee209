"""Rounding: what a scale and a kitchen can show, and what the drift says of it."""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction

import pytest

from service.changes.steps import Spoons, on_scale
from service.domain.formula import Component, Formula, Line
from service.domain.quantity import Quantity
from service.kitchen import Kitchen
from tests.changes.cards import Change, card, lines, texts

SYSTEMS = ("us", "us-label", "imperial", "metric", "au", "ca", "jp")


# The rule in words: whole steps; ten times finer below ten steps, once more below one. By hand.
@pytest.mark.parametrize(
    ("grams", "resolution", "expected"),
    [
        ("123.4", None, "123"), ("123.5", None, "124"), ("10", None, "10"), ("9.96", None, "10"),
        ("9.94", None, "9.9"), ("0.94", None, "0.94"), ("0.004", None, "0.01"), ("1.26", None, "1.3"),
        ("123.4", "5", "125"), ("49.8", "5", "50"), ("12.3", "5", "12.5"), ("123.4", "0.1", "123.4"),
    ],
)  # fmt: skip
def test_steps_of_a_scale(kitchen: Kitchen, grams: str, resolution: str | None, expected: str) -> None:
    step = Fraction(resolution) if resolution else None
    assert on_scale(Fraction(grams), step, kitchen.cupboard) == Fraction(expected)


# By hand, with 16 tablespoons and 48 teaspoons to a US cup (NIST SP 430, table 1), and the sets of
# the 250, 20, 15 and 5 mL measures (New South Wales Health, cookery conversion chart).
@pytest.mark.parametrize(
    ("text", "query", "expected"),
    [
        ("1 cup sugar", "factor=1/2&rounding=kitchen", "1/2 cup sugar"),
        ("1 cup sugar", "factor=7/8&rounding=kitchen", "3/4 cup plus 2 tbsp sugar"),
        ("1 cup sugar", "factor=5/8&rounding=kitchen", "1/2 cup plus 2 tbsp sugar"),
        ("1 cup sugar", "factor=1/8&rounding=kitchen", "2 tbsp sugar"),
        ("1 cup sugar", "factor=1/48&rounding=kitchen", "1 tsp sugar"),
        ("1 cup sugar", "factor=0.99&rounding=kitchen", "1 cup sugar"),
        ("1 tbsp sugar", "factor=4/9&rounding=kitchen", "1 1/4 tsp sugar"),
        ("1 tsp sugar", "factor=1/8&rounding=kitchen", "1/8 tsp sugar"),
        ("¾ teaspoon salt", "factor=1/3&rounding=kitchen", "¼ teaspoon salt"),
        ("1 cup sugar", "measures=metric&rounding=kitchen", "3/4 cup plus 3 1/2 tbsp sugar"),
        ("1 cup sugar", "factor=2&measures=jp&rounding=kitchen", "2 1/4 cups plus 1 1/2 tbsp sugar"),
        ("3 eggs", "factor=1/2&rounding=kitchen", "2 eggs"),
        ("Whites 3 eggs", "factor=5/3&rounding=kitchen", "Whites 5 eggs"),
        ("1 egg", "factor=1/4&rounding=kitchen", "1 egg"),
        ("1 lemon", "factor=0.52&rounding=kitchen", "1/2 lemon"),
        ("1 stick butter", "factor=0.37&rounding=kitchen", "3/8 stick butter"),
        ("100 g honey", "factor=1/3&rounding=kitchen", "33 g honey"),
        ("8 oz honey", "factor=1/3&rounding=kitchen", "2 3/4 oz honey"),
        ("1 lb honey", "factor=1/3&rounding=kitchen", "5 1/4 oz honey"),
        ("250 mL water", "factor=1/3&rounding=kitchen", "85 mL water"),
        ("2 to 3 tbsp milk", "factor=1/2&rounding=kitchen", "1 to 1 1/2 tbsp milk"),
        ("1 pinch nutmeg", "factor=1/2&rounding=kitchen", "1/2 pinch nutmeg"),
        ("100 g honey", "factor=1/3&rounding=scale", "33 g honey"),
        ("10 g salt", "factor=1/3&rounding=scale", "3.3 g salt"),
        ("1 kg flour", "factor=1/3&rounding=scale", "0.333 kg flour"),
        ("1 lb honey", "rounding=scale", "454 g honey"),
        ("1 cup milk", "factor=1/3&as=mass&rounding=scale&resolution=5", "80 g milk"),
        ("1 cup milk", "factor=1/3&rounding=scale", "1/3 cup milk"),
    ],
)  # fmt: skip
def test_rounds(change: Change, text: str, query: str, expected: str) -> None:
    assert texts(change(card(text, egg_grade="us-large"), query).formula) == [expected]


@pytest.mark.parametrize("system", SYSTEMS)
@pytest.mark.parametrize("numerator", [1, 5, 7, 11, 17, 29, 53, 97])
def test_a_kitchen_shows_nearly_any_volume(kitchen: Kitchen, system: str, numerator: int) -> None:
    """From a quarter teaspoon on, no volume moves by more than a sixth, most by less than 2%."""
    measures = kitchen.measures
    spoons = Spoons(kitchen.cupboard, measures, system)
    litre = measures.by_code["ml"]
    for amount in (Fraction(numerator * 7, 3), Fraction(numerator * 31, 2)):
        shown = spoons.measured(amount, litre, with_two=True)
        moved = abs(shown.amount * shown.unit.exact - amount * litre.exact) / (amount * litre.exact)
        assert moved <= Fraction(1, 6), (system, amount, shown)


def test_drift_says_what_rounding_moved(change: Change) -> None:
    done = change(card("3 cups flour", "3 eggs", egg_grade="us-large"), "factor=1/2&rounding=kitchen")
    flour, egg = done.drift.lines
    # By hand: 1 1/2 cups stay; 1 1/2 eggs of 50 g (USDA SR 26, NDB 01123) become 2.
    assert flour.percent == 0
    assert (egg.asked, egg.got) == (pytest.approx(75), pytest.approx(100))
    assert egg.percent == pytest.approx(100 / 3)
    ratio = next(one for one in done.drift.ratios if one.ratio == "egg/flour")
    assert ratio.before is not None
    assert ratio.after == pytest.approx(ratio.before * 4 / 3)
    assert any(
        note.startswith("egg/flour moved from") and "(+33.3%)" in note for note in done.drift.notes
    )


def test_drift_is_silent_where_nothing_moved(change: Change) -> None:
    drift = change(card("3 cups flour", "2 eggs"), "factor=2").drift
    assert drift.notes == ()
    assert all(line.percent == 0 for line in drift.lines)
    assert all(ratio.before == ratio.after for ratio in drift.ratios)
    assert drift.factor == "2"


def test_without_flour_the_ratios_stand_on_the_whole(change: Change) -> None:
    drift = change(card("1 cup sugar", "Whites 4 eggs", egg_grade="us-large"), "factor=2").drift
    ratios = {one.ratio: one.after for one in drift.ratios}
    # 200 g of sugar and 132 g of white (USDA SR 26, NDB 19335 and 01124): by hand 39.8% egg.
    assert ratios["egg/total"] == pytest.approx(132 / 332 * 100, rel=0.01)


def test_a_line_of_fields_is_given_words_where_two_measures_are_needed(change: Change) -> None:
    sugar = Line(ingredient="granulated-sugar", quantity=Quantity.of(1), unit="cup")
    formula = Formula("Fields", (Component(ingredients=(sugar,)),), measures="us")
    (done,) = lines(change(formula, "factor=7/8&rounding=kitchen").formula)
    assert (done.quantity, done.unit) == (Quantity.of(Fraction(7, 8)), "cup")
    assert (done.text or "").startswith("3/4 cup plus 2 tbsp ")
    (plain,) = lines(change(formula, "factor=2").formula)
    assert plain == replace(sugar, quantity=Quantity.of(2))
