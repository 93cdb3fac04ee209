"""Cards for measuring: twelve text lines each.

``card`` makes cards as kitchens write them, no line twice on the first 300; ``long_archive`` makes as
many records as are wanted, their amounts so odd that no line comes twice on 90,000.
"""

from __future__ import annotations

import json
from collections.abc import Iterator
from itertools import product

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
#: A spiced butter cake in a baker's usual ratios, twelve lines; multiplied, no line comes twice.
CAKE = (
    (6, "cups sifted cake flour"), (3, "cups sugar"), (28, "g baking powder"), (9, "g salt"),
    (6, "oz lard"), (6, "oz butter"), (6, "eggs"), (2, "cups milk"), (12, "g vanilla extract"),
    (8, "g cinnamon"), (2, "g allspice"), (2, "cups raisins"),
)  # fmt: skip
BATCHES = 24


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


def cake(batch: int) -> dict[str, object]:
    """Give so many batches of one sound cake as a formula document; no line of it in another."""
    ingredients = [{"text": f"{amount * batch} {words}"} for amount, words in CAKE]
    return {
        "name": f"Spice Cake, {batch}",
        "class": "butter-cake",
        "measures": "us",
        "egg_grade": "us-large",
        "components": [{"role": "batter", "ingredients": ingredients}],
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
