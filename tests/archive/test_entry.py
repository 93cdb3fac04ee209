"""A record is told by its members and read to a formula; what comes out goes back in."""

from __future__ import annotations

from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from schemas.formula import dump, load
from service.archive.entry import _surely_fits, read_entry
from service.errors import Invalid
from service.kitchen import Kitchen

CARD: dict[str, Any] = {"title": "Buffer-Stop Buns", "lines": ["2 cups flour", "1 egg"]}


def test_a_card_keeps_its_title_lines_and_method(kitchen: Kitchen) -> None:
    formula = read_entry({**CARD, "method": "Mix."}, kitchen).formula
    assert formula.name == "Buffer-Stop Buns"
    assert [line.text for line in formula.components[0].ingredients] == CARD["lines"]
    assert formula.method == ("Mix.",)


def test_other_texts_of_a_card_become_notes_and_the_rest_is_told(kitchen: Kitchen) -> None:
    entry = read_entry({**CARD, "book": "A Porter's Hand-Book", "page": 7}, kitchen)
    assert entry.formula.notes == ("book: A Porter's Hand-Book",)
    assert [problem.code for problem in entry.problems] == ["not-taken"]
    assert "page" in entry.problems[0].detail


def test_a_formula_comes_back_in_its_envelope(kitchen: Kitchen) -> None:
    """Contract, sections 2.1 and 7: every formula that the service returns is a record."""
    formula = {"name": "Buns", "components": [{"ingredients": [{"text": "1 egg"}]}]}
    alone = read_entry(formula, kitchen)
    envelope = {"id": "buns", "version": 1, "digest": "0" * 64, "formula": formula}
    assert read_entry(envelope, kitchen) == alone
    with pytest.raises(Invalid) as refused:
        read_entry({**envelope, "formula": {**formula, "nmae": "x"}}, kitchen)
    assert [fault.pointer for fault in refused.value.faults] == ["/formula/nmae"]


def test_a_recipe_keeps_its_portions(kitchen: Kitchen) -> None:
    recipe = {"@type": "Recipe", "name": "Buns", "recipeIngredient": ["1 egg"], "recipeYield": "8"}
    yields = read_entry(recipe, kitchen).formula.yields
    assert yields is not None
    assert yields.portions is not None
    assert yields.portions.low == 8


def test_a_formula_is_taken_as_it_stands(kitchen: Kitchen) -> None:
    document: dict[str, Any] = {"name": "Buns", "components": [{"ingredients": [{"text": "1 egg"}]}]}
    assert dump(read_entry(document, kitchen).formula) == document


@pytest.mark.parametrize(
    ("document", "pointers"),
    [
        ({"title": " ", "lines": "2 eggs"}, {"/title", "/lines"}),
        ({"lines": []}, {"/title", "/lines"}),
        ({"title": "Buns", "lines": ["1 egg", 2, "x" * 2001]}, {"/lines/1", "/lines/2"}),
        ({"title": "Buns", "lines": ["1 egg"] * 257}, {"/lines"}),
        ({**CARD, "measures": "metrik", "method": 3}, {"/measures", "/method"}),
        ({"@type": "Recipe", "name": "x" * 201, "recipeIngredient": ["1 egg"]}, {"/name"}),
        ({"name": "Buns", "components": [], "colour": 1}, {"/components", "/colour"}),
        ({}, {"/name", "/components"}),
    ],
)
def test_every_fault_of_a_record_is_told_with_its_place(
    document: dict[str, Any], pointers: set[str], kitchen: Kitchen
) -> None:
    with pytest.raises(Invalid) as refusal:
        read_entry(document, kitchen)
    assert {fault.pointer for fault in refusal.value.faults} == pointers


def test_a_card_of_more_things_than_a_formula_holds_is_refused(kitchen: Kitchen) -> None:
    with pytest.raises(Invalid) as refusal:
        read_entry({"title": "Buns", "lines": ["1 cup each sugar and milk"] * 200}, kitchen)
    assert {fault.code for fault in refusal.value.faults} == {"too-many"}


@pytest.mark.parametrize(
    "line",
    [
        "2 cups " + "x" * 250,
        "1 cup each sugar and " + "zibble " * 60,
        "sugar or " + "y" * 300,
        "z" * 2000,
    ],
)
def test_a_line_of_long_unknown_words_costs_no_card(line: str, kitchen: Kitchen) -> None:
    entry = read_entry({**CARD, "lines": ["1 egg", line]}, kitchen)
    assert load(dump(entry.formula), kitchen.vocabulary) == entry.formula
    assert "unknown-ingredient" in {problem.code for problem in entry.problems}


WORDS = st.sampled_from(
    ["2 1/4", "0", "½", "9999999", "1-2", "cups", "lb", "(450 g)", "each", "sugar", "and", "milk", "or",
     "egg whites", "For the", "glaze:", "few grains", "melted", "butter", "zibble", "x" * 120, "%"]
)  # fmt: skip
LINES = st.lists(st.lists(WORDS, min_size=1, max_size=8).map(" ".join), min_size=1, max_size=6)


@given(LINES)
def test_a_card_of_whatever_words_reads_to_a_formula_that_goes_back_in(
    kitchen: Kitchen, lines: list[str]
) -> None:
    formula = read_entry({"title": "Buns", "lines": ["1 egg", *lines]}, kitchen).formula
    assert load(dump(formula), kitchen.vocabulary) == formula


@given(LINES.filter(lambda lines: max(map(len, lines)) <= 100))
def test_a_usual_card_needs_no_closer_look(kitchen: Kitchen, lines: list[str]) -> None:
    usual = [line for line in lines if not {"0", "9999999"} & set(line.split())]
    assert _surely_fits(read_entry({"title": "Buns", "lines": ["1 egg", *usual]}, kitchen).formula)
