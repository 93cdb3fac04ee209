"""The view ``scaled``: the formula, what moved, and that it goes back in."""

from __future__ import annotations

import json
from fractions import Fraction
from pathlib import Path

import pytest

from schemas.answers import document_of
from schemas.formula import dump, load
from service.domain.changes import Changes
from service.domain.formula import Component, Formula, Line, Yield
from service.domain.quantity import Quantity
from service.errors import Invalid
from service.kitchen import Kitchen, open_kitchen
from service.views.changed import ChangedFormula
from service.views.registry import NoParams, all_views
from service.views.work import Work

BOOK = Path(__file__).parents[2] / "deploy" / "demo"
#: Sponge fingers of three eggs; the masses are USDA SR 26: an egg 50 g (NDB 01123), a cup of sugar
#: 200 g (NDB 19335).
FORMULA = Formula(
    "Sponge fingers",
    (
        Component(
            ingredients=(
                Line(text="3 eggs"),
                Line(text="½ cup granulated sugar"),
                Line(text="1 cup sifted cake flour"),
            )
        ),
    ),
    measures="us",
    egg_grade="us-large",
    yields=Yield(portions=Quantity.of(24)),
)


@pytest.fixture(scope="module")
def kitchen() -> Kitchen:
    return open_kitchen()


def ask(kitchen: Kitchen, formula: Formula, **changes: object) -> ChangedFormula:
    work = Work(kitchen, formula, Changes(**changes))  # type: ignore[arg-type]
    answer = all_views()["scaled"].run(work, NoParams())
    assert isinstance(answer, ChangedFormula)
    return answer


def test_answers_with_the_formula_and_its_drift(kitchen: Kitchen) -> None:
    answer = ask(kitchen, FORMULA, portions=Fraction(12), rounding="kitchen")
    document = document_of(answer)
    assert list(document) == ["complete", "formula", "drift", "assumptions", "problems"]
    assert document["complete"] is True
    assert [line["text"] for line in document["formula"]["components"][0]["ingredients"]] == [
        "2 eggs", "¼ cup granulated sugar", "1/2 cup sifted cake flour",
    ]  # fmt: skip
    assert document["formula"]["yield"] == {"portions": "12"}
    drift = document["drift"]
    drift = drift if isinstance(drift, dict) else document_of(drift)
    assert drift["factor"] == "1/2"
    egg = answer.drift.lines[0]
    # By hand: one and a half eggs of 50 g become two.
    assert (egg.line, egg.asked, egg.got, egg.percent) == (
        "/components/0/ingredients/0",
        75,
        100,
        33.3333,
    )


def test_figures_are_rounded_once(kitchen: Kitchen) -> None:
    answer = ask(kitchen, FORMULA, factor=Fraction(1, 3))
    assert answer.drift.lines[0].asked == 50
    assert answer.drift.lines[1].asked == 33.33  # 100 g / 3
    assert all(line.percent == 0 for line in answer.drift.lines)


def test_without_a_target_the_formula_stays(kitchen: Kitchen) -> None:
    answer = ask(kitchen, FORMULA)
    assert answer.formula is FORMULA
    assert answer.drift.factor is None
    assert answer.drift.notes == ()


def test_what_changes_assume_stands_with_what_weighing_assumes(kitchen: Kitchen) -> None:
    formula = Formula(
        "Any", FORMULA.components, measures="us",
        yields=Yield(portions=Quantity(Fraction(20), Fraction(28))),
    )  # fmt: skip
    codes = [one.code for one in ask(kitchen, formula, portions=Fraction(24)).assumptions]
    assert codes[0] == "yield-range"
    assert len(codes) > 1  # whose eggs


def test_a_target_that_does_not_fit_names_its_parameter(kitchen: Kitchen) -> None:
    bare = Formula("Any", FORMULA.components)
    with pytest.raises(Invalid) as refusal:
        ask(kitchen, bare, portions=Fraction(12))
    assert [fault.parameter for fault in refusal.value.faults] == ["portions"]


@pytest.mark.parametrize("path", sorted(BOOK.glob("*.json")), ids=lambda path: path.stem)
@pytest.mark.parametrize(
    "changes",
    [
        {"factor": Fraction(1, 3)},
        {"factor": Fraction(5, 2), "rounding": "kitchen"},
        {"factor": Fraction(2), "measures": "metric", "rounding": "kitchen"},
        {"as_": "mass", "rounding": "scale"},
        {"as_": "volume", "measures": "au"},
    ],
    ids=lambda changes: "-".join(changes),
)
def test_the_demo_book_goes_back_in(kitchen: Kitchen, path: Path, changes: dict[str, object]) -> None:
    """Contract, section 2.1: what comes out is a valid body, and says the same when read again."""
    document = json.loads(path.read_text("utf-8"))
    formula = load(document.get("formula", document), kitchen.vocabulary)
    answer = ask(kitchen, formula, **changes)
    again = load(json.loads(json.dumps(dump(answer.formula))), kitchen.vocabulary)
    assert dump(again) == dump(answer.formula)
    before, after = kitchen.scales.weigh(answer.formula), kitchen.scales.weigh(again)
    assert [line.grams for line in before.lines] == [line.grams for line in after.lines]
    assert len(after.lines) == len(kitchen.scales.weigh(formula).lines)
