"""Printed formulas that the rows of the limits do not rest on: hardly one is warned of, none is called
unsound, and slips in them are told.

``held_formulas_a`` to ``_g`` were gathered and labelled by other hands than the rows', and
fixed before the checks were run on them; each formula stands with its book. The rules have been
adjusted since, so that they are no blind evidence any longer.
"""

from __future__ import annotations

import pytest

from schemas.formula import load
from tests.rules.printed import look, loud, printed
from tests.rules.slips import inject

HELD = tuple(f"held_formulas_{letter}" for letter in "abcdefg")
#: Every so manieth slip is tried: enough for a share.
STEP = 7


@pytest.fixture(scope="module")
def looked_at():
    return [(entry, *look(load(entry["formula"]))) for entry in printed(*HELD)]


def test_sets_are_large_and_of_many_classes_and_books():
    entries = printed(*HELD)
    assert len(entries) >= 380
    assert len({entry["id"] for entry in entries}) == len(entries)
    assert len({entry["class"] for entry in entries}) == 25
    assert len({entry["source"].partition(",")[0] for entry in entries}) >= 100


def test_hardly_one_is_warned_of(looked_at):
    warned = [entry["id"] for entry, _, findings in looked_at if loud(findings)]
    assert len(warned) <= 0.15 * len(looked_at), warned


#: Called unsound, and rightly: what other books print stands beside.
UNSOUND = {
    "hub-slab-cake": "20 g of flour to 150 g each of butter and sugar: a digit is lost, its reader says",
    "saskatchewan-4h-brownies": "two tablespoons of powder to a cup of flour: teaspoons elsewhere",
    "wartime-cornflour-treacle-scones": "five ounces of milk to a pound of flour: nine or ten elsewhere",
}


def test_none_else_is_called_unsound(looked_at):
    assert {entry["id"] for entry, verdict, _ in looked_at if verdict == "unsound"} <= set(UNSOUND)


def test_most_slips_are_told():
    slips = [slip for entry in printed(*HELD) for slip in inject(entry)][::STEP]
    told = sum(look(load(slip.document))[0] != "sound" for slip in slips)
    assert len(slips) >= 1200
    assert told >= 0.8 * len(slips)


def test_foams_and_fillings_that_were_read_are_hardly_warned_of():
    entries = printed("read_formulas_foams")
    verdicts = [look(load(entry["formula"]))[0] for entry in entries]
    assert len(verdicts) >= 250
    assert "unsound" not in verdicts
    assert verdicts.count("check") <= 0.1 * len(verdicts)
