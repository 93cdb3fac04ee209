"""A schema.org Recipe read as a card: title, lines, method and portions.

Source: schema.org, types Recipe, HowToSection, HowToStep, ItemList and QuantitativeValue; JSON-LD 1.1
allows one value where several may stand, and ``@graph`` around several things.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping
from decimal import Decimal
from fractions import Fraction

from service.domain.formula import LONGEST_LINE, LONGEST_NAME, MOST_LINES
from service.domain.reading import Card
from service.errors import Fault, Invalid

#: Words beside which a number in ``recipeYield`` counts portions.
_PORTION_WORDS = frozenset(
    ("serves", "serving", "servings", "portion", "portions", "people", "makes", "about")
)
_LANGUAGE = re.compile(r"[A-Za-z]{2,3}(-[A-Za-z0-9]{2,8})*")
_FIRST_NUMBER = re.compile(r"(?<![\w.,/])(\d{1,6})(?![\w.,/])")


def is_recipe(document: Mapping[str, object]) -> bool:
    """Tell whether a document says of itself that it is a Recipe, alone or in a graph."""
    return _find(document) is not None


def read_recipe(document: Mapping[str, object]) -> Card:
    """Read a Recipe as a card. Raises: Invalid, with every fault."""
    found = _find(document)
    pointer, recipe = found if found is not None else ("", document)
    faults = list(_faults(pointer, recipe))
    if faults:
        raise Invalid("The Recipe does not fit.", faults=tuple(faults))
    lines = tuple(text for text in _texts(recipe.get("recipeIngredient", recipe.get("ingredients"))))
    said = recipe.get("recipeYield", recipe.get("yield"))
    portions = _portions(said)
    about = [recipe.get("description"), *([] if portions is not None else _several(said))]
    return Card(
        title=str(recipe["name"]).strip(),
        lines=lines,
        method=tuple(_steps(recipe.get("recipeInstructions"))),
        notes=tuple(_texts(about)),
        portions=portions,
        language=_language(recipe.get("inLanguage")),
    )


def _find(document: Mapping[str, object]) -> tuple[str, Mapping[str, object]] | None:
    """Find the Recipe and its pointer: the document itself, or the first in its graph."""
    if _is_a(document, "Recipe"):
        return "", document
    graph = document.get("@graph")
    for position, member in enumerate(graph if isinstance(graph, list) else ()):
        if isinstance(member, dict) and _is_a(member, "Recipe"):
            return f"/@graph/{position}", member
    return None


def _is_a(document: Mapping[str, object], name: str) -> bool:
    kinds = _several(document.get("@type"))
    return any(isinstance(k, str) and re.split(r"[/#:]", k)[-1] == name for k in kinds)


def _several(value: object) -> list[object]:
    """Give a value as a list: JSON-LD lets one stand for a list of one."""
    if value is None:
        return []
    return value if isinstance(value, list) else [value]


def _faults(pointer: str, recipe: Mapping[str, object]) -> Iterator[Fault]:
    name = recipe.get("name")
    if not isinstance(name, str) or not name.strip():
        yield Fault("required", "A Recipe needs its name, as text.", pointer=f"{pointer}/name")
    elif len(name.strip()) > LONGEST_NAME:
        yield _too_long(LONGEST_NAME, f"{pointer}/name")
    member = "recipeIngredient" if "recipeIngredient" in recipe else "ingredients"
    if member not in recipe:
        yield Fault("required", "A Recipe needs its lines.", pointer=f"{pointer}/recipeIngredient")
    lines = _several(recipe.get(member))
    if len(lines) > MOST_LINES:
        yield Fault("too-many", f"At most {MOST_LINES} lines are taken.", pointer=f"{pointer}/{member}")
    for position, line in enumerate(lines):
        place = f"{pointer}/{member}/{position}"
        if not isinstance(line, str):
            yield Fault("type", "A text is expected.", pointer=place)
        elif len(line) > LONGEST_LINE:
            yield _too_long(LONGEST_LINE, place)


def _too_long(most: int, pointer: str) -> Fault:
    return Fault("too-long", f"At most {most} characters are taken.", pointer=pointer)


def _texts(value: object) -> Iterator[str]:
    for one in _several(value):
        if isinstance(one, str):
            yield from (line.strip() for line in one.splitlines() if line.strip())


def _steps(value: object) -> Iterator[str]:
    """Give the instructions as texts, in order: text, steps, or sections and lists of steps."""
    for one in _several(value):
        if isinstance(one, str):
            yield from (line.strip() for line in one.splitlines() if line.strip())
        elif isinstance(one, dict) and "itemListElement" in one:
            if isinstance(one.get("name"), str):
                yield str(one["name"]).strip()
            yield from _steps(one["itemListElement"])
        elif isinstance(one, dict):
            yield from _texts(one.get("text", one.get("name")))


def _portions(value: object) -> Fraction | None:
    """Give the portions of a ``recipeYield`` ("12", 12, "12 servings", a QuantitativeValue).

    The first value that holds one whole number counts; "makes 2 loaves" is no count of portions.
    """
    for one in _several(value):
        inner = one.get("value") if isinstance(one, dict) else one
        if isinstance(inner, int | Decimal) and not isinstance(inner, bool) and inner > 0:
            return Fraction(inner)
        if isinstance(inner, str) and (count := _count(inner)) is not None:
            return count
    return None


def _count(text: str) -> Fraction | None:
    numbers = _FIRST_NUMBER.findall(text)
    words = set(re.findall(r"[a-z]+", text.casefold()))
    if len(numbers) != 1 or words - _PORTION_WORDS or int(numbers[0]) == 0:
        return None
    return Fraction(int(numbers[0]))


def _language(value: object) -> str | None:
    if isinstance(value, dict):
        value = value.get("alternateName")
    return value if isinstance(value, str) and _LANGUAGE.fullmatch(value) else None
