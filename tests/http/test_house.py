"""A house's own ingredients and values over HTTP: versioned, named as the basis, and the knowledge of
every answer that rests on them changes (contract, section 4; sections 2.5 and 2.7)."""

from __future__ import annotations

import json
from typing import Any

import pytest
from flask import Flask
from flask.testing import FlaskClient

from tests.contract.shape import App, assert_problem

FLOUR = "/v1/ingredients/all-purpose-flour"
CUP = {
    "source": "three scoops on our scale, 1 March 2026",
    "weights": [{"measure": "cup_us", "state": "spooned", "grams": 118, "low": 114, "high": 123}],
}
DRINK: dict[str, Any] = {
    "source": "supplier's specification 7/2026",
    "name": "station urn whitener",
    "names": ["urn whitener"],
    "role": "liquid",
    "weights": [{"measure": "cup", "grams": 245}],
    "composition": {"water": 90, "protein": 1, "fat": 1.5, "carbohydrate": 7, "sugars": 4},
    "contains": ["oats"],
    "declaration_complete": True,
    "sub_ingredients": ["water", "rolled-oats", "table-salt"],
}
NEW = {"If-None-Match": "*"}
CUP_OF_FLOUR = {
    "name": "x", "measures": "us", "handling": "spooned",
    "components": [{"ingredients": [{"text": "2 cups flour"}]}],
}  # fmt: skip


def put(client: FlaskClient, path: str, said: Any, **headers: str) -> Any:
    return client.put(path, json=said, headers=headers or NEW)


def line_of(client: FlaskClient) -> Any:
    return client.post("/v1/weights", json=CUP_OF_FLOUR).get_json()["lines"][0]


def test_a_house_value_goes_before_the_tables(client: FlaskClient) -> None:
    before = line_of(client)
    stored = put(client, FLOUR, CUP)
    assert stored.status_code == 201
    after = line_of(client)
    # 2 cups of 118 g (114 to 123 g), as the house says.
    assert (after["grams"], after["low"], after["high"]) == (236.0, 228.0, 246.0)
    assert after["basis"]["kind"] == "house"
    assert after["basis"]["row"] == "house:all-purpose-flour/spooned/cup_us"
    assert after["basis"]["source"] == f"house: {CUP['source']}"
    assert before["basis"]["kind"] == "household-weight"


def test_both_values_are_shown(client: FlaskClient) -> None:
    tables = client.get(FLOUR).get_json()
    assert (tables["house"], tables["overridden"]) == (None, [])
    put(client, FLOUR, CUP)
    shown = client.get(FLOUR).get_json()
    assert shown["house"]["version"] == 1
    own = [row for row in shown["weights"] if row["evidence"] == "H"]
    assert [(row["measure"], row["state"], row["grams"]) for row in own] == [
        ("cup_us", "spooned", 118.0)
    ]
    was = [r for r in tables["weights"] if (r["measure"], r["state"]) == ("cup_us", "spooned")]
    assert shown["overridden"] == was
    assert was


def test_knowledge_and_tags_change_with_it(client: FlaskClient) -> None:
    client.post("/v1/formulas?id=x", json=CUP_OF_FLOUR)
    paths = ("/v1/formulas/x/weights", "/v1/formulas/x/versions/1/weights", FLOUR, "/v1/units")
    before = {path: client.get(path) for path in paths}
    put(client, FLOUR, CUP)
    for path, was in before.items():
        now = client.get(path, headers={"If-None-Match": was.headers["ETag"]})
        assert now.status_code == 200, path
    now = client.get("/v1/formulas/x/weights").get_json()
    assert now["knowledge"] != before["/v1/formulas/x/weights"].get_json()["knowledge"]
    assert now["lines"][0]["grams"] == 236.0
    assert client.get("/v1/formulas/x").headers["ETag"] == '"v1"'


def test_another_process_sees_it(make_app: App) -> None:
    first, second = make_app().test_client(), make_app().test_client()
    line_of(second)
    put(first, FLOUR, CUP)
    assert line_of(second)["grams"] == 236.0


def test_a_new_ingredient_is_known_by_its_names(client: FlaskClient) -> None:
    assert put(client, "/v1/ingredients/station-urn-whitener", DRINK).status_code == 201
    body = {
        "name": "x", "measures": "us",
        "components": [{"ingredients": [{"text": "1 cup urn whitener"}, {"text": "2 cups flour"}]}],
    }  # fmt: skip
    weights = client.post("/v1/weights", json=body).get_json()
    assert weights["lines"][0]["ingredient"] == "station-urn-whitener"
    assert weights["lines"][0]["grams"] == 245.0
    allergens = client.post("/v1/allergens?market=eu", json=body).get_json()
    assert "oats" in {entry["name"] for entry in allergens["contains"]}
    found = client.get("/v1/ingredients?q=urn+whitener").get_json()["ingredients"][0]
    assert (found["code"], found["match"]) == ("station-urn-whitener", "exact")
    shown = client.get("/v1/ingredients/station-urn-whitener").get_json()
    assert shown["composition"]["water"] == 90
    assert shown["composition"]["starch"] is None  # unknown, never zero
    assert [part["part"] for part in shown["compound"]] == DRINK["sub_ingredients"]


def test_a_value_that_is_not_said_stays(client: FlaskClient) -> None:
    was = client.get(FLOUR).get_json()["composition"]
    put(client, FLOUR, {"source": "miller's analysis", "composition": {"protein": 9.5}})
    now = client.get(FLOUR).get_json()["composition"]
    assert (now["protein"], now["water"]) == (9.5, was["water"])
    assert was["source"] in now["source"]


def test_versions_and_preconditions(client: FlaskClient) -> None:
    assert_problem(client.put(FLOUR, json=CUP), 428, "precondition-required")
    before = client.get(FLOUR).headers["ETag"]
    first = put(client, FLOUR, CUP, **{"If-Match": before})
    assert first.status_code == 201
    assert_problem(put(client, FLOUR, CUP), 412, "precondition-failed")
    assert_problem(put(client, FLOUR, CUP, **{"If-Match": before}), 412, "precondition-failed")
    put(client, "/v1/ingredients/station-urn-whitener", DRINK)  # another one is no lost race
    changed = {**CUP, "source": "again, 2 March 2026"}
    second = put(client, FLOUR, changed, **{"If-Match": first.headers["ETag"]})
    assert second.status_code == 200
    assert second.get_json()["house"]["version"] == 2


def test_a_restart_forgets_nothing(make_app: App) -> None:
    put(make_app().test_client(), FLOUR, CUP)
    again: Flask = make_app()
    assert line_of(again.test_client())["grams"] == 236.0


WRONG: list[tuple[str, dict[str, Any], set[str]]] = [
    ("all-purpose-flour", {}, {"/source"}),
    ("all-purpose-flour", {**CUP, "colour": "white"}, {"/colour"}),
    (
        "all-purpose-flour",
        {**CUP, "weights": [{"measure": "cup_us", "grams": 118, "low": 120}]},
        {"/weights/0"},
    ),
    ("all-purpose-flour", {**CUP, "weights": [{"measure": "cup_us", "grams": 0}]}, {"/weights/0/grams"}),
    ("all-purpose-flour", {**CUP, "weights": [{"measure": "cpu", "grams": 9}]}, {"/weights/0/measure"}),
    ("all-purpose-flour", {**CUP, "composition": {"water": 60, "fat": 41}}, {"/composition"}),
    ("all-purpose-flour", {**CUP, "composition": {"fat": 5, "saturated": 6}},
     {"/composition/saturated"}),
    ("all-purpose-flour", {**CUP, "composition": {"water": -1}}, {"/composition/water"}),
    ("all-purpose-flour", {**CUP, "contains": ["wheat", "air"]}, {"/contains/1"}),
    ("all-purpose-flour", {**CUP, "role": "king"}, {"/role"}),
    ("all-purpose-flour", {**CUP, "names": ["granulated sugar"]}, {"/names/0"}),
    ("all-purpose-flour", {**CUP, "sub_ingredients": ["wheat", "all-purpose-flour"]},
     {"/sub_ingredients/1"}),
    ("station-mix", CUP, {"/name", "/role"}),
    ("bicarbonate-of-soda", {**DRINK, "name": "our soda", "names": []}, {""}),
]  # fmt: skip


@pytest.mark.parametrize(("code", "said", "pointers"), WRONG)
def test_refuses_at_the_spot(
    client: FlaskClient, code: str, said: dict[str, Any], pointers: set[str]
) -> None:
    response = put(client, f"/v1/ingredients/{code}", said)
    assert_problem(response, 422, "invalid", pointers=pointers)
    assert client.application.extensions["tarebook"].shelf.larder.all() == ()


def test_a_word_near_a_known_one_is_suggested(client: FlaskClient) -> None:
    """Contract, section 6: for a value near a known one a suggestion."""
    said = {**DRINK, "role": "liqiud", "weights": [{"measure": "cup_uss", "grams": 245}]}
    answer = put(client, "/v1/ingredients/urn-whitener", said)
    told = {one["pointer"]: one["detail"] for one in answer.get_json()["errors"]}
    assert told["/role"].endswith("Did you mean liquid?")
    assert told["/weights/0/measure"].endswith("Did you mean cup_us?")


def test_a_cycle_through_another_is_found(client: FlaskClient) -> None:
    put(client, "/v1/ingredients/station-urn-whitener", DRINK)
    custard = {**CUP, "name": "station custard", "role": "liquid", "weights": []}
    custard = {**custard, "sub_ingredients": ["station urn whitener"]}
    assert put(client, "/v1/ingredients/station-custard", custard).status_code == 201
    tag = client.get("/v1/ingredients/station-urn-whitener").headers["ETag"]
    round_again = {**DRINK, "sub_ingredients": ["water", "station-custard"]}
    response = put(client, "/v1/ingredients/station-urn-whitener", round_again, **{"If-Match": tag})
    assert_problem(response, 422, "invalid", pointers={"/sub_ingredients/1"})


def test_a_code_is_a_slug(client: FlaskClient) -> None:
    assert_problem(
        put(client, "/v1/ingredients/Urn%20Whitener", DRINK), 422, "invalid", parameters={"code"}
    )


def test_a_tag_of_nothing_is_no_tag(client: FlaskClient) -> None:
    lost = put(client, FLOUR, CUP, **{"If-Match": '"", "h7"'})
    assert_problem(lost, 412, "precondition-failed")


def test_a_house_word_never_takes_away_what_an_ingredient_or_its_part_always_holds(
    client: FlaskClient,
) -> None:
    """Regulation (EU) No 1169/2011, Annex II points 1 and 8: wheat flour is wheat, walnuts are nuts."""
    said = {"source": "a word of mouth", "contains": [], "declaration_complete": True}
    assert put(client, FLOUR, said).status_code == 201
    mix = {**said, "name": "platform mix", "role": "filler", "sub_ingredients": ["water", "walnuts"]}
    assert put(client, "/v1/ingredients/platform-mix", mix).status_code == 201
    lines = [{"text": "2 cups flour"}, {"ingredient": "platform-mix", "quantity": 50, "unit": "g"}]
    formula = {"name": "x", "measures": "us", "components": [{"ingredients": lines}]}
    answer = client.post("/v1/allergens?market=eu", json=formula).get_json()
    assert {entry["name"] for entry in answer["contains"]} == {"wheat", "walnut"}


def test_an_archive_is_weighed_by_the_house(client: FlaskClient) -> None:
    """2 cups of 118 g, as the house says, though the archive's records know nothing of the house."""
    put(client, FLOUR, CUP)
    response = client.post(
        "/v1/archive?views=weights",
        data=json.dumps(CUP_OF_FLOUR).encode() + b"\n",
        content_type="application/x-ndjson",
    )
    first = json.loads(response.get_data().splitlines()[0])
    response.close()
    [line] = first["weights"]["lines"]
    assert line["grams"] == 236.0
    assert line["basis"]["row"] == "house:all-purpose-flour/spooned/cup_us"
