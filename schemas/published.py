"""The shapes that callers send, as JSON Schema for the OpenAPI document.

Drawn from the marshmallow schemas by apispec; what our own fields take is said by attribute functions
here, so that no field is published as "anything".
"""

from __future__ import annotations

from typing import Any

from apispec import APISpec
from apispec.ext.marshmallow import MarshmallowPlugin
from marshmallow import fields

from schemas.amounts import FINEST, LONGEST_AMOUNT, LONGEST_UNIT, Amount, Size
from schemas.answers import Schema as JsonSchema
from schemas.card import CardLine, CardSchema, Steps
from schemas.envelope import EnvelopeSchema
from schemas.fields import Number, Text, Whole, Word
from schemas.formula import EggGrade, FormulaSchema, Several
from schemas.house import HouseIngredientSchema
from schemas.lines import (
    LONGEST_WORD,
    MOST_WORDS,
    Allergens,
    Flag,
    Lines,
    LineSchema,
    State,
    Unit,
)
from service.domain.formula import LONGEST_LINE, MOST_LINES
from service.domain.quantity import LARGEST
from service.domain.vocabulary import Vocabulary

_VULGAR = "¼½¾⅐⅑⅒⅓⅔⅕⅖⅗⅘⅙⅚⅛⅜⅝⅞"
_ONE = (
    rf"(?:[1-9][0-9]{{0,6}}|[0-9]{{0,5}}[{_VULGAR}]"
    r"|(?:[1-9][0-9]{0,5} )?[1-9][0-9]{0,12}/[1-9][0-9]{0,12}|[1-9][0-9]{0,4}\.[0-9]{1,12})"
)
_NOT_BLANK = r"\S"
_STATE = r"[^+]*[^+\s][^+]*"
_EXACT = {"type": "string", "pattern": r"^(?:[0-9]+ )?[0-9]+(?:/[0-9]+)?$"}


def _reference(name: str) -> JsonSchema:
    return {"$ref": f"#/components/schemas/{name}"}


def _amount(pattern: str) -> list[JsonSchema]:
    return [
        {"type": "number", "minimum": 1 / FINEST, "maximum": int(LARGEST)},
        {"type": "string", "pattern": f"^{pattern}$", "maxLength": LONGEST_AMOUNT},
    ]


def _quantity() -> JsonSchema:
    ends = {"low": {"anyOf": _amount(_ONE)}, "high": {"anyOf": _amount(_ONE)}}
    whole: JsonSchema = {"type": "object", "properties": ends, "required": ["high", "low"]}
    return {
        "description": "An amount: a number, a text as people write it (`2 1/4`, `2¼`, `¾`, `1.5`), or"
        " the two ends of a range, the low one not above the high one. More than 0, at most 10^6."
        " Answers give texts in lowest terms.",
        "anyOf": [*_amount(_ONE), {**whole, "additionalProperties": False}],
    }


def _dimension(units: list[str]) -> JsonSchema:
    words = "|".join(sorted((_escaped(word) for word in units if not word[0].isdigit()), key=len))
    members = {"value": _reference("Quantity"), "unit": {"enum": units}}
    whole: JsonSchema = {"type": "object", "properties": members, "required": ["unit", "value"]}
    return {
        "description": "A value with its unit, as an object or a text (`9 in`).",
        "anyOf": [
            {**whole, "additionalProperties": False},
            {"type": "string", "pattern": rf"^{_ONE} ?(?:{words})$", "maxLength": LONGEST_AMOUNT},
        ],
    }


def _escaped(word: str) -> str:
    return "".join(f"\\{sign}" if sign in r".[](){}*+?^$|\/" else sign for sign in word)


class _Published:
    """Attribute functions: what apispec cannot see in fields of our own."""

    def __init__(self, vocabulary: Vocabulary) -> None:
        self.vocabulary = vocabulary

    def units(self, *kinds: str) -> list[str]:
        """Give every word for a unit of some kinds."""
        return sorted({word for kind in kinds for word in self.vocabulary.units.get(kind, ())})

    def describe(self, field: fields.Field[Any]) -> JsonSchema:
        """Describe a field of our own; others are left to apispec."""
        if isinstance(field, Text):
            bounds = {"minLength": 1, "maxLength": field.longest}
            return {**bounds, "pattern": field.pattern or _NOT_BLANK}
        if isinstance(field, Word):
            return {"enum": list(field.known)}
        if isinstance(field, Number):
            least = {"minimum": field.least} if field.over is None else {"exclusiveMinimum": field.over}
            return {**least, "maximum": field.most}
        if isinstance(field, Whole):
            return {"minimum": 1, "maximum": field.most}
        if isinstance(field, Several):
            lists: dict[str, int | None] = {"minItems": field.least or None, "maxItems": field.most}
            return {name: bound for name, bound in lists.items() if bound is not None}
        return self.by_table(field)

    def by_table(self, field: fields.Field[Any]) -> JsonSchema:
        """Describe a field whose words are in the tables, or whose shape has a name."""
        if isinstance(field, Unit):
            return {"enum": self.units(*field.kinds), "maxLength": LONGEST_UNIT}
        if isinstance(field, EggGrade):
            return {"enum": list(self.vocabulary.egg_grades)}
        if isinstance(field, Allergens):
            keys = {"type": "string", "enum": list(self.vocabulary.allergens)}
            return {"type": "array", "items": keys, "maxItems": 64}
        if isinstance(field, Flag):
            return {"type": "boolean"}
        return _named(field)


def _named(field: fields.Field[Any]) -> JsonSchema:
    if isinstance(field, Amount):
        return _reference("Quantity")
    if isinstance(field, Size):
        return _reference(f"{field.kind.title()}Dimension")
    if isinstance(field, Lines):
        return {"type": "array", "items": _reference("Line"), "maxItems": MOST_LINES}
    if isinstance(field, CardLine):
        return {"maxLength": LONGEST_LINE}
    if isinstance(field, Steps):
        step: JsonSchema = {"type": "string"}
        return {"anyOf": [step, {"type": "array", "items": step}]}
    if isinstance(field, State):
        word = {"type": "string", "minLength": 1, "maxLength": LONGEST_WORD, "pattern": _NOT_BLANK}
        several = {"type": "array", "items": word, "maxItems": MOST_WORDS}
        joined = {"type": "string", "pattern": rf"^{_STATE}(?:\+{_STATE})*$"}
        says = "How it was when it was measured: a word, words joined by `+`, or a list of words."
        return {"description": says, "anyOf": [joined, several]}
    return {}


def published_shapes(vocabulary: Vocabulary) -> dict[str, JsonSchema]:
    """Give the named schemas of what callers send, by name."""
    plugin = MarshmallowPlugin(schema_name_resolver=_name)
    spec = APISpec("shapes", "0", "3.1.0", plugins=[plugin])
    shown = _Published(vocabulary)

    def describe(_: Any, field: fields.Field[Any], **__: Any) -> JsonSchema:
        return shown.describe(field)

    if plugin.converter is None:
        raise TypeError("apispec has no converter of marshmallow fields")
    plugin.converter.add_attribute_function(describe)  # type: ignore[no-untyped-call]
    spec.components.schema("Line", schema=LineSchema)
    spec.components.schema("Formula", schema=FormulaSchema)
    spec.components.schema("CardDocument", schema=CardSchema)
    spec.components.schema("Envelope", schema=EnvelopeSchema)
    spec.components.schema("HouseIngredient", schema=HouseIngredientSchema)
    shapes: dict[str, JsonSchema] = spec.to_dict()["components"]["schemas"]
    for shape in shapes.values():
        shape["additionalProperties"] = False
    shapes["Quantity"] = _quantity()
    shapes["ExactAmount"] = _EXACT
    for kind in ("length", "mass", "volume"):
        shapes[f"{kind.title()}Dimension"] = _dimension(shown.units(kind))
    _say_more(shapes)
    return {name: shapes[name] for name in sorted(shapes)}


def _name(schema: Any) -> str:
    name = schema.__name__ if isinstance(schema, type) else type(schema).__name__
    return str(name).removesuffix("Schema")


def _say_more(shapes: dict[str, JsonSchema]) -> None:
    """Add what schemas cannot say by their fields alone."""
    for name in ("Line", "Alternative"):
        shapes[name]["anyOf"] = [{"required": ["text"]}, {"required": ["ingredient"]}]
    shapes["Formula"]["properties"]["components"]["minItems"] = 1
    degrees = shapes["Temperature"]
    one = {"value": degrees["properties"]["low"], "unit": degrees["properties"]["unit"]}
    single = {"type": "object", "properties": one, "required": ["unit", "value"]}
    text = {"type": "string", "pattern": r"^[1-9][0-9]{0,3} ?(?:°C|°F|C|F)$"}
    shapes["Bake"]["properties"]["temperature"] = {
        "anyOf": [_reference("Temperature"), {**single, "additionalProperties": False}, text]
    }
    shapes["MergePatch"] = _merge_patch(shapes["Formula"])


def _merge_patch(formula: JsonSchema) -> JsonSchema:
    """Describe a merge patch of a formula: any of its members, null where one is to go."""
    members = {}
    for name, member in formula["properties"].items():
        may_go = name not in formula["required"]
        members[name] = {"anyOf": [member, {"type": "null"}]} if may_go else member
    return {
        "description": "A merge patch of a formula (RFC 7396): what it does not name stays, null takes a"
        " member away.",
        "type": "object",
        "properties": members,
        "additionalProperties": False,
    }
