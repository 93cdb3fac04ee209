"""A house's word on its ingredients turned to rows that go before the tables' own.

Rows of a house carry the evidence letter H, and a source that begins with "house".
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import fields, replace
from typing import Any

from service.domain.faults import suggestion
from service.domain.house import HouseIngredient, HouseWeight
from service.domain.words import key_of
from service.errors import Fault, Invalid
from service.tables.cupboard import Cupboard
from service.tables.law_rows import IngredientAllergenRow
from service.tables.rows import HOUSE, CompositionRow, CompoundRow, IngredientRow, NameRow, WeightRow

SHELF = "house"
Rows = dict[str, tuple[Any, ...]]


def check(code: str, said: HouseIngredient, cupboard: Cupboard) -> None:
    """Refuse what does not fit the tables. Raises: Invalid, with every fault and its pointer."""
    faults = (
        *_missing(code, said, cupboard),
        *_unknown(said, cupboard),
        *_taken(code, said, cupboard),
        *_cycles(code, said, cupboard),
    )
    if faults:
        raise Invalid("The ingredient does not fit.", faults=faults)


def _missing(code: str, said: HouseIngredient, cupboard: Cupboard) -> Iterator[Fault]:
    for member in ("name", "role"):
        if code not in cupboard.ingredients and getattr(said, member) is None:
            yield Fault("required", "A new ingredient needs this.", f"/{member}")


def _unknown(said: HouseIngredient, cupboard: Cupboard) -> Iterator[Fault]:
    roles = sorted({row.role for row in cupboard.ingredients.values()})
    if said.role is not None and said.role not in roles:
        detail = f"The roles are {', '.join(roles)}.{suggestion(said.role, roles)}"
        yield Fault("unknown-value", detail, "/role")
    known = sorted({word for row in cupboard.units.values() for word in (row.code, row.name)})
    for place, weight in enumerate(said.weights):
        if _measure(weight, cupboard) is None:
            detail = f"This is no measure of the tables.{suggestion(weight.measure, known)}"
            yield Fault("unknown-unit", detail, f"/weights/{place}/measure")


def _taken(code: str, said: HouseIngredient, cupboard: Cupboard) -> Iterator[Fault]:
    """Find names that are another ingredient's already."""
    places = [("/name", said.name)] if said.name is not None else []
    places += [(f"/names/{place}", name) for place, name in enumerate(said.names)]
    if code not in cupboard.ingredients:
        places.append(("", code))
    for pointer, name in places:
        rows: tuple[NameRow, ...] = cupboard.names.get(key_of(name), ())
        other = next((row.code for row in rows if row.code != code), None)
        if other is not None:
            yield Fault("taken", f"{name!r} is a name of {other!r}.", pointer)


def _cycles(code: str, said: HouseIngredient, cupboard: Cupboard) -> Iterator[Fault]:
    for place, part in enumerate(said.sub_ingredients):
        own = _code_of(part, cupboard)
        if own is not None and code in _inside(own, cupboard):
            yield Fault("cycle", f"{part!r} holds {code!r} itself.", f"/sub_ingredients/{place}")


def rows_of(code: str, said: HouseIngredient, cupboard: Cupboard) -> Rows:
    """Give the rows that a house's word comes to, by table."""
    source = f"house: {said.source}"
    rows: Rows = {"ingredients": (_ingredient(code, said, cupboard, source),)}
    names = (*_all_names(said), *(() if code in cupboard.ingredients else (code,)))
    rows["names"] = tuple(
        NameRow(name, code, "en", (), "", "", (), False, source, HOUSE) for name in names
    )
    rows["weights"] = tuple(_weight(code, weight, cupboard, source) for weight in said.weights)
    if said.composition:
        rows["composition"] = (_composition(code, dict(said.composition), cupboard, source),)
    if said.contains is not None:
        plain = said.declaration_complete is True
        contains = tuple(dict.fromkeys((*_always_in(code, said, cupboard), *said.contains)))
        declared = IngredientAllergenRow(code, contains, (), plain, source, HOUSE, "")
        rows["ingredient_allergens"] = (declared,)
    rows["compounds"] = tuple(
        CompoundRow(code, place, part, None, None, "", source, HOUSE, "")
        for place, part in enumerate(said.sub_ingredients, start=1)
    )
    return rows


def _always_in(code: str, said: HouseIngredient, cupboard: Cupboard) -> tuple[str, ...]:
    """Give the allergens that an ingredient and its parts always hold: no declaration takes them
    away, wheat flour stays wheat."""
    parts = (code, *(_code_of(part, cupboard) for part in said.sub_ingredients))
    rows = (cupboard.brings.get(part) for part in parts if part is not None)
    return tuple(key for row in rows if row is not None for key in row.contains)


def all_rows(several: Iterable[tuple[str, HouseIngredient]], cupboard: Cupboard) -> Rows:
    """Give the rows of all that a house says."""
    joined: dict[str, list[Any]] = {}
    for code, said in several:
        for table, rows in rows_of(code, said, cupboard).items():
            joined.setdefault(table, []).extend(rows)
    return {table: tuple(rows) for table, rows in joined.items()}


def _all_names(said: HouseIngredient) -> tuple[str, ...]:
    return ((said.name,) if said.name is not None else ()) + said.names


def _code_of(name: str, cupboard: Cupboard) -> str | None:
    if name in cupboard.ingredients:
        return name
    rows = cupboard.names.get(key_of(name), ())
    return rows[0].code if rows else None


def _inside(code: str, cupboard: Cupboard) -> set[str]:
    """Give an ingredient and all that is in it, as far as the tables know."""
    seen: set[str] = set()
    open_codes = [code]
    while open_codes:
        one = open_codes.pop()
        if one not in seen:
            seen.add(one)
            parts = (_code_of(row.part, cupboard) for row in cupboard.compounds.get(one, ()))
            open_codes += [part for part in parts if part is not None]
    return seen


def _measure(weight: HouseWeight, cupboard: Cupboard) -> str | None:
    """Find a measure by its code, or by the trade name that one unit of the US or of all has."""
    if weight.measure in cupboard.units:
        return weight.measure
    named = {row.system: row.code for row in cupboard.units.values() if row.name == weight.measure}
    return named.get("us") or named.get("any") or named.get("old")


def _weight(code: str, weight: HouseWeight, cupboard: Cupboard, source: str) -> WeightRow:
    measure = _measure(weight, cupboard) or weight.measure
    low = weight.grams if weight.low is None else weight.low
    high = weight.grams if weight.high is None else weight.high
    return WeightRow(
        code, weight.state, measure, weight.amount, weight.grams, low, high, 1, source, HOUSE, ""
    )


def _ingredient(code: str, said: HouseIngredient, cupboard: Cupboard, source: str) -> IngredientRow:
    row = cupboard.ingredients.get(code)
    if row is None:
        row = IngredientRow(code, "", SHELF, "", 0.0, "", False, "", source, HOUSE)
    stated: Mapping[str, Any] = {
        name: value
        for name in ("name", "role", "flour", "note")
        if (value := getattr(said, name)) is not None
    }
    return replace(row, **stated, source=source, evidence=HOUSE) if stated else row


def _composition(
    code: str, amounts: Mapping[str, float], cupboard: Cupboard, source: str
) -> CompositionRow:
    row = cupboard.composition.get(code)
    if row is None:
        nothing = {each.name: None for each in fields(CompositionRow)}
        words = {"same_as": "", "why": "", "entry": ""}
        unknown = {**nothing, **words, "ingredient": code, "source": source, "evidence": HOUSE}
        row = CompositionRow(**unknown)  # type: ignore[arg-type]
    else:
        source = f"{source}; what it does not say: {row.source}"
    return replace(row, **amounts, source=source, evidence=HOUSE)  # type: ignore[arg-type]
