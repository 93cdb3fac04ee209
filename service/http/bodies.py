"""What callers send: bodies within their bound, of a kind that is taken, read to the domain."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace

from flask import request
from werkzeug.exceptions import BadRequest, HTTPException

from schemas.card import hold_to_bounds, load_card
from schemas.envelope import is_envelope, load_envelope
from schemas.formula import commas_assumed, dump, load
from schemas.json_in import Json, read_json
from service.archive.recipe import read_recipe
from service.domain.formula import Formula
from service.domain.reading import Assumed, Card, Problem, Reading
from service.domain.weighed import Assumption
from service.errors import Fault, Invalid, TooLarge, UnsupportedMedia
from service.http.desk import desk
from service.reading.card import read_card, read_text
from service.views.weights import rounded

JSON = "application/json"
CARD = "text/plain"
RECIPE = "application/ld+json"


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
    hold_to_media(*media)
    most = desk().config.most_body
    # The app's own limit is one byte higher: a chunked body is cut there and not refused by itself.
    data = framed(lambda: request.get_data(cache=False))
    if len(data) > most:
        raise TooLarge(f"A body holds at most {most} bytes.")
    return data


def hold_to_media(*media: str) -> None:
    """Hold what the body is said to be to what is taken. Raises: UnsupportedMedia."""
    kind = request.mimetype
    if kind not in media:
        said = f"{kind} is not taken here" if kind else "The body's Content-Type is not said"
        raise UnsupportedMedia(f"{said}; send {' or '.join(media)}.")
    if request.mimetype_params.get("charset", "utf-8").lower() not in ("utf-8", "utf8", "us-ascii"):
        raise UnsupportedMedia("Text is taken in UTF-8 alone.")
    if request.headers.get("Content-Encoding", "identity").strip().lower() != "identity":
        raise UnsupportedMedia("Bodies are taken as they are, without a Content-Encoding.")


def framed(read: Callable[[], bytes]) -> bytes:
    """Read from the body; one whose chunks break the rules (RFC 9112, section 7.1) is the caller's
    fault and not ours, whatever the server that unwraps them raises. Raises: HTTPException."""
    try:
        return read()
    except (HTTPException, OSError):
        raise
    except Exception as error:
        raise BadRequest from error


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
        return read(card_of(data))
    document = read_json(data)
    if request.mimetype == RECIPE:
        if not isinstance(document, dict):
            raise Invalid(faults=(Fault("type", "An object is expected.", pointer=""),))
        return read(read_recipe(document))
    return formula_of(document)


def formula_of(document: Json) -> Sent:
    """Read a formula document, alone or in its envelope. Raises: Invalid."""
    vocabulary = desk().kitchen.vocabulary
    if isinstance(document, dict) and is_envelope(document):
        name, formula = load_envelope(document, vocabulary)
        return Sent(formula, commas_assumed(document["formula"]), id=name)
    formula = load(document, vocabulary)
    return Sent(formula, commas_assumed(document))


def sent_card() -> Card:
    """Read a card from the body: plain text, or a document with title, lines and method.

    Raises: Invalid, NotUnderstood, UnsupportedMedia, TooLarge.
    """
    data = body(JSON, CARD)
    return card_of(data) if request.mimetype == CARD else load_card(read_json(data))


def card_of(data: bytes) -> Card:
    """Part a card in plain text: title, lines, method. Raises: Invalid, UnsupportedMedia."""
    try:
        text = data.decode("utf-8")
    except UnicodeDecodeError:
        raise UnsupportedMedia("Text is taken in UTF-8 alone.") from None
    card = read_text(text.removeprefix("\ufeff"))
    if not card.title.strip():
        raise Invalid(faults=(Fault("blank", "A card has its title on the first line.", pointer=""),))
    return hold_to_bounds(card)


def read(card: Card) -> Sent:
    """Read a card's lines. Raises: Invalid, where it comes to no formula within the bounds."""
    kitchen = desk().kitchen
    reading = read_card(card, kitchen.reader)
    load(dump(reading.formula), kitchen.vocabulary)
    return Sent(reading.formula, assumed_of(reading), reading.problems)


def assumed_of(reading: Reading) -> tuple[Assumption, ...]:
    """Give what was assumed of a card: each with its worth in grams where weighing tells it."""
    weighed = desk().kitchen.scales.weigh(reading.formula).assumptions
    told = {(one.code, one.line, one.part) for one in weighed}
    others = (_assumption(one.pointer, one.assumed) for one in reading.assumptions)
    return (
        *(replace(one, grams=None if one.grams is None else rounded(one.grams)) for one in weighed),
        *(one for one in others if (one.code, one.line, one.part) not in told),
    )


def _assumption(pointer: str, assumed: Assumed) -> Assumption:
    return Assumption(assumed.code, pointer, assumed.part, assumed.value, None, assumed.detail)
