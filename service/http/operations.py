"""What the OpenAPI document must know of a handler, said beside the handler."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from typing import Any, TypeVar

Handler = TypeVar("Handler", bound=Callable[..., Any])


@dataclass(frozen=True, slots=True)
class Query:
    """A parameter of a query: its JSON Schema is drawn from ``pattern``, ``values`` or ``kind``;
    ``table`` names the table whose codes are the only values; ``least`` and ``most`` bound an
    integer."""

    name: str
    meaning: str
    kind: str = "string"
    values: tuple[str, ...] = ()
    pattern: str | None = None
    example: str | None = None
    repeatable: bool = False
    required: bool = False
    least: int = 0
    most: int = 2**31 - 1
    table: str | None = None


@dataclass(frozen=True, slots=True)
class Header:
    """A header that a request may carry."""

    name: str
    meaning: str
    example: str
    required: bool = False


@dataclass(frozen=True, slots=True)
class Operation:
    """One operation of the interface.

    ``answer`` is the dataclass that a good answer is drawn from, or ``shape`` the name of its schema;
    neither for an answer without body;
    ``envelope`` adds the members of a formula's envelope to it; ``media`` are further media types that
    a good answer may have. ``bodies`` maps the media types that are taken to schema names; ``statuses``
    maps the statuses of good answers to what they mean; ``problems`` are the statuses of refusals.
    ``examples`` gives values of the path's parameters that name something in the demo book;
    ``conditional``: the answer has a tag and may be a 304; ``stream``: it is lines of JSON.
    """

    summary: str
    answer: type | None = None
    shape: str | None = None
    envelope: bool = False
    media: tuple[str, ...] = ()
    bodies: Mapping[str, str] = field(default_factory=dict)
    body_examples: Mapping[str, Any] = field(default_factory=dict)
    queries: tuple[Query, ...] = ()
    headers: tuple[Header, ...] = ()
    statuses: Mapping[int, str] = field(default_factory=lambda: {200: "As asked."})
    problems: tuple[int, ...] = ()
    examples: Mapping[str, Any] = field(default_factory=dict)
    answer_headers: tuple[str, ...] = ()
    conditional: bool = False
    stream: bool = False


#: Operations by the handler that they belong to.
OPERATIONS: dict[Callable[..., Any], Operation] = {}


def operation(says: Operation) -> Callable[[Handler], Handler]:
    """Say beside a handler what the document must know of it."""

    def register(handler: Handler) -> Handler:
        OPERATIONS[handler] = says
        return handler

    return register
