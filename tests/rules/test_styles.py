"""A class's styles: a formula is held to the one that it strains least, and to that one whole."""

from __future__ import annotations

import pytest

from service.rules.judging import Verdict, verdict_of
from service.rules.registry import run_rules
from service.rules.styles import class_rows, style_of
from tests.rules.hand import a_formula, cupboard, judged

#: Weights of flour, sugar, fat and egg, the powder, the class and the style that it is.
#: Victoria sandwich: Beeton, Book of Household Management (1861), no. 1491, eggs, sugar, butter and
#: flour of one weight, from memory; powder as self-raising flour brings it. Plain cake: Lowe,
#: Experimental Cookery, Experiment 84 (butter 112, sugar 200, eggs 96, milk 244, flour 300, powder 10).
STYLES = [
    ({"flour": 200, "sugar": 200, "fat": 200, "egg": 200, "powder": 9}, "equal-weights"),
    ({"flour": 300, "sugar": 200, "fat": 112, "egg": 96, "milk": 244, "powder": 10}, None),
]
CODES = {
    "flour": "all-purpose-flour", "sugar": "caster-sugar", "fat": "butter-unsalted", "egg": "egg",
    "milk": "whole-milk", "powder": "baking-powder",
}  # fmt: skip


def cake(**grams: float):
    return a_formula({CODES[name]: each for name, each in grams.items()}, of_class="butter-cake")


@pytest.mark.parametrize(("grams", "style"), STYLES)
def test_style_is_the_one_that_is_strained_least(grams, style):
    group = judged(cake(**grams))
    assert style_of(group) == style
    assert verdict_of([Verdict(group, "stated", run_rules(group))]) == "sound"


def test_no_formula_borrows_of_two_styles():
    """Fat of equal weights with the egg and liquid of a plain cake is neither."""
    group = judged(cake(flour=100, sugar=90, fat=100, egg=43, milk=68, powder=4.5))
    assert verdict_of([Verdict(group, "stated", run_rules(group))]) != "sound"


def test_finding_names_the_style():
    group = judged(cake(flour=200, sugar=200, fat=240, egg=200, powder=9))
    assert style_of(group) == "equal-weights"
    (told,) = [each for each in run_rules(group) if each.rule == "BAL-02"]
    assert "of equal weights" in told.message


def test_style_takes_the_class_rows_where_it_has_none():
    for row in cupboard().styles.values():
        own = {each[:2] for each in class_rows(row.product_class, row.code, cupboard())}
        of_class = {each[:2] for each in class_rows(row.product_class, None, cupboard())}
        assert of_class <= own


def test_every_style_has_rows():
    rows = [row for several in cupboard().limits.values() for row in several]
    assert {row.style for row in rows} - {""} == set(cupboard().styles)


#: Things that a formula near a style may well lack: a name that leads with one of them puzzles.
LACKING = ("almond", "seed", "carrot", "candied", "nut cake", "parkin", "brandy")


@pytest.mark.parametrize(
    ("grams", "puzzling"),
    [
        ({"flour": 222, "sugar": 300, "fat": 113, "egg": 150, "milk": 244, "powder": 14}, "almond"),
        ({"flour": 250, "sugar": 100, "fat": 125, "egg": 100, "milk": 100, "powder": 10}, "fruit"),
    ],
)
def test_name_of_a_style_suits_who_is_only_near_it(grams, puzzling):
    """Common practice, no source: a layer cake of three eggs is no almond cake, and a rubbed-in cake
    without fruit no fruit cake."""
    group = judged(cake(**grams))
    style = style_of(group)
    assert style is not None
    assert puzzling not in cupboard().styles[style].name


def test_names_of_styles_are_short_plain_and_told_apart():
    """Common practice, no source: a name is read in a sentence, behind "too much for"."""
    names = [row.name for row in cupboard().styles.values()]
    assert len(set(names)) == len(names)
    for name in names:
        assert len(name) <= 50, name
        assert name[0].islower(), name
        assert not set("().;:0123456789") & set(name), name
        assert not name.startswith(LACKING), name
