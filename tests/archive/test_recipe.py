"""A schema.org Recipe is read as a card. Source of the shapes: schema.org, type Recipe, and the
examples on its page for recipeIngredient, recipeInstructions and recipeYield."""

from __future__ import annotations

from fractions import Fraction
from typing import Any

import pytest

from service.archive.recipe import is_recipe, read_recipe
from service.domain.reading import Card
from service.errors import Invalid

PLAIN: dict[str, Any] = {
    "@context": "https://schema.org",
    "@type": "Recipe",
    "name": "Porter's Plain Bun",
    "recipeIngredient": ["2 cups flour", "1 egg"],
}


def test_a_plain_recipe_becomes_a_card() -> None:
    assert read_recipe(PLAIN) == Card("Porter's Plain Bun", ("2 cups flour", "1 egg"))


@pytest.mark.parametrize(
    ("kind", "holds"),
    [
        ("Recipe", True),
        (["NewsArticle", "Recipe"], True),
        ("https://schema.org/Recipe", True),
        ("schema:Recipe", True),
        ("Menu", False),
        (None, False),
    ],
)
def test_a_recipe_says_so(kind: object, holds: bool) -> None:
    assert is_recipe({"@type": kind}) is holds


def test_a_recipe_is_found_in_a_graph() -> None:
    graph = {"@graph": [{"@type": "WebPage"}, PLAIN]}
    assert read_recipe(graph).title == "Porter's Plain Bun"


@pytest.mark.parametrize(
    ("instructions", "steps"),
    [
        ("Mix.\nBake.", ("Mix.", "Bake.")),
        (["Mix.", "Bake."], ("Mix.", "Bake.")),
        ([{"@type": "HowToStep", "text": "Mix."}, {"name": "Bake."}], ("Mix.", "Bake.")),
        (
            {"@type": "HowToSection", "name": "Dough", "itemListElement": [{"text": "Mix."}]},
            ("Dough", "Mix."),
        ),
        ({"@type": "ItemList", "itemListElement": ["Mix.", "Bake."]}, ("Mix.", "Bake.")),
    ],
    ids=["text", "texts", "steps", "section", "list"],
)  # fmt: skip
def test_instructions_become_steps_in_order(instructions: object, steps: tuple[str, ...]) -> None:
    assert read_recipe({**PLAIN, "recipeInstructions": instructions}).method == steps


@pytest.mark.parametrize(
    ("yields", "portions"),
    [
        (12, Fraction(12)),
        ("12", Fraction(12)),
        ("Serves 4", Fraction(4)),
        (["6 servings", "1 tin"], Fraction(6)),
        ({"@type": "QuantitativeValue", "value": 8, "unitText": "portions"}, Fraction(8)),
        ("2 loaves", None),
        ("4-6 servings", None),
        ("0", None),
        (True, None),
    ],
)
def test_a_yield_counts_portions_only_where_it_says_so(
    yields: object, portions: Fraction | None
) -> None:
    assert read_recipe({**PLAIN, "recipeYield": yields}).portions == portions


def test_every_fault_is_told_with_its_place() -> None:
    with pytest.raises(Invalid) as refusal:
        read_recipe({"@graph": [{"@type": "Recipe", "recipeIngredient": ["1 egg", 2]}]})
    told = [(fault.pointer, fault.code) for fault in refusal.value.faults]
    assert told == [("/@graph/0/name", "required"), ("/@graph/0/recipeIngredient/1", "type")]
