"""The OpenAPI document: valid (OpenAPI 3.1), as checked in, and true of every answer."""

from __future__ import annotations

import json
from collections.abc import Iterator
from functools import cache
from pathlib import Path
from typing import Any

import pytest
from flask.testing import FlaskClient
from openapi_schema_validator import OAS31Validator
from openapi_spec_validator import OpenAPIV31SpecValidator
from werkzeug.test import TestResponse

from service import __version__
from service.http.app import create_app
from service.http.book import load_book
from service.http.config import Config
from service.http.openapi import openapi_text
from service.http.problems import KINDS
from service.kitchen import Kitchen
from service.views.registry import all_views
from tests.contract.shape import ROOT

DEMO = ROOT / "deploy" / "demo"
EXAMPLES = sorted((ROOT / "openapi" / "examples").glob("*.json"))


@cache
def document() -> dict[str, Any]:
    drawn: dict[str, Any] = json.loads(openapi_text())
    return drawn


def test_the_document_is_the_one_that_is_checked_in() -> None:
    """``tarebook openapi > openapi/openapi.json`` writes it anew."""
    checked_in = (ROOT / "openapi" / "openapi.json").read_text("utf-8")
    assert checked_in == openapi_text()


def test_the_document_is_valid() -> None:
    assert list(OpenAPIV31SpecValidator(document()).iter_errors()) == []
    assert document()["info"]["version"] == __version__


def test_the_service_serves_the_document(book: FlaskClient) -> None:
    assert book.get("/openapi.json").get_json() == document()


def schemas_in(node: Any, place: str = "") -> Iterator[tuple[str, Any]]:
    """Give everything in the document that stands where a schema stands."""
    if isinstance(node, dict):
        for name, inner in node.items():
            at = f"{place}/{name}"
            if name in ("schema", "items", "additionalProperties"):
                yield at, inner
            elif name in ("properties", "schemas") and isinstance(inner, dict):
                yield from ((f"{at}/{member}", each) for member, each in inner.items())
            elif name in ("anyOf", "prefixItems"):
                yield from ((f"{at}/{number}", each) for number, each in enumerate(inner))
            if name != "example":
                yield from schemas_in(inner, at)
    elif isinstance(node, list):
        for number, inner in enumerate(node):
            yield from schemas_in(inner, f"{place}/{number}")


def test_no_shape_says_anything_goes() -> None:
    told = ("$ref", "type", "anyOf", "enum", "const")
    empty = [
        place
        for place, schema in schemas_in(document())
        if not isinstance(schema, bool) and not any(name in schema for name in told)
        and not place.endswith("/anyOf/0") and not place.endswith("/anyOf/1")
    ]  # fmt: skip
    assert empty == []


def test_every_view_has_its_three_doors() -> None:
    paths = document()["paths"]
    for name in all_views():
        assert "get" in paths[f"/v1/formulas/{{id}}/{name}"]
        assert "get" in paths[f"/v1/formulas/{{id}}/versions/{{n}}/{name}"]
        assert "post" in paths[f"/v1/{name}"]


def test_every_kind_of_problem_is_in_the_document() -> None:
    kinds = document()["components"]["schemas"]["Problem"]["properties"]["type"]["enum"]
    assert set(kinds) == {f"/problems/{slug}" for slug in KINDS}


def operations() -> list[tuple[str, str, dict[str, Any]]]:
    return [
        (path, method, operation)
        for path, methods in document()["paths"].items()
        for method, operation in methods.items()
    ]


def test_every_operation_has_an_id_of_its_own_and_a_summary() -> None:
    ids = [operation["operationId"] for _, _, operation in operations()]
    assert len(set(ids)) == len(ids)
    assert all(operation["summary"] for _, _, operation in operations())


def template_of(path: str) -> str:
    """Find the path of the document that an actual path is one of; plain words go before places."""
    steps = path.partition("?")[0].split("/")
    fitting = []
    for template in document()["paths"]:
        parts = template.split("/")
        if len(parts) == len(steps) and all(
            part.startswith("{") or part == step for part, step in zip(parts, steps, strict=True)
        ):
            fitting.append(template)
    assert fitting, path
    return min(fitting, key=lambda template: template.count("{"))


def hold_to_document(method: str, path: str, response: TestResponse) -> None:
    """Hold an answer to what the document says of it: status, media type, headers, shape."""
    operation = document()["paths"][template_of(path)][method.lower()]
    said = operation["responses"].get(str(response.status_code)) or operation["responses"]["default"]
    if "$ref" in said:
        said = document()["components"]["responses"][said["$ref"].rpartition("/")[2]]
    for header in said.get("headers", {}):
        if header != "Link":
            assert header in response.headers or response.status_code != 201
    content = said.get("content")
    if content is None:
        assert response.get_data() == b""
        return
    assert response.mimetype in content
    if response.mimetype.endswith("json") and response.mimetype != "application/x-ndjson":
        hold_to_schema(content[response.mimetype]["schema"], json.loads(response.get_data()))


def hold_to_schema(schema: dict[str, Any], value: Any) -> None:
    whole = {**schema, "components": document()["components"]}
    errors = [
        f"{'/'.join(map(str, error.absolute_path))}: {error.message[:300]}"
        for error in OAS31Validator(whole).iter_errors(value)
    ]
    assert errors == []


CHANGES = ["", "factor=1/3", "as=mass&measures=metric", "as=volume&rounding=kitchen", "have=egg:3"]


@pytest.mark.parametrize("name", sorted(path.stem for path in DEMO.glob("*.json")))
def test_every_view_of_the_demo_book_is_as_the_document_says(book: FlaskClient, name: str) -> None:
    for view in all_views():
        for changes in CHANGES:
            words = "&".join(filter(None, ("market=eu" if view == "allergens" else "", changes)))
            for at in (f"/v1/formulas/{name}", f"/v1/formulas/{name}/versions/1"):
                path = f"{at}/{view}?{words}"
                hold_to_document("GET", path, book.get(path))


@pytest.mark.parametrize(
    "path",
    [
        "/healthz", "/readyz", "/problems", "/problems/gone", "/openapi.json", "/v1/formulas",
        "/v1/formulas?q=lamp", "/v1/formulas/night-mail-loaf", "/v1/formulas/night-mail-loaf/versions",
        "/v1/formulas/night-mail-loaf/versions/1", "/v1/units", "/v1/rules", "/v1/classes",
        "/v1/markets", "/v1/ingredients?limit=200", "/v1/ingredients?q=flour", "/v1/formulas/nothing",
        "/v1/formulas?limit=0",
    ],
)  # fmt: skip
def test_other_answers_are_as_the_document_says(book: FlaskClient, path: str) -> None:
    hold_to_document("GET", path, book.get(path))


def test_every_ingredient_is_as_the_document_says(book: FlaskClient, kitchen: Kitchen) -> None:
    for code in list(kitchen.cupboard.ingredients)[::7]:
        path = f"/v1/ingredients/{code}"
        hold_to_document("GET", path, book.get(path))


def test_examples_of_bodies_are_taken(tmp_path: Path, kitchen: Kitchen) -> None:
    app = create_app(Config(data=tmp_path), kitchen)
    client = app.test_client()
    for path, method, operation in operations():
        if "{" in path:
            continue
        for media, body in operation.get("requestBody", {}).get("content", {}).items():
            if "example" not in body:
                continue
            data = body["example"] if isinstance(body["example"], str) else json.dumps(body["example"])
            query = "?market=eu" if path.endswith("allergens") else ""
            answer = client.open(f"{path}{query}", method=method, data=data.encode(), content_type=media)
            assert answer.status_code < 300, answer.get_data(as_text=True)
            hold_to_document(method, path, answer)
            answer.close()
    app.extensions["tarebook"].shelf.close()


# -- the examples beside the document --


def fits(said: Any, given: Any) -> bool:
    """Tell whether an answer holds all that an example says of it: members that it names, and of a
    list each entry in its place."""
    if isinstance(said, dict):
        return isinstance(given, dict) and all(n in given and fits(v, given[n]) for n, v in said.items())
    if isinstance(said, list):
        return (
            isinstance(given, list)
            and len(said) == len(given)
            and all(fits(one, other) for one, other in zip(said, given, strict=True))
        )
    return bool(said == given)


@pytest.mark.parametrize("file", EXAMPLES, ids=lambda file: file.stem)
def test_examples_replay(file: Path, tmp_path: Path, kitchen: Kitchen) -> None:
    example = json.loads(file.read_text("utf-8"))
    request, answer = example["request"], example["answer"]
    app = create_app(Config(data=tmp_path), kitchen)
    assert list(load_book(app, DEMO))
    data = request.get("text")
    if "body" in request:
        data = json.dumps(request["body"])
    response = app.test_client().open(
        request["path"],
        method=request["method"],
        data=None if data is None else data.encode(),
        headers=request.get("headers", {}),
    )
    assert response.status_code == answer["status"], response.get_data(as_text=True)
    for name, value in answer.get("headers", {}).items():
        assert response.headers[name] == value
    if "body" in answer:
        assert fits(answer["body"], response.get_json()), response.get_data(as_text=True)
    if "lines" in answer:
        assert fits(answer["lines"], [json.loads(line) for line in response.get_data().splitlines()])
    hold_to_document(request["method"], request["path"], response)
    response.close()
    app.extensions["tarebook"].shelf.close()


def test_there_is_an_example_of_every_view_and_every_writing() -> None:
    requests = [json.loads(file.read_text("utf-8"))["request"] for file in EXAMPLES]
    asked = {(request["method"], template_of(request["path"])) for request in requests}
    for view in all_views():
        assert any(path.endswith(f"/{view}") for _, path in asked), view
    writing = {
        (method.upper(), path)
        for path, method, _ in operations()
        if path.count("{") < 2 and path.split("/")[-1] not in all_views()
    }
    assert {pair for pair in writing if pair[0] != "GET"} <= asked
