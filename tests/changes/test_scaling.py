"""Scaling: the factor that each target gives, and what it does to a formula."""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction

import pytest

from service.changes.apply import apply
from service.domain.changes import Changes
from service.domain.formula import Component, Dimension, Formula, Line, Yield
from service.domain.quantity import Quantity
from service.errors import Invalid
from service.kitchen import Kitchen
from tests.changes.cards import Change, card, lines, texts


def of_percents(*pairs: tuple[str, int | float], yields: Yield | None = None) -> Formula:
    rows = tuple(
        Line(ingredient=name, quantity=Quantity.of(Fraction(str(percent))), unit="%")
        for name, percent in pairs
    )
    return Formula("By percent", (Component(ingredients=rows),), yields=yields)


def refused(change: Change, formula: Formula, query: str) -> list[tuple[str | None, str, str]]:
    with pytest.raises(Invalid) as refusal:
        change(formula, query)
    return [(fault.parameter, fault.code, fault.detail) for fault in refusal.value.faults]


# Arithmetic by hand: each amount times the factor, in the spelling of the line.
@pytest.mark.parametrize(
    ("text", "factor", "expected"),
    [
        ("2 ¼ cups sifted cake flour", "2", "4 ½ cups sifted cake flour"),
        ("1½ cups sugar", "1/3", "½ cup sugar"),
        ("½ cup butter, melted", "3", "1½ cups butter, melted"),
        ("Whites 4 eggs", "2", "Whites 8 eggs"),
        ("Yolks of three eggs", "2", "Yolks of 6 eggs"),
        ("1 egg", "4", "4 eggs"),
        ("2 eggs", "1/2", "1 egg"),
        ("1 tablespoonful soda", "2", "2 tablespoonfuls soda"),
        ("2 to 3 tbsp. milk", "2", "4 to 6 tbsp. milk"),
        ("1 lb. (450 g) raisins", "2", "2 lb. (900 g) raisins"),
        ("Grated rind ½ lemon", "2", "Grated rind 1 lemon"),
        ("¾ teaspoon soda (scant)", "2", "1½ teaspoons soda (scant)"),
        ("1½ cups cake flour or 1⅓ cups plain flour", "2", "3 cups cake flour or 2⅔ cups plain flour"),
        ("1 cup milk or water", "2", "2 cups milk or water"),
        ("1 cup plus 2 tbsp flour", "2", "2 1/4 cups flour"),
        ("2 (8 oz) cans pumpkin", "2", "4 (8 oz) cans pumpkin"),
        ("250.5 g honey", "2", "501 g honey"),
        ("1 1/3 cups water", "1/2", "2/3 cup water"),
        ("Flour", "2", "Flour"),
    ],
)  # fmt: skip
def test_puts_the_amount_in_its_place(change: Change, text: str, factor: str, expected: str) -> None:
    assert texts(change(card(text), f"factor={factor}").formula) == [expected]


def test_a_line_of_two_things_becomes_two_lines(change: Change) -> None:
    done = change(card("1 cup each sugar and milk"), "factor=2").formula
    assert texts(done) == ["2 cups sugar", "2 cups milk"]


def test_the_yield_scales_and_the_piece_stays(change: Change) -> None:
    piece = Dimension(Quantity.of(60), "g")
    formula = card("2 cups flour", yields=Yield(pieces=Quantity.of(12), piece_mass=piece))
    done = change(formula, "factor=3/2").formula
    assert done.yields == Yield(pieces=Quantity.of(18), piece_mass=piece)


def test_factor_one_and_no_target_give_the_same_object(change: Change, kitchen: Kitchen) -> None:
    formula = card("2 cups flour", "1 egg")
    assert change(formula, "").formula is formula
    assert change(formula, "factor=1").formula is formula
    assert change(formula, "rounding=none").formula is formula


def test_portions_follow_the_yield(change: Change) -> None:
    formula = card("2 cups flour", yields=Yield(portions=Quantity.of(8)))
    done = change(formula, "portions=12")
    assert texts(done.formula) == ["3 cups flour"]
    assert done.formula.yields == Yield(portions=Quantity.of(12))
    assert done.drift.factor == "1 1/2"


def test_portions_of_a_range_are_its_middle_and_said(change: Change) -> None:
    formula = card("2 cups flour", yields=Yield(portions=Quantity(Fraction(6), Fraction(10))))
    done = change(formula, "portions=16")
    assert texts(done.formula) == ["4 cups flour"]
    assert [one.code for one in done.assumptions] == ["yield-range"]


def test_a_piece_stands_for_a_portion_and_is_said(change: Change) -> None:
    formula = card("2 cups flour", yields=Yield(pieces=Quantity.of(8)))
    done = change(formula, "portions=4")
    assert texts(done.formula) == ["1 cup flour"]
    assert [one.code for one in done.assumptions] == ["piece-is-portion"]


def test_portions_without_a_yield_are_refused(change: Change) -> None:
    (fault,) = refused(change, card("2 cups flour"), "portions=12")
    assert fault[:2] == ("portions", "yield-missing")
    assert "yield.portions" in fault[2]


# A baker's exercise: white 50, wholemeal 20, semolina 30, water 70, instant yeast 1.5, salt 2;
# 1,400 g of dough hold 807 g of flour, 565 g of water, 16 g of salt ("Bakers percentage tutorial
# exercises", answers page). Flour: 1400 / 1.735 = 806.9.
DOUGH = (
    ("bread-flour", 50), ("whole-wheat-flour", 20), ("semolina", 30), ("water", 70),
    ("instant-yeast", 1.5), ("table-salt", 2),
)  # fmt: skip


@pytest.mark.parametrize("made", [None, Yield(mass=Dimension(Quantity.of(700), "g"))])
def test_a_mass_of_a_formula_in_percent(change: Change, kitchen: Kitchen, made: Yield | None) -> None:
    done = change(of_percents(*DOUGH, yields=made), "mass=1400g").formula
    weighed = kitchen.scales.weigh(done)
    flour, water = weighed.totals["flour"], weighed.lines[3].grams
    assert flour is not None
    assert water is not None
    assert flour.value == pytest.approx(807, abs=0.5)
    assert water.value == pytest.approx(565, abs=0.5)
    assert lines(done) == lines(of_percents(*DOUGH))


def test_flour_of_a_formula_in_percent(change: Change, kitchen: Kitchen) -> None:
    # Dough of 168 percent: 900 g hold 535.7 g of flour (arithmetic: 900 / 1.68), and back.
    formula = of_percents(("bread-flour", 100), ("water", 66), ("table-salt", 2))
    weighed = kitchen.scales.weigh(change(formula, "flour=535.714286g").formula)
    total = weighed.totals["grams"]
    assert total is not None
    assert total.value == pytest.approx(900, abs=0.1)


@pytest.mark.parametrize("query", ["flour=535.714286g", "mass=900g"])
def test_percent_written_as_text_is_percent(change: Change, kitchen: Kitchen, query: str) -> None:
    # The same dough of 168 percent, as a card writes it: 900 / 1.68 = 535.7 (arithmetic).
    weighed = kitchen.scales.weigh(
        change(card("100% bread flour", "66% water", "2% salt"), query).formula
    )
    total, flour = weighed.totals["grams"], weighed.totals["flour"]
    assert total is not None
    assert flour is not None
    assert (total.value, flour.value) == pytest.approx((900, 535.7), abs=0.1)


def test_mass_and_flour_reach_their_target(change: Change, kitchen: Kitchen) -> None:
    formula = card("2 cups sifted flour", "1 cup milk", "1 egg")
    for query, total, grams in (
        ("mass=900g", "grams", 900.0),
        ("mass=2lb", "grams", 907.18474),  # 2 x 453.59237 g, UCUM 2.2 [lb_av]
        ("flour=1kg", "flour", 1000.0),
    ):
        band = kitchen.scales.weigh(change(formula, query).formula).totals[total]
        assert band is not None
        assert band.value == pytest.approx(grams, rel=1e-6), query


def test_a_mass_with_unweighed_lines_is_refused_naming_each(change: Change) -> None:
    formula = card("2 cups flour", "3 cups of frobnicated gorm", "salt", "1 cup of gormless grue")
    faults = refused(change, formula, "mass=900g")
    assert [(parameter, code) for parameter, code, _ in faults] == [("mass", "unweighed")] * 2
    assert "/components/0/ingredients/1" in faults[0][2]
    assert "/components/0/ingredients/3" in faults[1][2]


def test_a_target_needs_a_unit_of_mass(change: Change) -> None:
    assert refused(change, card("2 cups flour"), "mass=2cup")[0][:2] == ("mass", "unknown-unit")
    assert refused(change, card("2 cups flour"), "flour=2blorp")[0][:2] == ("flour", "unknown-unit")
    assert refused(change, card("2 cups milk"), "flour=500g")[0][:2] == ("flour", "no-flour")


# A loaf of 800 g that loses 12 percent in the oven takes 909.1 g of dough (arithmetic: 800 / 0.88).
def test_pieces_with_their_losses(change: Change, kitchen: Kitchen) -> None:
    formula = card("500 g bread flour", "350 g water", "10 g salt")
    done = change(formula, "pieces=2&piece_mass=800g&bake_loss=12%25").formula
    total = kitchen.scales.weigh(done).totals["grams"]
    assert total is not None
    assert total.value == pytest.approx(2 * 909.1, abs=0.2)
    assert done.yields == Yield(pieces=Quantity.of(2), piece_mass=Dimension(Quantity.of(800), "g"))
    with_scrap = change(formula, "pieces=2&piece_mass=800g&bake_loss=12%25&scrap=5%25").formula
    total = kitchen.scales.weigh(with_scrap).totals["grams"]
    assert total is not None
    assert total.value == pytest.approx(2 * 800 / 0.88 / 0.95, rel=1e-6)  # arithmetic


# 12 rolls of 60 g that lose 12 percent take 818.2 g of dough (arithmetic: 720 / 0.88).
@pytest.mark.parametrize(
    "made", [None, Yield(pieces=Quantity.of(6), piece_mass=Dimension(Quantity.of(80), "g"))]
)
def test_pieces_of_a_formula_in_percent(change: Change, kitchen: Kitchen, made: Yield | None) -> None:
    done = change(of_percents(*DOUGH, yields=made), "pieces=12&piece_mass=60g&bake_loss=0.12").formula
    total = kitchen.scales.weigh(done).totals["grams"]
    assert total is not None
    assert total.value == pytest.approx(818.2, abs=0.1)
    assert done.yields is not None
    assert done.yields.pieces == Quantity.of(12)


def test_remarks_among_the_lines_weigh_nothing_and_hinder_nothing(change: Change) -> None:
    done = change(card("500 g flour", "Bake in a slow oven."), "mass=1kg").formula
    assert texts(done) == ["1000 g flour", "Bake in a slow oven."]


def test_a_decimal_is_written_as_its_language_does(change: Change) -> None:
    done = change(card("5 g salt", measures="metric", language="de"), "factor=1/8").formula
    assert texts(done) == ["0,625 g salt"]


def test_pieces_by_the_formulas_own_yield(change: Change) -> None:
    piece = Dimension(Quantity.of(60), "g")
    formula = card("2 cups flour", yields=Yield(pieces=Quantity.of(8), piece_mass=piece))
    done = change(formula, "pieces=20").formula
    assert texts(done) == ["5 cups flour"]
    assert done.yields == Yield(pieces=Quantity.of(20), piece_mass=piece)
    assert refused(change, card("2 cups flour"), "pieces=20")[0][:2] == ("pieces", "yield-missing")


def test_results_beyond_the_bounds_are_refused_like_inputs(change: Change) -> None:
    formula = card("900000 g flour", "2 cups milk", "800000 g sugar")
    faults = refused(change, formula, "factor=2")
    assert [fault[:2] for fault in faults] == [("factor", "out-of-bounds")] * 2
    assert "/components/0/ingredients/2" in faults[1][2]


def test_pans_and_method_are_left_and_said(change: Change) -> None:
    formula = replace(card("2 cups flour"), method=("Stir in 1 cup of the flour, bake 30 minutes.",))
    notes = " ".join(change(formula, "factor=2").drift.notes)
    assert "method stays as written" in notes
    plain = replace(card("2 cups flour"), method=("Bake 30 minutes at 350 °F.",))
    assert change(plain, "factor=2").drift.notes == ()


def test_two_targets_are_refused_by_apply_too(kitchen: Kitchen) -> None:
    changes = Changes(factor=Fraction(2), portions=Fraction(4))
    with pytest.raises(Invalid) as refusal:
        apply(card("2 cups flour"), changes, kitchen.scales)
    assert [fault.parameter for fault in refusal.value.faults] == ["factor", "portions"]
