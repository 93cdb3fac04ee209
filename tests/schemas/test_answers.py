"""Answers: what is sent and what is published of it come from one place and say the same."""

from __future__ import annotations

import json
from dataclasses import dataclass, field
from decimal import Decimal
from fractions import Fraction
from typing import Any

import orjson
import pytest
from jsonschema import Draft202012Validator

from schemas.answers import Components, document_of
from service.domain.formula import Component, Formula, Line
from service.domain.quantity import Quantity


@dataclass(frozen=True, slots=True)
class Part:
    """A part of an answer."""

    of_class: str | None = field(metadata={"name": "class"})
    share: float


@dataclass(frozen=True, slots=True)
class Tree:
    """An answer that holds its like."""

    name: str
    branches: tuple[Tree, ...] = ()


@dataclass(frozen=True, slots=True)
class Answer:
    """An answer with every kind of member."""

    formula: Formula | None
    lines: tuple[Line, ...]
    amount: Quantity
    factor: Fraction
    parts: dict[str, Part]
    first: Part | None
    tree: Tree
    pair: tuple[int, str]
    plain: bool = field(metadata={"name": "is_plain"})


FLOUR = Line(ingredient="flour", quantity=Quantity.of(Fraction(9, 4)), unit="cup")
ANSWER = Answer(
    formula=Formula("Cake", (Component(ingredients=(FLOUR,)),), product_class="sponge"),
    lines=(FLOUR,),
    amount=Quantity(Fraction(1, 2), Fraction(3, 4)),
    factor=Fraction(3, 2),
    parts={"a": Part("sponge", 1.5)},
    first=None,
    tree=Tree("root", (Tree("leaf"),)),
    pair=(1, "x"),
    plain=True,
)
#: Written by hand: names from the fields' metadata, amounts in lowest terms, unknown as null.
DOCUMENT = {
    "formula": {
        "name": "Cake",
        "class": "sponge",
        "components": [{"ingredients": [{"ingredient": "flour", "unit": "cup", "quantity": "2 1/4"}]}],
    },
    "lines": [{"ingredient": "flour", "unit": "cup", "quantity": "2 1/4"}],
    "amount": {"low": "1/2", "high": "3/4"},
    "factor": "1 1/2",
    "parts": {"a": {"class": "sponge", "share": 1.5}},
    "first": None,
    "tree": {"name": "root", "branches": [{"name": "leaf", "branches": []}]},
    "pair": [1, "x"],
    "is_plain": True,
}
SHAPES: dict[str, Any] = {
    "Formula": {"type": "object"},
    "Line": {"type": "object"},
    "Quantity": {"anyOf": [{"type": "string"}, {"type": "object"}]},
    "ExactAmount": {"type": "string"},
}


def test_an_answer_becomes_its_document() -> None:
    assert json.loads(orjson.dumps(document_of(ANSWER))) == DOCUMENT


def test_the_published_schema_takes_the_document_and_no_other() -> None:
    components = Components(SHAPES)
    schema = components.schema_of(Answer)
    whole = {**schema, "components": {"schemas": components.schemas}}
    check = Draft202012Validator(whole)
    check.validate(DOCUMENT)
    for name in DOCUMENT:
        assert not check.is_valid({n: v for n, v in DOCUMENT.items() if n != name}), name
        assert not check.is_valid({**DOCUMENT, name: [Decimal(1), {}]}), name
    assert not check.is_valid({**DOCUMENT, "more": 1})


def test_a_type_that_says_nothing_is_refused() -> None:
    components = Components({})
    for hint in (Any, object, dict, tuple, bytes):
        with pytest.raises(TypeError):
            components.schema_of(hint)


def test_two_shapes_of_one_name_are_told_apart() -> None:
    @dataclass(frozen=True, slots=True)
    class Line:
        """Another line than the domain's."""

        text: str

    components = Components(SHAPES)
    reference = components.schema_of(Line)["$ref"]
    assert reference not in ("#/components/schemas/Line",)
    assert components.schemas["Line"] == SHAPES["Line"]
