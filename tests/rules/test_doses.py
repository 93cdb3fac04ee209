"""Doses of spices, extracts and salt, and amounts that no kitchen writes."""

from __future__ import annotations

from fractions import Fraction

import pytest

from service.domain.formula import Line
from service.domain.quantity import Quantity
from service.rules.outside import Outside
from tests.rules.hand import a_formula, a_line, cupboard, found

DOSES = cupboard().limits["DOSE-01"]


def dosed(code: str, low: float, value: float, high: float):
    """A kilogram of everything, of which so many grams are of one ingredient."""
    grams = tuple(1000.0 * each / (1000.0 - each) for each in (value, low, high))
    weighed = a_formula({"dates": 1000.0, code: grams}, of_class="butter-cake")
    return found(weighed, "DOSE-01")


def ends():
    return [
        pytest.param(row, side, id=f"{row.code}:{side}") for row in DOSES for side in ("low", "high")
    ]


@pytest.mark.parametrize(("row", "side"), ends())
def test_dose_inside_on_outside_and_straddling(row, side):
    """The rows' own ends and sources (Lincoln, Boston Cook Book, table of proportions)."""
    code = row.measure.rpartition("/")[2]
    limit = Outside(row, side, 0.0, 0.0).limit
    outward = -1 if side == "low" else 1
    inside, outside = limit * (1 - 0.02 * outward), limit * (1 + 0.02 * outward)
    assert dosed(code, inside, inside, inside) == []
    assert dosed(code, limit, limit, limit) == []
    (finding,) = dosed(code, outside, outside, outside)
    stated = row.severity_low if side == "low" else row.severity_high
    assert (finding.severity, finding.certain, finding.limit) == (stated, True, row.code)
    assert finding.source == row.source
    low, high = sorted((inside, outside))
    (finding,) = dosed(code, low, outside, high)
    assert (finding.severity, finding.certain) == ("note", False)
    assert finding.settle


def written(text: str, amount: Fraction, unit: str):
    line = Line(text=text, ingredient="granulated-sugar", quantity=Quantity.of(amount), unit=unit)
    return found(
        a_formula([a_line("granulated-sugar", 100.0, line=line)], of_class="butter-cake"), "SLIP-06"
    )


@pytest.mark.parametrize(
    ("text", "amount", "unit"),
    [
        ("1/3 cup sugar", Fraction(1, 3), "cup"),
        ("7/8 cup sugar", Fraction(7, 8), "cup"),
        ("1/6 cup butter", Fraction(1, 6), "cup"),
        ("1 1/4 tablespoons powder", Fraction(5, 4), "tbsp"),
        ("13 cups sugar", Fraction(13), "cup"),
        ("1/2 tablespoon sugar", Fraction(1, 2), "tbsp"),
        ("2 1/3 tablespoons sugar", Fraction(7, 3), "tbsp"),
        ("1/8 teaspoon sugar", Fraction(1, 8), "tsp"),
        ("2 teaspoons sugar", Fraction(2), "tsp"),
        ("4 saltspoons sugar", Fraction(4), "saltspoon"),
        ("6 5/8 lb sugar", Fraction(53, 8), "lb"),
        ("1.3 g sugar", Fraction(13, 10), "g"),
        ("0.05 oz sugar", Fraction(1, 20), "oz"),
    ],
)
def test_amounts_that_kitchens_write_are_admitted(text, amount, unit):
    """A national survey's measuring guide, 1999 (sets of cups and spoons); TM 10-412 (eighths of a
    pound); Farmer, Boston Cooking-School Cook Book (a sixth of a cup of butter, 1 1/4 tablespoons of
    powder); decimals are how scales are read."""
    assert written(text, amount, unit) == []


@pytest.mark.parametrize(
    ("text", "amount", "unit"),
    [
        ("1/20 cup sugar", Fraction(1, 20), "cup"),
        ("1/10 cup sugar", Fraction(1, 10), "cup"),
        ("1/4 tablespoon sugar", Fraction(1, 4), "tbsp"),
        ("21 tablespoons sugar", Fraction(21), "tbsp"),
        ("7 teaspoons sugar", Fraction(7), "tsp"),
        ("10 saltspoons sugar", Fraction(10), "saltspoon"),
        ("10 tablespoons sugar", Fraction(10), "tbsp"),
        ("3/80 lb sugar", Fraction(3, 80), "lb"),
        ("1 1/10 g sugar", Fraction(11, 10), "g"),
        ("1/40 cake sugar", Fraction(1, 40), "cake"),
    ],
)
def test_amounts_that_no_kitchen_writes_are_told(text, amount, unit):
    """No set of measures has them: the same guide; a sixteenth of a cup is a tablespoon. Sugar by
    more than 2 teaspoons or 8 tablespoons: counted in the printed formulas of the tests. Four
    saltspoons are a teaspoon: Cocroft, Foods: Nutrition and Digestion, table of measures."""
    (finding,) = written(text, amount, unit)
    assert (finding.severity, finding.certain) == ("warning", False)
    assert finding.lines == ("/components/0/ingredients/0",)


def test_amounts_given_as_fields_are_not_judged():
    line = Line(ingredient="granulated-sugar", quantity=Quantity.of(Fraction(1, 20)), unit="cup")
    weighed = a_formula([a_line("granulated-sugar", 10.0, line=line)], of_class="butter-cake")
    assert found(weighed, "SLIP-06") == []
