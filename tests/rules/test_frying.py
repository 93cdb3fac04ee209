"""Fat to fry in is weighed, and is none of the dough.

Doughnuts as a household prints them (3 1/2 cups of flour: Farmer, Boston Cooking-School
Cook Book, doughnuts, about so); that the pot's fat stays in the pot is common practice, no source.
"""

from __future__ import annotations

import pytest

from schemas.formula import load
from service.rules.judging import groups_of
from tests.rules.printed import KITCHEN, look

DOUGH = (
    "3 1/2 cups flour", "4 teaspoons baking powder", "1 teaspoon salt", "1/2 teaspoon nutmeg",
    "1 cup sugar", "2 eggs", "1 cup milk", "2 tablespoons melted butter",
)  # fmt: skip


def doughnuts(*more: str):
    lines = [{"text": text} for text in (*DOUGH, *more)]
    return load({"name": "x", "class": "doughnut", "components": [{"ingredients": lines}]})


@pytest.mark.parametrize(
    "text",
    [
        "1 gal. frying oil", "2 cups oil for deep frying", "500 g lard, to fry",
        "3 pounds lard or shortening or 2 quarts oil, for frying",
    ],
)  # fmt: skip
def test_fat_to_fry_in_is_not_of_the_dough(text):
    weighed = KITCHEN.scales.weigh(doughnuts(text))
    verdict, findings = look(doughnuts(text))
    assert verdict == look(doughnuts())[0] == "sound"
    (told,) = (finding for finding in findings if finding.rule == "MIX-02")
    assert told.lines == (f"/components/0/ingredients/{len(DOUGH)}",)
    assert weighed.lines[-1].grams is not None, "it is weighed all the same"
    (group, _), *_ = groups_of(weighed, KITCHEN.cupboard, KITCHEN.measures)
    assert group.lines == weighed.lines[:-1]


@pytest.mark.parametrize("text", ["2 tablespoons oil", "100 g fried onions", "50 g butter, melted"])
def test_other_lines_stay(text):
    weighed = KITCHEN.scales.weigh(doughnuts(text))
    (group, _), *_ = groups_of(weighed, KITCHEN.cupboard, KITCHEN.measures)
    assert group.lines == weighed.lines
    assert "MIX-02" not in {finding.rule for finding in look(doughnuts(text))[1]}


def test_oil_alone_stays_what_it_is():
    formula = load({"name": "x", "components": [{"ingredients": [{"text": "1 L oil for frying"}]}]})
    (group, _), *_ = groups_of(KITCHEN.scales.weigh(formula), KITCHEN.cupboard, KITCHEN.measures)
    assert len(group.lines) == 1
