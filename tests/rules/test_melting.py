"""Chocolate that is folded in as pieces, and chocolate that is melted into the batter.

Common practice, no source, but where one is named: chopped chocolate of drop cookies, muffins and breads
stays in pieces, that of brownies and cakes is melted.
"""

from __future__ import annotations

import pytest

from service.domain.formula import Line
from service.rules.judging import judge
from tests.rules.hand import a_formula, a_line, cupboard, found, judged

FLOUR = ("all-purpose-flour", 400.0)


def formula(of_class, code="bittersweet-chocolate", state=(), method=()):
    line = a_line(code, 400.0, 1, line=Line(ingredient=code, state=state))
    return a_formula([a_line(*FLOUR), line], of_class=of_class, method=method)


@pytest.mark.parametrize(
    ("of_class", "state", "method", "of_the_crumb"),
    [
        ("drop-cookie", ("chopped",), (), False),
        ("drop-cookie", (), (), False),
        ("muffin", ("pieces",), (), False),
        ("drop-cookie", ("melted",), (), True),
        ("drop-cookie", ("grated",), (), True),
        ("drop-cookie", ("chopped",), ("Melt the chocolate with the butter.",), True),
        ("drop-cookie", (), ("When the chocolate has melted, beat in the eggs.",), True),
        ("drop-cookie", (), ("Melt the butter, then stir in the chocolate.",), False),
        ("drop-cookie", (), ("Stir in the chopped chocolate.", "Melt the butter."), False),
        ("brownie", ("chopped",), (), True),
        ("chocolate-cake", (), (), True),
        ("rolled-cookie", (), (), True),
        ("brownie", ("chips",), (), False),
        ("brownie", ("chips",), ("Melt the chocolate chips with the butter.",), True),
        ("drop-cookie", ("chips",), ("Drizzle with melted chocolate.",), False),
    ],
)  # fmt: skip
def test_chocolate_is_of_the_crumb_where_somebody_melts_it(of_class, state, method, of_the_crumb):
    group = judged(formula(of_class, state=state, method=method))
    assert group.amounts.has("chocolate") is of_the_crumb
    assert group.amounts.of("total").value == 800.0


def test_unsweetened_chocolate_is_always_melted():
    """USDA SR28, NDB 19078: 0.91 percent of sugars; nobody eats it in pieces."""
    assert judged(formula("drop-cookie", "unsweetened-chocolate")).amounts.has("chocolate")


def test_drinking_chocolate_is_a_powder_and_sprinkles_stay_whole():
    assert judged(formula("muffin", "drinking-chocolate")).amounts.has("chocolate")
    assert not judged(formula("brownie", "chocolate-sprinkles")).amounts.has("chocolate")


def test_chips_beside_the_chocolate_that_is_melted_stay_chips():
    chips = a_line("semisweet-chocolate", 170.0, 1, line=Line("1 cup chips", state=("chips",)))
    lines = [a_line(*FLOUR), chips, a_line("unsweetened-chocolate", 113.0, 2)]
    group = judged(a_formula(lines, of_class="brownie", method=("Melt the chocolate.",)))
    assert group.amounts.of("chocolate").value == 113.0


def test_what_is_taken_for_pieces_is_said_with_what_settles_it():
    (told,) = found(formula("drop-cookie", state=("chopped",)), "MIX-01")
    assert told.severity == "note"
    assert not told.certain
    assert told.settle is not None
    assert told.lines == ("/components/0/ingredients/1",)


@pytest.mark.parametrize(("of_class", "state"), [("drop-cookie", ("chips",)), ("brownie", ())])
def test_nothing_is_said_where_nothing_is_taken(of_class, state):
    assert found(formula(of_class, state=state), "MIX-01") == []


def test_a_pound_of_chocolate_beside_flour_is_no_sugar_too_many():
    """Common household chocolate-chunk cookies, no source: to 400 g of flour 225 g of butter, 340 g of
    sugar, 2 eggs and 450 g of chopped chocolate."""
    chopped = Line(ingredient="bittersweet-chocolate", state=("chopped",))
    weighed = a_formula(
        [
            a_line("all-purpose-flour", 400.0), a_line("butter-unsalted", 225.0, 1),
            a_line("brown-sugar", 340.0, 2), a_line("egg", 100.0, 3), a_line("baking-soda", 5.0, 4),
            a_line("table-salt", 6.0, 5), a_line("bittersweet-chocolate", 450.0, 6, line=chopped),
        ],
        of_class="drop-cookie",
    )  # fmt: skip
    (verdict,) = judge(weighed, cupboard())
    assert [each for each in verdict.findings if each.severity != "note"] == []
