"""Formulas over HTTP: stored, listed, replaced, versions that stay (contract, sections 2, 4 and 6)."""

from __future__ import annotations

import hashlib
import json
from typing import Any

import pytest
import rfc8785
from flask.testing import FlaskClient

from service.http.slugs import slug_of

GOOD: dict[str, Any] = {
    "name": "Crème Lamp Cake",
    "class": "sponge",
    "tags": ["lamp"],
    "components": [
        {
            "ingredients": [
                {"text": "2 eggs"},
                {"ingredient": "cake-flour", "quantity": 2.25, "unit": "cup"},
            ]
        }
    ],
}
#: The same with quantities in lowest terms (contract, section 2.7), written by hand.
AS_STORED: dict[str, Any] = {
    **GOOD,
    "components": [
        {
            "ingredients": [
                {"text": "2 eggs"},
                {"ingredient": "cake-flour", "quantity": "2 1/4", "unit": "cup"},
            ]
        }
    ],
}
AT = "/v1/formulas/creme-lamp-cake"


def store(client: FlaskClient, **members: Any) -> Any:
    response = client.post("/v1/formulas", json={**GOOD, **members})
    assert response.status_code == 201
    return response


def test_post_stores_and_leads_to_it(client: FlaskClient) -> None:
    response = store(client)
    assert response.headers["Location"] == AT
    assert response.headers["ETag"] == '"v1"'
    stored = response.get_json()
    assert (stored["id"], stored["version"]) == ("creme-lamp-cake", 1)
    assert (stored["assumptions"], stored["problems"]) == ([], [])
    got = client.get(AT).get_json()
    assert got == {name: stored[name] for name in ("id", "version", "digest", "knowledge", "formula")}


def test_the_digest_is_that_of_the_canonical_formula(client: FlaskClient) -> None:
    # RFC 8785 by the package rfc8785, SHA-256 by the standard library.
    stored = store(client).get_json()
    assert stored["formula"] == AS_STORED
    assert stored["digest"] == hashlib.sha256(rfc8785.dumps(AS_STORED)).hexdigest()


def test_what_comes_out_goes_back_in(client: FlaskClient) -> None:
    envelope = store(client).get_json()
    envelope = {name: envelope[name] for name in ("id", "version", "digest", "knowledge", "formula")}
    again = client.put(AT, json=envelope, headers={"If-Match": '"v1"'})
    assert again.get_json()["version"] == 1  # the same formula is no new version
    for view in ("weights", "scaled?factor=3/7", "converted?measures=metric"):
        answer = client.get(f"{AT}/{view}").get_json()
        assert client.post("/v1/weights", json=answer["formula"]).status_code == 200
        assert client.post("/v1/formulas", json=answer["formula"]).status_code == 201


def test_a_comma_is_said(client: FlaskClient) -> None:
    line = {"ingredient": "flour", "quantity": "1,000", "unit": "g"}
    stored = store(client, components=[{"ingredients": [line]}]).get_json()
    assert stored["formula"]["components"][0]["ingredients"][0]["quantity"] == "1000"
    assert [one["code"] for one in stored["assumptions"]] == ["comma-groups"]
    body = {"name": "x", "components": [{"ingredients": [line]}]}
    weights = client.post("/v1/weights", json=body).get_json()
    assert "comma-groups" in [one["code"] for one in weights["assumptions"]]


def test_names_make_ids(client: FlaskClient) -> None:
    ids = [store(client).get_json()["id"] for _ in range(3)]
    assert ids[0] == "creme-lamp-cake"
    assert len(set(ids)) == 3
    own = client.post("/v1/formulas?id=my-own", json=GOOD).get_json()
    assert own["id"] == "my-own"
    enveloped = client.post("/v1/formulas", json={"id": "in-envelope", "formula": GOOD}).get_json()
    assert enveloped["id"] == "in-envelope"


@pytest.mark.parametrize(
    ("name", "slug"),
    [
        ("Crème Cake No. 2", "creme-cake-no-2"),
        ("Mrs. O’Neill's  Buns", "mrs-oneills-buns"),
        ("½ & ½", "12-12"),
        ("ケーキ", "formula"),
        ("x" * 200, "x" * 88),
    ],
)
def test_slugs(name: str, slug: str) -> None:
    assert slug_of(name) == slug


def test_a_card_is_read_and_stored(client: FlaskClient) -> None:
    card = "Tea Urn Sponge\n2 cups flour\n½ cup butter, melted\nWhites 4 eggs\nzorble\n"
    response = client.post("/v1/formulas", data=card.encode(), content_type="text/plain; charset=utf-8")
    assert response.status_code == 201
    stored = response.get_json()
    assert stored["id"] == "tea-urn-sponge"
    lines = stored["formula"]["components"][0]["ingredients"]
    assert [line["text"] for line in lines] == card.splitlines()[1:]
    assert "egg-grade-not-said" in {one["code"] for one in stored["assumptions"]}
    assert [one["code"] for one in stored["problems"]] == ["unknown-ingredient"]


def test_a_recipe_is_read_and_stored(client: FlaskClient) -> None:
    recipe = {
        "@context": "https://schema.org",
        "@type": "Recipe",
        "name": "Platform Buns",
        "recipeIngredient": ["2 cups flour", "1 egg"],
        "recipeInstructions": "Mix and bake.",
        "recipeYield": "12 servings",
    }
    response = client.post("/v1/formulas", data=json.dumps(recipe), content_type="application/ld+json")
    assert response.status_code == 201
    formula = response.get_json()["formula"]
    assert [line["text"] for line in formula["components"][0]["ingredients"]] == [
        "2 cups flour",
        "1 egg",
    ]
    assert formula["yield"] == {"portions": "12"}


def test_put_replaces_what_was_seen(client: FlaskClient) -> None:
    tag = store(client).headers["ETag"]
    response = client.put(AT, json={**GOOD, "notes": ["New."]}, headers={"If-Match": tag})
    assert response.status_code == 200
    assert response.headers["ETag"] == '"v2"'
    assert client.get(AT).get_json()["formula"]["notes"] == ["New."]
    assert client.get(f"{AT}/versions/1").get_json()["formula"] == AS_STORED


def test_put_creates_under_the_callers_id(client: FlaskClient) -> None:
    response = client.put("/v1/formulas/own", json=GOOD, headers={"If-None-Match": "*"})
    assert response.status_code == 201
    assert response.headers["Location"] == "/v1/formulas/own"


def test_patch_changes_what_it_names(client: FlaskClient) -> None:
    store(client, notes=["Old."])
    patch = {"notes": None, "tags": ["lamp", "night"], "yield": {"portions": 8}}
    response = client.patch(
        AT, data=json.dumps(patch), content_type="application/merge-patch+json",
        headers={"If-Match": '"v1"'},
    )  # fmt: skip
    assert response.status_code == 200
    expected = {**AS_STORED, "tags": ["lamp", "night"], "yield": {"portions": "8"}}
    assert response.get_json()["formula"] == expected


def test_delete_leaves_a_tombstone_and_the_versions(client: FlaskClient) -> None:
    store(client)
    assert client.delete(AT, headers={"If-Match": '"v1"'}).status_code == 204
    assert client.get(AT).status_code == 410
    assert client.get(f"{AT}/versions/1").get_json()["formula"] == AS_STORED
    assert client.get(f"{AT}/versions/1/weights").status_code == 200
    assert client.get("/v1/formulas").get_json() == {"formulas": []}


def test_versions_are_listed(client: FlaskClient) -> None:
    store(client)
    for number in range(1, 4):
        client.put(AT, json={**GOOD, "notes": [str(number)]}, headers={"If-Match": f'"v{number}"'})
    listed = client.get(f"{AT}/versions").get_json()
    assert listed["id"] == "creme-lamp-cake"
    assert [one["version"] for one in listed["versions"]] == [1, 2, 3, 4]
    page = client.get(f"{AT}/versions?limit=3")
    assert page.headers["Link"] == f'<{AT}/versions?after=3&limit=3>; rel="next"'
    assert [
        v["version"] for v in client.get(f"{AT}/versions?after=3&limit=3").get_json()["versions"]
    ] == [4]


def test_an_old_version_says_so(client: FlaskClient) -> None:
    store(client)
    assert "superseded_by" not in client.get(f"{AT}/versions/1").get_json()
    assert "superseded_by" not in client.get(f"{AT}/versions/1/weights").get_json()
    client.put(AT, json={**GOOD, "notes": ["New."]}, headers={"If-Match": '"v1"'})
    for path in (f"{AT}/versions/1", f"{AT}/versions/1/weights"):
        response = client.get(path)
        assert response.get_json()["superseded_by"] == 2
        assert response.headers["Link"] == f'<{AT}>; rel="latest-version"'
    for path in (AT, f"{AT}/versions/2", f"{AT}/versions/2/weights", f"{AT}/weights"):
        assert "superseded_by" not in client.get(path).get_json()
        assert "Link" not in client.get(path).headers


def test_lists_search_and_follow_on(client: FlaskClient) -> None:
    for number in range(5):
        store(client, name=f"Bun {number}", tags=["bun"], **{"class": "scone"})
    store(client, notes=["With rye and raisins."])
    seen: list[str] = []
    path: str | None = "/v1/formulas?tag=bun&limit=2"
    while path:
        response = client.get(path)
        seen += [one["id"] for one in response.get_json()["formulas"]]
        link = response.headers.get("Link", "")
        path = link[1 : link.index(">")] if 'rel="next"' in link else None
    assert seen == [f"bun-{number}" for number in range(5)]
    assert [f["id"] for f in client.get("/v1/formulas?q=RAISINS").get_json()["formulas"]] == [
        "creme-lamp-cake"
    ]
    assert [f["id"] for f in client.get("/v1/formulas?class=sponge").get_json()["formulas"]] == [
        "creme-lamp-cake"
    ]
    assert client.get('/v1/formulas?q="').status_code == 200


def test_a_key_is_answered_as_the_first_time(client: FlaskClient) -> None:
    key = {"Idempotency-Key": '"7f8a"'}
    first = client.post("/v1/formulas", json=GOOD, headers=key)
    again = client.post("/v1/formulas", json=GOOD, headers={"Idempotency-Key": "7f8a"})
    assert (again.status_code, again.get_data()) == (first.status_code, first.get_data())
    assert again.headers["Location"] == first.headers["Location"]
    assert len(client.get("/v1/formulas").get_json()["formulas"]) == 1


def test_an_envelope_is_held_to_its_shape(client: FlaskClient) -> None:
    wrong = {"version": "1", "digest": "x", "note": "n", "formula": {**GOOD, "name": ""}}
    response = client.post("/v1/formulas", json=wrong)
    pointers = {error["pointer"] for error in response.get_json()["errors"]}
    assert pointers == {"/version", "/digest", "/note", "/formula/name"}
    posted = client.post("/v1/weights", json=GOOD).get_json()
    names = ("id", "version", "digest", "knowledge", "formula")
    assert client.post("/v1/weights", json={name: posted[name] for name in names}).status_code == 200
