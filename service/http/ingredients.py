"""The ingredients of the tables: listed, found by any name, and each with all its rows."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from difflib import get_close_matches

import orjson
from flask import Blueprint, Response

from service.domain.words import key_of
from service.errors import Fault, Invalid, NotFound
from service.http.catalogues import catalogue
from service.http.conditions import answered, tag_of
from service.http.desk import desk
from service.http.operations import Operation, Query, operation
from service.http.paging import PAGED, Page, lead_on, read_page
from service.kitchen import Kitchen
from service.tables.cupboard import Cupboard
from service.tables.rows import (
    AcidityRow,
    CompositionRow,
    CompoundRow,
    IngredientAllergenRow,
    IngredientRow,
    LeavenerRow,
    NameRow,
    PartRow,
    WeightRow,
)

blueprint = Blueprint("ingredients", __name__, url_prefix="/v1/ingredients")
#: How many near names are looked for, and how near they must be (the ratio of ``difflib``).
_NEAR, _NEARNESS = 12, 0.7


@dataclass(frozen=True, slots=True)
class IngredientListed:
    """An ingredient in a list; where a name was asked for, ``matched`` is the name that was found and
    ``match`` how: exact, part (the words asked for are in it) or near."""

    code: str
    name: str
    group: str
    role: str
    matched: str | None
    match: str | None
    contains: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class IngredientList:
    """Ingredients in the order of codes, or, where a name was asked for, the best found first."""

    ingredients: tuple[IngredientListed, ...]


@dataclass(frozen=True, slots=True)
class Ingredient:
    """All that the tables hold of an ingredient, each row with its source. ``parts`` are what its
    parts are in the tables; of ``weights`` the row of rank 1 is the one that is taken, its rivals
    widen the band."""

    code: str
    ingredient: IngredientRow
    names: tuple[NameRow, ...]
    weights: tuple[WeightRow, ...]
    composition: CompositionRow | None
    acidity: AcidityRow | None
    leavener: LeavenerRow | None
    compound: tuple[CompoundRow, ...]
    allergens: IngredientAllergenRow | None
    parts: tuple[PartRow, ...]


@blueprint.get("")
@operation(
    Operation(
        "List or find ingredients",
        answer=IngredientList,
        queries=(
            Query("q", "A name in any words; near names are found too.", example="confectioners sugar"),
            Query("role", "What it does in a formula.", table="roles"),
            Query("allergen", "An allergen that it always holds.", table="allergens"),
            *PAGED,
        ),
        problems=(422,),
        conditional=True,
        answer_headers=("Link",),
    )
)
def listing() -> Response:
    """List ingredients, or find them by a name."""
    page = read_page("q", "role", "allergen")
    the_desk = desk()
    kitchen = the_desk.kitchen
    _known(page, kitchen.cupboard)
    found = list(_found(page, kitchen.cupboard))
    codes = [entry.code for entry in found]
    start = codes.index(page.after) + 1 if page.after in codes else _start(codes, page)
    shown = found[start : start + page.limit]
    body = orjson.dumps(IngredientList(tuple(shown)))
    response = answered(body, tag_of(kitchen.knowledge, body))
    more = len(found) > start + len(shown) and shown
    return lead_on(response, page, shown[-1].code) if more else response


def _start(codes: list[str], page: Page) -> int:
    """Find where a page begins whose last entry is there no more: by order, else at the end."""
    if not page.after:
        return 0
    if "q" in page.words:
        return len(codes)
    return next((place for place, code in enumerate(codes) if code > page.after), len(codes))


def _known(page: Page, cupboard: Cupboard) -> None:
    """Refuse a role or allergen that no row has. Raises: Invalid."""
    known = {"role": roles(cupboard), "allergen": tuple(sorted(cupboard.allergens))}
    faults = tuple(
        Fault("unknown-value", f"one of {', '.join(words)} is expected", parameter=name)
        for name, words in known.items()
        if name in page.words and page.words[name] not in words
    )
    if faults:
        raise Invalid("Some parameters do not fit.", faults=faults)


def roles(cupboard: Cupboard) -> tuple[str, ...]:
    """Give every role that an ingredient of the tables has."""
    return tuple(sorted({row.role for row in cupboard.ingredients.values()}))


def _found(page: Page, cupboard: Cupboard) -> Iterator[IngredientListed]:
    """Give what a list holds, whole, in its order."""
    role, allergen = page.words.get("role"), page.words.get("allergen")
    for code, matched, how in _matches(page.words.get("q"), cupboard):
        row, brings = cupboard.ingredients[code], cupboard.brings.get(code)
        contains = brings.contains if brings else ()
        if role not in (None, row.role) or (allergen is not None and allergen not in contains):
            continue
        yield IngredientListed(code, row.name, row.group, row.role, matched, how, contains)


def _matches(words: str | None, cupboard: Cupboard) -> Iterator[tuple[str, str | None, str | None]]:
    """Give codes with the name that was found and how: exact names, then names that hold the words,
    then near ones; each ingredient once."""
    if words is None:
        yield from ((code, None, None) for code in sorted(cupboard.ingredients))
        return
    key, seen = key_of(words), set()
    parts = sorted(name for name in cupboard.names if key and f" {key} " in f" {name} ")
    near = get_close_matches(key, cupboard.names, n=_NEAR, cutoff=_NEARNESS)
    several = [(key, "exact"), *((name, "part") for name in parts), *((name, "near") for name in near)]
    for name, how in several:
        for row in cupboard.names.get(name, ()):
            if row.code not in seen:
                seen.add(row.code)
                yield row.code, row.name, how


@blueprint.get("/<code>")
@operation(
    Operation(
        "Give all that is known of an ingredient",
        answer=Ingredient,
        problems=(404, 422),
        examples={"code": "cake-flour"},
        conditional=True,
    )
)
def one(code: str) -> Response:
    """Give every row of an ingredient, with its source."""
    if code not in desk().kitchen.cupboard.ingredients:
        raise NotFound(f"The tables have no ingredient {code!r}.")
    return catalogue(f"ingredients/{code}", lambda kitchen: _ingredient(kitchen, code))


def _ingredient(kitchen: Kitchen, code: str) -> Ingredient:
    cupboard = kitchen.cupboard
    names = (row for rows in cupboard.names.values() for row in rows if row.code == code)
    return Ingredient(
        code=code,
        ingredient=cupboard.ingredients[code],
        names=tuple(sorted(names, key=lambda row: (row.language, row.name))),
        weights=cupboard.weights.get(code, ()),
        composition=cupboard.composition.get(code),
        acidity=cupboard.acidity.get(code),
        leavener=cupboard.leaveners.get(code),
        compound=cupboard.compounds.get(code, ()),
        allergens=cupboard.brings.get(code),
        parts=tuple(row for row in cupboard.tables["parts"] if row.ingredient == code),
    )
