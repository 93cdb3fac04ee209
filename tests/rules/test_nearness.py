"""Slips that leave every measure inside its range, and show in the whole."""

from __future__ import annotations

import copy

import pytest

from schemas.formula import load
from service.rules.judging import groups_of
from service.rules.nearness import nearest_undoing, unease_of_whole
from service.rules.strain import likeliest_slip
from tests.rules.printed import KITCHEN, look, loud, printed
from tests.rules.slips import inject

#: A slip in a printed formula, the row of the table ``undoings`` that tells it, and the rule that says
#: so. The formulas' sources stand in their rows.
SEEN = [
    ("better-homes-brownies", "flour doubled", "3/4 c. sifted all-purpose flour",
     "flour-doubled", "SLIP-04"),
    ("savoy", "flour halved", "270 g flour", "flour-halved", "SLIP-04"),
    ("williams-standard-cake", "sugar a third", "Sugar, 3/4 c.", "sugar-a-third", "SLIP-04"),
    ("show-scones-victoria", "liquid doubled", "500ml cream", "liquid-doubled", "SLIP-04"),
    ("nova-scotia-gingerbread", "sugar tripled", "¼ cup sugar", "sugar-tripled", "SLIP-04"),
    ("maine-yogurt-muffins", "powder and soda exchanged", "1 tsp baking powder",
     "soda-for-powder", "SLIP-02"),
    ("nova-scotia-gingerbread", "powder and soda exchanged", "¾ teaspoon baking soda",
     "powder-for-soda", "SLIP-02"),
    ("greer-waffle", "decimal moved down", "75 g eggs", "all-a-tenth", "SLIP-03"),
]  # fmt: skip
#: Slips that leave a measure or two a little outside, and that nothing else tells.
BROUGHT_BACK = [
    ("gisslen-yellow-butter", "flour doubled", "450 g cake flour", "flour-doubled", "SLIP-04"),
    ("farmer-sponge-cake", "flour doubled", "1 cup flour", "flour-doubled", "SLIP-04"),
    ("farmer-golden-corn-cake", "flour halved", "1¼ cups flour", "flour-halved", "SLIP-04"),
    ("farmer-walnut-cake", "eggs tripled", "Whites 2 eggs", "eggs-tripled", "SLIP-04"),
    ("green-plain-griddle", "liquid doubled", "3/4 cup water", "liquid-doubled", "SLIP-04"),
    ("williams-gingerbread", "decimal moved down", "Baking-soda, 1 t.", "all-a-tenth", "SLIP-03"),
]


def entry_of(formula_id: str):
    entries = printed("sound_formulas", "held_formulas_a", "held_formulas_b", "held_formulas_c")
    return next(each for each in entries if each["id"] == formula_id)


def group_of(document):
    weighed = KITCHEN.scales.weigh(load(document))
    return groups_of(weighed, KITCHEN.cupboard, KITCHEN.measures)[0][0]


def slipped(formula_id: str, kind: str, was: str):
    return next(s for s in inject(entry_of(formula_id)) if (s.kind, s.was) == (kind, was))


@pytest.mark.parametrize(("formula_id", "kind", "was", "code", "rule"), SEEN + BROUGHT_BACK)
def test_slip_is_seen_in_the_whole_and_named_on_its_line(formula_id, kind, was, code, rule):
    slip = slipped(formula_id, kind, was)
    group = group_of(slip.document)
    found = nearest_undoing(group)
    assert found is not None
    assert found.row.code == code
    assert found.line.pointer.endswith(f"/{slip.line}")
    told = likeliest_slip(group)
    assert told is not None
    assert (told.line, told.factor) == (found.line, found.row.factor)
    assert told.ingredient == (found.row.ingredient or found.line.code)
    assert rule in loud(look(load(slip.document))[1])


@pytest.mark.parametrize(
    ("formula_id", "was", "half"),
    [
        ("farmer-orange-cake", "½ cup milk", "¼ cup milk"),
        ("farmer-boston-favorite-cake", "1 cup milk", "½ cup milk"),
        ("farmer-rye-muffins-ii", "1¼ cups milk", "⅝ cup milk"),
    ],
)
def test_half_the_liquid_is_seen_in_the_whole(formula_id, was, half):
    document = copy.deepcopy(entry_of(formula_id)["formula"])
    (line,) = (e for e in document["components"][0]["ingredients"] if e["text"] == was)
    line["text"] = half
    found = nearest_undoing(group_of(document))
    assert found is not None
    assert (found.row.code, found.line.as_written) == ("liquid-halved", half)
    assert "SLIP-04" in loud(look(load(document))[1])


def test_every_row_is_tried():
    tried = {each[3] for each in SEEN + BROUGHT_BACK} | {"liquid-halved"}
    assert tried == {row.code for row in KITCHEN.cupboard.undoings}


@pytest.mark.parametrize(("formula_id", "kind", "was", "code", "rule"), BROUGHT_BACK)
def test_without_its_row_the_slip_is_sound(formula_id, kind, was, code, rule, monkeypatch):
    rows = tuple(row for row in KITCHEN.cupboard.undoings if row.code != code)
    monkeypatch.setattr(KITCHEN.cupboard, "undoings", rows)
    assert look(load(slipped(formula_id, kind, was).document))[0] == "sound"


@pytest.mark.parametrize("formula_id", sorted({each[0] for each in SEEN + BROUGHT_BACK}))
def test_nothing_is_undone_in_the_printed_formula(formula_id):
    assert nearest_undoing(group_of(entry_of(formula_id)["formula"])) is None


def test_undoing_a_slip_leaves_less_unease():
    formula_id, kind, was, *_ = SEEN[0]
    slip = slipped(formula_id, kind, was)
    before, after = (
        unease_of_whole(group_of(slip.document)),
        unease_of_whole(group_of(entry_of(formula_id)["formula"])),
    )
    assert before is not None
    assert after is not None
    assert after < before
