"""Answers: a frozen dataclass turned to a document, and to the schema of that document.

Both are drawn from the same type hints, so the published schema cannot differ from what is sent.
``orjson`` writes dataclasses by itself; only what it would write otherwise than we do is turned here:
members whose field carries another ``name``, formulas and their parts, exact amounts.
"""

from __future__ import annotations

import types
from collections.abc import Callable, Mapping
from dataclasses import fields, is_dataclass
from fractions import Fraction
from functools import cache
from typing import Any, Literal, Union, get_args, get_origin, get_type_hints

import orjson

from schemas.amounts import write_quantity
from schemas.formula import dump
from schemas.lines import write_line
from service.domain.formula import Formula, Line
from service.domain.quantity import Quantity, write_fraction

Writer = Callable[[Any], Any]
Schema = dict[str, Any]

#: What is written by a hand of its own, and the name of its schema.
_OWN: dict[Any, tuple[Writer, str]] = {
    Formula: (dump, "Formula"),
    Line: (write_line, "Line"),
    Quantity: (write_quantity, "Quantity"),
    Fraction: (write_fraction, "ExactAmount"),
}
_PLAIN: dict[Any, Schema] = {
    str: {"type": "string"},
    int: {"type": "integer"},
    float: {"type": "number"},
    bool: {"type": "boolean"},
    type(None): {"type": "null"},
}


def document_of(answer: Any) -> dict[str, Any]:
    """Give an answer's members by the names that callers see; ``orjson`` can write the result."""
    shape = type(answer)
    plan = _PLANS.get(shape) or _plan_of(shape)
    document = {}
    for field, name, writer in plan:
        value = getattr(answer, field)
        document[name] = writer(value) if writer else value
    return document


def to_bytes(document: Any) -> bytes:
    """Write a document. Raises: TypeError for what has no place in one."""
    return orjson.dumps(document)


Plan = tuple[tuple[str, str, Writer | None], ...]
_PLANS: dict[type, Plan] = {}


def _plan_of(shape: type) -> Plan:
    """Say of each of a dataclass's fields: where it is, how it is named, and what writes it."""
    hints = get_type_hints(shape)
    plan = tuple((f.name, name_of(f), _writer(hints[f.name])) for f in fields(shape))
    _PLANS[shape] = plan
    return plan


def name_of(field: Any) -> str:
    """Give the name under which a dataclass's field travels."""
    return str(field.metadata.get("name", field.name))


def _writer(hint: Any) -> Writer | None:
    """Give what must write values of a type, ``None`` where ``orjson`` does as we do."""
    return _write_with(hint) if _needs_writing(hint, frozenset()) else None


def _needs_writing(hint: Any, above: frozenset[Any]) -> bool:
    if hint in _OWN:
        return True
    if is_dataclass(hint):
        if hint in above:
            return False
        hints = get_type_hints(hint)
        inside = above | {hint}
        return any(name_of(f) != f.name or _needs_writing(hints[f.name], inside) for f in fields(hint))
    return any(_needs_writing(inner, above) for inner in get_args(hint) if inner is not Ellipsis)


@cache
def _write_with(hint: Any) -> Writer:
    if hint in _OWN:
        return _OWN[hint][0]
    if is_dataclass(hint):
        return document_of
    origin, inner = get_origin(hint), get_args(hint)
    if origin in (Union, types.UnionType):
        (one,) = [each for each in inner if each is not type(None)]
        write = _write_with(one)
        return lambda value: None if value is None else write(value)
    if origin is tuple:
        write = _write_with(inner[0])
        return lambda values: [write(value) for value in values]
    if origin is dict:
        write = _write_with(inner[1])
        return lambda values: {key: write(value) for key, value in values.items()}
    raise TypeError(f"an answer cannot hold {hint!r}")


# -- schemas --


def prose_of(shape: type) -> str:
    """Give a class's docstring as one line of Markdown."""
    return " ".join((shape.__doc__ or "").split()).replace("``", "`")


class Components:
    """The named schemas of a document, gathered while answers are described."""

    def __init__(self, own: Mapping[str, Schema]) -> None:
        self.schemas: dict[str, Schema] = dict(own)
        self._names: dict[type, str] = {}

    def schema_of(self, hint: Any) -> Schema:
        """Describe a type; dataclasses become components and are referred to.

        Raises: TypeError for a type whose values say nothing of their shape.
        """
        if hint in _PLAIN:
            return dict(_PLAIN[hint])
        if hint in _OWN:
            return _reference(_OWN[hint][1])
        if is_dataclass(hint) and isinstance(hint, type):
            return self._component(hint)
        origin, inner = get_origin(hint), get_args(hint)
        if origin in (Union, types.UnionType):
            return _union([self.schema_of(each) for each in inner])
        if origin is tuple and len(inner) == 2 and inner[1] is Ellipsis:
            return {"type": "array", "items": self.schema_of(inner[0])}
        if origin is tuple:
            several = [self.schema_of(each) for each in inner]
            return {
                "type": "array",
                "prefixItems": several,
                "minItems": len(several),
                "maxItems": len(several),
            }
        if origin is dict:
            return {"type": "object", "additionalProperties": self.schema_of(inner[1])}
        if origin is Literal:
            return {"enum": list(inner)}
        raise TypeError(f"the shape of {hint!r} cannot be described")

    def members_of(self, shape: type) -> Schema:
        """Describe a dataclass as an object of which every member is there."""
        hints = get_type_hints(shape)
        members = {name_of(f): self.schema_of(hints[f.name]) for f in fields(shape)}
        described: Schema = {"type": "object", "properties": members, "additionalProperties": False}
        if members:
            described["required"] = sorted(members)
        if said := prose_of(shape):
            described["description"] = said
        return described

    def _component(self, shape: type) -> Schema:
        name = self._names.get(shape)
        if name is None:
            name = self._names[shape] = self.free_name(shape)
            self.schemas[name] = {}
            self.schemas[name] = self.members_of(shape)
        return _reference(name)

    def free_name(self, shape: type) -> str:
        """Name a shape after its class, and after its module too where the class's name is taken."""
        if shape.__name__ not in self.schemas:
            return shape.__name__
        module = shape.__module__.rpartition(".")[2]
        name = f"{module.title().replace('_', '')}{shape.__name__}"
        if name in self.schemas:
            raise TypeError(f"two shapes are named {name}")
        return name


def _reference(name: str) -> Schema:
    return {"$ref": f"#/components/schemas/{name}"}


def _union(several: list[Schema]) -> Schema:
    """Join schemas; plain types are joined in one ``type``."""
    kinds = [each["type"] for each in several if set(each) == {"type"}]
    others = [each for each in several if set(each) != {"type"}]
    if not others:
        return {"type": kinds}
    if len(others) == 1 and "type" in others[0] and isinstance(others[0]["type"], str):
        return {**others[0], "type": [others[0]["type"], *kinds]}
    return {"anyOf": [*others, *({"type": kind} for kind in kinds)]}
