"""The view ``dough``: yeast in each kind, what slows it, and the water's temperature."""

from __future__ import annotations

import pytest

from service.domain.formula import Component, Formula, Line
from service.errors import Invalid
from service.kitchen import Kitchen, open_kitchen
from service.views.dough import DoughAnswer, DoughParams
from service.views.registry import all_views
from service.views.work import Work

LOAF = ("500 g bread flour", "325 g water", "9 g salt", "4 g active dry yeast")


@pytest.fixture(scope="module")
def kitchen() -> Kitchen:
    return open_kitchen()


def ask(kitchen: Kitchen, *lines: str, role: str = "dough", **words: str) -> DoughAnswer:
    ingredients = tuple(Line(text=line) for line in lines)
    formula = Formula("Platform Loaf", (Component(role=role, ingredients=ingredients),), "lean-bread")
    answer = all_views()["dough"].run(Work(kitchen, formula), DoughParams(**words))
    assert isinstance(answer, DoughAnswer)
    return answer


def test_yeast_is_told_in_each_kind(kitchen: Kitchen) -> None:
    """A professional bread text: 0.4 g of active dry or 0.33 g of instant yeast for 1 g of fresh."""
    answer = ask(kitchen, *LOAF)
    forms = {each.ingredient: each.grams for each in answer.forms}
    assert forms["active-dry-yeast"] == pytest.approx(4)
    assert forms["fresh-yeast"] == pytest.approx(10, rel=0.01)
    assert forms["instant-yeast"] == pytest.approx(3.3, rel=0.01)
    assert answer.yeast_percent is not None
    assert answer.yeast_percent.value == pytest.approx(2, rel=0.01)


def test_what_slows_the_yeast_is_told_with_its_limit(kitchen: Kitchen) -> None:
    """Bread texts: gas falls off above 2 to 3 percent of salt (from memory)."""
    (salt,) = ask(kitchen, "500 g bread flour", "325 g water", "16 g salt", "10 g fresh yeast").slowed_by
    assert (salt.what, salt.slows) == ("salt", True)
    assert salt.percent_of_flour.value == pytest.approx(3.2)
    (usual,) = ask(kitchen, *LOAF).slowed_by
    assert usual.slows is False


def test_water_is_told_in_both_scales(kitchen: Kitchen) -> None:
    """A trade magazine for pizza bakers, June 2018: flour 65 F, room 75 F, friction 35, wished 80 F."""
    answer = ask(
        kitchen, *LOAF, dough_temperature="80F", room_temperature="75F", flour_temperature="65F",
        friction="35F",
    )  # fmt: skip
    assert answer.water is not None
    assert answer.water.fahrenheit == pytest.approx(65, abs=0.01)
    assert answer.water.celsius == pytest.approx(18.333, abs=0.01)
    assert (answer.water.factors, answer.water.notes) == (3, ())


def test_what_is_taken_for_granted_is_said(kitchen: Kitchen) -> None:
    answer = ask(
        kitchen, *LOAF, role="preferment", dough_temperature="24C", room_temperature="21C", friction="8C"
    )
    assert answer.water is not None
    assert answer.water.celsius == 3 * 24 - 21 - 21 - 8
    assert len(answer.water.notes) == 2


@pytest.mark.parametrize(
    ("wished", "room", "word"),
    [("28C", "5C", "harmed"), ("18C", "30C", "ice")],
)
def test_water_too_hot_or_too_cold_is_said(kitchen: Kitchen, wished: str, room: str, word: str) -> None:
    """A review of yeast data: loss begins at about 46 degrees Celsius; ice melts at 0."""
    answer = ask(
        kitchen, *LOAF, dough_temperature=wished, room_temperature=room, flour_temperature=room,
        friction="2C",
    )  # fmt: skip
    assert answer.water is not None
    assert any(word in note for note in answer.water.notes)


def test_without_a_wish_there_is_no_water(kitchen: Kitchen) -> None:
    assert ask(kitchen, *LOAF).water is None


def test_a_batter_without_yeast_has_no_yeast(kitchen: Kitchen) -> None:
    answer = ask(kitchen, "500 g bread flour", "325 g water")
    assert (answer.yeast_as_fresh, answer.forms, answer.slowed_by) == (None, (), ())


def test_every_fault_is_told_at_once(kitchen: Kitchen) -> None:
    with pytest.raises(Invalid) as refusal:
        ask(kitchen, *LOAF, dough_temperature="warm", flour_temperature="20C")
    faults = {(each.parameter, each.code) for each in refusal.value.faults}
    assert faults == {
        ("dough_temperature", "not-understood"), ("room_temperature", "required"),
        ("friction", "required"),
    }  # fmt: skip


def test_a_dough_beside_a_cake_is_told_too(kitchen: Kitchen) -> None:
    """Common practice, no source: each dough has its own yeast on its own flour."""
    lines = (
        ("200 g cake flour", "200 g sugar"),
        LOAF,
        ("400 g flour", "60 g butter", "12 g fresh yeast"),
    )
    classes = ("butter-cake", "lean-bread", "enriched-bread")
    parts = tuple(
        Component(role="dough", product_class=each, ingredients=tuple(Line(text=t) for t in texts))
        for each, texts in zip(classes, lines, strict=True)
    )
    answer = all_views()["dough"].run(Work(kitchen, Formula("Trio", parts)), DoughParams())
    assert isinstance(answer, DoughAnswer)
    assert answer.group == "/components/1"
    assert answer.yeast_percent is not None
    assert answer.yeast_percent.value == pytest.approx(2, rel=0.01), "4 g of dry on 500 g, as 10 g"
    (sweet,) = answer.beside
    assert sweet.group == "/components/2"
    assert sweet.yeast_percent is not None
    assert sweet.yeast_percent.value == pytest.approx(3, rel=0.01), "12 g on 400 g"


def test_a_dough_in_percent_is_told_at_a_gram_for_each(kitchen: Kitchen) -> None:
    """Arithmetic; a professional bread text: 0.8 g of active dry stands for 2 g of fresh."""
    answer = ask(kitchen, "100% bread flour", "65% water", "1.8% salt", "2% fresh yeast")
    assert (answer.per, answer.complete) == ("percent", True)
    assert {each.ingredient: each.grams for each in answer.forms}["active-dry-yeast"] == pytest.approx(
        0.8
    )
    assert answer.water_percent is not None
    assert answer.water_percent.value == pytest.approx(65, abs=1.5), "and the yeast's own"
