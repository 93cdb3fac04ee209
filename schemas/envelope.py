"""A formula in the envelope that the service gives it, as it may come back."""

from __future__ import annotations

from typing import Any

from marshmallow import ValidationError, fields

from schemas.faults import faults_of
from schemas.fields import LOADING, LONGEST_SLUG, SLUG, Loading, Shape, Text, Whole
from schemas.formula import FormulaSchema, language_of
from schemas.json_in import Json
from service.domain.formula import Formula
from service.domain.vocabulary import Vocabulary
from service.errors import Invalid

_DIGEST = r"^[0-9a-f]{64}$"
_LAST = 2**31 - 1


class EnvelopeSchema(Shape):
    """A formula as the service gave it. The members around it may be left out; but for the id they say
    nothing to a service that takes the formula."""

    id = Text(LONGEST_SLUG, pattern=SLUG, allow_none=True)
    version = Whole(_LAST, allow_none=True)
    digest = Text(64, pattern=_DIGEST)
    knowledge = Text(64, pattern=_DIGEST)
    superseded_by = Whole(_LAST, allow_none=True)
    formula = fields.Nested(FormulaSchema, required=True)


_SCHEMA = EnvelopeSchema()


def is_envelope(document: dict[str, Json]) -> bool:
    """Tell an envelope from a formula: it has a formula inside."""
    return "formula" in document and "components" not in document


def load_envelope(document: Json, vocabulary: Vocabulary) -> tuple[str | None, Formula]:
    """Read an envelope: its id, where it has one, and its formula. Raises: Invalid, with every fault."""
    inside = document.get("formula") if isinstance(document, dict) else None
    token = LOADING.set(Loading(vocabulary, language_of(inside)))
    try:
        read: dict[str, Any] = _SCHEMA.load(document)  # type: ignore[arg-type]
    except ValidationError as error:
        raise Invalid("The formula does not fit.", faults=tuple(faults_of(error.messages))) from None
    finally:
        LOADING.reset(token)
    return read.get("id"), read["formula"]
