"""Ingredient lines: one list checked by hand, since a request's time goes into its lines.

``LineSchema`` says the same in marshmallow's words: the published document is drawn from it, and a
property test holds the two against each other. Checked by hand, 12 lines cost a third.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from typing import Any

from marshmallow import ValidationError, fields, post_load, validates_schema

from schemas.amounts import Amount, read_pair, read_quantity, read_unit, write_quantity
from schemas.fields import (
    LOADING,
    MESSAGES,
    Shape,
    Text,
    Word,
    read_flag,
    read_text,
    read_word,
    refuse,
    unknown_member,
)
from service.domain.formula import LEVELS, LONGEST_LINE, LONGEST_NAME, MOST_LINES, Equivalent, Line

LONGEST_WORD = 60
MOST_WORDS = 16
#: The kinds of unit that an ingredient line may use.
LINE_UNITS = ("mass", "volume", "count", "percent")

_NEEDS = "required|A line needs its text or its ingredient."


def _unit(value: Any) -> str:
    return read_unit(value, *LINE_UNITS)


def _name(value: Any) -> str:
    return read_text(value, LONGEST_NAME)


def _word(value: Any) -> str:
    return read_text(value, LONGEST_WORD)


def _text(value: Any) -> str:
    return read_text(value, LONGEST_LINE)


def _level(value: Any) -> str:
    return read_word(value, LEVELS)


def _each(value: Any, read: Callable[[Any], Any], most: int) -> tuple[Any, ...]:
    """Read a list; every wrong entry is told by its position. Raises: ValidationError."""
    if not isinstance(value, list):
        raise ValidationError(MESSAGES["invalid"])
    if len(value) > most:
        raise refuse("too-many", f"At most {most} entries are allowed.")
    read_ones, wrong = [], {}
    for position, one in enumerate(value):
        try:
            read_ones.append(read(one))
        except ValidationError as error:
            wrong[position] = error.messages
    if wrong:
        raise ValidationError(wrong)
    return tuple(read_ones)


def read_state(value: Any) -> tuple[str, ...]:
    """Take a state: a word, words joined with ``+``, or a list of words. Raises: ValidationError."""
    if isinstance(value, str):
        return tuple(_word(part).strip() for part in value.split("+"))
    return _each(value, _word, MOST_WORDS)


def _allergen(value: Any) -> str:
    vocabulary = LOADING.get().vocabulary
    return read_word(value, vocabulary.allergens) if vocabulary else _word(value)


def read_allergens(value: Any) -> tuple[str, ...]:
    """Take allergen keys that the tables know; an unknown one is refused. Raises: ValidationError."""
    return _each(value, _allergen, 64)


def _equivalent(value: Any) -> Equivalent:
    if not isinstance(value, dict):
        raise ValidationError(MESSAGES["type"])
    read = read_pair(value, {"quantity": read_quantity, "unit": _unit})
    return Equivalent(read["quantity"], read["unit"])


def _alternatives(value: Any) -> tuple[Line, ...]:
    return _each(value, _alternative, MOST_LINES)


Reader = tuple[str, Callable[[Any], Any]]
_ALTERNATIVE: dict[str, Reader] = {
    "text": ("text", _text),
    "ingredient": ("ingredient", _name),
    "quantity": ("quantity", read_quantity),
    "unit": ("unit", _unit),
    "level": ("level", _level),
    "state": ("state", read_state),
    "part": ("part", _word),
    "equivalent": ("equivalent", _equivalent),
    "note": ("note", _text),
    "contains": ("contains", read_allergens),
    "may_contain": ("may_contain", read_allergens),
    "declaration_complete": ("declaration_complete", read_flag),
}
_LINE: dict[str, Reader] = {
    **_ALTERNATIVE,
    "optional": ("optional", read_flag),
    "alternatives": ("alternatives", _alternatives),
}


def _members(value: Any, readers: Mapping[str, Reader]) -> dict[str, Any]:
    """Read an object's members; all that are wrong are told. Raises: ValidationError."""
    if not isinstance(value, dict):
        raise ValidationError(MESSAGES["null" if value is None else "type"])
    read: dict[str, Any] = {}
    wrong: dict[str, Any] = {}
    for name, given in value.items():
        reader = readers.get(name)
        if reader is None:
            wrong[name] = [unknown_member(name, readers)]
            continue
        if given is None:
            wrong[name] = [MESSAGES["null"]]
            continue
        try:
            read[reader[0]] = reader[1](given)
        except ValidationError as error:
            wrong[name] = error.messages
    if wrong:
        raise ValidationError(wrong)
    return read


def _line(value: Any, readers: Mapping[str, Reader] = _LINE) -> Line:
    read = _members(value, readers)
    if "text" not in read and "ingredient" not in read:
        raise ValidationError({"_schema": [_NEEDS]})
    return Line(**read)


def _alternative(value: Any) -> Line:
    return _line(value, _ALTERNATIVE)


def read_lines(value: Any) -> tuple[Line, ...]:
    """Read a list of lines, by hand. Raises: ValidationError, every fault by its position."""
    return _each(value, _line, MOST_LINES)


def write_line(line: Line) -> dict[str, Any]:
    """Write a line; what it does not state is left out."""
    document: dict[str, Any] = {}
    for name in ("text", "ingredient", "unit", "level", "part", "optional", "note"):
        value = getattr(line, name)
        if value is not None:
            document[name] = value
    if line.quantity is not None:
        document["quantity"] = write_quantity(line.quantity)
    if line.state:
        document["state"] = "+".join(line.state)
    if line.equivalent is not None:
        document["equivalent"] = {
            "quantity": write_quantity(line.equivalent.quantity),
            "unit": line.equivalent.unit,
        }
    if line.alternatives:
        document["alternatives"] = [write_line(each) for each in line.alternatives]
    for name in ("contains", "may_contain"):
        keys = getattr(line, name)
        if keys is not None:
            document[name] = list(keys)
    if line.declaration_complete is not None:
        document["declaration_complete"] = line.declaration_complete
    return document


class Lines(fields.Field[tuple[Line, ...]]):
    """The list of a component's lines, checked by hand."""

    def _deserialize(self, value: Any, attr: str | None, data: Any, **kwargs: Any) -> tuple[Line, ...]:
        return read_lines(value)


class Unit(fields.String):
    """A unit that the tables know, of some kinds."""

    def __init__(self, *kinds: str, **kwargs: Any) -> None:
        super().__init__(**kwargs)
        self.kinds = kinds

    def _deserialize(self, value: Any, attr: str | None, data: Any, **kwargs: Any) -> str:
        return read_unit(value, *self.kinds)


class State(fields.Field[tuple[str, ...]]):
    """A state in one word or several."""

    def _deserialize(self, value: Any, attr: str | None, data: Any, **kwargs: Any) -> tuple[str, ...]:
        return read_state(value)


class Allergens(fields.Field[tuple[str, ...]]):
    """Allergen keys."""

    def _deserialize(self, value: Any, attr: str | None, data: Any, **kwargs: Any) -> tuple[str, ...]:
        return read_allergens(value)


class Flag(fields.Boolean):
    """True or false, and nothing that only looks like it."""

    def _deserialize(self, value: Any, attr: str | None, data: Any, **kwargs: Any) -> bool:
        return read_flag(value)


class EquivalentSchema(Shape):
    """The same amount in another measure, as the line gives it."""

    quantity = Amount(required=True)
    unit = Unit(*LINE_UNITS, required=True)

    @post_load
    def _made(self, data: dict[str, Any], **_: Any) -> Equivalent:
        return Equivalent(**data)


class AlternativeSchema(Shape):
    """Another line that may stand in a line's place."""

    text = Text(LONGEST_LINE)
    ingredient = Text(LONGEST_NAME)
    quantity = Amount()
    unit = Unit(*LINE_UNITS)
    level = Word(LEVELS)
    state = State()
    part = Text(LONGEST_WORD)
    equivalent = fields.Nested(EquivalentSchema)
    note = Text(LONGEST_LINE)
    contains = Allergens()
    may_contain = Allergens()
    declaration_complete = Flag()

    @validates_schema
    def _says_what(self, data: dict[str, Any], **_: Any) -> None:
        if "text" not in data and "ingredient" not in data:
            raise ValidationError(_NEEDS)

    @post_load
    def _made(self, data: dict[str, Any], **_: Any) -> Line:
        return Line(**{**data, "alternatives": tuple(data.get("alternatives", ()))})


class LineSchema(AlternativeSchema):
    """One ingredient of a component, as text, as fields, or both: then the fields decide."""

    optional = Flag()
    alternatives = fields.List(fields.Nested(AlternativeSchema))
