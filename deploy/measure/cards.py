"""Cards for measuring: twelve text lines each, made so that no line comes twice."""

from __future__ import annotations

import json
from collections.abc import Iterator

#: What a line says after its amount. The amounts differ from card to card.
LINES = (
    "cups sifted cake flour", "cups sugar", "cup butter, melted", "cups milk", "eggs, beaten",
    "teaspoons baking powder", "teaspoon salt", "teaspoons vanilla extract", "cup walnut meats, chopped",
    "tablespoons grated orange rind", "cup molasses", "oz raisins",
)  # fmt: skip


def card(number: int) -> dict[str, object]:
    """Give card ``number``: its lines are on no other card below 90,000."""
    whole, rest = divmod(number, 900)
    lines = [f"{whole + 1} {rest + 1}/{901 + place} {line}" for place, line in enumerate(LINES)]
    return {"title": f"Card {number}", "lines": lines, "method": "Mix and bake in a moderate oven."}


def formula(number: int) -> dict[str, object]:
    """Give the formula document with the lines of card ``number``, as a caller would send it."""
    ingredients = [{"text": line} for line in card(number)["lines"]]  # type: ignore[attr-defined]
    return {
        "name": f"Card {number}",
        "class": "butter-cake",
        "measures": "us",
        "egg_grade": "us-large",
        "components": [{"name": "Batter", "role": "batter", "ingredients": ingredients}],
    }


def records(count: int) -> Iterator[bytes]:
    """Give an archive of so many cards, one at a time."""
    for number in range(count):
        yield json.dumps(card(number)).encode()
