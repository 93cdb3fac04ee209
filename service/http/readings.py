"""Readings: a card to a formula, and which stretch of text each part of it came from."""

from __future__ import annotations

from dataclasses import dataclass

import orjson
from flask import Blueprint, Response

from schemas.answers import document_of
from schemas.formula import dump, load
from service.domain.formula import Formula
from service.domain.reading import Problem, Span
from service.domain.weighed import Assumption
from service.errors import Invalid
from service.http.answering import JSON
from service.http.bodies import CARD, assumed_of, sent_card
from service.http.desk import desk
from service.http.examples import CARD as CARD_EXAMPLE
from service.http.operations import Operation, operation
from service.http.queries import read_query
from service.reading.card import read_card

blueprint = Blueprint("readings", __name__, url_prefix="/v1/readings")


@dataclass(frozen=True, slots=True)
class LineRead:
    """A line of the card: its ``kind`` (ingredient | heading | remark), the stretch of text that each
    part came from, and what was not understood. ``start`` and ``end`` count characters (code points);
    ``end`` is excluded."""

    text: str
    kind: str
    spans: tuple[Span, ...]
    problems: tuple[Problem, ...]


@dataclass(frozen=True, slots=True)
class CardRead:
    """A card as read. ``formula`` is null where no line names anything to weigh, or where it would be
    beyond the bounds of a formula; the problems then say so. ``assumptions`` point into the formula,
    ``problems`` into the card (``/lines/3``)."""

    formula: Formula | None
    lines: tuple[LineRead, ...]
    assumptions: tuple[Assumption, ...]
    problems: tuple[Problem, ...]


@blueprint.post("")
@operation(
    Operation(
        "Read a card",
        answer=CardRead,
        bodies={JSON: "CardDocument", CARD: "Card"},
        body_examples={
            JSON: {"title": "Sponge Drops", "lines": ["Whites 3 eggs", "1/3 cup powdered sugar"]},
            CARD: CARD_EXAMPLE,
        },
        problems=(400, 413, 415, 422),
    )
)
def post() -> Response:
    """Read a card; nothing is stored."""
    read_query()
    kitchen = desk().kitchen
    reading = read_card(sent_card(), kitchen.reader)
    lines = tuple(LineRead(line.text, line.kind, line.spans, line.problems) for line in reading.lines)
    try:
        load(dump(reading.formula), kitchen.vocabulary)
    except Invalid as refusal:
        beyond = tuple(Problem(f.code, f.detail, line=f.pointer) for f in refusal.faults)
        answer = CardRead(None, lines, (), reading.problems + beyond)
    else:
        answer = CardRead(reading.formula, lines, assumed_of(reading), reading.problems)
    return Response(
        orjson.dumps(document_of(answer)), headers={"Cache-Control": "no-store"}, content_type=JSON
    )
