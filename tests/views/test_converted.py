"""The view ``converted``: other measures, the same masses, and what the conversion said."""

from __future__ import annotations

import pytest

from service.domain.changes import Changes
from service.domain.formula import Component, Formula, Line
from service.kitchen import Kitchen, open_kitchen
from service.views.changed import ChangedFormula
from service.views.registry import NoParams, all_views
from service.views.work import Work


@pytest.fixture(scope="module")
def kitchen() -> Kitchen:
    return open_kitchen()


def formula(*texts: str, measures: str | None = None) -> Formula:
    lines = tuple(Line(text=text) for text in texts)
    return Formula("A card", (Component(ingredients=lines),), measures=measures)


def ask(kitchen: Kitchen, given: Formula, **changes: object) -> ChangedFormula:
    work = Work(kitchen, given, Changes(**changes))  # type: ignore[arg-type]
    answer = all_views()["converted"].run(work, NoParams())
    assert isinstance(answer, ChangedFormula)
    return answer


def test_masses_stay_and_nothing_moved(kitchen: Kitchen) -> None:
    answer = ask(kitchen, formula("2 cups flour", "1 cup milk", "2 eggs"), measures="metric")
    assert answer.formula.measures == "metric"
    assert answer.complete
    for line in answer.drift.lines:
        assert line.got == line.asked
        assert line.percent == pytest.approx(0, abs=1e-4)
    for ratio in answer.drift.ratios:
        assert ratio.after == pytest.approx(ratio.before, rel=1e-5)


def test_what_the_old_measures_left_open_is_still_said(kitchen: Kitchen) -> None:
    """A conversion settles which cup is written, not which cup was meant."""
    codes = {one.code for one in ask(kitchen, formula("2 cups flour"), measures="metric").assumptions}
    assert {"measures-not-said", "handling-not-said"} <= codes
    masses = {one.code for one in ask(kitchen, formula("2 cups flour"), as_="mass").assumptions}
    assert {"measures-not-said", "handling-not-said", "mass-by-table"} <= masses


def test_what_is_not_known_leaves_the_answer_incomplete(kitchen: Kitchen) -> None:
    answer = ask(kitchen, formula("2 cups frobnicated gorm", "1 cup milk"), as_="mass")
    assert not answer.complete
    assert answer.drift.lines[0].asked is None
    assert "/components/0/ingredients/0 does not weigh" in answer.drift.notes[0]


def test_every_view_takes_the_changes(kitchen: Kitchen) -> None:
    """Contract, section 2.3: a label of the formula without walnuts, doubled, is one call."""
    given = formula("2 cups flour", "½ cup walnuts (optional)", measures="us")
    changes = Changes(as_="mass", rounding="scale")
    work = Work(kitchen, given, changes)
    for view in all_views().values():
        if view.params is NoParams:
            view.run(work, NoParams())
    weights = all_views()["weights"].run(work, NoParams())
    assert [line.grams for line in weights.lines] == [round(line.grams) for line in weights.lines]
