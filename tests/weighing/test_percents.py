"""Lines in percent of the flour, against worked examples of bakers' mathematics."""

from __future__ import annotations

import pytest

from service.domain.formula import Component, Dimension, Equivalent, Formula, Line, Yield
from service.domain.quantity import Quantity
from service.domain.weighed import Weighed
from service.kitchen import Kitchen
from tests.weighing.lines import amount, line, said, weigh

DOUGH = "Bakers percentage tutorial exercises, answers page"
LECTURE = "Bakers math lecture slides (formula in percent)"


def mass(quantity: str, unit: str) -> Dimension:
    found = amount(quantity)
    assert found is not None
    return Dimension(found, unit)


def made(kitchen: Kitchen, makes: Yield | None, *lines: Line) -> Weighed:
    return kitchen.scales.weigh(Formula("Dough", (Component(ingredients=lines),), yields=makes))


def percents(*pairs: tuple[str, str]) -> tuple[Line, ...]:
    return tuple(line(percent, "%", ingredient) for percent, ingredient in pairs)


def test_a_yield_weighs_the_flour(kitchen: Kitchen) -> None:
    """Source: DOUGH: white 50, wholemeal 20, semolina 30, water 70, instant yeast 1.5, salt 2; dough
    of 1400 g: flour 807 g, water 565 g, salt 16 g."""
    lines = percents(
        ("50", "all-purpose-flour"), ("20", "whole-wheat-flour"), ("30", "semolina"),
        ("70", "water"), ("1.5", "instant-yeast"), ("2", "table-salt"),
    )  # fmt: skip
    found = made(kitchen, Yield(mass=mass("1400", "g")), *lines)
    got = {w.code: w.grams.value for w in found.lines if w.grams}
    flour = found.totals["flour"]
    assert flour is not None
    assert flour.value == pytest.approx(807, abs=0.5), DOUGH
    assert got["water"] == pytest.approx(565, abs=0.5), DOUGH
    assert got["table-salt"] == pytest.approx(16, abs=0.5), DOUGH
    assert sum(got.values()) == pytest.approx(1400)
    assert found.complete
    assert {w.basis.kind for w in found.lines if w.basis} == {"percent"}
    assert len(said(found, "yield-taken-as-mixed")) == 1


def test_one_mass_weighs_the_rest(kitchen: Kitchen) -> None:
    """Source: LECTURE: flour 40 lb, salt 1.75 percent is 0.7 lb."""
    found = weigh(kitchen, line(40, "lb", "bread-flour"), line("1.75", "%", "table-salt"))
    salt = found.lines[1].grams
    assert salt is not None
    assert salt.value / 453.59237 == pytest.approx(0.7, abs=0.001), LECTURE


def test_a_percent_with_its_own_mass_weighs_the_rest(kitchen: Kitchen) -> None:
    """Source: DOUGH: flour 75, wholemeal 20, rye 5, water 50, milk 10, yeast 1, salt 2, of which the
    milk weighs 50 g: dough 815 g."""
    milk = line("10", "%", "whole-milk", equivalent=Equivalent(Quantity.of(50), "g"))
    lines = percents(
        ("75", "all-purpose-flour"), ("20", "whole-wheat-flour"), ("5", "rye-flour"), ("50", "water"),
        ("1", "fresh-yeast"), ("2", "table-salt"),
    )  # fmt: skip
    total = made(kitchen, None, *lines, milk).totals["grams"]
    assert total is not None
    assert total.value == pytest.approx(815, abs=0.5), DOUGH


def test_pieces_times_their_mass_are_a_yield(kitchen: Kitchen) -> None:
    """Source: arithmetic: 900 g of dough at 168 percent in all is 535.7 g of flour."""
    pieces = Yield(pieces=Quantity.of(9), piece_mass=mass("100", "g"))
    lines = percents(("100", "bread-flour"), ("66", "water"), ("2", "table-salt"))
    flour = made(kitchen, pieces, *lines).totals["flour"]
    assert flour is not None
    assert flour.value == pytest.approx(535.7, abs=0.1)


def test_percent_is_of_all_flour(kitchen: Kitchen) -> None:
    """Arithmetic: where 80 of 100 parts of flour weigh 400 g, 20 percent of rye weigh 100 g."""
    found = weigh(kitchen, line(400, "g", "bread-flour"), line(20, "%", "rye-flour"))
    assert found.lines[1].grams is not None
    assert found.lines[1].grams.value == pytest.approx(100)


@pytest.mark.parametrize("makes", [None, Yield(portions=Quantity.of(8)), Yield(mass=mass("2", "cup"))])
def test_without_a_mass_a_percent_stays_unweighed(kitchen: Kitchen, makes: Yield | None) -> None:
    found = made(kitchen, makes, *percents(("100", "bread-flour"), ("66", "water")))
    assert [w.reason for w in found.lines] == ["percent-without-flour"] * 2
    assert not found.complete


def test_percents_that_leave_no_room_for_the_weighed_flour_stay_unweighed(kitchen: Kitchen) -> None:
    found = weigh(kitchen, line(400, "g", "bread-flour"), line(100, "%", "rye-flour"))
    assert found.lines[1].reason == "percent-without-flour"
    tight = Yield(mass=mass("300", "g"))
    found = made(kitchen, tight, line(400, "g", "water"), *percents(("100", "bread-flour")))
    assert found.lines[1].reason == "percent-without-flour"
