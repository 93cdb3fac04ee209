"""Shapes of the OpenAPI document that no dataclass has: problems, cards, recipes, records."""

from __future__ import annotations

from schemas.answers import Schema, prose_of
from service.errors import Fault
from service.http.problems import KINDS, MEDIA

_TEXT: Schema = {"type": "string"}
_FILLED: Schema = {"type": "string", "pattern": r"\S"}
_WHOLE: Schema = {"type": "integer"}


def reference(name: str) -> Schema:
    """Refer to a named shape."""
    return {"$ref": f"#/components/schemas/{name}"}


def problem_response() -> Schema:
    """Describe the answer to every refusal."""
    described = "A problem document (RFC 9457)."
    return {"description": described, "content": {MEDIA: {"schema": reference("Problem")}}}


def own_shapes() -> dict[str, Schema]:
    """Give the shapes by name."""
    return {
        "Fault": _fault(),
        "Problem": _problem(),
        "FormulaOrEnvelope": {"anyOf": [reference("Formula"), reference("Envelope")]},
        "Card": {
            "type": "string",
            "description": "A title on the first line, then a line an ingredient.",
            "pattern": r"^\s*\S[^\n]*\n[\s\S]*\S",
        },
        "Recipe": _recipe(),
        "Document": {
            "type": "object",
            "description": "An OpenAPI document (3.1).",
            "required": ["components", "info", "openapi", "paths"],
        },
        "ArchiveRecords": {
            "type": ["array", "boolean", "null", "number", "object", "string"],
            "description": "A JSON record a line: a formula, a card or a schema.org Recipe. Whatever"
            " else a line holds is answered too: it is refused, and costs itself alone.",
        },
    }


def _fault() -> Schema:
    return {
        "type": "object",
        "description": prose_of(Fault),
        "properties": dict.fromkeys(("pointer", "parameter", "code", "detail"), _TEXT),
        "required": ["code", "detail"],
        "additionalProperties": False,
    }


def _problem() -> Schema:
    kinds = [f"/problems/{slug}" for slug in sorted(KINDS)]
    return {
        "type": "object",
        "description": "A problem document (RFC 9457).",
        "properties": {
            "type": {"type": "string", "format": "uri-reference", "enum": kinds},
            "title": _TEXT,
            "status": _WHOLE,
            "detail": _TEXT,
            "instance": _TEXT,
            "line": _WHOLE,
            "column": _WHOLE,
            "last_version": _WHOLE,
            "errors": {"type": "array", "items": reference("Fault")},
        },
        "required": ["detail", "instance", "status", "title", "type"],
    }


def _recipe() -> Schema:
    return {
        "type": "object",
        "description": "A schema.org Recipe.",
        "properties": {
            "@type": {"const": "Recipe"},
            "name": {**_FILLED, "maxLength": 200},
            "recipeIngredient": {"type": "array", "items": _FILLED, "minItems": 1},
        },
        "required": ["@type", "name", "recipeIngredient"],
    }
