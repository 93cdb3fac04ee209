"""Every way of failing is answered by a problem document that points at each spot (RFC 9457, RFC 6901,
RFC 9110, RFC 6585; contract, section 6), and stores nothing."""

from __future__ import annotations

import errno
import json
from collections.abc import Iterator
from typing import Any

import pytest
from flask import Flask
from flask.testing import FlaskClient

from service.errors import TarebookError, TooManyRequests
from service.http.problems import KINDS
from tests.contract.shape import App, assert_problem

EGG = {"text": "2 eggs"}
GOOD = {"name": "Lamp Cake", "components": [{"ingredients": [EGG, {"text": "1 cup flour"}]}]}
JSON = {"Content-Type": "application/json"}


def post(client: FlaskClient, body: Any, path: str = "/v1/formulas", **headers: str) -> Any:
    data = body if isinstance(body, (bytes, str)) else json.dumps(body)
    return client.post(path, data=data, headers={**JSON, **headers})


@pytest.fixture(autouse=True)
def nothing_is_stored(request: pytest.FixtureRequest) -> Iterator[None]:
    """After each refusal the shelf is as it was before."""
    client: FlaskClient = request.getfixturevalue("client")
    before = client.get("/v1/formulas").get_data()
    yield
    if "stores" not in request.keywords:
        assert client.get("/v1/formulas").get_data() == before


NOT_JSON = [
    (b"", 1, 1),
    (b"{", 1, 2),
    (b'{"name": NaN}', 1, 10),
    (b'{"name": Infinity}', 1, 10),
    (b'{"name": 1e999}', 1, 10),
    (b'{\n "name": "a",\n "name": "b"}', 3, 2),
    (b'{"name": "\\ud800"}', 1, 11),
    (b"[" * 33 + b"]" * 33, 1, 33),
    (b'{"name": "\xff"}', 1, 11),
]


@pytest.mark.parametrize("path", ["/v1/formulas", "/v1/weights", "/v1/readings"])
@pytest.mark.parametrize(("body", "line", "column"), NOT_JSON)
def test_400_not_json_in_our_sense(
    client: FlaskClient, path: str, body: bytes, line: int, column: int
) -> None:
    problem = assert_problem(post(client, body, path), 400, "not-json")
    assert (problem["line"], problem["column"]) == (line, column)


def test_403_another_machine(client: FlaskClient) -> None:
    away = {"REMOTE_ADDR": "192.0.2.7"}
    assert_problem(client.get("/v1/formulas", environ_base=away), 403, "forbidden")


@pytest.mark.parametrize("host", ["tearoom.example", "tearoom.example:8765", "127.0.0.1.example"])
def test_403_another_name_of_this_machine(client: FlaskClient, host: str) -> None:
    assert_problem(client.get("/v1/formulas", headers={"Host": host}), 403, "forbidden")


def test_403_a_page_from_elsewhere_that_writes(client: FlaskClient) -> None:
    response = client.post(
        "/v1/formulas", data="Cake\n1 egg", content_type="text/plain",
        headers={"Origin": "https://elsewhere.example"},
    )  # fmt: skip
    assert_problem(response, 403, "forbidden")


@pytest.mark.parametrize(
    "path",
    [
        "/nothing", "/v1/formulas/nothing", "/v1/formulas/nothing/weights", "/v1/formulas/No Slug",
        "/v1/formulas/nothing/versions", "/v1/formulas/nothing/versions/1", "/v1/formulas/",
        "/v1/formulas/nothing/versions/1/weights", "/v1/formulas/nothing/versions/99999999999999999999",
        "/v1/ingredients/nothing", "/problems/nothing", "/v1/nothing",
    ],
)  # fmt: skip
def test_404(client: FlaskClient, path: str) -> None:
    assert_problem(client.get(path), 404, "not-found")


@pytest.mark.parametrize(
    ("method", "path", "allowed"),
    [
        ("DELETE", "/healthz", {"GET", "HEAD", "OPTIONS"}),
        ("POST", "/v1/formulas/x/weights", {"GET", "HEAD", "OPTIONS"}),
        ("GET", "/v1/weights", {"POST", "OPTIONS"}),
        ("PUT", "/v1/formulas", {"GET", "HEAD", "POST", "OPTIONS"}),
        ("TRACE", "/v1/formulas/x", {"GET", "HEAD", "PUT", "PATCH", "DELETE", "OPTIONS"}),
    ],
)
def test_405_names_what_is_allowed(
    client: FlaskClient, method: str, path: str, allowed: set[str]
) -> None:
    response = client.open(path, method=method)
    assert_problem(response, 405, "method-not-allowed")
    assert set(response.headers["Allow"].split(", ")) == allowed


@pytest.mark.stores
def test_406(client: FlaskClient) -> None:
    post(client, GOOD)
    response = client.get("/v1/formulas/lamp-cake/weights", headers={"Accept": "image/png"})
    assert_problem(response, 406, "not-acceptable")
    assert_problem(post(client, GOOD, "/v1/weights", Accept="text/html"), 406, "not-acceptable")


@pytest.mark.stores
def test_409_the_id_is_taken(client: FlaskClient) -> None:
    assert post(client, GOOD, "/v1/formulas?id=cake").status_code == 201
    assert_problem(post(client, GOOD, "/v1/formulas?id=cake"), 409, "conflict")


@pytest.mark.stores
def test_410_leads_to_the_last_version(client: FlaskClient) -> None:
    post(client, GOOD)
    assert client.delete("/v1/formulas/lamp-cake", headers={"If-Match": '"v1"'}).status_code == 204
    for response in (
        client.get("/v1/formulas/lamp-cake"),
        client.get("/v1/formulas/lamp-cake/weights"),
        client.delete("/v1/formulas/lamp-cake", headers={"If-Match": "*"}),
        client.put("/v1/formulas/lamp-cake", json=GOOD, headers={"If-Match": '"v1"'}),
        client.put("/v1/formulas/lamp-cake", json=GOOD, headers={"If-None-Match": "*"}),
    ):
        assert assert_problem(response, 410, "gone")["last_version"] == 1
        link = '</v1/formulas/lamp-cake/versions/1>; rel="latest-version"'
        assert response.headers["Link"] == link
    assert client.get("/v1/formulas/lamp-cake/versions/1").status_code == 200


@pytest.mark.stores
def test_412_a_lost_race(client: FlaskClient) -> None:
    post(client, GOOD)
    other = {**GOOD, "notes": ["again"]}
    at = "/v1/formulas/lamp-cake"
    assert client.put(at, json=other, headers={"If-Match": '"v1"'}).status_code == 200
    lost = {"If-Match": '"v1"'}
    assert_problem(client.put(at, json=GOOD, headers=lost), 412, "precondition-failed")
    assert_problem(client.delete(at, headers=lost), 412, "precondition-failed")
    patched = client.patch(
        at, data="{}", headers={**lost, "Content-Type": "application/merge-patch+json"}
    )
    assert_problem(patched, 412, "precondition-failed")
    created = {"If-None-Match": "*"}
    assert_problem(client.put(at, json=GOOD, headers=created), 412, "precondition-failed")
    weak = {"If-Match": 'W/"v2"'}
    assert_problem(client.put(at, json=GOOD, headers=weak), 412, "precondition-failed")
    missing = client.put("/v1/formulas/not-there", json=GOOD, headers=lost)
    assert_problem(missing, 412, "precondition-failed")


@pytest.mark.parametrize("path", ["/v1/formulas", "/v1/weights", "/v1/readings"])
def test_413_a_body_beyond_a_mebibyte(client: FlaskClient, path: str) -> None:
    large = b'{"name": "' + b"x" * (1 << 20) + b'"}'
    assert_problem(post(client, large, path), 413, "too-large")


def test_413_a_body_without_a_length(app: Flask) -> None:
    """A chunked body says no length: it is measured while it is read."""
    from io import BytesIO

    large = BytesIO(b'{"name": "' + b"x" * (1 << 20) + b'"}')
    response = app.test_client().post(
        "/v1/formulas", input_stream=large, headers=JSON,
        environ_overrides={"wsgi.input_terminated": True},
    )  # fmt: skip
    assert_problem(response, 413, "too-large")


def test_a_body_of_exactly_a_mebibyte_is_read(client: FlaskClient) -> None:
    filled = json.dumps({**GOOD, "notes": [""]}).encode()
    filled = filled.replace(b'[""]', b'["%s"]' % (b"x" * ((1 << 20) - len(filled))))
    assert len(filled) == 1 << 20
    assert post(client, filled, "/v1/weights").status_code == 200


@pytest.mark.parametrize(
    ("path", "media"),
    [
        ("/v1/formulas", "application/xml"),
        ("/v1/formulas", ""),
        ("/v1/formulas", "application/json; charset=utf-16"),
        ("/v1/weights", "text/plain"),
        ("/v1/readings", "application/ld+json"),
        ("/v1/archive", "application/json"),
    ],
)
def test_415(client: FlaskClient, path: str, media: str) -> None:
    response = client.post(path, data=b"{}", headers={"Content-Type": media})
    assert_problem(response, 415, "unsupported-media-type")


def test_415_a_packed_body(client: FlaskClient) -> None:
    packed = post(client, b"\x1f\x8b", "/v1/weights", **{"Content-Encoding": "gzip"})
    assert_problem(packed, 415, "unsupported-media-type")


def test_422_points_at_every_spot_of_a_body(client: FlaskClient) -> None:
    wrong = {
        "name": "",
        "measures": "metrik",
        "components": [{"ingredients": [{"ingredient": "egg", "quantity": -1}, {"unit": "cupp"}]}],
    }
    pointers = {
        "/name", "/measures", "/components/0/ingredients/0/quantity", "/components/0/ingredients/1/unit",
    }  # fmt: skip
    for path in ("/v1/formulas", "/v1/weights", "/v1/scaled?factor=2"):
        problem = assert_problem(post(client, wrong, path), 422, "invalid", pointers=pointers)
        suggested = [e["detail"] for e in problem["errors"] if e["pointer"] == "/measures"]
        assert "Did you mean metric?" in suggested[0]


def test_422_points_into_an_envelope(client: FlaskClient) -> None:
    wrong = {"id": "cake", "formula": {**GOOD, "class": "cake"}}
    assert_problem(post(client, wrong), 422, "invalid", pointers={"/formula/class"})
    assert_problem(post(client, {"id": "No Slug", "formula": GOOD}), 422, "invalid", pointers={"/id"})


@pytest.mark.parametrize(
    ("query", "parameters"),
    [
        ("factr=2", {"factr"}),
        ("factor=two&rounding=roughly", {"factor", "rounding"}),
        ("factor=2&portions=3", {"factor", "portions"}),
        ("factor=2&factor=3", {"factor"}),
        ("format=xml", {"format"}),
        ("choose=/components/0/ingredients/9:with", {"choose"}),
        ("have=egg", {"have"}),
        ("measures=metrik", {"measures"}),
        ("format=xml&format=json&factor=-3&factr=2", {"format", "factor", "factr"}),
    ],
)
def test_422_names_every_parameter(client: FlaskClient, query: str, parameters: set[str]) -> None:
    response = post(client, GOOD, f"/v1/weights?{query}")
    assert_problem(response, 422, "invalid", parameters=parameters)


@pytest.mark.parametrize(
    ("path", "parameters"),
    [
        ("/v1/formulas?limit=0", {"limit"}),
        ("/v1/formulas?limit=201", {"limit"}),
        ("/v1/formulas?limit=ten", {"limit"}),
        ("/v1/formulas?class=cake", {"class"}),
        ("/v1/formulas?colour=red", {"colour"}),
        ("/v1/formulas?q=a&q=b", {"q"}),
        ("/v1/formulas?limit=0&class=cake&q=a&q=b", {"limit", "class", "q"}),
        (f"/v1/formulas?q={'x' * 201}", {"q"}),
        ("/v1/ingredients?role=king&allergen=air", {"role", "allergen"}),
        ("/v1/ingredients?role=king&limit=0&size=1", {"role", "limit", "size"}),
        ("/v1/units?colour=red", {"colour"}),
    ],
)
def test_422_of_lists(client: FlaskClient, path: str, parameters: set[str]) -> None:
    assert_problem(client.get(path), 422, "invalid", parameters=parameters)


def test_422_an_allergen_view_without_a_market(client: FlaskClient) -> None:
    response = post(client, GOOD, "/v1/allergens")
    assert_problem(response, 422, "invalid", parameters={"market"})
    response = post(client, GOOD, "/v1/allergens?market=mars")
    assert_problem(response, 422, "invalid", parameters={"market"})


def test_422_a_result_beyond_the_bounds(client: FlaskClient) -> None:
    """A result beyond the bounds is refused like an input beyond them (contract, section 3)."""
    large = {**GOOD, "components": [{"ingredients": [{"ingredient": "egg", "quantity": 900_000}]}]}
    response = post(client, large, "/v1/scaled?factor=2")
    assert_problem(response, 422, "invalid", parameters={"factor"})


def test_422_a_card_without_lines(client: FlaskClient) -> None:
    response = client.post("/v1/formulas", data="Only a title", content_type="text/plain")
    assert_problem(response, 422, "invalid", pointers={"/lines"})
    assert_problem(post(client, {"title": "x"}, "/v1/readings"), 422, "invalid", pointers={"/lines"})
    wrong = {"title": "x", "lines": ["1 egg", 5], "measures": "uk", "book": "old"}
    pointers = {"/lines/1", "/measures", "/book"}
    assert_problem(post(client, wrong, "/v1/readings"), 422, "invalid", pointers=pointers)


@pytest.mark.parametrize("key", ["", '""', "x" * 256, "a\u00a0b\u200b"])
def test_422_a_key_that_is_none(client: FlaskClient, key: str) -> None:
    response = post(client, GOOD, **{"Idempotency-Key": key.encode().decode("latin-1")})
    assert_problem(response, 422, "invalid", parameters={"Idempotency-Key"})


@pytest.mark.stores
def test_422_a_key_that_was_used(client: FlaskClient) -> None:
    key = {"Idempotency-Key": '"k1"'}
    assert post(client, GOOD, **key).status_code == 201
    other = {**GOOD, "name": "Another"}
    assert_problem(post(client, other, **key), 422, "idempotency-key-reused")


@pytest.mark.stores
def test_428_a_write_without_a_precondition(client: FlaskClient) -> None:
    post(client, GOOD)
    at = "/v1/formulas/lamp-cake"
    assert_problem(client.put(at, json=GOOD), 428, "precondition-required")
    assert_problem(client.put("/v1/formulas/new", json=GOOD), 428, "precondition-required")
    assert_problem(client.delete(at), 428, "precondition-required")
    patch = client.patch(at, data="{}", content_type="application/merge-patch+json")
    assert_problem(patch, 428, "precondition-required")


def test_429_says_when_to_come_again(make_app: App, request: pytest.FixtureRequest) -> None:
    client = make_app(most_archives=1).test_client()
    archives = client.application.extensions["tarebook"].archives
    assert archives.acquire(blocking=False)
    response = client.post("/v1/archive", data=b"{}", content_type="application/x-ndjson")
    assert_problem(response, 429, TooManyRequests.slug)
    assert int(response.headers["Retry-After"]) > 0


def test_500_tells_nothing_of_the_inside(app: Flask, caplog: pytest.LogCaptureFixture) -> None:
    def broken() -> str:
        raise RuntimeError(f"{__file__}: the secret of sqlite")

    app.view_functions["health.alive"] = broken
    assert_problem(app.test_client().get("/healthz"), 500, "internal")
    assert "secret" in caplog.text


def test_503_a_store_that_does_not_answer(
    app: Flask, monkeypatch: pytest.MonkeyPatch, caplog: pytest.LogCaptureFixture
) -> None:
    import sqlite3

    def locked(*_: Any) -> None:
        raise sqlite3.OperationalError("database is locked")

    shelf = app.extensions["tarebook"].shelf
    monkeypatch.setattr(shelf._connections, "_open", locked)
    shelf.close()
    response = app.test_client().get("/readyz")
    assert_problem(response, 503, "store-busy")
    assert int(response.headers["Retry-After"]) > 0
    assert "locked" in caplog.text
    monkeypatch.undo()


@pytest.mark.stores
def test_507_a_full_disk(make_app: App) -> None:
    client = make_app(most_pages=60).test_client()
    stored = 0
    for _ in range(200):
        response = post(client, {**GOOD, "notes": ["x" * 3000]})
        if response.status_code != 201:
            break
        stored += 1
    assert_problem(response, 507, "store-full")
    listed = client.get("/v1/formulas?limit=200").get_json()["formulas"]
    assert len(listed) == stored > 0


def test_507_an_archive_that_fills_the_disk(
    client: FlaskClient, monkeypatch: pytest.MonkeyPatch
) -> None:
    class Full:
        def write(self, data: bytes) -> int:
            raise OSError(errno.ENOSPC, "no space")

        def close(self) -> None: ...

    monkeypatch.setattr("service.http.archive.SpooledTemporaryFile", lambda *_, **__: Full())
    record = json.dumps(GOOD).encode()
    response = client.post("/v1/archive", data=record, content_type="application/x-ndjson")
    assert_problem(response, 507, "store-full")


def _errors(root: type[TarebookError]) -> set[str]:
    found = {each.slug for each in root.__subclasses__()}
    return found.union(*(_errors(each) for each in root.__subclasses__()))


def test_the_catalogue_has_every_kind(client: FlaskClient) -> None:
    listed = {kind["slug"]: kind for kind in client.get("/problems").get_json()["problems"]}
    assert set(listed) == set(KINDS) >= _errors(TarebookError)
    for slug, kind in listed.items():
        assert client.get(f"/problems/{slug}").get_json() == kind
        assert kind["says"]
