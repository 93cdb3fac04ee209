"""The OpenAPI document (3.1), drawn from routes, operations, schemas and registries.

Nothing in it is written by hand: paths come from the routes, their shapes from the dataclasses and
schemas that the handlers use, words that the tables hold from the tables. Keys are sorted, so that a
change of the interface is a readable change of ``openapi/openapi.json``.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from typing import Any

from flask import Flask
from werkzeug.routing import Rule

from schemas.answers import Components
from schemas.answers import Schema as JsonSchema
from schemas.fields import LONGEST_SLUG, SLUG
from schemas.published import published_shapes
from service import __version__
from service.http.operations import OPERATIONS, Header, Operation, Query
from service.http.queries import values_of
from service.http.shapes import own_shapes, problem_response, reference
from service.kitchen import Kitchen

JSON = "application/json"
#: What parameters of paths are called in the document.
_PATH_NAMES = {"formula": "id", "number": "n"}
_PARAMETER = re.compile(r"<(?:(?P<kind>int)\([^)]*\):)?(?P<name>\w+)>")
_MEANINGS = {
    "id": "The id of a formula.", "n": "The number of a version.", "code": "The code of an ingredient.",
    "slug": "The slug of a kind of problem.",
}  # fmt: skip
_ANSWER_HEADERS: dict[str, tuple[str, str]] = {
    "ETag": ("The tag of this representation (RFC 9110).", '"v1"'),
    "Link": (
        "Where to go on: next, latest-version (RFC 8288).",
        '</v1/formulas/x>; rel="latest-version"',
    ),
    "Location": ("Where the new resource is.", "/v1/formulas/x"),
}
_DESCRIPTION = (
    "Reads bakers' formulas as people write them, weighs, checks, scales and converts them. Every"
    " refusal is a problem document (RFC 9457); what comes out goes back in. Allergen answers name what"
    " the ingredients bring; they are no legal advice, and unknown never means free from."
)


def document(app: Flask, kitchen: Kitchen) -> dict[str, Any]:
    """Make the document of an app's routes. Raises: TypeError, for a route that says nothing of
    itself or a shape that says nothing of its values."""
    components = Components(published_shapes(kitchen.vocabulary))
    components.schemas.update(own_shapes())
    drawn = _Drawn(components, kitchen)
    paths: dict[str, Any] = {}
    for rule in app.url_map.iter_rules():
        says = OPERATIONS.get(app.view_functions[rule.endpoint])
        if says is None:
            raise TypeError(f"the route {rule.rule} says nothing of itself")
        for method in sorted((rule.methods or set()) - {"HEAD", "OPTIONS"}):
            path = paths.setdefault(_path_of(rule), {})
            path[method.lower()] = drawn.operation(rule, says)
    return {
        "openapi": "3.1.0",
        "info": {
            "title": "Tarebook",
            "version": __version__,
            "description": _DESCRIPTION,
            "license": {"name": "MIT", "identifier": "MIT"},
        },
        "servers": [{"url": "/"}],
        "paths": paths,
        "components": {
            "parameters": drawn.parameters,
            "schemas": components.schemas,
            "responses": {"Problem": problem_response()},
        },
    }


def _path_of(rule: Rule) -> str:
    return _PARAMETER.sub(lambda m: f"{{{_PATH_NAMES.get(m['name'], m['name'])}}}", rule.rule)


class _Drawn:
    """Draws operations; the shapes that they refer to gather in the components."""

    def __init__(self, components: Components, kitchen: Kitchen) -> None:
        self._components = components
        self._kitchen = kitchen
        #: Parameters by name, each said once: those that differ from the first of their name are
        #: said in place.
        self.parameters: dict[str, JsonSchema] = {}
        self._envelopes: dict[type, str] = {}

    def operation(self, rule: Rule, says: Operation) -> JsonSchema:
        """Draw one operation."""
        group, _, name = rule.endpoint.partition(".")
        drawn: JsonSchema = {
            "operationId": f"{group}-{name}".replace("_", "-"),
            "summary": says.summary,
            "tags": [group],
            "responses": dict(self._responses(says)),
        }
        parameters = [*self._in_path(rule, says), *map(self._in_query, says.queries)]
        parameters += [_in_header(header) for header in says.headers]
        if says.conditional:
            header = Header("If-None-Match", "The ETag of the answer that the caller has.", '"x"')
            parameters.append(_in_header(header))
        if parameters:
            drawn["parameters"] = [self._shared(each) for each in parameters]
        if says.bodies:
            drawn["requestBody"] = {"required": True, "content": dict(_bodies(says))}
        return drawn

    def _shared(self, parameter: JsonSchema) -> JsonSchema:
        name = parameter["name"]
        if self.parameters.setdefault(name, parameter) != parameter:
            return parameter
        return {"$ref": f"#/components/parameters/{name}"}

    def _in_path(self, rule: Rule, says: Operation) -> Iterator[JsonSchema]:
        for match in _PARAMETER.finditer(rule.rule):
            name = _PATH_NAMES.get(match["name"], match["name"])
            schema: JsonSchema = {"type": "string", "minLength": 1, "pattern": "^[^/]+$"}
            if name == "id":
                schema = {"type": "string", "pattern": SLUG, "maxLength": LONGEST_SLUG}
            if match["kind"]:
                schema = {"type": "integer", "minimum": 0, "maximum": 2147483647}
            drawn = {
                "name": name,
                "in": "path",
                "required": True,
                "schema": schema,
                "description": _MEANINGS[name],
            }
            if match["name"] in says.examples:
                drawn["example"] = says.examples[match["name"]]
            yield drawn

    def _in_query(self, query: Query) -> JsonSchema:
        schema: JsonSchema = {"type": query.kind}
        if values := query.values or values_of(query.table, self._kitchen):
            schema["enum"] = list(values)
        elif query.pattern:
            schema["pattern"] = query.pattern
        if query.kind == "integer":
            schema |= {"minimum": query.least, "maximum": query.most}
        drawn: JsonSchema = {
            "name": query.name,
            "in": "query",
            "description": query.meaning,
            "schema": schema,
        }
        if query.repeatable:
            drawn["schema"] = {"type": "array", "items": schema}
        if query.required:
            drawn["required"] = True
        if query.example is not None:
            drawn["example"] = [query.example] if query.repeatable else query.example
        return drawn

    def _responses(self, says: Operation) -> Iterator[tuple[str, JsonSchema]]:
        headers = dict.fromkeys(("ETag",) if says.conditional else ()) | dict.fromkeys(
            says.answer_headers
        )
        for status, meaning in says.statuses.items():
            answer: JsonSchema = {"description": meaning}
            if says.answer is not None:
                answer["content"] = self._content(says.answer, says)
            elif says.shape is not None:
                answer["content"] = {JSON: {"schema": reference(says.shape)}}
            if headers:
                answer["headers"] = {name: _answer_header(name) for name in headers}
            yield str(status), answer
        if says.conditional:
            yield "304", {"description": "The caller has this answer already."}
        for status in sorted(says.problems):
            yield str(status), {"$ref": "#/components/responses/Problem"}
        yield "default", {"$ref": "#/components/responses/Problem"}

    def _content(self, shape: type, says: Operation) -> JsonSchema:
        schema = self._enveloped(shape) if says.envelope else self._components.schema_of(shape)
        content: JsonSchema = {}
        for media in (JSON, *says.media) if not says.stream else says.media:
            content[media] = {"schema": schema if media == JSON else {"type": "string"}}
        return content

    def _enveloped(self, shape: type) -> JsonSchema:
        """Describe an answer with the members of a formula's envelope beside its own."""
        name = self._envelopes.get(shape)
        if name is None:
            name = self._envelopes[shape] = self._components.free_name(shape)
            drawn = self._components.members_of(shape)
            around: JsonSchema = {
                "id": {"type": ["string", "null"], "description": "Of a stored formula, its id."},
                "version": {
                    "type": ["integer", "null"],
                    "description": "Of a stored formula, its version.",
                },
                "digest": {"type": "string", "pattern": "^[0-9a-f]{64}$"},
                "knowledge": {"type": "string", "pattern": "^[0-9a-f]{64}$"},
                "formula": reference("Formula"),
            }
            properties = {**around, "superseded_by": {"type": "integer"}, **drawn["properties"]}
            required = sorted({*around, *drawn.get("required", ())})
            self._components.schemas[name] = {**drawn, "properties": properties, "required": required}
        return reference(name)


def _answer_header(name: str) -> JsonSchema:
    meaning, example = _ANSWER_HEADERS[name]
    return {"description": meaning, "schema": {"type": "string"}, "example": example}


def _in_header(header: Header) -> JsonSchema:
    return {
        "name": header.name, "in": "header", "required": header.required,
        "description": header.meaning, "schema": {"type": "string"}, "example": header.example,
    }  # fmt: skip


def _bodies(says: Operation) -> Iterator[tuple[str, JsonSchema]]:
    for media, name in says.bodies.items():
        drawn: JsonSchema = {"schema": reference(name)}
        if media in says.body_examples:
            drawn["example"] = says.body_examples[media]
        yield media, drawn
