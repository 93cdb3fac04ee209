"""Cards for measuring: twelve text lines each.

``card`` makes cards as kitchens write them, no line twice on the first 300; ``long_archive`` makes as
many records as are wanted, their amounts so odd that no line comes twice on 90,000.
"""

from __future__ import annotations

import json
from collections.abc import Iterator
from itertools import product
from typing import NamedTuple

#: What a line says after its amount: each once before any comes again.
THINGS = (
    "cups sifted cake flour", "cups sugar", "cups butter, melted", "cups milk", "eggs, beaten",
    "teaspoons baking powder", "teaspoons salt", "teaspoons vanilla extract",
    "cups walnut meats, chopped", "tablespoons grated orange rind", "cups molasses", "oz raisins",
    "cups flour", "cups brown sugar, packed", "tablespoons lard", "cups sour milk", "egg yolks",
    "teaspoons soda", "tablespoons cocoa", "teaspoons cinnamon", "cups dates, cut in pieces",
    "tablespoons honey", "lb. butter", "cups hot water", "cups bread flour", "tablespoons shortening",
    "cups cream", "egg whites", "teaspoons cream of tartar", "tablespoons lemon juice",
    "teaspoons ginger", "cups currants", "cups powdered sugar, sifted", "oz unsweetened chocolate",
    "cups buttermilk", "cups rolled oats", "cups graham flour", "tablespoons corn starch",
    "cups maple syrup", "teaspoons nutmeg", "cups almonds, blanched", "cups cold water", "cups cornmeal",
    "tablespoons melted butter", "cups whole wheat flour", "teaspoons cloves", "cups chopped figs",
    "cups yogurt", "cups rye flour", "tablespoons caster sugar", "cups pecans", "teaspoons allspice",
    "cups sour cream", "cups orange juice", "tablespoons water", "teaspoons mace", "cups coffee",
    "tablespoons oil", "cups scalded milk", "cups coconut",
)  # fmt: skip
#: Sixty amounts as people write them.
AMOUNTS = tuple(
    f"{whole}{part}"
    for part, whole in product(("", " 1/2", "½", " ¼", "¾", " 1/3", "⅔", " 3/4", "⅛", "⅓"), range(1, 7))
)
LINES = 12
PLAIN = 300


class Bake(NamedTuple):
    """A formula of twelve lines in a baker's usual ratios, and a slip in it: the place of a line, with
    the amount that stands there by mistake. Multiplied, no line comes twice."""

    name: str
    of_class: str
    lines: tuple[tuple[int, str], ...]
    slip: tuple[int, int]


BAKES = (
    Bake(
        "Spice Cake", "butter-cake",
        (
            (6, "cups sifted cake flour"), (3, "cups sugar"), (28, "g baking powder"), (9, "g salt"),
            (6, "oz lard"), (6, "oz butter"), (6, "eggs"), (2, "cups milk"), (12, "g vanilla extract"),
            (8, "g cinnamon"), (2, "g allspice"), (2, "cups raisins"),
        ),
        (3, 90),
    ),
    Bake(
        "Seeded Loaf", "lean-bread",
        (
            (900, "g bread flour"), (100, "g rye flour"), (650, "g water"), (18, "g salt"),
            (20, "g fresh yeast"), (11, "g sugar"), (10, "g lard"), (40, "g sunflower seeds"),
            (30, "g sesame seeds"), (31, "g flax seeds"), (21, "g rolled oats"), (5, "g malt extract"),
        ),
        (3, 36),
    ),
    Bake(
        "Fruit Muffins", "muffin",
        (
            (400, "g all-purpose flour"), (101, "g whole wheat flour"), (160, "g sugar"),
            (16, "g baking powder"), (4, "g salt"), (2, "eggs"), (360, "g milk"), (120, "g butter"),
            (6, "g vanilla extract"), (2, "g cinnamon"), (1, "g nutmeg"), (102, "g raisins"),
        ),
        (9, 23),
    ),
    Bake(
        "Gingerbread", "gingerbread",
        (
            (500, "g flour"), (375, "g molasses"), (121, "g sugar"), (150, "g butter"), (99, "g eggs"),
            (380, "g sour milk"), (7, "g soda"), (4, "g salt"), (10, "g ginger"), (5, "g cinnamon"),
            (2, "g cloves"), (62, "g raisins"),
        ),
        (8, 63),
    ),
    Bake(
        "Drop Cookies", "drop-cookie",
        (
            (401, "g flour"), (200, "g sugar"), (103, "g brown sugar"), (220, "g butter"),
            (104, "g eggs"), (3, "g soda"), (4, "g salt"), (8, "g vanilla extract"), (3, "g cinnamon"),
            (105, "g walnuts"), (122, "g raisins"), (10, "g water"),
        ),
        (6, 14),
    ),
    Bake(
        "Scones", "scone",
        (
            (502, "g flour"), (28, "g baking powder"), (60, "g sugar"), (106, "g butter"), (5, "g salt"),
            (50, "g eggs"), (250, "g milk"), (61, "g currants"), (2, "g cinnamon"), (1, "g nutmeg"),
            (5, "g vanilla extract"), (20, "g cream"),
        ),
        (1, 5),
    ),
)  # fmt: skip
BATCHES = 8


def card(number: int) -> dict[str, object]:
    """Give a card as kitchens write them; after ``PLAIN`` cards they begin again."""
    lines = []
    for place in range(number * LINES, (number + 1) * LINES):
        turn, thing = divmod(place, len(THINGS))
        lines.append(f"{AMOUNTS[turn % len(AMOUNTS)]} {THINGS[thing]}")
    return _named(number, lines)


def formula(number: int) -> dict[str, object]:
    """Give the formula document with the lines of a card, as a caller would send it."""
    ingredients = [{"text": line} for line in card(number)["lines"]]  # type: ignore[attr-defined]
    return {
        "name": f"Card {number}",
        "class": "butter-cake",
        "measures": "us",
        "egg_grade": "us-large",
        "components": [{"name": "Batter", "role": "batter", "ingredients": ingredients}],
    }


def batch(bake: Bake, times: int, *, slip: bool) -> dict[str, object]:
    """Give so many batches of a bake as a formula document, sound or with its slip."""
    amounts = [amount for amount, _ in bake.lines]
    if slip:
        amounts[bake.slip[0]] = bake.slip[1]
    ingredients = [
        {"text": f"{amount * times} {words}"}
        for amount, (_, words) in zip(amounts, bake.lines, strict=True)
    ]
    return {
        "name": f"{bake.name}, {times}",
        "class": bake.of_class,
        "measures": "us",
        "egg_grade": "us-large",
        "components": [{"ingredients": ingredients}],
    }


def archive(cards: int, times: int = 1) -> list[bytes]:
    """Give records of so many cards, each line standing on ``times`` of them."""
    return [json.dumps(card(number // times)).encode() for number in range(cards)]


def long_archive(count: int) -> Iterator[bytes]:
    """Give so many records, one at a time."""
    for number in range(count):
        whole, rest = divmod(number, 900)
        lines = [f"{whole + 1} {rest + 1}/{901 + place} {THINGS[place]}" for place in range(LINES)]
        yield json.dumps(_named(number, lines)).encode()


def _named(number: int, lines: list[str]) -> dict[str, object]:
    return {"title": f"Card {number}", "lines": lines, "method": "Mix and bake in a moderate oven."}
