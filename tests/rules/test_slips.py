"""Sound formulas stay sound, and slips are caught: the fixed set and every slip injected into it.

The set was fixed and committed before any rule was tuned; its sources stand in
``tests/vectors/sound_formulas.ndjson``. The shares that must hold are the project's own aims.
"""

from __future__ import annotations

import copy
import csv
import json
from collections import Counter
from fractions import Fraction
from functools import cache
from pathlib import Path

import pytest

from schemas.formula import load
from service.rules.judging import groups_of
from service.rules.ranges import held
from tests.rules.printed import KITCHEN, look, loud, printed
from tests.rules.slips import FLOUR, KINDS, inject, scaled

DEFENDED = Path(__file__).parent / "defended_warnings.csv"
ENTRIES = printed("sound_formulas")


@cache
def looked_at_slips():
    return tuple((slip, *look(load(slip.document))) for entry in ENTRIES for slip in inject(entry))


@cache
def looked_at_sound():
    return tuple((entry, *look(load(entry["formula"]))) for entry in ENTRIES)


def test_set_is_large_enough():
    assert len(ENTRIES) >= 60
    assert len({entry["class"] for entry in ENTRIES}) >= 15
    assert len(looked_at_slips()) >= 1000


def test_sound_formulas_get_hardly_an_error():
    errors = [
        entry["id"]
        for entry, _, findings in looked_at_sound()
        if any(f.severity == "error" for f in findings)
    ]
    assert len(errors) <= 0.02 * len(ENTRIES), errors


def test_sound_formulas_are_never_called_unsound():
    assert "unsound" not in {verdict for _, verdict, _ in looked_at_sound()}


def defended() -> set[tuple[str, str]]:
    lines = (line for line in DEFENDED.read_text("utf-8").splitlines() if not line.startswith("#"))
    rows = list(csv.DictReader(lines))
    assert all(row["why"] and row["source"] for row in rows)
    return {(row["id"], row["rule"]) for row in rows}


def test_every_warning_on_the_sound_is_defended_and_they_are_few():
    """Why each stands, and by whose word: ``defended_warnings.csv``. Its rows that no warning bears
    out any longer are refused too."""
    warned = {(e["id"], code) for e, _, findings in looked_at_sound() for code in loud(findings)}
    assert warned == defended()
    assert len({formula for formula, _ in warned}) <= 0.15 * len(ENTRIES)


def test_most_slips_are_flagged():
    flagged = sum(verdict != "sound" for _, verdict, _ in looked_at_slips())
    assert flagged >= 0.85 * len(looked_at_slips())


@cache
def held_of(text: str):
    """What each measure of a formula's first group is, with its rows."""
    weighed = KITCHEN.scales.weigh(load(json.loads(text)))
    return held(groups_of(weighed, KITCHEN.cupboard, KITCHEN.measures)[0][0])


def moves_far(slip) -> bool:
    """Whether a slip moves any measure by more than twice its class's width (high less low)."""
    entry = next(each for each in ENTRIES if each["id"] == slip.formula_id)
    before, after = held_of(json.dumps(entry["formula"])), held_of(json.dumps(slip.document))
    return any(
        abs(after[key].band.value - state.band.value) > 2 * (row.high - (row.low or 0.0))
        for key, state in before.items()
        if key in after
        for row in state.rows
        if row.high is not None
    )


def test_slips_that_move_a_measure_far_are_flagged_and_named():
    far = [each for each in looked_at_slips() if moves_far(each[0])]
    assert len(far) > 950
    assert sum(verdict != "sound" for _, verdict, _ in far) >= 0.95 * len(far)
    lined = [each for each in far if "dropped" not in each[0].kind]
    named = sum(
        any(
            f"/components/0/ingredients/{slip.line}" in f.lines for f in findings if f.severity != "note"
        )
        for slip, _, findings in lined
    )
    assert named >= 0.9 * len(lined)


#: What each kind must reach where it is less than four in five: a spoon of butter or sugar for
#: another, more or less sugar in a muffin or roll, one egg or three in a batter, often make another
#: formula that good books print too.
LEAST = {
    "spoons exchanged": 0.5, "sugar a third": 0.65, "sugar tripled": 0.65, "eggs tripled": 0.65,
    "liquid doubled": 0.6,
}  # fmt: skip


@pytest.mark.parametrize("kind", KINDS)
def test_every_kind_of_slip_is_mostly_caught(kind):
    verdicts = [verdict for slip, verdict, _ in looked_at_slips() if slip.kind == kind]
    assert sum(verdict != "sound" for verdict in verdicts) >= LEAST.get(kind, 0.8) * len(verdicts)


#: Known misses: one of two flours doubled, which moves the whole flour by a third to two thirds, to what
#: other good books print.
ONE_OF_TWO_FLOURS = {
    ("flour doubled", "farmer-third-bread"),
    ("flour doubled", "farmer-rye-muffins-ii"),
    ("flour doubled", "farmer-entire-wheat-griddle-cakes"),
}


@pytest.mark.parametrize(
    "kind", ["salt times ten", "leavener dropped", "powder and soda exchanged", "flour doubled"]
)
def test_grave_slips_are_never_sound(kind):
    for slip, verdict, _ in looked_at_slips():
        if slip.kind == kind and (kind, slip.formula_id) not in ONE_OF_TWO_FLOURS:
            assert verdict != "sound", slip.formula_id


def test_all_the_flour_doubled_is_never_sound():
    """Where a formula has two flours or three, each line of them is doubled; none of the fixed set's is
    called sound then."""
    for entry in ENTRIES:
        document = copy.deepcopy(entry["formula"])
        lines = document["components"][0]["ingredients"]
        flours = [line for line in lines if FLOUR(line["text"]) or "rye meal" in line["text"]]
        for line in flours:
            line["text"] = scaled(line["text"], Fraction(2)) or line["text"]
        if flours:
            assert look(load(document))[0] != "sound", entry["id"]


def test_known_misses_are_missed():
    """What is told by now is taken off the list."""
    missed = {(s.kind, s.formula_id) for s, verdict, _ in looked_at_slips() if verdict == "sound"}
    assert missed >= ONE_OF_TWO_FLOURS


@pytest.mark.parametrize(
    ("formula_id", "was", "wrong"),
    [
        ("farmer-baking-powder-biscuit-i", "1 teaspoon salt", "1 tablespoon salt"),
        ("farmer-cup-cakes", "4 teaspoons baking powder", "4 tablespoons baking powder"),
        ("farmer-twin-mountain-muffins", "3 teaspoons baking powder", "3 tablespoons baking powder"),
    ],
)
def test_a_wrong_spoon_is_told_as_one(formula_id, was, wrong):
    """Not as a moved decimal: of two readings that ease alike a cook takes the nearer."""
    document = copy.deepcopy(next(e for e in ENTRIES if e["id"] == formula_id)["formula"])
    (line,) = (e for e in document["components"][0]["ingredients"] if e["text"] == was)
    line["text"] = wrong
    findings = look(load(document))[1]
    (told,) = (f for f in findings if f.rule == "SLIP-01")
    assert "teaspoons would suit" in told.message
    assert not {"SLIP-03", "SLIP-04"} & loud(findings)


def test_flagged_slips_are_mostly_named_on_their_line():
    named: Counter[bool] = Counter()
    for slip, verdict, findings in looked_at_slips():
        if verdict == "sound" or "dropped" in slip.kind:
            continue
        pointer = f"/components/0/ingredients/{slip.line}"
        named[any(pointer in f.lines for f in findings if f.severity != "note")] += 1
    assert named[True] >= 0.85 * named.total()
