"""Conditional requests and caching (RFC 9110 section 13, RFC 9111, RFC 8246; contract, section 6)."""

from __future__ import annotations

from typing import Any

import pytest
from flask import Flask
from flask.testing import FlaskClient

from service.http.desk import Memory
from service.http.views import all_views

GOOD: dict[str, Any] = {
    "name": "Lamp Cake",
    "components": [{"ingredients": [{"text": "2 eggs"}, {"text": "1 cup flour"}]}],
}
AT = "/v1/formulas/lamp-cake"
JSON = {"Accept": "application/json"}
REVALIDATED = [
    "/v1/formulas", AT, f"{AT}/versions", f"{AT}/weights", f"{AT}/versions/1/weights",
    f"{AT}/findings", f"{AT}/allergens?market=eu", f"{AT}/allergens?market=eu&format=csv",
    f"{AT}/scaled?factor=2", f"{AT}/converted?as=mass", "/v1/units", "/v1/rules", "/v1/classes",
    "/v1/markets", "/v1/ingredients", "/v1/ingredients/cake-flour", "/openapi.json", "/problems",
    "/problems/invalid",
]  # fmt: skip


@pytest.fixture
def stored(client: FlaskClient) -> FlaskClient:
    assert client.post("/v1/formulas", json=GOOD).status_code == 201
    return client


@pytest.mark.parametrize("path", REVALIDATED)
def test_every_get_has_a_tag_and_answers_304(stored: FlaskClient, path: str) -> None:
    first = stored.get(path)
    assert first.status_code == 200
    tag = first.headers["ETag"]
    assert tag.startswith('"')
    assert "no-cache" in first.headers["Cache-Control"]
    assert first.headers["Vary"] == "Accept, Accept-Language, Origin"
    for known in (tag, f"W/{tag}", f'"other", {tag}', "*"):
        again = stored.get(path, headers={"If-None-Match": known})
        assert again.status_code == 304, known
        assert again.get_data() == b""
        assert again.headers["ETag"] == tag
        assert again.headers["Cache-Control"] == first.headers["Cache-Control"]
        assert "Content-Type" not in again.headers
    assert stored.get(path, headers={"If-None-Match": '"other"'}).status_code == 200
    head = stored.head(path)
    assert (head.status_code, head.headers["ETag"], head.get_data()) == (200, tag, b"")


def test_only_the_document_of_a_version_is_immutable(stored: FlaskClient) -> None:
    kept = stored.get(f"{AT}/versions/1").headers["Cache-Control"]
    assert "immutable" in kept
    assert "max-age=31536000" in kept
    for path in REVALIDATED:
        assert "immutable" not in stored.get(path).headers["Cache-Control"]


def test_a_304_works_nothing_out(stored: FlaskClient, monkeypatch: pytest.MonkeyPatch) -> None:
    tag = stored.get(f"{AT}/weights").headers["ETag"]
    desk = stored.application.extensions["tarebook"]
    monkeypatch.setattr(desk, "bodies", Memory(0, lambda kept: 1))  # nothing is kept
    monkeypatch.setattr("service.http.views.rendered", None)
    assert stored.get(f"{AT}/weights", headers={"If-None-Match": tag}).status_code == 304


def test_the_tag_follows_all_that_the_answer_rests_on(stored: FlaskClient, app: Flask) -> None:
    tags = {
        stored.get(path).headers["ETag"]
        for path in (
            f"{AT}/weights", f"{AT}/findings", f"{AT}/weights?factor=2", f"{AT}/allergens?market=eu",
            f"{AT}/allergens?market=us", f"{AT}/allergens?market=us&format=text",
            f"{AT}/allergens?market=us&format=csv",
        )
    }  # fmt: skip
    assert len(tags) == 7
    before = stored.get(f"{AT}/weights").headers["ETag"]
    stored.put(AT, json={**GOOD, "notes": ["New."]}, headers={"If-Match": '"v1"'})
    assert stored.get(f"{AT}/weights").headers["ETag"] != before
    assert stored.get(f"{AT}/versions/1/weights").headers["ETag"] != before  # it is superseded now


def test_the_tag_follows_knowledge(stored: FlaskClient, monkeypatch: pytest.MonkeyPatch) -> None:
    before = stored.get(f"{AT}/weights")
    kitchen = stored.application.extensions["tarebook"].kitchen
    monkeypatch.setattr(kitchen.cupboard, "knowledge", "0" * 64)
    after = stored.get(f"{AT}/weights", headers={"If-None-Match": before.headers["ETag"]})
    assert after.status_code == 200
    assert after.get_json()["knowledge"] == "0" * 64


def test_the_tag_of_a_formula_depends_on_its_version_alone(stored: FlaskClient) -> None:
    assert stored.get(AT).headers["ETag"] == stored.get(f"{AT}/versions/1").headers["ETag"] == '"v1"'


def test_accept_chooses_the_representation(stored: FlaskClient) -> None:
    path = f"{AT}/allergens?market=eu"
    for accept, media in (
        (None, "application/json"),
        ("*/*", "application/json"),
        ("text/html, */*;q=0.1", "application/json"),
        ("text/plain", "text/plain; charset=utf-8"),
        ("text/csv;q=0.9, text/plain;q=0.3", "text/csv; charset=utf-8"),
        ("application/*", "application/json"),
    ):
        response = stored.get(path, headers={"Accept": accept} if accept else {})
        assert response.content_type == media, accept
    given = stored.get(f"{path}&format=text", headers={"Accept": "application/json"})
    assert given.content_type == "text/plain; charset=utf-8"


def test_the_tag_differs_by_what_accept_chose(stored: FlaskClient) -> None:
    path = f"{AT}/allergens?market=eu"
    tags = {stored.get(path, headers={"Accept": a}).headers["ETag"] for a in ("text/csv", "text/plain")}
    assert len(tags) == 2


def test_views_are_kept_as_bytes(stored: FlaskClient, monkeypatch: pytest.MonkeyPatch) -> None:
    first = stored.get(f"{AT}/weights").get_data()
    monkeypatch.setattr("service.http.views.rendered", None)
    assert stored.get(f"{AT}/weights").get_data() == first


def test_three_doors_give_one_answer(stored: FlaskClient) -> None:
    for name in all_views():
        words = "market=eu&factor=1/2" if name == "allergens" else "factor=1/2"
        current = stored.get(f"{AT}/{name}?{words}", headers=JSON).get_json()
        versioned = stored.get(f"{AT}/versions/1/{name}?{words}", headers=JSON).get_json()
        posted = stored.post(f"/v1/{name}?{words}", json=GOOD, headers=JSON).get_json()
        assert current == versioned == {**posted, "id": "lamp-cake", "version": 1}
        assert (posted["id"], posted["version"]) == (None, None)
        assert posted["digest"] == current["digest"]


def test_options_names_methods(client: FlaskClient) -> None:
    allowed = client.options("/v1/formulas/x").headers["Allow"].split(", ")
    assert set(allowed) == {"GET", "HEAD", "PUT", "PATCH", "DELETE", "OPTIONS"}


def test_a_drawing_comes_first_where_it_is_the_view(stored: FlaskClient) -> None:
    path = f"{AT}/balance.svg"
    drawn = stored.get(path)
    assert drawn.content_type == "image/svg+xml"
    assert "default-src 'none'" in drawn.headers["Content-Security-Policy"]
    assert stored.get(path, headers={"Accept": "application/json"}).content_type == "application/json"
    assert stored.get(f"{path}?format=json").get_json()["id"] == "lamp-cake"
    posted = stored.post("/v1/balance.svg", json=GOOD)
    assert posted.content_type == "image/svg+xml"
