"""A house's own ingredients: shape and bounds on the way in, and back again."""

from __future__ import annotations

from dataclasses import asdict
from typing import Any

from marshmallow import ValidationError, fields, post_load, validates_schema

from schemas.amounts import write_number
from schemas.faults import faults_of
from schemas.fields import LOADING, Loading, Number, Shape, Text
from schemas.formula import Several
from schemas.json_in import Json
from schemas.lines import LONGEST_WORD, Allergens, Flag
from service.domain.formula import LONGEST_LINE, LONGEST_NAME
from service.domain.house import NUTRIENTS, HouseIngredient, HouseWeight
from service.domain.vocabulary import Vocabulary
from service.errors import Invalid

MOST_GRAMS = 1e6
_MOST = {"energy_kcal": 1000.0, "sodium_mg": 100_000.0}


class HouseWeightSchema(Shape):
    """What a measure weighs in this house."""

    measure = Text(LONGEST_WORD, required=True)
    grams = Number(over=0, most=MOST_GRAMS, required=True)
    amount = Number(over=0, most=MOST_GRAMS)
    state = Text(LONGEST_WORD)
    low = Number(over=0, most=MOST_GRAMS)
    high = Number(over=0, most=MOST_GRAMS)

    @validates_schema
    def _in_order(self, data: dict[str, Any], **_: Any) -> None:
        grams = data["grams"]
        if not data.get("low", grams) <= grams <= data.get("high", grams):
            raise ValidationError("upside-down|low, grams and high do not rise in this order.")

    @post_load
    def _made(self, data: dict[str, Any], **_: Any) -> HouseWeight:
        return HouseWeight(**data)


class _Composition(Shape):
    """What 100 g hold."""

    @validates_schema
    def _adds_up(self, data: dict[str, Any], **_: Any) -> None:
        whole = sum(data.get(name, 0.0) for name in ("water", "protein", "fat", "alcohol"))
        parts = sum(data.get(name, 0.0) for name in ("sugars", "starch", "fibre"))
        whole += max(data.get("carbohydrate", 0.0), parts)
        if whole > 100:
            raise ValidationError(f"too-much|100 g cannot hold {whole:g} g.")
        if data.get("saturated", 0.0) > data.get("fat", data.get("saturated", 0.0)):
            raise ValidationError("too-much|There is more saturated fat than fat.", "saturated")

    @post_load
    def _made(self, data: dict[str, Any], **_: Any) -> tuple[tuple[str, float], ...]:
        return tuple((name, data[name]) for name in NUTRIENTS if name in data)


CompositionSchema: type[Shape] = _Composition.from_dict(
    {name: Number(most=_MOST.get(name, 100.0)) for name in NUTRIENTS},
    name="CompositionSchema",
)  # type: ignore[assignment]


class HouseIngredientSchema(Shape):
    """A house's word on one ingredient."""

    source = Text(LONGEST_LINE, required=True)
    name = Text(LONGEST_NAME)
    names = Several(Text(LONGEST_NAME), 32)
    role = Text(LONGEST_WORD)
    flour = Number(most=1)
    note = Text(LONGEST_LINE)
    weights = Several(fields.Nested(HouseWeightSchema), 64)
    composition = fields.Nested(CompositionSchema)
    contains = Allergens()
    declaration_complete = Flag()
    sub_ingredients = Several(Text(LONGEST_NAME), 64)

    @post_load
    def _made(self, data: dict[str, Any], **_: Any) -> HouseIngredient:
        return HouseIngredient(**data)


_SCHEMA = HouseIngredientSchema()


def load_house(document: Json, vocabulary: Vocabulary | None = None) -> HouseIngredient:
    """Read a house's word on an ingredient. Raises: Invalid, with every fault."""
    token = LOADING.set(Loading(vocabulary))
    try:
        said: HouseIngredient = _SCHEMA.load(document)  # type: ignore[arg-type]
    except ValidationError as error:
        raise Invalid("The ingredient does not fit.", faults=tuple(faults_of(error.messages))) from None
    finally:
        LOADING.reset(token)
    return said


def dump_house(said: HouseIngredient) -> dict[str, Any]:
    """Write a house's word; what it does not say is left out."""
    document: dict[str, Any] = {"source": said.source}
    for name in ("name", "role", "note", "declaration_complete"):
        if getattr(said, name) is not None:
            document[name] = getattr(said, name)
    if said.flour is not None:
        document["flour"] = write_number(said.flour)
    if said.contains is not None:
        document["contains"] = list(said.contains)
    for name in ("names", "sub_ingredients"):
        if getattr(said, name):
            document[name] = list(getattr(said, name))
    if said.weights:
        document["weights"] = [_weight(each) for each in said.weights]
    if said.composition:
        document["composition"] = {name: write_number(value) for name, value in said.composition}
    return document


def _weight(weight: HouseWeight) -> dict[str, Any]:
    stated = {name: value for name, value in asdict(weight).items() if value not in (None, "")}
    return {name: write_number(v) if isinstance(v, float) else v for name, v in stated.items()}
