"""The allergens of a formula in one market: contained, perhaps contained, undetermined.

The derivation stands in ``service.rules.allergens``; this view words it for people and printers.
"""

from __future__ import annotations

import csv
import io
from dataclasses import dataclass, field

from service.domain.faults import do_not_fit, unknown_value
from service.errors import Fault, Invalid
from service.rules.allergens import Derived, Ground, Listed, derive
from service.tables.cupboard import Cupboard
from service.tables.law_rows import MarketRow
from service.views.registry import view
from service.views.work import Work


@dataclass(frozen=True, slots=True)
class AllergenParams:
    """``market``: eu | gb | us | ca | au-nz | jp | codex. It is never assumed."""

    market: str | None = field(
        default=None, metadata={"table": "markets", "required": True, "example": "eu"}
    )


@dataclass(frozen=True, slots=True)
class AllergenEntry:
    """An allergen: its GS1 type ``code``, its ``name``, the word to ``declare_as``, the lines it comes
    ``from``, whether it is there only ``if_used`` (an optional line, an alternative), the law's row as
    ``basis``, and ``notes`` (the law's threshold and exceptions)."""

    code: str
    name: str
    declare_as: str
    from_: tuple[Ground, ...] = field(metadata={"name": "from"})
    if_used: bool
    basis: str
    status: str
    notes: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class AllergenAnswer:
    """What one market's law wants told of a formula. ``complete``: ``False`` while any line may hide
    an allergen; those it may hide are ``undetermined``. ``statement`` is the wording without an
    ingredient list. Nothing here says that a food is without an allergen."""

    market: str
    law: str
    complete: bool
    contains: tuple[AllergenEntry, ...]
    may_contain: tuple[AllergenEntry, ...]
    undetermined: tuple[AllergenEntry, ...]
    statement: str
    cautions: tuple[str, ...]


def _market(name: str | None, cupboard: Cupboard) -> MarketRow:
    """Get a market's row. Raises: Invalid, pointing at the parameter."""
    known = sorted(cupboard.markets)
    if name is None:
        detail = f"A market is needed: one of {', '.join(known)}. It is never assumed."
        raise Invalid(faults=(Fault("required", detail, parameter="market"),))
    if name not in cupboard.markets:
        raise do_not_fit((unknown_value("market", name, known, code="unknown-market"),))
    return cupboard.markets[name]


def _entry(listed: Listed, cupboard: Cupboard) -> AllergenEntry:
    allergen, row = cupboard.allergens[listed.key], listed.row
    notes = [f"declared {row.threshold}"] if row.threshold else []
    notes += [row.exceptions] if row.exceptions else []
    return AllergenEntry(
        code=allergen.gs1,
        name=allergen.name,
        declare_as=row.declare_as.replace("{name}", allergen.name),
        from_=listed.grounds,
        if_used=listed.if_used,
        basis=row.source,
        status=row.status,
        notes=tuple(notes),
    )


def _names(entries: tuple[AllergenEntry, ...]) -> str:
    return ", ".join(dict.fromkeys(e.declare_as + (" (if used)" if e.if_used else "") for e in entries))


def _statement(
    row: MarketRow,
    contains: tuple[AllergenEntry, ...],
    may_contain: tuple[AllergenEntry, ...],
    undetermined: tuple[AllergenEntry, ...],
    complete: bool,
) -> str:
    """Word the answer for a food without an ingredient list; silence is never absence."""
    parts = []
    if contains:
        parts.append(row.statement.replace("{names}", _names(contains)) + ".")
    if may_contain:
        parts.append(f"Cross-contact declared: {_names(may_contain)}.")
    if undetermined:
        parts.append(f"Not determined: {', '.join(dict.fromkeys(e.declare_as for e in undetermined))}.")
    if not complete:
        parts.append("This list is not complete.")
    elif not contains:
        parts.append(f"The ingredients as declared name no allergen that {row.name} lists.")
    return " ".join(parts)


def _answer(derived: Derived, row: MarketRow, cupboard: Cupboard) -> AllergenAnswer:
    contains, may_contain, undetermined = (
        tuple(_entry(listed, cupboard) for listed in several)
        for several in (derived.contains, derived.may_contain, derived.undetermined)
    )
    return AllergenAnswer(
        market=row.market,
        law=row.law,
        complete=derived.complete,
        contains=contains,
        may_contain=may_contain,
        undetermined=undetermined,
        statement=_statement(row, contains, may_contain, undetermined, derived.complete),
        cautions=tuple(
            each.caution for each in cupboard.tables["cautions"] if each.trigger == "allergens"
        ),
    )


def _as_text(answer: AllergenAnswer) -> str:
    """Write the answer as plain text: the statement first, then each allergen with its lines."""
    lines = [answer.statement, f"Market: {answer.market} ({answer.law})", ""]
    for heading, entries in (
        ("Contains", answer.contains),
        ("Cross-contact declared", answer.may_contain),
        ("Not determined", answer.undetermined),
    ):
        for entry in entries:
            names = ", ".join(dict.fromkeys(ground.name for ground in entry.from_))
            used = ", if used" if entry.if_used else ""
            lines.append(f"{heading}: {entry.declare_as} [{entry.code}]{used} - {names}")
    return "\n".join([*lines, "", *answer.cautions]) + "\n"


def _cell(text: str) -> str:
    """Keep a spreadsheet from taking a cell for a formula."""
    return f"'{text}" if text[:1] in ("=", "+", "-", "@", "\t") else text


def _as_csv(answer: AllergenAnswer) -> str:
    """Write one record an allergen (RFC 4180), the answer's state in the first columns of each; the
    cautions close it, each a record of level ``caution`` with its text under ``from``."""
    out = io.StringIO()
    table = csv.writer(out, lineterminator="\r\n")
    table.writerow(
        ("market", "complete", "level", "code", "name", "declare_as", "if_used", "from", "basis")
    )
    complete = "yes" if answer.complete else "no"
    levels = (
        ("contains", answer.contains),
        ("may_contain", answer.may_contain),
        ("undetermined", answer.undetermined),
    )
    for level, entries in levels:
        for entry in entries:
            names = "; ".join(dict.fromkeys(ground.name for ground in entry.from_))
            table.writerow(
                (
                    answer.market, complete, level, entry.code, entry.name, entry.declare_as,
                    "yes" if entry.if_used else "no", _cell(names), entry.basis,
                )
            )  # fmt: skip
    if not any(entries for _, entries in levels):
        table.writerow((answer.market, complete, "none-listed", "", "", "", "", "", ""))
    for caution in answer.cautions:
        table.writerow((answer.market, complete, "caution", "", "", "", "", _cell(caution), ""))
    return out.getvalue()


@view(
    "allergens",
    params=AllergenParams,
    answer=AllergenAnswer,
    texts={"text/plain": _as_text, "text/csv": _as_csv},
)
def allergens(work: Work, params: AllergenParams) -> AllergenAnswer:
    """Say which of a market's allergens a formula contains, may contain and may hide."""
    cupboard = work.kitchen.cupboard
    row = _market(params.market, cupboard)
    settled = left_behind(work)
    return _answer(derive(work.weighed, row.market, cupboard, settled), row, cupboard)


def left_behind(work: Work) -> frozenset[str]:
    """Give the codes of the given formula's lines, where changes left some out or swapped them."""
    if work.changed.formula == work.given:
        return frozenset()
    given = work.kitchen.scales.weigh(work.given)
    several = (each for line in given.lines for each in (line, *line.alternatives))
    return frozenset(each.code for each in several if each.code)
