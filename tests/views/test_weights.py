"""The weights view: percentages by worked examples, shapes by the contract."""

from __future__ import annotations

from fractions import Fraction

import pytest

from service.domain.formula import Component, Formula, Line, Yield
from service.domain.quantity import Quantity
from service.domain.weighed import TOTALS
from service.kitchen import Kitchen, open_kitchen
from service.views.registry import NoParams
from service.views.weights import LineWeight, Weights, rounded, weights
from service.views.work import Work


@pytest.fixture(scope="module")
def kitchen() -> Kitchen:
    return open_kitchen()


def line(quantity: str | None, unit: str | None, ingredient: str) -> Line:
    amount = None if quantity is None else Quantity.of(Fraction(quantity))
    return Line(ingredient=ingredient, quantity=amount, unit=unit)


def answer(kitchen: Kitchen, *components: Component, **more: object) -> Weights:
    return weights(Work(kitchen, Formula("Something", components, **more)), NoParams())  # type: ignore[arg-type]


def by_code(found: Weights) -> dict[str | None, LineWeight]:
    return {line.ingredient: line for line in found.lines}


def test_percent_of_the_flour(kitchen: Kitchen) -> None:
    """Source: Bakers math lecture slides: flour 40 lb, water 23 lb is 57.5 percent."""
    dough = Component(ingredients=(line("40", "lb", "bread-flour"), line("23", "lb", "water")))
    found = by_code(answer(kitchen, dough))
    assert found["bread-flour"].percent == 100
    assert found["water"].percent == 57.5
    assert found["water"].percent_of_group == 57.5
    assert found["water"].share == pytest.approx(100 * 23 / 63, abs=0.01)


def test_percent_of_an_angel_cake(kitchen: Kitchen) -> None:
    """Source: Lowe, Experimental Cookery, Experiment 69: white 244 g, sugar 250 g, flour 100 g, cream
    of tartar 3.6 g, which is 1.48 percent of the white."""
    foam = Component(
        role="foam",
        ingredients=(
            line("244", "g", "egg-white"),
            line("250", "g", "granulated-sugar"),
            line("100", "g", "cake-flour"),
            line("3.6", "g", "cream-of-tartar"),
        ),
    )
    found = by_code(answer(kitchen, foam))
    white, tartar = found["egg-white"].percent, found["cream-of-tartar"].percent
    assert white is not None
    assert tartar is not None
    assert (white, found["granulated-sugar"].percent, tartar) == (244, 250, 3.6)
    assert 100 * tartar / white == pytest.approx(1.48, abs=0.02)


def test_percent_of_a_bread(kitchen: Kitchen) -> None:
    """Source: a bakery school's glossary: flour 1000, water 600, yeast 2, salt 10: salt 1 percent."""
    dough = Component(
        ingredients=(
            line("1000", "g", "bread-flour"), line("600", "g", "water"),
            line("2", "g", "fresh-yeast"), line("10", "g", "table-salt"),
        )
    )  # fmt: skip
    found = by_code(answer(kitchen, dough))
    assert found["table-salt"].percent == 1
    assert found["water"].percent == 60


def test_a_glaze_is_a_group_of_its_own(kitchen: Kitchen) -> None:
    """Source: the contract, section 5."""
    cake = Component("Cake", "batter", None, (line("200", "g", "cake-flour"), line("100", "g", "water")))
    pastry = Component("Lid", "topping", None, (line("50", "g", "cake-flour"), line("25", "g", "lard")))
    glaze = Component("Glaze", "glaze", None, (line("125", "g", "powdered-sugar"),))
    found = answer(kitchen, cake, pastry, glaze)
    rows = by_code(found)
    assert rows["water"].percent == 40
    assert rows["water"].percent_of_group == 50
    assert rows["lard"].percent == 10
    assert rows["lard"].percent_of_group == 50
    assert rows["powdered-sugar"].percent == 50
    assert rows["powdered-sugar"].percent_of_group is None
    assert rows["powdered-sugar"].share == 25
    assert [(c.name, c.group, c.grams, c.share) for c in found.components] == [
        ("Cake", "baked", 300, 60),
        ("Lid", "/components/1", 75, 15),
        ("Glaze", "/components/2", 125, 25),
    ]


def test_without_flour_there_are_shares_alone(kitchen: Kitchen) -> None:
    """Source: the contract, section 5: null and shares of total mass instead."""
    meringue = Component(ingredients=(line("100", "g", "egg-white"), line("300", "g", "caster-sugar")))
    rows = by_code(answer(kitchen, meringue))
    assert rows["egg-white"].percent is None
    assert rows["egg-white"].percent_of_group is None
    assert rows["egg-white"].share == 25


def test_totals_are_all_there_with_their_bands(kitchen: Kitchen) -> None:
    found = answer(kitchen, Component(ingredients=(line("100", "g", "whole-milk"),)))
    assert set(found.totals) == set(TOTALS)
    water = found.totals["water"]
    assert (water.grams, water.low, water.high, water.unit) == (88.13, 88.13, 88.13, "g")
    assert found.totals["acids"].unit == "meq"


def test_an_unknown_total_has_no_value_but_its_band(kitchen: Kitchen) -> None:
    stranger = Component(ingredients=(line("100", "g", "water"), line("10", "g", "unobtainium")))
    found = answer(kitchen, stranger)
    fat = found.totals["fat"]
    assert (fat.grams, fat.low, fat.high, fat.unknown) == (None, 0, 10, ("unobtainium",))
    acids = found.totals["acids"]
    assert (acids.grams, acids.low, acids.high) == (None, None, None)
    assert found.totals["grams"].grams == 110
    assert found.complete


def test_what_does_not_weigh_is_named_with_its_reason(kitchen: Kitchen) -> None:
    mixed = Component(
        ingredients=(
            line(None, None, "table-salt"), line("1", "cup", "unobtainium"), line("5", "g", "salt"),
        )
    )  # fmt: skip
    found = answer(kitchen, mixed)
    assert [(u.pointer, u.reason, u.states_amount) for u in found.unweighed] == [
        ("/components/0/ingredients/0", "no-amount", False),
        ("/components/0/ingredients/1", "unknown-ingredient", True),
    ]
    assert not found.complete
    assert len(found.lines) == 3
    assert found.lines[1].grams is None


def test_a_portion_is_its_share(kitchen: Kitchen) -> None:
    batter = Component(ingredients=(line("800", "g", "cake-flour"),))
    found = answer(kitchen, batter, yields=Yield(portions=Quantity(Fraction(8), Fraction(10))))
    portion = found.per_portion
    assert portion is not None
    assert (portion.portions, portion.low, portion.high) == (9, 80, 100)
    assert portion.grams == pytest.approx(88.89, abs=0.005)
    assert answer(kitchen, batter).per_portion is None


def test_an_alternative_is_shown_beside_its_line(kitchen: Kitchen) -> None:
    either = Component(ingredients=(Line(text="1 cup butter or 1 cup lard"),))
    (only,) = answer(kitchen, either, measures="us").lines
    (other,) = only.alternatives
    assert (other.ingredient, other.grams) == ("lard", 205), "USDA SR NDB 04002"
    assert other.pointer.endswith("/alternatives/0")


def test_every_gram_has_a_basis_with_its_source(kitchen: Kitchen) -> None:
    batter = Component(ingredients=(Line(text="2 cups sifted cake flour"), Line(text="3 eggs")))
    for row in answer(kitchen, batter, measures="us", egg_grade="us-large").lines:
        assert row.basis is not None
        assert row.basis.source
        assert row.basis.row.split(":")[0] in ("weights", "eggs")


@pytest.mark.parametrize(
    ("value", "shown"),
    [(281.25, 281.25), (281.2549, 281.25), (281.256, 281.26), (0.06161, 0.0616), (0.0, 0.0),
     (-3.006, -3.01), (1.0, 1.0), (0.99999, 1.0)],
)  # fmt: skip
def test_masses_are_rounded_as_scales_show_them(value: float, shown: float) -> None:
    """Source: this service's own rule: 0.01 g, below a gram 0.0001 g."""
    assert rounded(value) == shown
