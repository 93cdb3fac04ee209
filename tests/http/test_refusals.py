"""What is refused that was once let through: parameters nobody knows, bodies in another coding."""

from __future__ import annotations

import pytest
from flask.testing import FlaskClient

AT = "/v1/formulas/signal-lamp-angel-cake"
CAKE = {"name": "Siding Cake", "components": [{"ingredients": [{"text": "1 cup flour"}]}]}
PATCH = "application/merge-patch+json"


@pytest.mark.parametrize(
    ("method", "path", "told"),
    [
        ("GET", AT, {}),
        ("GET", f"{AT}/versions/1", {}),
        ("PUT", "/v1/formulas/siding-cake", {"json": CAKE, "headers": {"If-None-Match": "*"}}),
        ("PATCH", AT, {"data": "{}", "content_type": PATCH, "headers": {"If-Match": '"v1"'}}),
        ("DELETE", AT, {"headers": {"If-Match": '"v1"'}}),
        ("PUT", "/v1/ingredients/lard", {"json": {"source": "ours"}, "headers": {"If-None-Match": "*"}}),
    ],
)
def test_a_parameter_that_nobody_knows_is_refused(
    book: FlaskClient, method: str, path: str, told: dict[str, object]
) -> None:
    """Contract, section 6: 422 with ``parameter`` for a query's; nothing is changed."""
    answer = book.open(f"{path}?portion=4", method=method, **told)
    assert answer.status_code == 422
    assert answer.get_json()["errors"][0]["parameter"] == "portion"
    assert book.get(AT).headers["ETag"] == '"v1"'
    assert book.get("/v1/formulas/siding-cake").status_code == 404


@pytest.mark.parametrize(
    ("path", "told"),
    [
        # What the view refuses of itself beside what the changes refuse of their form.
        ("allergens?market=mars&factor=-3", {"market": "unknown-market", "factor": "not-understood"}),
        # … and beside what they refuse of this very formula.
        (
            "allergens?choose=/components/9/ingredients/0:with",
            {"choose": "no-such-line", "market": "required"},
        ),
        (
            "weights?market=eu&measures=metrik",
            {"market": "unknown-parameter", "measures": "unknown-value"},
        ),
        ("versions?after=x&limit=0", {"after": "out-of-bounds", "limit": "out-of-bounds"}),
    ],
)
def test_no_fault_of_a_query_hides_another(book: FlaskClient, path: str, told: dict[str, str]) -> None:
    """Contract, section 6: all of them at once."""
    answer = book.get(f"{AT}/{path}")
    assert answer.status_code == 422
    assert {one["parameter"]: one["code"] for one in answer.get_json()["errors"]} == told


def test_an_archive_tells_all_that_it_cannot_ask(client: FlaskClient) -> None:
    """A parameter of the view whose name was mistaken is no fault of its own."""
    query = "views=alergens,dough&flow=fast&market=eu&friction=9&colour=red"
    answer = client.post(f"/v1/archive?{query}", data=b"{}\n", content_type="application/x-ndjson")
    assert answer.status_code == 422
    told = {one["parameter"]: one["detail"] for one in answer.get_json()["errors"]}
    assert set(told) == {
        "views", "flow", "friction", "colour", "dough_temperature", "room_temperature",
    }  # fmt: skip
    assert "Did you mean allergens?" in told["views"]


def test_one_id_is_taken(client: FlaskClient) -> None:
    answer = client.post("/v1/formulas?id=siding&id=shed", json=CAKE)
    assert answer.status_code == 422
    assert [(one["parameter"], one["code"]) for one in answer.get_json()["errors"]] == [
        ("id", "given-twice")
    ]
    assert client.get("/v1/formulas").get_json()["formulas"] == []


@pytest.mark.parametrize(
    "said",
    [
        {"Content-Encoding": "gzip"},
        {"Content-Type": "application/x-ndjson; charset=utf-16"},
        {"Content-Type": "application/json"},
    ],
)
def test_an_archive_in_another_coding_is_refused(client: FlaskClient, said: dict[str, str]) -> None:
    """RFC 9110, section 15.5.16: 415 for a content coding too."""
    headers = {"Content-Type": "application/x-ndjson", **said}
    answer = client.post("/v1/archive", data=b"{}\n", headers=headers)
    assert (answer.status_code, answer.mimetype) == (415, "application/problem+json")


def test_a_content_coding_has_no_case(client: FlaskClient) -> None:
    """RFC 9110, section 8.4.1."""
    answer = client.post("/v1/weights", json=CAKE, headers={"Content-Encoding": "Identity"})
    assert answer.status_code == 200


@pytest.mark.parametrize(
    ("accept", "status", "media"),
    [
        ("application/json; charset=utf-8", 200, "application/json"),
        ("text/plain;charset=UTF-8, application/json;q=0.5", 200, "text/plain"),
        ("application/json; charset=iso-8859-1", 406, "application/problem+json"),
        ("application/json;charset=utf-8;q=0", 406, "application/problem+json"),
        ("application/json; edition=2", 406, "application/problem+json"),
    ],
)
def test_a_charset_in_accept_asks_for_what_comes_anyway(
    book: FlaskClient, accept: str, status: int, media: str
) -> None:
    answer = book.get(f"{AT}/allergens?market=eu", headers={"Accept": accept})
    assert (answer.status_code, answer.mimetype) == (status, media)


def test_slashes_are_not_merged(book: FlaskClient) -> None:
    """A redirect would answer in HTML."""
    answer = book.get("/v1//formulas")
    assert (answer.status_code, answer.mimetype) == (404, "application/problem+json")


@pytest.mark.parametrize(
    ("quantity", "said"),
    [(0, "More than 0"), ("0", "More than 0"), (1e-20, "finer"), (-1, "More than 0")],
)
def test_an_amount_out_of_bounds_is_told_why(client: FlaskClient, quantity: object, said: str) -> None:
    line = {"ingredient": "egg", "quantity": quantity, "unit": "each"}
    cake = {"name": "Siding Cake", "components": [{"ingredients": [line]}]}
    answer = client.post("/v1/weights", json=cake)
    assert answer.status_code == 422
    (fault,) = answer.get_json()["errors"]
    assert fault["pointer"] == "/components/0/ingredients/0/quantity"
    assert said in fault["detail"]


def test_one_spot_is_one(book: FlaskClient) -> None:
    detail = book.get(f"{AT}/allergens").get_json()["detail"]
    assert detail == "One spot does not fit; it is named in errors."
