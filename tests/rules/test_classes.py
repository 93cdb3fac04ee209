"""Classes by words, ties by composition. Titles and methods are read here as a baker reads them."""

from __future__ import annotations

import pytest

from service.domain.formula import CLASSES
from tests.rules.hand import a_formula, cupboard, judged

YEASTED = {"all-purpose-flour": 500.0, "fresh-yeast": 10.0, "water": 320.0, "table-salt": 9.0}
RICH = {
    "all-purpose-flour": 500.0, "fresh-yeast": 25.0, "whole-milk": 230.0, "butter-unsalted": 100.0,
    "egg": 100.0, "granulated-sugar": 80.0, "table-salt": 8.0,
}  # fmt: skip
POWDERED = {"all-purpose-flour": 250.0, "baking-powder": 12.0, "whole-milk": 244.0, "egg": 50.0}
FOAM = {"cake-flour": 120.0, "egg": 300.0, "granulated-sugar": 200.0}
CREAMED = {
    "cake-flour": 250.0, "butter-unsalted": 113.0, "granulated-sugar": 200.0, "egg": 100.0,
    "whole-milk": 200.0, "baking-powder": 11.0,
}  # fmt: skip


@pytest.mark.parametrize(
    ("title", "grams", "of_class"),
    [
        ("Angel Cake", FOAM, "angel"),
        ("Orange Chiffon Cake", CREAMED, "chiffon"),
        ("Mrs Alder's Sponge Cake", FOAM, "sponge"),
        ("Chocolate Cake", CREAMED, "chocolate-cake"),
        ("Soft Molasses Gingerbread", POWDERED, "gingerbread"),
        ("Berry Muffins", POWDERED, "muffin"),
        ("Raised Hominy Muffins", RICH, "enriched-bread"),
        ("Sour Milk Griddle Cakes", POWDERED, "pancake"),
        ("Waffles", POWDERED, "waffle"),
        ("Baking Powder Biscuit", POWDERED, "scone"),
        ("Vienna Bread", YEASTED, "lean-bread"),
        ("Golden Corn Cake", POWDERED, "quick-bread"),
        ("Brioche", RICH, "enriched-bread"),
        ("Pound Cake", CREAMED, "pound"),
        ("One Egg Cake", CREAMED, "butter-cake"),
        ("Cream Puffs", FOAM, "choux"),
        ("Doughnuts", POWDERED, "doughnut"),
        ("Plain Paste", CREAMED, "short-pastry"),
        ("Chocolate Filling", FOAM, "filling"),
    ],
)
def test_title_tells_the_class(title, grams, of_class):
    made = judged(a_formula(grams, name=title))
    assert (made.product_class, made.class_stated) == (of_class, False)


@pytest.mark.parametrize(
    ("method", "of_class"),
    [
        ("Drop by spoonfuls on a buttered sheet.", "drop-cookie"),
        ("Chill, roll out thin and cut with cutter.", "rolled-cookie"),
    ],
)
def test_method_breaks_what_a_title_leaves_open(method, of_class):
    made = judged(a_formula(CREAMED, name="Plain Cookies", method=(method,)))
    assert made.product_class == of_class


def test_method_alone_can_tell():
    made = judged(a_formula(POWDERED, name="Sunday", method=("Bake on a hot griddle.",)))
    assert made.product_class == "pancake"


def test_composition_never_overrules_a_word():
    made = judged(a_formula(YEASTED, name="Angel Food"))
    assert made.product_class == "angel"


def test_words_name_known_classes():
    for rows in cupboard().class_words.values():
        for row in rows:
            assert row.where in ("title", "method", "role")
            assert set(row.classes) <= set(CLASSES), row.word


def test_every_class_of_the_contract_has_a_row_a_word_and_five_measures():
    told = {c for rows in cupboard().class_words.values() for row in rows for c in row.classes}
    measured: dict[str, set[str]] = {}
    for rows in cupboard().limits.values():
        for row in rows:
            measured.setdefault(row.product_class, set()).add(row.measure)
    for code in CLASSES:
        assert code in cupboard().classes
        assert code in told
        assert len(measured.get(code, set())) >= 5, code
