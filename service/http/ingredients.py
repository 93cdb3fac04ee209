"""The ingredients of the tables: listed, found by any name, and each with all its rows."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass
from difflib import get_close_matches

import orjson
from flask import Blueprint, Response, request

from schemas.answers import document_of
from schemas.canonical import canonical, digest_of
from schemas.house import dump_house, load_house
from service.domain.words import key_of
from service.errors import NotFound, PreconditionRequired
from service.http.answering import JSON
from service.http.bodies import sent_json
from service.http.conditions import answered, tag_of
from service.http.desk import desk
from service.http.examples import HOUSE as HOUSE_EXAMPLE
from service.http.operations import Header, Operation, Query, operation
from service.http.paging import PAGED, Page, lead_on, read_page
from service.http.queries import read_query
from service.http.slugs import own_slug
from service.kitchen import Kitchen
from service.store.values import HouseRow
from service.tables.cupboard import Cupboard
from service.tables.house import check
from service.tables.law_rows import IngredientAllergenRow
from service.tables.rows import (
    HOUSE,
    AcidityRow,
    CompositionRow,
    CompoundRow,
    IngredientRow,
    NameRow,
    PartRow,
    WeightRow,
)
from service.tables.rule_rows import LeavenerRow

blueprint = Blueprint("ingredients", __name__, url_prefix="/v1/ingredients")
SEARCHED = (
    Query("q", "A name in any words; near names are found too.", example="confectioners sugar"),
    Query("role", "What it does in a formula.", table="roles"),
    Query("allergen", "An allergen that it always holds.", table="allergens"),
    *PAGED,
)
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
class HouseSaid:
    """The house's own word on an ingredient: its version and when it came."""

    version: int
    created: str


@dataclass(frozen=True, slots=True)
class Ingredient:
    """All that the tables hold of an ingredient, each row with its source. ``parts`` are what its
    parts are in the tables; of ``weights`` the row of rank 1 is the one that is taken, its rivals
    widen the band. ``house`` is there where the house has a word of its own on it; its rows carry the
    evidence letter H, and ``overridden`` are the tables' weights in whose place they stand."""

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
    house: HouseSaid | None
    overridden: tuple[WeightRow, ...]


@blueprint.get("")
@operation(
    Operation(
        "List or find ingredients",
        answer=IngredientList,
        queries=SEARCHED,
        problems=(422,),
        conditional=True,
        answer_headers=("Link",),
    )
)
def listing() -> Response:
    """List ingredients, or find them by a name."""
    page = read_page(*SEARCHED)
    kitchen = desk().kitchen
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


def tag_of_ingredient(version: int, knowledge: str) -> str:
    """Give the tag of an ingredient: the house's version of it, which alone ``If-Match`` compares, then
    what all answers rest on."""
    return f'"h{version}.{knowledge[:32]}"'


def _house_version(code: str) -> HouseRow | None:
    try:
        return desk().shelf.larder.get(code)
    except NotFound:
        return None


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
    read_query()
    kitchen, row = desk().kitchen, _house_version(code)
    if code not in kitchen.cupboard.ingredients:
        raise NotFound(f"The tables have no ingredient {code!r}.")
    return _told(kitchen, code, row)


def _told(kitchen: Kitchen, code: str, row: HouseRow | None) -> Response:
    body = orjson.dumps(document_of(_ingredient(kitchen, code, row)))
    return answered(body, tag_of_ingredient(row.version if row else 0, kitchen.knowledge))


@blueprint.put("/<code>")
@operation(
    Operation(
        "Add a house's own ingredient, or its own values of one",
        answer=Ingredient,
        bodies={JSON: "HouseIngredient"},
        body_examples={JSON: HOUSE_EXAMPLE},
        headers=(
            Header("If-Match", "The ETag of the ingredient that the caller saw.", '"h1.5a"'),
            Header("If-None-Match", "`*` where the house says nothing of it yet.", "*"),
        ),
        statuses={200: "Replaced.", 201: "The house's first word on it."},
        problems=(400, 412, 413, 415, 422, 428, 503, 507),
        examples={"code": "cake-flour"},
        answer_headers=("ETag",),
    )
)
def put(code: str) -> Response:
    """Take a house's word on an ingredient; every answer that rests on it changes with it."""
    read_query()
    own_slug(code, parameter="code")
    expected = _expected()
    the_desk = desk()
    said = load_house(sent_json(), the_desk.kitchen.vocabulary)
    check(code, said, the_desk.kitchen.cupboard)
    document = dump_house(said)
    row = the_desk.shelf.larder.put(code, expected, canonical(document), digest_of(document))
    response = _told(the_desk.kitchen, code, row)
    response.status_code = 201 if row.version == 1 else 200
    return response


def _expected() -> Callable[[int | None], bool]:
    """Read the precondition: the house's version that the caller saw, or that there is none.

    Raises: PreconditionRequired.
    """
    if "If-Match" in request.headers:
        seen = request.if_match
        versions = {tag.partition(".")[0] for tag in seen if tag}
        return lambda newest: seen.star_tag or f"h{newest or 0}" in versions
    if request.headers.get("If-None-Match", "").strip() == "*":
        return lambda newest: newest is None
    raise PreconditionRequired(
        "This write needs If-Match with the ETag of the ingredient that you saw, or If-None-Match: *"
        " where the house says nothing of it yet."
    )


def _ingredient(kitchen: Kitchen, code: str, house: HouseRow | None) -> Ingredient:
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
        house=None if house is None else HouseSaid(house.version, house.created),
        overridden=_overridden(code, cupboard.weights.get(code, ())),
    )


def _overridden(code: str, weights: tuple[WeightRow, ...]) -> tuple[WeightRow, ...]:
    """Give the tables' rows in whose place a house's own stand."""
    own = {(row.state, row.measure) for row in weights if row.evidence == HOUSE}
    plain = desk().plain.cupboard.weights.get(code, ())
    return tuple(row for row in plain if (row.state, row.measure) in own)
