"""Pages of other origins: told to browsers by configuration alone (Fetch standard, CORS protocol)."""

from __future__ import annotations

from tests.contract.shape import App, assert_problem

TEAROOM = "https://tearoom.example"
OTHER = "https://other.example"


def test_a_configured_origin_may_read_and_write(make_app: App) -> None:
    client = make_app(origins=(TEAROOM,)).test_client()
    response = client.get("/v1/units", headers={"Origin": TEAROOM})
    assert response.headers["Access-Control-Allow-Origin"] == TEAROOM
    exposed = response.headers["Access-Control-Expose-Headers"].split(", ")
    assert {"ETag", "Link", "Location"} <= set(exposed)
    assert "Origin" in response.headers["Vary"]
    posted = client.post(
        "/v1/formulas", json={"name": "x", "components": [{"ingredients": [{"text": "1 egg"}]}]},
        headers={"Origin": TEAROOM},
    )  # fmt: skip
    assert posted.status_code == 201
    assert posted.headers["Access-Control-Allow-Origin"] == TEAROOM


def test_a_refusal_can_be_read_too(make_app: App) -> None:
    client = make_app(origins=(TEAROOM,)).test_client()
    refused = client.get("/v1/formulas/nothing", headers={"Origin": TEAROOM})
    assert_problem(refused, 404, "not-found")
    assert refused.headers["Access-Control-Allow-Origin"] == TEAROOM


def test_a_preflight_is_answered(make_app: App) -> None:
    client = make_app(origins=(TEAROOM,)).test_client()
    asked = {
        "Origin": TEAROOM,
        "Access-Control-Request-Method": "PUT",
        "Access-Control-Request-Headers": "If-Match, Content-Type",
    }
    response = client.options("/v1/formulas/x", headers=asked)
    assert response.status_code == 200
    assert response.headers["Access-Control-Allow-Origin"] == TEAROOM
    assert "PUT" in response.headers["Access-Control-Allow-Methods"]
    allowed = response.headers["Access-Control-Allow-Headers"].lower()
    assert "if-match" in allowed
    assert "content-type" in allowed


def test_other_origins_are_told_nothing(make_app: App) -> None:
    for origins in ((), (TEAROOM,)):
        client = make_app(origins=origins).test_client()
        response = client.get("/v1/units", headers={"Origin": OTHER})
        assert response.status_code == 200
        assert "Access-Control-Allow-Origin" not in response.headers
        refused = client.post("/v1/weights", data="{}", headers={"Origin": OTHER})
        assert_problem(refused, 403, "forbidden")


def test_a_page_of_the_service_itself_may_write(make_app: App) -> None:
    client = make_app().test_client()
    own = client.post(
        "/v1/weights", json={"name": "x", "components": [{"ingredients": [{"text": "1 egg"}]}]},
        headers={"Host": "127.0.0.1:8765", "Origin": "http://127.0.0.1:8765"},
    )  # fmt: skip
    assert own.status_code == 200
