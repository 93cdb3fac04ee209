"""Records that nobody changes."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import TypeVar, dataclass_transform

Fields = TypeVar("Fields")


@dataclass_transform(frozen_default=True, field_specifiers=(field,))
def record(fields: type[Fields]) -> type[Fields]:
    """Make a dataclass of slots that is compared and hashed by its fields.

    That nobody assigns to a field is held by the type checker alone. Python's own ``frozen`` looks at
    every field of every new record; a formula of twelve lines makes hundreds of them, and a tenth of
    its weighing went into that.
    """
    return dataclass(slots=True, unsafe_hash=True)(fields)


@dataclass_transform(frozen_default=True, field_specifiers=(field,))
def sent(fields: type[Fields]) -> type[Fields]:
    """Make a record that is sent out in answers: as ``record``, but without slots, since the encoder
    (orjson) writes slotted fields four times as slowly."""
    return dataclass(unsafe_hash=True)(fields)
