"""Cards as documents: a title, its lines, the method, all as text."""

from __future__ import annotations

from typing import Any

from marshmallow import ValidationError, fields, post_load

from schemas.faults import faults_of
from schemas.fields import LOADING, Loading, Shape, Text, Word, read_text, refuse
from schemas.formula import LANGUAGE, Several
from schemas.json_in import Json
from service.domain.formula import LONGEST_LINE, LONGEST_NAME, MOST_LINES, SYSTEMS
from service.domain.reading import Card
from service.errors import Invalid


class CardLine(fields.String):
    """A line of a card; an empty one is a line too."""

    def _deserialize(self, value: Any, attr: str | None, data: Any, **kwargs: Any) -> str:
        if value == "":
            return ""
        if isinstance(value, str) and not value.strip() and len(value) <= LONGEST_LINE:
            return value
        return read_text(value, LONGEST_LINE)


class Steps(fields.Field[tuple[str, ...]]):
    """A method: one text, or a list of steps."""

    def _deserialize(self, value: Any, attr: str | None, data: Any, **kwargs: Any) -> tuple[str, ...]:
        several = [value] if isinstance(value, str) else value
        if not isinstance(several, list) or not all(isinstance(step, str) for step in several):
            raise refuse("type", "A text or a list of texts is expected.")
        return tuple(step.strip() for step in several if step.strip())


class CardSchema(Shape):
    """A card as its owner wrote it."""

    title = Text(LONGEST_NAME, required=True)
    lines = Several(CardLine(), MOST_LINES, 1, required=True)
    method = Steps()
    measures = Word(SYSTEMS)
    language = Text(35, pattern=LANGUAGE)

    @post_load
    def _made(self, data: dict[str, Any], **_: Any) -> Card:
        return Card(**{**data, "title": data["title"].strip()})


_SCHEMA = CardSchema()


def load_card(document: Json) -> Card:
    """Read a card's document. Raises: Invalid, with every fault."""
    token = LOADING.set(Loading())
    try:
        card: Card = _SCHEMA.load(document)  # type: ignore[arg-type]
    except ValidationError as error:
        raise Invalid("The card does not fit.", faults=tuple(faults_of(error.messages))) from None
    finally:
        LOADING.reset(token)
    return card


def hold_to_bounds(card: Card) -> Card:
    """Hold a card that was parted from plain text to the same bounds. Raises: Invalid."""
    document: dict[str, Json] = {
        "title": card.title,
        "lines": list(card.lines),
        "method": list(card.method),
    }
    load_card(document)
    return card
