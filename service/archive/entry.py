"""A record to a formula: a formula document, a card, or a schema.org Recipe, told by its members.

A card is ``{"title", "lines": […]}`` with ``method`` (a text or several), ``measures`` and
``language`` where it has them. Other members that hold a text (the book, the chapter, the hand) are
kept as notes; what else it has is told as not taken.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping
from typing import Any

from schemas.formula import LANGUAGE, load
from schemas.lines import LONGEST_NAME
from service.archive.recipe import Card, is_recipe, read_recipe
from service.domain.formula import LONGEST_LINE, MOST_LINES, SYSTEMS, Formula
from service.domain.reading import Problem
from service.errors import Fault, Invalid
from service.kitchen import Kitchen
from service.reading.card import read_card

_OWN = frozenset(("title", "lines", "method", "measures", "language"))


def read_entry(document: Mapping[str, Any], kitchen: Kitchen) -> tuple[Formula, tuple[Problem, ...]]:
    """Read a record. Gives the formula and what was not understood. Raises: Invalid."""
    if "lines" in document:
        card = _card(document)
        _hold_to_bounds(card, "/title", "/lines")
        return _read(card, _not_taken(document), kitchen)
    if is_recipe(document):
        card = read_recipe(document)
        _hold_to_bounds(card, "/name", "/recipeIngredient")
        return _read(card, (), kitchen)
    return load(document, kitchen.vocabulary), ()


def _read(
    card: Card, problems: tuple[Problem, ...], kitchen: Kitchen
) -> tuple[Formula, tuple[Problem, ...]]:
    read = read_card(card, kitchen.reader)
    return read.formula, problems + read.problems


def _card(document: Mapping[str, Any]) -> Card:
    """Take a card's members. Raises: Invalid, with every fault."""
    faults = [*_shape_faults(document)]
    if faults:
        raise Invalid("this is not a card that can be read", faults=tuple(faults))
    method = document.get("method") or ()
    notes = (
        f"{name}: {value}"
        for name, value in document.items()
        if name not in _OWN and isinstance(value, str) and value.strip()
    )
    return Card(
        title=document["title"].strip(),
        lines=tuple(document["lines"]),
        method=(method,) if isinstance(method, str) else tuple(method),
        notes=tuple(notes),
        measures=document.get("measures"),
        language=document.get("language"),
    )


def _shape_faults(document: Mapping[str, Any]) -> Iterator[Fault]:
    title, lines = document.get("title"), document["lines"]
    if not isinstance(title, str) or not title.strip():
        yield Fault("required", "a card needs its title as text", pointer="/title")
    if not isinstance(lines, list) or not lines:
        yield Fault("required", "a card needs its lines, a list of texts", pointer="/lines")
    for position, line in enumerate(lines if isinstance(lines, list) else ()):
        if not isinstance(line, str):
            yield Fault("type", "a line is text", pointer=f"/lines/{position}")
    method = document.get("method")
    several = method if isinstance(method, list) else [method]
    if method is not None and not all(isinstance(step, str) for step in several):
        yield Fault("type", "the method is a text or a list of texts", pointer="/method")
    if document.get("measures", "us") not in SYSTEMS:
        yield Fault("unknown-value", f"one of {', '.join(SYSTEMS)} is expected", pointer="/measures")
    language = document.get("language", "en")
    if not isinstance(language, str) or not re.match(LANGUAGE, language):
        yield Fault("not-understood", "a language tag (BCP 47) is expected", pointer="/language")


def _hold_to_bounds(card: Card, title: str, lines: str) -> None:
    """Hold a card to the bounds of a formula (contract, section 3), under its members' pointers.

    Raises: Invalid, with every fault.
    """
    faults = []
    if len(card.title) > LONGEST_NAME:
        faults.append(Fault("too-long", f"at most {LONGEST_NAME} characters are allowed", title))
    if len(card.lines) > MOST_LINES:
        faults.append(Fault("too-many", f"at most {MOST_LINES} lines are allowed", lines))
    for position, line in enumerate(card.lines):
        if len(line) > LONGEST_LINE:
            detail = f"at most {LONGEST_LINE} characters are allowed"
            faults.append(Fault("too-long", detail, f"{lines}/{position}"))
    if faults:
        raise Invalid("the card is beyond the bounds", faults=tuple(faults))


def _not_taken(document: Mapping[str, Any]) -> tuple[Problem, ...]:
    """Say which members of a card were not taken: those of its own that hold no text."""
    return tuple(
        Problem("not-taken", f"the member {name[:100]!r} is no part of a card", line=None)
        for name, value in document.items()
        if name not in _OWN and not isinstance(value, str)
    )
