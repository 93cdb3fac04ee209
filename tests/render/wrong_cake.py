"""A cake that is wrong in many ways, with a name that must be escaped; own invention."""

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
