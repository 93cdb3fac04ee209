"""Slips that leave every measure inside its range, and show in the whole."""

from __future__ import annotations

import pytest

from schemas.formula import load
from service.rules.judging import groups_of
from service.rules.nearness import nearest_undoing, unease_of_whole
from service.rules.strain import likeliest_slip
from tests.rules.printed import KITCHEN, look, loud, printed
from tests.rules.slips import inject

#: A slip in a printed formula, and the row of the table ``undoings`` that tells it.
#: The formulas' sources stand in their rows.
SEEN = [
    ("better-homes-brownies", "flour doubled", "3/4 c. sifted all-purpose flour", "flour-doubled"),
    ("savoy", "flour halved", "270 g flour", "flour-halved"),
    ("williams-standard-cake", "sugar a third", "Sugar, 3/4 c.", "sugar-a-third"),
    ("show-scones-victoria", "liquid doubled", "500ml cream", "liquid-doubled"),
    ("church-supper-waffles", "eggs tripled", "2 large eggs", "eggs-tripled"),
]


def entry_of(formula_id: str):
    entries = printed("sound_formulas", "held_formulas_a", "held_formulas_b", "held_formulas_c")
    return next(each for each in entries if each["id"] == formula_id)


def group_of(document):
    weighed = KITCHEN.scales.weigh(load(document))
    return groups_of(weighed, KITCHEN.cupboard, KITCHEN.measures)[0][0]


@pytest.mark.parametrize(("formula_id", "kind", "was", "code"), SEEN)
def test_slip_is_seen_in_the_whole_and_named_on_its_line(formula_id, kind, was, code):
    slip = next(s for s in inject(entry_of(formula_id)) if (s.kind, s.was) == (kind, was))
    group = group_of(slip.document)
    found = nearest_undoing(group)
    assert found is not None
    assert found.row.code == code
    assert found.line.pointer.endswith(f"/{slip.line}")
    told = likeliest_slip(group)
    assert told is not None
    assert (told.line, told.factor) == (found.line, found.row.factor)
    assert "SLIP-04" in loud(look(load(slip.document))[1])


@pytest.mark.parametrize("formula_id", [each[0] for each in SEEN])
def test_nothing_is_undone_in_the_printed_formula(formula_id):
    assert nearest_undoing(group_of(entry_of(formula_id)["formula"])) is None


def test_undoing_a_slip_leaves_less_unease():
    formula_id, kind, was, _ = SEEN[0]
    slip = next(s for s in inject(entry_of(formula_id)) if (s.kind, s.was) == (kind, was))
    before, after = (
        unease_of_whole(group_of(slip.document)),
        unease_of_whole(group_of(entry_of(formula_id)["formula"])),
    )
    assert before is not None
    assert after is not None
    assert after < before
