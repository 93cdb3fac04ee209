"""Each baked group is judged by its own class: a crust under a cake is no part of its batter."""

from __future__ import annotations

from schemas.formula import load
from service.rules.judging import groups_of
from tests.rules.printed import KITCHEN

BATTER = ["1 cup flour", "1 cup sugar", "1/2 cup butter", "2 eggs", "1 tsp baking powder"]
CRUST = ["1 1/4 cups flour", "1/2 cup butter", "3 tbsp water"]


def groups(*components, **formula):
    document = {"name": "Cake in a crust", "measures": "us", **formula, "components": list(components)}
    return groups_of(KITCHEN.scales.weigh(load(document)), KITCHEN.cupboard, KITCHEN.measures)


def sizes(told):
    return [(group.product_class, len(group.lines)) for group, _ in told]


def part(role: str, lines: list[str], product_class: str | None = None) -> dict[str, object]:
    stated = {"class": product_class} if product_class else {}
    return {"role": role, **stated, "ingredients": [{"text": text} for text in lines]}


def test_two_classes_are_two_groups():
    """Common practice, no source: paste and cake are balanced each by itself."""
    told = groups(part("batter", BATTER, "butter-cake"), part("dough", CRUST, "short-pastry"))
    assert sizes(told) == [
        ("butter-cake", 5),
        ("short-pastry", 3),
    ]
    assert [by for _, by in told] == ["stated", "stated"]


def test_a_component_of_another_class_than_the_formula_stands_alone():
    told = groups(
        part("batter", BATTER), part("dough", CRUST, "short-pastry"), **{"class": "butter-cake"}
    )
    assert sizes(told) == [
        ("butter-cake", 5),
        ("short-pastry", 3),
    ]


def test_parts_of_one_class_and_a_preferment_stay_together():
    one = groups(part("batter", BATTER, "chiffon"), part("foam", ["4 egg whites"], "chiffon"))
    assert [len(g.lines) for g, _ in one] == [6]
    two = groups(part("preferment", ["1 cup flour", "1/2 cup water"], "lean-bread"),
                 part("dough", ["2 cups flour", "1 egg"], "enriched-bread"))  # fmt: skip
    assert [len(g.lines) for g, _ in two] == [4]
