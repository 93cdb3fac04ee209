"""What goes into the store and comes out of it, as frozen values."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Draft:
    """A formula about to be stored: its canonical ``body`` and ``digest``, the ``knowledge`` at hand,
    and what it is found by. ``words`` is all the text that a search looks through."""

    body: bytes
    digest: str
    knowledge: str
    name: str
    product_class: str | None = None
    tags: tuple[str, ...] = ()
    words: str = ""


@dataclass(frozen=True, slots=True)
class Version:
    """A stored version. ``newest`` is the number of its formula's newest version; ``created`` an
    RFC 3339 time in UTC; ``body`` the bytes of its canonical document."""

    formula: str
    version: int
    newest: int
    digest: str
    knowledge: str
    created: str
    body: bytes


@dataclass(frozen=True, slots=True)
class Entry:
    """A version or a formula in a list: everything but its body."""

    formula: str
    version: int
    digest: str
    created: str
    name: str
    product_class: str | None = None
    tags: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Head:
    """What a formula's newest version is, in short, and the state of the house's rows beside it."""

    version: int
    digest: str
    house: int


@dataclass(frozen=True, slots=True)
class Key:
    """An idempotency key: what the caller named it, and the digest of the request that it is for."""

    name: str
    request: str


@dataclass(frozen=True, slots=True)
class Answered:
    """What was answered to a request that stored a formula under an idempotency key."""

    formula: str
    answer: bytes


@dataclass(frozen=True, slots=True)
class Search:
    """What to list: ``words`` that all must be found, a class, a tag; after an id, so many."""

    words: str = ""
    product_class: str | None = None
    tag: str | None = None
    after: str = ""
    limit: int = 50


@dataclass(frozen=True, slots=True)
class HouseRow:
    """A house's own word on an ingredient: ``version`` of it, its ``digest`` and its ``body``."""

    code: str
    version: int
    digest: str
    created: str
    body: bytes
