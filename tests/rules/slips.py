"""Slips as cards really have them, one at a time, injected into sound formulas.

Each slip changes one line's text (or drops the line) and says which line is wrong; nothing here
looks at what the service makes of it.
"""

from __future__ import annotations

import copy
import re
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from fractions import Fraction
from typing import Any

from service.domain.quantity import read_fraction, write_fraction

_AMOUNT = re.compile(r"[0-9]+(?: [0-9]+/[0-9]+|/[0-9]+|\.[0-9]+| ?[¼½¾⅓⅔⅛⅜⅝⅞])?|[¼½¾⅓⅔⅛⅜⅝⅞]")
_WORDS = {"two": 2, "three": 3, "four": 4, "five": 5, "six": 6, "one": 1}


@dataclass(frozen=True)
class Slip:
    """One formula with one slip: its kind, the index of the line that is wrong (of the dropped one:
    the index it had) and the formula document that holds it."""

    formula_id: str
    product_class: str
    kind: str
    line: int
    was: str
    document: dict[str, Any]


def scaled(text: str, factor: Fraction) -> str | None:
    """Multiply the first amount of a line; ``None`` where it states none."""
    match = _AMOUNT.search(text)
    if match is not None:
        amount = read_fraction(match.group())
        assert amount is not None
        return text[: match.start()] + write_fraction(amount * factor) + text[match.end() :]
    for word, number in _WORDS.items():
        if re.search(rf"\b{word}\b", text):
            return re.sub(rf"\b{word}\b", write_fraction(number * factor), text, count=1)
    return None


def _is(*words: str, but: tuple[str, ...] = ()) -> Callable[[str], bool]:
    def test(text: str) -> bool:
        plain = text.lower()
        return any(re.search(rf"\b{w}\b", plain) for w in words) and not any(b in plain for b in but)

    return test


SUGAR = _is("sugar")
FLOUR = _is("flour", "corn meal", but=("1 tablespoon flour",))
EGG = _is("eggs?", "whites?", "yolks?", "egg whites", but=("salt",))
LIQUID = _is("milk", "water", "cream", but=("cream of tartar", "dry", "cornstarch"))
LEAVENER = _is("baking powder", "baking power", "soda", "yeast", "yeast cake")
SALT = _is("salt", but=("salt spoon", "unsalted"))


def _exchanged(text: str, one: str, other: str) -> str | None:
    if re.search(rf"\b{one}", text):
        return re.sub(rf"\b{one}", other, text, count=1)
    if re.search(rf"\b{other}", text):
        return re.sub(rf"\b{other}", one, text, count=1)
    return None


def _powder_for_soda(text: str) -> str | None:
    plain = text.replace("baking power", "baking powder")
    if "baking powder" in plain:
        return plain.replace("baking powder", "baking soda")
    if re.search(r"\b(baking )?soda\b", plain):
        return re.sub(r"\b(baking )?soda\b", "baking powder", plain, count=1)
    return None


def _spoons_exchanged(text: str) -> str | None:
    return _exchanged(text, "teaspoon", "tablespoon")


Change = Callable[[str], str | None]


def _times(factor: Fraction | int) -> Change:
    return lambda text: scaled(text, Fraction(factor))


def _dropped(text: str) -> str | None:
    return ""


#: kind of slip → which lines it befalls, and what becomes of the line ("" means dropped).
KINDS: dict[str, tuple[Callable[[str], bool], Change]] = {
    "spoons exchanged": (lambda t: "spoon" in t, _spoons_exchanged),
    "powder and soda exchanged": (LEAVENER, _powder_for_soda),
    "salt times ten": (SALT, _times(10)),
    "leavener dropped": (LEAVENER, _dropped),
    "sugar a third": (SUGAR, _times(Fraction(1, 3))),
    "sugar tripled": (SUGAR, _times(3)),
    "flour halved": (FLOUR, _times(Fraction(1, 2))),
    "flour doubled": (FLOUR, _times(2)),
    "eggs tripled": (EGG, _times(3)),
    "liquid dropped": (LIQUID, _dropped),
    "liquid doubled": (LIQUID, _times(2)),
    "decimal moved up": (lambda t: True, _times(10)),
    "decimal moved down": (lambda t: True, _times(Fraction(1, 10))),
}


def inject(entry: dict[str, Any]) -> Iterator[Slip]:
    """Give every slip that can befall a formula of the fixed set, one at a time."""
    lines = [line["text"] for line in entry["formula"]["components"][0]["ingredients"]]
    for kind, (befalls, change) in KINDS.items():
        for index, text in enumerate(lines):
            changed = change(text) if befalls(text) else None
            if changed is None or changed == text:
                continue
            document = copy.deepcopy(entry["formula"])
            ingredients = document["components"][0]["ingredients"]
            if changed:
                ingredients[index] = {"text": changed}
            else:
                del ingredients[index]
            yield Slip(entry["id"], entry["class"], kind, index, text, document)
