"""A cake that is wrong in many ways, with a name that must be escaped, and a loaf of two doughs; own
invention."""

from __future__ import annotations

from typing import Any

WRONG_CAKE: dict[str, Any] = {
    "name": "A very long name of a cake that the village hall class wrote <down> & never weighed",
    "class": "chocolate-cake",
    "measures": "us",
    "components": [
        {
            "ingredients": [
                {"text": text}
                for text in (
                    "2 cups flour", "4 cups sugar", "1/2 cup butter", "2 eggs", "1/2 cup cocoa",
                    "1 tablespoon soda", "1 cup buttermilk", "2 tablespoons salt",
                )
            ]
        }
    ],
}  # fmt: skip

#: A bread dough about a cake's batter: two classes, each with its own rise.
LOAF_AND_CAKE: dict[str, Any] = {
    "name": "Cake in a bread coat",
    "measures": "us",
    "components": [
        {
            "role": role,
            "name": name,
            "class": of_class,
            "ingredients": [{"text": text} for text in lines],
        }
        for role, name, of_class, lines in (
            ("dough", "Coat", "lean-bread",
             ("500 g bread flour", "10 g fresh yeast", "300 g water", "10 g salt")),
            ("batter", "Heart", "butter-cake",
             ("200 g cake flour", "200 g sugar", "100 g butter", "100 g egg", "120 g buttermilk",
              "6 g baking powder", "2 g baking soda", "2 g salt")),
        )
    ],
}  # fmt: skip
