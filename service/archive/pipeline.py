"""The pipeline: one record in, one answer out, and a summary at the end.

A broken record costs itself alone. Nothing is held but the record at hand, so memory stays flat
whatever the archive's length. HTTP, command line and worker processes share this module.
"""

from __future__ import annotations

import logging
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, field, replace
from typing import Any

import orjson

from schemas.answers import document_of
from schemas.formula import dump
from schemas.json_in import read_json
from service.archive.counts import Counts
from service.archive.entry import Entry, read_entry
from service.archive.records import LARGEST_RECORD
from service.domain.changes import NO_CHANGES, Changes
from service.domain.reading import Problem
from service.domain.weighed import Assumption, Weighed
from service.errors import NotUnderstood, TarebookError, TooLarge
from service.kitchen import Kitchen
from service.views.registry import all_views
from service.views.weights import rounded
from service.views.work import Work

LOG = logging.getLogger(__name__)
#: Problems that leave nothing of a card unread: they tell of what was kept as a note.
_TOLD = frozenset(("remark",))


@dataclass(frozen=True, slots=True)
class Asked:
    """What is asked of every record: views by name, the parameters of those that take any, and the
    changes that all of them take."""

    views: tuple[str, ...] = ()
    params: Mapping[str, Any] = field(default_factory=dict)
    changes: Changes = NO_CHANGES


def answers(lines: Iterable[bytes], asked: Asked, kitchen: Kitchen) -> Iterator[bytes]:
    """Give one line of JSON a record, in order, then the summary; each ends in a line feed.

    Shape: ``lines`` are records as ``read_records`` gives them.
    """
    counts = Counts()
    for number, raw in enumerate(lines, start=1):
        line, one = answer(number, raw, asked, kitchen)
        counts.add(one)
        yield line
    yield summary(counts)


def summary(counts: Counts) -> bytes:
    """Give the closing line."""
    return orjson.dumps({"summary": counts.document()}, option=orjson.OPT_APPEND_NEWLINE)


def answer(number: int, raw: bytes, asked: Asked, kitchen: Kitchen) -> tuple[bytes, Counts]:
    """Answer one record; give the line and its tally."""
    counts = Counts(records=1)
    try:
        entry = _read(raw, kitchen)
        work = Work(kitchen, entry.formula, asked.changes)
        body = _converted(work, entry, asked)
        _tally(work.weighed, counts)
    except TarebookError as refusal:
        body = _refused(refusal)
        counts.refusals[body["problems"][0]["code"]] += 1
    except Exception:
        # A fault of ours must not cut short an answer of which half is sent: it costs its record.
        LOG.exception("record %d", number)
        body = _refused(TarebookError("The service failed on this record; it is in the log."))
        counts.refusals[TarebookError.slug] += 1
    counts.statuses[body["status"]] += 1
    return orjson.dumps({"record": number, **body}, option=orjson.OPT_APPEND_NEWLINE), counts


def _read(raw: bytes, kitchen: Kitchen) -> Entry:
    """Read a record's bytes. Raises: TarebookError."""
    if len(raw) > LARGEST_RECORD:
        raise TooLarge(f"A record holds at most {LARGEST_RECORD} bytes.")
    document = read_json(raw)
    if not isinstance(document, dict):
        raise NotUnderstood("Line 1, column 1: a record is a JSON object.")
    return read_entry(document, kitchen)


def _converted(work: Work, entry: Entry, asked: Asked) -> dict[str, Any]:
    """Answer a record that was read. Raises: TarebookError, where not even weighing is possible."""
    found = [*entry.problems, *_not_told(work.problems, entry.problems)]
    views = {name: _view(name, work, asked, found) for name in asked.views}
    named = any(line.reason != "not-an-ingredient" for line in work.weighed.lines)
    whole = named and work.weighed.complete and all(problem.code in _TOLD for problem in found)
    return {
        "status": "converted" if whole else "partial",
        "formula": dump(work.changed.formula),
        "assumptions": [_assumption(one) for one in (*entry.assumptions, *work.assumptions)],
        "problems": [document_of(problem) for problem in found],
        **views,
    }


def _assumption(one: Assumption) -> dict[str, Any]:
    worth = None if one.grams is None else rounded(one.grams)
    return document_of(replace(one, grams=worth))


def _not_told(found: Iterable[Problem], told: Iterable[Problem]) -> Iterator[Problem]:
    """Give the problems that reading has not told already, under the card's own pointers."""
    known = {(problem.code, problem.detail) for problem in told}
    return (problem for problem in found if (problem.code, problem.detail) not in known)


def _view(name: str, work: Work, asked: Asked, found: list[Problem]) -> Any:
    """Give a view's answer, or ``None`` and its refusal among the problems."""
    view = all_views()[name]
    try:
        return document_of(view.run(work, asked.params.get(name) or view.params()))
    except TarebookError as refusal:
        found.extend(_problems_of(refusal))
        return None


def _refused(refusal: TarebookError) -> dict[str, Any]:
    return {
        "status": "refused",
        "formula": None,
        "assumptions": [],
        "problems": [document_of(problem) for problem in _problems_of(refusal)],
    }


def _problems_of(refusal: TarebookError) -> list[Problem]:
    """Give a refusal as problems, one a fault."""
    if not refusal.faults:
        return [Problem(refusal.slug, refusal.detail)]
    return [Problem(fault.code, fault.detail, line=fault.pointer or None) for fault in refusal.faults]


def _tally(weighed: Weighed, counts: Counts) -> None:
    """Count a weighed formula's lines: all, those that state an amount, those of them that weigh."""
    for line in weighed.lines:
        counts.lines += 1
        if line.left_to_cook:
            continue
        counts.stating_an_amount += 1
        if line.grams is None:
            counts.reasons[line.reason or "unknown"] += 1
        else:
            counts.weighed += 1
