"""Which representation a caller wants, formulas in their envelopes, answers that are made once."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

import orjson
from flask import Response, request
from werkzeug.datastructures import MIMEAccept
from werkzeug.http import parse_options_header

from schemas.answers import document_of
from schemas.canonical import canonical, digest_of
from schemas.formula import dump
from service.domain.faults import do_not_fit, given_twice, unknown_value
from service.domain.formula import Formula
from service.errors import Fault, NotAcceptable
from service.http.bodies import Sent
from service.http.conditions import answered, is_known, unchanged
from service.http.desk import Kept, desk
from service.store.values import Draft, Version

JSON = "application/json"
#: The words of ``format=`` and the media types that they mean.
FORMATS = {
    "json": JSON, "text": "text/plain", "csv": "text/csv", "html": "text/html",
    "svg": "image/svg+xml", "pdf": "application/pdf", "jsonld": "application/ld+json",
}  # fmt: skip


def formats_of(offered: tuple[str, ...]) -> tuple[str, ...]:
    """Give the words of ``format=`` for the media types that are offered."""
    return tuple(word for word, media in FORMATS.items() if media in offered)


def representation(offered: tuple[str, ...]) -> str:
    """Give the media type to answer in: ``format=`` decides, else ``Accept``.

    Raises: Invalid (a word of ``format`` that this resource does not have), NotAcceptable.
    """
    if "format=" in request.environ.get("QUERY_STRING", ""):
        words = request.args.getlist("format")
        fault = _misfit(words, offered)
        if fault is not None:
            raise do_not_fit((fault,))
        return FORMATS[words[0]]
    return accepted(offered)


def accepted(offered: tuple[str, ...]) -> str:
    """Give the media type that ``Accept`` asks for; the first where it names none. Raises:
    NotAcceptable."""
    accept = request.environ.get("HTTP_ACCEPT")
    if accept is None or accept == "*/*" or not accept.strip():
        return offered[0]
    if accept == JSON and JSON in offered:
        return JSON
    wanted = request.accept_mimetypes
    best = (_without_charset(wanted) if "charset" in accept else wanted).best_match(offered)
    if best is None:
        raise NotAcceptable(f"This comes as {', '.join(offered)}.")
    return best


def _misfit(words: list[str], offered: tuple[str, ...]) -> Fault | None:
    """Say what is wrong with what ``format=`` was given, if anything is."""
    if len(words) != 1:
        return given_twice("format", len(words))
    if FORMATS.get(words[0]) in offered:
        return None
    return unknown_value("format", words[0], formats_of(offered))


def _without_charset(wanted: MIMEAccept) -> MIMEAccept:
    """Pass over a wish for UTF-8: all that comes is in UTF-8 anyway."""
    plain = []
    for said, quality in wanted:
        kind, options = parse_options_header(said)
        utf8 = set(options) == {"charset"} and options["charset"].lower() in ("utf-8", "utf8")
        plain.append((kind if utf8 else said, quality))
    return MIMEAccept(plain)


def content_type(media: str) -> str:
    """Give a media type as a header says it."""
    return f"{media}; charset=utf-8" if media.startswith("text/") else media


def around(
    formula: str | None, version: int | None, newest: int | None, digest: str, knowledge: str
) -> dict[str, Any]:
    """Give the members of an envelope; id and numbers are ``None`` for what is not stored."""
    members = {"id": formula, "version": version, "digest": digest, "knowledge": knowledge}
    return members if newest == version else {**members, "superseded_by": newest}


def envelope(version: Version) -> dict[str, Any]:
    """Put a stored version in its envelope. ``knowledge`` is what was known when it was stored."""
    members = around(version.formula, version.version, version.newest, version.digest, version.knowledge)
    return {**members, "formula": orjson.Fragment(version.body)}


def made_once(tag: str, make: Callable[[], bytes]) -> Response:
    """Answer what a tag stands for. It is made when it is first asked for, and kept; nothing is made
    for a caller who has it."""
    if is_known(tag):
        return unchanged(tag)
    bodies = desk().bodies
    kept = bodies.get(tag)
    if kept is None:
        kept = Kept(tag, make())
        bodies.put(tag, kept)
    return answered(kept.body, tag)


def stored_answer(version: Version, sent: Sent) -> bytes:
    """Word what is said to a caller who stored a formula: its envelope, and what was assumed and
    what was not understood while it was read."""
    return orjson.dumps(
        {
            **envelope(version),
            "assumptions": [document_of(each) for each in sent.assumptions],
            "problems": [document_of(each) for each in sent.problems],
        }
    )


def draft_of(formula: Formula, knowledge: str) -> Draft:
    """Make what is stored of a formula: canonical bytes, digest, and what it is found by."""
    document = dump(formula)
    words = [formula.name, *formula.tags, *formula.notes, *formula.method]
    for component in formula.components:
        words += [component.name or "", *component.method]
        for line in component.ingredients:
            words += [line.text or "", line.ingredient or "", line.note or ""]
    return Draft(
        canonical(document),
        digest_of(document),
        knowledge,
        formula.name,
        formula.product_class,
        formula.tags,
        "\n".join(word for word in words if word),
    )
