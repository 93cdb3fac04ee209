"""Messages of a failed load, turned to faults with JSON Pointers (RFC 6901)."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import Any

from service.errors import Fault


def step_of(key: object) -> str:
    """Escape one step of a pointer (RFC 6901, section 3)."""
    return str(key).replace("~", "~0").replace("/", "~1")


def faults_of(messages: Any, pointer: str = "") -> Iterator[Fault]:
    """Give every fault of marshmallow's nested messages, in the order of the document's shape."""
    if isinstance(messages, Mapping):
        for key, inner in messages.items():
            place = pointer if key == "_schema" else f"{pointer}/{step_of(key)}"
            yield from faults_of(inner, place)
    elif isinstance(messages, list):
        for inner in messages:
            yield from faults_of(inner, pointer)
    else:
        code, _, detail = str(messages).partition("|")
        yield Fault(code, detail, pointer=pointer)
