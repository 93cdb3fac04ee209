"""What callers send: bodies within their bound, of a kind that is taken, read to the domain."""

from __future__ import annotations

from dataclasses import dataclass, replace

from flask import request

from schemas.faults import step_of
from schemas.formula import commas_assumed, load
from schemas.json_in import Json, read_json
from service.archive.entry import read_entry
from service.domain.formula import Formula
from service.domain.reading import Problem
from service.domain.weighed import Assumption
from service.errors import Fault, Invalid, TooLarge, UnsupportedMedia
from service.http.desk import desk

JSON = "application/json"
CARD = "text/plain"
RECIPE = "application/ld+json"
#: Members of a stored formula's envelope, which may come back around the formula.
ENVELOPE = frozenset(("id", "version", "digest", "knowledge", "superseded_by", "formula"))


@dataclass(frozen=True, slots=True)
class Sent:
    """A formula as a caller sent it: what was assumed and not understood while it was read, and the
    id that its envelope names."""

    formula: Formula
    assumptions: tuple[Assumption, ...] = ()
    problems: tuple[Problem, ...] = ()
    id: str | None = None


def body(*media: str) -> bytes:
    """Give the body, of a kind that is taken. Raises: UnsupportedMedia, TooLarge."""
    kind = request.mimetype
    if kind not in media:
        said = f"{kind} is not taken here" if kind else "The body's Content-Type is not said"
        raise UnsupportedMedia(f"{said}; send {' or '.join(media)}.")
    if request.mimetype_params.get("charset", "utf-8").lower() not in ("utf-8", "utf8", "us-ascii"):
        raise UnsupportedMedia("Text is taken in UTF-8 alone.")
    if request.headers.get("Content-Encoding", "identity") != "identity":
        raise UnsupportedMedia("Bodies are taken as they are, without a Content-Encoding.")
    most = desk().config.most_body
    # The app's own limit is one byte higher: a chunked body is cut there and not refused by itself.
    data = request.get_data(cache=False)
    if len(data) > most:
        raise TooLarge(f"A body holds at most {most} bytes.")
    return data


def sent_json(*media: str) -> Json:
    """Give the decoded body. Raises: NotUnderstood, UnsupportedMedia, TooLarge."""
    return read_json(body(*(media or (JSON,))))


def sent_formula(*media: str) -> Sent:
    """Read a formula from the body: a formula document, alone or in its envelope; where ``media``
    takes them a card as plain text or a schema.org Recipe.

    Raises: Invalid, NotUnderstood, UnsupportedMedia, TooLarge.
    """
    taken = media or (JSON,)
    data = body(*taken)
    if request.mimetype == CARD:
        return card_of(data)
    document = read_json(data)
    if request.mimetype == RECIPE:
        if not isinstance(document, dict):
            raise Invalid(faults=(Fault("type", "An object is expected.", pointer=""),))
        return _read(document)
    return formula_of(document)


def formula_of(document: Json) -> Sent:
    """Read a formula document, alone or in its envelope. Raises: Invalid."""
    vocabulary = desk().kitchen.vocabulary
    if isinstance(document, dict) and "formula" in document and set(document) <= ENVELOPE:
        return _opened(document)
    formula = load(document, vocabulary)
    return Sent(formula, commas_assumed(document))


def _opened(envelope: dict[str, Json]) -> Sent:
    """Take a formula out of its envelope; faults point into the envelope. Raises: Invalid."""
    try:
        sent = formula_of(envelope["formula"])
    except Invalid as refusal:
        step = f"/{step_of('formula')}"
        faults = tuple(replace(fault, pointer=step + (fault.pointer or "")) for fault in refusal.faults)
        raise Invalid(refusal.detail, faults=faults) from None
    name = envelope.get("id")
    return replace(sent, id=name if isinstance(name, str) else None)


def card_of(data: bytes) -> Sent:
    """Read a card: its first line is the title, the others are lines. Raises: Invalid."""
    try:
        text = data.decode("utf-8")
    except UnicodeDecodeError:
        raise UnsupportedMedia("Text is taken in UTF-8 alone.") from None
    title, _, rest = text.strip("\ufeff\r\n\t ").partition("\n")
    if not title.strip():
        raise Invalid(faults=(Fault("blank", "A card has a title on its first line.", pointer=""),))
    lines: list[Json] = [line.strip() for line in rest.splitlines() if line.strip()]
    return _read({"title": title.strip(), "lines": lines})


def _read(entry: dict[str, Json]) -> Sent:
    formula, problems = read_entry(entry, desk().kitchen)
    return Sent(formula, problems=problems)
