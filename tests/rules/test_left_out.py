"""A line that was lost when a card was copied: what is left out, and about how much of it.

Each case is a printed formula with one line dropped (its source stands in its row); the amount
expected is the printed one, from half to twice.
"""

from __future__ import annotations

import copy

import pytest

from schemas.formula import load
from service.rules.judging import groups_of
from service.rules.leftout import lines_left_out
from service.rules.strain import LEFT_OUT, likeliest_slip
from tests.rules.printed import KITCHEN, look, printed

#: The formula, the line lost with its grams, what is said to be left out, and the rows that say so.
LOST = [
    ("farmer-baking-powder-biscuit-ii", "¾ cup milk", 183, "a liquid", {"milk", "water"}),
    ("farmer-berry-muffins-ii", "1 cup milk", 244, "a liquid", {"milk", "water"}),
    ("farmer-entire-wheat-griddle-cakes", "1¼ cups milk", 305, "a liquid", {"milk", "water"}),
    ("american-pie-crust", "1 quart water", 946, "a liquid", {"milk", "water"}),
    ("formulary-125-cake", "8 oz baking powder", 227, "a leavener", {"powder"}),
    ("armed-forces-hermits", "3 1/4 teaspoons baking soda", 15, "a leavener", {"soda"}),
]  # fmt: skip


def entry_of(formula_id: str):
    return next(e for e in printed("sound_formulas") if e["id"] == formula_id)


def dropped(formula_id: str, text: str):
    document = copy.deepcopy(
        next(e for e in printed("sound_formulas") if e["id"] == formula_id)["formula"]
    )
    ingredients = document["components"][0]["ingredients"]
    assert any(line["text"] == text for line in ingredients)
    ingredients[:] = [line for line in ingredients if line["text"] != text]
    return load(document)


def group_of(formula):
    return groups_of(KITCHEN.scales.weigh(formula), KITCHEN.cupboard, KITCHEN.measures)[0][0]


@pytest.mark.parametrize(("formula_id", "text", "grams", "says", "rows"), LOST)
def test_what_is_left_out_is_named_with_about_its_amount(formula_id, text, grams, says, rows):
    formula = dropped(formula_id, text)
    slip = likeliest_slip(group_of(formula))
    assert slip is not None
    assert slip.kind == LEFT_OUT
    assert slip.ingredient in {r.ingredient for r in KITCHEN.cupboard.left_out if r.code in rows}
    assert slip.line.grams is not None
    assert grams / 2 <= slip.line.grams.value <= grams * 2
    (finding,) = (f for f in look(formula)[1] if f.rule == "SLIP-09")
    assert says in finding.message.lower()
    assert finding.lines == ("/components/0/ingredients/-",)
    assert (finding.severity, finding.certain) == ("warning", False)


@pytest.mark.parametrize(
    ("formula_id", "text", "code"),
    [
        ("farmer-queen-of-muffins", "1 egg", "egg"),
        ("farmer-boston-favorite-cake", "2 cups sugar", "sugar"),
        ("farmer-boston-favorite-cake", "⅔ cup butter", "fat"),
        ("farmer-sticks", "1 yeast cake dissolved in", "yeast"),
    ],
)
def test_every_kind_is_put_back(formula_id, text, code):
    row = next(row for row in KITCHEN.cupboard.left_out if row.code == code)
    tried = list(lines_left_out(group_of(dropped(formula_id, text))))
    assert sum(line.code == row.ingredient for line in tried) == len(row.shares)


def test_nothing_is_put_back_beside_its_like():
    group = group_of(load(entry_of("farmer-boston-favorite-cake")["formula"]))
    assert list(lines_left_out(group)) == []
