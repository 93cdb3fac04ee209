"""Examples that the OpenAPI document shows: names of the demo book, and a small formula."""

from __future__ import annotations

from typing import Any

#: A formula of the demo book.
DEMO = "platform-two-muffins"

EXAMPLE: dict[str, Any] = {
    "name": "Guard's Van Drops",
    "class": "drop-cookie",
    "measures": "us",
    "components": [
        {
            "role": "dough",
            "ingredients": [
                {"text": "1 cup sifted flour"},
                {"text": "½ cup butter, softened"},
                {"ingredient": "granulated-sugar", "quantity": "3/4", "unit": "cup"},
                {"ingredient": "egg", "quantity": 1, "unit": "each"},
                {"text": "¼ teaspoon salt"},
            ],
        }
    ],
    "yield": {"portions": 24},
}

#: The same as a card in plain text: the title, then a line an ingredient.
CARD = """Guard's Van Drops
1 cup sifted flour
½ cup butter, softened
¾ cup sugar
1 egg
¼ teaspoon salt
"""

#: A house's own word on an ingredient.
HOUSE: dict[str, Any] = {
    "source": "three scoops weighed in our kitchen, March 2026",
    "weights": [{"measure": "cup_us", "state": "spooned", "grams": 118, "low": 114, "high": 123}],
}
