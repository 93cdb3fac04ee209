"""A record to a formula: a formula document, alone or in its envelope, a card, or a schema.org Recipe,
told by its members.

A card is ``{"title", "lines": […]}`` with ``method`` (a text or several), ``measures`` and
``language`` where it has them. Other members that hold a text (the book, the chapter, the hand) are
kept as notes; what else it has is told as not taken.
"""

from __future__ import annotations

from dataclasses import dataclass, replace

from schemas.card import load_card
from schemas.envelope import is_envelope, load_envelope
from schemas.formula import commas_assumed, dump, load
from schemas.json_in import Json
from service.archive.recipe import is_recipe, read_recipe
from service.domain.formula import MOST_COMPONENTS, MOST_LINES, Formula, Line
from service.domain.reading import Card, Problem
from service.domain.weighed import Assumption
from service.errors import Fault, Invalid
from service.kitchen import Kitchen
from service.reading.card import read_card

#: Characters of a line, and the amount, below which no bound of a formula can be met.
_SHORT, _USUAL = 100, 10_000
_OWN = frozenset(("title", "lines", "method", "measures", "language"))


@dataclass(frozen=True, slots=True)
class Entry:
    """A record as read. ``assumptions`` are those of reading that weighing does not come upon again
    (how hot a "hot oven" is); ``problems`` tell what was not understood, by pointers into the record.
    """

    formula: Formula
    assumptions: tuple[Assumption, ...] = ()
    problems: tuple[Problem, ...] = ()


def read_entry(document: dict[str, Json], kitchen: Kitchen) -> Entry:
    """Read a record. Raises: Invalid."""
    if "lines" in document:
        card, rest = _card(document)
        return _read(card, rest, kitchen)
    if is_recipe(document):
        return _read(read_recipe(document), (), kitchen)
    if is_envelope(document):  # as the service gave it: what comes out must go back in
        _, formula = load_envelope(document, kitchen.vocabulary)
        return Entry(formula, commas_assumed(document["formula"]))
    return Entry(load(document, kitchen.vocabulary), commas_assumed(document))


def _read(card: Card, problems: tuple[Problem, ...], kitchen: Kitchen) -> Entry:
    read = read_card(card, kitchen.reader)
    if not any(component.ingredients for component in read.formula.components):
        raise _nothing_to_weigh(read.problems)
    if not _surely_fits(read.formula):  # what comes out must go back in
        load(dump(read.formula), kitchen.vocabulary)
    assumptions = tuple(
        Assumption(
            one.assumed.code, one.pointer, one.assumed.part, one.assumed.value, None, one.assumed.detail
        )
        for one in read.assumptions
        if not one.pointer.startswith("/components/")
    )
    return Entry(read.formula, assumptions, problems + read.problems)


def _nothing_to_weigh(problems: tuple[Problem, ...]) -> Invalid:
    """Say that a card comes to no formula, and what its lines were taken for instead."""
    detail = "No line of the card names an ingredient."
    others = tuple(Fault(problem.code, problem.detail, problem.line) for problem in problems)
    return Invalid(detail, faults=(Fault("nothing-to-weigh", detail, ""), *others))


def _surely_fits(formula: Formula) -> bool:
    """Tell of a usual card in a moment that it reads to a formula within the bounds; ``False`` says
    only that it is worth a closer look. A test holds it against the schema."""
    lines = [line for component in formula.components for line in component.ingredients]
    lines += [other for line in lines for other in line.alternatives]
    names = [component.name or "" for component in formula.components]
    return (
        not formula.pans
        and formula.yields is None
        and 0 < len(lines) <= MOST_LINES
        and len(names) <= MOST_COMPONENTS
        and all(len(name) <= _SHORT for name in names)
        and all(_is_usual(line) for line in lines)
    )


def _is_usual(line: Line) -> bool:
    """Tell whether a line is short and its amounts are those of a kitchen."""
    amounts = (line.quantity, line.equivalent.quantity if line.equivalent else None)
    said = line.text or line.ingredient or ""
    return 0 < len(said) <= _SHORT and all(
        amount is None or (amount.low > 0 and amount.high <= _USUAL) for amount in amounts
    )


def _card(document: dict[str, Json]) -> tuple[Card, tuple[Problem, ...]]:
    """Take a card's members; the rest become notes, or are told as not taken. Raises: Invalid."""
    rest = {name: value for name, value in document.items() if name not in _OWN}
    card = load_card({name: value for name, value in document.items() if name in _OWN})
    notes = tuple(f"{name}: {value}" for name, value in rest.items() if _is_said(value))
    problems = tuple(
        Problem("not-taken", f"The member {name[:100]!r} is no part of a card.")
        for name, value in rest.items()
        if not isinstance(value, str)
    )
    return replace(card, notes=notes) if notes else card, problems


def _is_said(value: Json) -> bool:
    return isinstance(value, str) and bool(value.strip())
