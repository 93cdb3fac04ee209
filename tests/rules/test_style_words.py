"""A title that names a style: the formula is held to it, whatever another style would admit."""

from __future__ import annotations

import pytest

from schemas.formula import load
from service.domain.words import key_of
from service.rules.judging import groups_of
from service.rules.styles import style_of, styles_here
from tests.rules.printed import KITCHEN, look, loud

#: Title and class, and the styles that a baker would look for. Common practice, no source.
TITLES = [
    ("Victoria sandwich", "butter-cake", {"equal-weights"}),
    ("Mrs. Hill's Victoria Sponge", "butter-cake", {"equal-weights"}),
    ("Quatre-quarts", "butter-cake", {"equal-weights"}),
    ("Carrot cake", "butter-cake", {"oil-butter-cake", "pineapple-carrot-cake"}),
    ("Gold Cake II", "butter-cake", {"gold-butter-cake"}),
    ("Yorkshire parkin", "gingerbread", {"stiff-gingerbread"}),
    ("Scottish Shortbread", "rolled-cookie", {"short-biscuits"}),
    ("Soda Crackers", "rolled-cookie", {"plain-biscuits"}),
    ("Anzac Biscuits", "drop-cookie", {"eggless-drops", "plain-syrup-drops"}),
    ("Banana Bread", "quick-bread", {"fruit-loaf"}),
    ("Banana Chiffon Cake", "chiffon", {"chiffon-banana"}),
    ("Raised Waffles", "waffle", {"raised-waffle"}),
    ("Mashed Potato Doughnuts", "doughnut", {"potato-doughnut"}),
    ("Crêpes", "pancake", {"thin-pancake", "sweet-crepe"}),
    ("Flour Tortillas", "flatbread", {"tortillas"}),
    ("Butterscotch brownies", "brownie", {"blond-brownie"}),
]


def group_of(name: str, product_class: str, *lines: str):
    formula = load(
        {
            "name": name,
            "class": product_class,
            "measures": "imperial",
            "components": [{"ingredients": [{"text": text} for text in lines or ("8 oz flour",)]}],
        }
    )
    return groups_of(KITCHEN.scales.weigh(formula), KITCHEN.cupboard, KITCHEN.measures)[0][0]


@pytest.mark.parametrize(("title", "product_class", "styles"), TITLES)
def test_title_names_its_style(title, product_class, styles):
    assert set(styles_here(group_of(title, product_class))) == styles


@pytest.mark.parametrize(
    ("title", "product_class"),
    [("Marigold cake", "butter-cake"), ("Plain cake", "butter-cake"), ("Victoria sponge", "muffin")],
)
def test_other_titles_leave_all_styles_open(title, product_class):
    """A word within a word, and a style of another class, name nothing."""
    styles = styles_here(group_of(title, product_class))
    assert styles[0] is None
    assert len(styles) > 1


def test_every_word_is_folded_and_names_a_style():
    for row in KITCHEN.cupboard.style_words:
        assert row.word == key_of(row.word)
        assert row.style in KITCHEN.cupboard.styles


def test_victoria_of_double_flour_is_told():
    """Victoria sandwich: the weight of the eggs in butter, sugar and flour (British practice). With
    twice the flour it would be a stiff cake that other books print under another name."""
    lines = ("4 oz butter", "4 oz caster sugar", "2 eggs", "8 oz self-raising flour")
    assert style_of(group_of("Victoria sponge", "butter-cake", *lines)) == "equal-weights"
    document = {
        "name": "Victoria sponge",
        "class": "butter-cake",
        "measures": "imperial",
        "components": [{"ingredients": [{"text": text} for text in lines]}],
    }
    verdict, findings = look(load(document))
    assert verdict != "sound"
    assert {"BAL-01", "BAL-02"} <= loud(findings)
    document["name"] = "Rubbed cake"
    assert look(load(document))[0] == "sound"
