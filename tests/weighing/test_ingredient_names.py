"""Ingredients as many kitchens name them: labelled by reading the line, before the program read it."""

from __future__ import annotations

import pytest

from service.domain.formula import Component, Formula, Line
from service.domain.weighed import WeighedLine
from service.kitchen import Kitchen
from tests.weighing.test_household_weights import rows

NAMED = rows("ingredient_names.csv")


def weigh(kitchen: Kitchen, text: str, measures: str) -> tuple[WeighedLine, ...]:
    """Weigh one line."""
    components = (Component(ingredients=(Line(text=text),)),)
    return kitchen.scales.weigh(Formula(name="One line", components=components, measures=measures)).lines


@pytest.mark.parametrize("row", NAMED, ids=lambda row: row["text"])
def test_the_line_names_the_ingredient_that_is_meant(kitchen: Kitchen, row: dict[str, str]) -> None:
    (line,) = weigh(kitchen, row["text"], row["measures"])
    assert line.code in row["codes"].split(";"), row["source"]


def test_there_are_enough_of_them_and_each_has_a_source() -> None:
    assert len(NAMED) >= 120
    assert all(row["source"] for row in NAMED)


# Pack sizes by common practice, no source: cubes of 42 g in Germany, Austria, Switzerland and France,
# 25 g in Italy; packets of 50 g in the Nordic countries; sachets of baking powder of 11 to 17 g; pots of
# yogurt of 125 g.
@pytest.mark.parametrize(
    ("text", "grams"),
    [
        ("1 cube fresh yeast", 42),
        ("1/2 cube fresh yeast", 21),
        ("1 packet fresh yeast", 50),
        ("1 sachet baking powder", 15),
        ("1 pot plain yogurt", 125),
    ],
)
def test_packs_weigh_what_is_sold(kitchen: Kitchen, text: str, grams: float) -> None:
    (line,) = weigh(kitchen, text, "metric")
    assert line.grams is not None
    assert line.grams.value == pytest.approx(grams)


# Common practice, no source: yeast is pressed into cubes and cakes, and dried in packets.
@pytest.mark.parametrize(
    ("text", "measures", "code"),
    [
        ("1/2 cube of yeast", "us", "fresh-yeast"),
        ("1/2 cube of yeast", "metric", "fresh-yeast"),
        ("1 cake of yeast", "us", "fresh-yeast"),
        ("1 sachet yeast", "metric", "instant-yeast"),
        ("1 packet yeast", "us", "active-dry-yeast"),
        ("1 cup yeast", "us", "liquid-yeast"),
        ("30 g yeast", "metric", "fresh-yeast"),
    ],
)
def test_yeast_is_what_is_sold_by_its_measure(
    kitchen: Kitchen, text: str, measures: str, code: str
) -> None:
    (line,) = weigh(kitchen, text, measures)
    assert line.code == code


# Commission Delegated Regulation (EU) 2023/2465 (before it Regulation 589/2008), weight grades in the
# shell, from memory: M from 53 to 63 g, L from 63 to 73 g. What is edible is 0.84 to 0.92 of it (USDA
# SR28, NDB 01123: refuse 12 percent).
@pytest.mark.parametrize(
    ("text", "least", "most"),
    [
        ("4 eggs (size M)", 4 * 53 * 0.84, 4 * 63 * 0.92),
        ("4 eggs, size L", 4 * 63 * 0.84, 4 * 73 * 0.92),
        ("4 size L eggs", 4 * 63 * 0.84, 4 * 73 * 0.92),
    ],
)  # fmt: skip
def test_eggs_of_a_grade_weigh_what_it_admits(
    kitchen: Kitchen, text: str, least: float, most: float
) -> None:
    (line,) = weigh(kitchen, text, "metric")
    assert line.grams is not None
    assert least <= line.grams.value <= most


# D.P.R. 187/2001, article 1, and DIN 10355 (1991), from memory: what a type leaves open is said.
@pytest.mark.parametrize(
    ("text", "also"),
    [("500 g flour type 0", "bread-flour"), ("500 g wheat flour type 550", "bread-flour")],
)
def test_a_type_that_two_flours_fit_names_the_other(kitchen: Kitchen, text: str, also: str) -> None:
    (line,) = weigh(kitchen, text, "metric")
    assert also in line.otherwise
