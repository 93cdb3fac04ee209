"""What tests read of a drawing: its texts, shapes and words for those who do not see it."""

from __future__ import annotations

from collections import Counter
from typing import Any
from xml.etree import ElementTree

from service.render.svg import SHAPES

SVG = "{http://www.w3.org/2000/svg}"
NAMES = {path: name for name, path in SHAPES.items()}


def parsed(drawing: bytes) -> ElementTree.Element:
    """Parse a drawing. Raises: ParseError, where it is not well-formed."""
    return ElementTree.fromstring(drawing)  # noqa: S314 - our own drawing


def texts(root: ElementTree.Element) -> list[str]:
    """Give the texts, line by line; those of narrow sheets and of wide ones."""
    return [each.text or "" for each in root.iter(f"{SVG}text")]


def shapes(root: ElementTree.Element) -> Counter[tuple[str, str]]:
    """Count the shapes: name and what they stand for."""
    found: Counter[tuple[str, str]] = Counter()
    for path in root.iter(f"{SVG}path"):
        found[NAMES[path.get("d", "")], path.get("class", "").split()[0]] += 1
    return found


def told(root: ElementTree.Element) -> str:
    """Give the description."""
    desc = root.find(f"{SVG}desc")
    assert desc is not None
    return desc.text or ""


HOSTILE = "<script>alert(1)</script> & \"q\" 'a' ]]> &#x41; \u202egninrut"
LONG = "Extraordinarilylonguninterruptednameofacakethatnobodywouldeverthinkofwriting" * 2


def hostile_formula() -> dict[str, Any]:
    """Give a formula whose names try to be markup and which lies outside nearly every range."""
    batter = (
        "200 g cake flour", "1 kg sugar", "30 g butter", "300 g egg", "500 g milk",
        "60 g baking powder", "20 g baking soda", "40 g salt", "200 g molasses",
        f"3 cups {HOSTILE}",
    )  # fmt: skip
    cream = ("500 g milk", "100 g sugar", "40 g cornstarch", "80 g egg yolk")
    return {
        "name": f"{HOSTILE} {LONG}"[:200],
        "class": "butter-cake",
        "components": [
            {"role": "batter", "name": "<b>", "ingredients": [{"text": text} for text in batter]},
            {"role": "filling", "name": HOSTILE, "ingredients": [{"text": text} for text in cream]},
        ],
    }
