"""The bench measures what it says: every figure comes, in its unit, with its rounds."""

from __future__ import annotations

import json

import pytest

from deploy.measure.cards import BAKES, BATCHES, PLAIN, Bake, archive, batch, card, long_archive
from deploy.measure.in_process import (
    archive_growth,
    archive_share,
    cold_weights,
    findings_over_weights,
)
from deploy.measure.report import Figure, stored_views, table
from schemas.formula import load
from service.kitchen import open_kitchen
from service.rules.judging import judge


def test_no_line_comes_twice_on_the_cards() -> None:
    lines = [line for number in range(PLAIN) for line in card(number)["lines"]]  # type: ignore[attr-defined]
    assert len(set(lines)) == len(lines) == 12 * PLAIN
    long = [line for record in long_archive(2000) for line in json.loads(record)["lines"]]
    assert len(set(long)) == len(long) == 12 * 2000


@pytest.mark.parametrize("bake", BAKES, ids=lambda bake: bake.name)
def test_a_bake_is_sound_without_its_slip(bake: Bake) -> None:
    """Sound by usual ratios, as cards.py has them; the slip trebles or halves a line at least."""
    kitchen = open_kitchen()
    for slip in (False, True):
        formula = load(batch(bake, 3, slip=slip))
        assert len(formula.components[0].ingredients) == 12
        verdicts = judge(kitchen.scales.weigh(formula), kitchen.cupboard, kitchen.measures)
        loud = [f for each in verdicts for f in each.findings if f.severity != "note"]
        assert bool(loud) is slip


def test_no_line_of_a_bake_comes_twice() -> None:
    for bake in BAKES:
        documents = [batch(bake, times, slip=False) for times in range(1, BATCHES + 1)]
        lines = [line["text"] for one in documents for line in one["components"][0]["ingredients"]]  # type: ignore[index]
        assert len(set(lines)) == len(lines) == 12 * BATCHES


def test_lines_repeat_as_often_as_asked() -> None:
    assert len(set(archive(30, 3))) == 10


def test_figures_in_process() -> None:
    assert len(cold_weights(2, 3)) == 2
    assert all(cost > 0 for cost in cold_weights(1, 3) + archive_share(1, 6, 3))
    assert archive_growth(1, 3) >= 0
    assert all(cost > 0 for slip in (False, True) for cost in findings_over_weights(1, slip=slip))


def test_figures_over_http_are_ratios_of_one_run() -> None:
    for figure in stored_views(1, 0.1):
        assert len(figure.rounds) == 1
        assert 0 < figure.median < 5
        assert figure.unit.startswith("of a bare Flask route")


def test_the_table_shows_the_target_beside_the_figure() -> None:
    head, row = table([Figure("a thing", "J", "≤ 5", [3.0, 1.0, 2.0])]).splitlines()
    assert head.split() == ["figure", "median", "least", "most", "target", "unit"]
    assert row.split() == ["a", "thing", "2.00", "1.00", "3.00", "≤", "5", "J"]
