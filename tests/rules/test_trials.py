"""Changes judged by what they touch alone are judged as the whole group would be anew.

There is nothing outside the project to hold this to: the same group, built from scratch, is the measure.
"""

from __future__ import annotations

import json
from dataclasses import replace
from pathlib import Path

import pytest

from schemas.formula import load
from service.domain.band import Band
from service.domain.finding import SEVERITIES
from service.kitchen import open_kitchen
from service.rules.judging import groups_of
from service.rules.measures import MEASURES, measure_of
from service.rules.ranges import held
from service.rules.registry import run_rules
from service.rules.strain import whole_strain
from service.rules.styles import held_by, style_of
from service.rules.trials import Change, Move, Trials, changed, grades_of
from tests.rules.hand import a_formula, judged

KITCHEN = open_kitchen()
VECTORS = Path(__file__).parents[1] / "vectors" / "sound_formulas.ndjson"
ENTRIES = [json.loads(line) for line in VECTORS.read_text("utf-8").splitlines() if line.strip()]
GROUPS = [
    pytest.param(
        groups_of(
            KITCHEN.scales.weigh(load(entry["formula"])), KITCHEN.cupboard, KITCHEN.measures
        )[0][0],
        id=entry["id"],
    )
    for entry in ENTRIES[::3]
]  # fmt: skip


def anew(group):
    """The same group without a base: nothing of it is known."""
    return replace(group, base=None, touched=frozenset())


def near(band):
    if band is None:
        return None
    ends = (band.value, band.low, band.high)
    return tuple(pytest.approx(end, rel=1e-9, abs=1e-9) for end in ends)


def plain(band):
    return None if band is None else (band.value, band.low, band.high)


def trials_of(group):
    for line in group.lines:
        if line.grams is None or line.code is None or line.grams.value <= 0:
            continue
        for factor in (0.5, 3.0):
            yield group.with_line_times(line, factor)
        grams = Band.exact(line.grams.value * 2)
        yield group.with_exchanged((line, replace(line, grams=grams)))
        yield group.with_exchanged((line, replace(line, code="baking-powder")))
        yield group.with_exchanged((None, replace(line, code="honey")))


@pytest.mark.parametrize("group", GROUPS)
def test_every_measure_is_as_if_measured_anew(group):
    for name in MEASURES:
        measure_of(group, name)
    for trial in trials_of(group):
        whole = anew(trial)
        for name in MEASURES:
            assert plain(measure_of(trial, name)) == near(measure_of(whole, name)), name
        assert whole_strain(trial) == pytest.approx(whole_strain(whole))


@pytest.mark.parametrize("group", GROUPS[::2])
def test_the_same_measures_are_found_outside(group):
    """By the style that a trial has: which one was meant is asked of what is judged alone."""
    held(group)
    for trial in trials_of(group):
        whole = anew(trial)
        style = style_of(whole)
        assert style_of(trial) == style
        outside = {key for key, each in held(trial).items() if each.found}
        assert outside == {key for key, each in held_by(whole, style).items() if each.found}


@pytest.mark.parametrize("group", GROUPS[::4])
def test_a_change_is_found_as_if_judged_anew(group):
    before = run_rules(group)
    had, trials = grades_of(before), Trials(group, before)
    for line in group.lines:
        if line.grams is None or line.code is None:
            continue
        change = Change((Move(line, line.grams.value * 1.4, line.code),))
        trial, whole = trials.trial(change), run_rules(anew(changed(group, change)))
        new = [each for each in whole if is_new(each, had)]
        slips = [each for each in new if each.rule.startswith("SLIP")]
        assert grades_of(trial.brings(len(whole))) == grades_of(
            each for each in new if each not in slips or slips == new
        )
        for each in before:
            if not each.rule.startswith("SLIP"):
                assert trial.silences(each) is (each.rule not in {other.rule for other in whole})


def is_new(finding, had):
    grades = grades_of([finding])
    return any(grade < had.get(key, len(SEVERITIES)) for key, grade in grades.items())


def test_a_kind_that_goes_leaves_nothing_behind():
    """0.1 + 0.2 - 0.1 - 0.2 is not zero in binary: a kind without lines must be none at all."""
    group = judged(a_formula({"all-purpose-flour": 300.0, "baking-soda": 0.1}, of_class="muffin"))
    trial = group.with_exchanged((group.lines[1], replace(group.lines[1], code="baking-powder")))
    assert not trial.amounts.has("soda")
    assert trial.amounts.of("powder").value == 0.1


def test_a_change_counts_what_it_moves():
    group = judged(a_formula({"all-purpose-flour": 300.0, "water": 200.0}, of_class="lean-bread"))
    flour, water = group.lines
    change = Change(
        (
            Move(flour, 250.0, "all-purpose-flour"),
            Move(water, 210.0, "water"),
            Move(None, 6.0, "table-salt"),
        )
    )
    assert change.moved == 50 + 10 + 6
    assert [line.grams.value for line in changed(group, change).lines if line.grams] == [250, 210, 6]
