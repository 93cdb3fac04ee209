"""Cards to formulas. The cards are our own; what they say is told by reading them."""

from __future__ import annotations

from fractions import Fraction

import pytest

from schemas.formula import dump, load
from service.domain.formula import Dimension, Pan, Range
from service.domain.quantity import Quantity
from service.domain.reading import Card, Reading
from service.kitchen import Kitchen
from service.reading.card import read_card, read_text

CARD = Card(
    title="Signal-box Buns",
    lines=(
        "For the dough:",
        "3 cups flour",
        "½ teaspoon vanilla or",
        "¼ teaspoon almond extract",
        "1 cup each milk and water",
        "See page 12",
        "For the glaze:",
        "1 cup powdered sugar",
        "2 tbsp frobnitz",
    ),
    method=("Knead, let rise one hour, and bake in a moderate oven forty to forty-five minutes.",),
    measures="us",
)


@pytest.fixture(scope="module")
def read(kitchen: Kitchen) -> Reading:
    return read_card(CARD, kitchen.reader)


def test_headings_open_components_with_their_roles(read: Reading) -> None:
    parts = [(part.name, part.role, len(part.ingredients)) for part in read.formula.components]
    assert parts == [("For the dough", "dough", 4), ("For the glaze", "glaze", 2)]


@pytest.mark.parametrize("heading", ["For the icing", "Icing", "For the cream cheese frosting"])
def test_a_heading_before_its_first_line_opens_a_component(kitchen: Kitchen, heading: str) -> None:
    """The text tells: what stands behind the colon is an ingredient of the part that it names."""
    lines = ("200 g flour", f"{heading}: 100 g butter", "200 g icing sugar")
    parts = read_card(
        Card(title="Cake", lines=lines, measures="metric"), kitchen.reader
    ).formula.components
    assert [part.name for part in parts] == [None, heading]
    assert [part.role for part in parts] == [None, "glaze" if "ing" in heading[-3:] else None]
    assert [len(part.ingredients) for part in parts] == [1, 2]


def test_a_line_that_ends_with_or_takes_the_next_as_its_alternative(read: Reading) -> None:
    line = read.formula.components[0].ingredients[1]
    assert line.text == "½ teaspoon vanilla or ¼ teaspoon almond extract"
    assert [(one.ingredient, one.quantity) for one in line.alternatives] == [
        ("almond-extract", Quantity.of(Fraction(1, 4)))
    ]


def test_a_line_with_two_things_is_two_entries(read: Reading) -> None:
    lines = read.formula.components[0].ingredients[2:]
    assert [(one.text, one.ingredient) for one in lines] == [
        ("1 cup milk", "whole-milk"),
        ("1 cup water", "water"),
    ]


def test_no_line_is_lost(read: Reading) -> None:
    assert [line.text for line in read.lines] == list(CARD.lines)
    assert read.formula.notes == ("See page 12",)
    assert read.formula.method == CARD.method


def test_problems_point_into_the_card(read: Reading) -> None:
    assert {(p.code, p.line) for p in read.problems} == {
        ("remark", "/lines/5"),
        ("unknown-ingredient", "/lines/8"),
    }


def test_assumptions_point_into_the_formula(read: Reading) -> None:
    told = {(one.pointer, one.assumed.code) for one in read.assumptions}
    assert ("/components/0/ingredients/0", "ambiguous-name") in told
    assert ("/bake", "oven-word") in told


def test_what_comes_out_goes_back_in(kitchen: Kitchen, read: Reading) -> None:
    assert load(dump(read.formula), kitchen.vocabulary) == read.formula
    for component in read.formula.components:
        for line in component.ingredients:
            assert [one.line for one in kitchen.reader.read_line(line.text or "").items] == [line]


def test_no_default_is_filled_in(kitchen: Kitchen) -> None:
    formula = read_card(Card("Plain", ("1 cup flour",)), kitchen.reader).formula
    assert formula.measures is None
    assert formula.product_class is None
    assert formula.bake is None
    assert formula.yields is None


@pytest.mark.parametrize(
    ("heading", "role"),
    [
        ("For the filling:", "filling"), ("Lemon frosting:", "glaze"), ("Streusel topping:", "topping"),
        ("Cinnamon swirl:", "swirl"), ("For the cake", "batter"), ("Poolish:", "preferment"),
        ("Meringue:", "foam"), ("FILLING", "filling"), ("Aunt’s secret part:", None),
    ],
)  # fmt: skip
def test_roles_go_by_the_heading(kitchen: Kitchen, heading: str, role: str | None) -> None:
    formula = read_card(Card("Card", (heading, "1 cup sugar")), kitchen.reader).formula
    assert [(part.role, len(part.ingredients)) for part in formula.components] == [(role, 1)]


@pytest.mark.parametrize(
    ("method", "temperature", "minutes"),
    [
        # Oven words: NIST, Culinary Temperature page, legacy oven words.
        ("Bake one hour in a slow oven.", (300, 325, "[degF]"), (60, 60)),
        ("Bake in a moderate oven forty-five minutes.", (350, 375, "[degF]"), (45, 45)),
        ("Bake twelve to fifteen minutes in a hot oven.", (400, 450, "[degF]"), (12, 15)),
        ("Bake at 350°F for 30 to 35 minutes.", (350, 350, "[degF]"), (30, 35)),
        ("Bake at 180 °C for 1 hour 15 minutes.", (180, 180, "Cel"), (75, 75)),
        ("Bake at gas mark 4 for 25 min.", (4, 4, "gas"), (25, 25)),
        ("Bake one and one-quarter hours in a deep pan.", None, (75, 75)),
        ("Let rise one hour. Bake.", None, None),
        ("Chill two hours and serve.", None, None),
    ],
)
def test_oven_and_time_where_they_are_plain(
    kitchen: Kitchen,
    method: str,
    temperature: tuple[float, float, str] | None,
    minutes: tuple[float, float] | None,
) -> None:
    bake = read_card(Card("Card", ("1 cup flour",), (method,)), kitchen.reader).formula.bake
    found = bake.temperature if bake else None
    assert found == (None if temperature is None else Range(*temperature))
    assert (bake.minutes if bake else None) == (None if minutes is None else Range(*minutes))


def _side(value: int | str, unit: str = "[in_i]") -> Dimension:
    return Dimension(Quantity.of(Fraction(value)), unit)


@pytest.mark.parametrize(
    ("method", "pans"),
    [
        ("Pour into two greased 9-inch round cake pans.",
         (Pan("round", diameter=_side(9), count=2, preparation="greased"),)),
        ("Turn into a buttered 9 x 13 inch pan.",
         (Pan("rectangle", length=_side(13), width=_side(9), preparation="greased"),)),
        ("Turn into an 8x8-inch tin.", (Pan("square", length=_side(8)),)),
        ("Fill a 9 x 5 x 3-inch loaf pan.",
         (Pan("loaf", length=_side(9), width=_side(5), depth=_side(3)),)),
        ("Line a 23 cm round tin.", (Pan("round", diameter=_side(23, "cm")),)),
        ("Roll one-half inch thick, shape round, and place in a pan.", ()),
        ("Bake in a shallow pan.", ()),
    ],
)  # fmt: skip
def test_pans_where_shape_and_size_are_told(
    kitchen: Kitchen, method: str, pans: tuple[Pan, ...]
) -> None:
    assert read_card(Card("Card", ("1 cup flour",), (method,)), kitchen.reader).formula.pans == pans


def test_portions_of_a_remark(kitchen: Kitchen) -> None:
    formula = read_card(Card("Card", ("1 cup flour", "Serves 8")), kitchen.reader).formula
    assert formula.yields is not None
    assert formula.yields.portions == Quantity.of(8)
    assert formula.notes == ("Serves 8",)


def test_parts_a_card_of_plain_text() -> None:
    text = (
        "Signal-box Buns\n\n3 cups flour\n1 egg\n\nFor the glaze:\n1 cup powdered sugar\n\n"
        "Mix the flour with the egg and knead well.\nBake forty minutes in a moderate oven.\n"
    )
    card = read_text(text, "us")
    assert card.title == "Signal-box Buns"
    assert card.lines == ("3 cups flour", "1 egg", "For the glaze:", "1 cup powdered sugar")
    assert card.method == (
        "Mix the flour with the egg and knead well.",
        "Bake forty minutes in a moderate oven.",
    )


@pytest.mark.parametrize("text", ["", "   \n\n", "Only a title"])
def test_a_card_without_lines(text: str) -> None:
    assert read_text(text).lines == ()
