"""The archive over HTTP (contract, section 7): a line a record, in order, whatever the length."""

from __future__ import annotations

import json
from io import BytesIO
from typing import Any

import pytest
from flask.testing import FlaskClient

from service.http.app import create_app
from service.http.config import Config
from service.kitchen import Kitchen
from tests.contract.shape import App, assert_problem

CARD = {"title": "Drops", "lines": ["Whites 3 eggs", "⅓ cup powdered sugar"]}
FORMULA = {"name": "Cake", "components": [{"ingredients": [{"text": "2 cups flour"}]}]}
RECIPE = {"@type": "Recipe", "name": "Buns", "recipeIngredient": ["1 cup milk"]}
NDJSON = "application/x-ndjson"


def lines_of(*records: Any) -> bytes:
    return b"".join(
        (record if isinstance(record, bytes) else json.dumps(record).encode()) + b"\n"
        for record in records
    )


def ask(client: FlaskClient, body: bytes, query: str = "") -> list[dict[str, Any]]:
    response = client.post(f"/v1/archive?{query}", data=body, content_type=NDJSON)
    assert response.status_code == 200, response.get_data(as_text=True)
    assert response.content_type == NDJSON
    answers = [json.loads(line) for line in response.get_data().splitlines()]
    response.close()
    return answers


@pytest.mark.parametrize("flow", ["", "flow=spool", "flow=duplex"])
def test_every_record_is_answered_in_order(client: FlaskClient, flow: str) -> None:
    body = lines_of(CARD, b"{broken", FORMULA, RECIPE, {"title": "none"}, b"[1]")
    *answers, last = ask(client, body, f"views=weights&{flow}")
    assert [one["record"] for one in answers] == [1, 2, 3, 4, 5, 6]
    assert [one["status"] == "refused" for one in answers] == [False, True, False, False, True, True]
    assert all("weights" in one for one in answers if one["status"] != "refused")
    assert all(one["problems"] for one in answers if one["status"] == "refused")
    assert last["summary"]["records"] == 6
    assert last["summary"]["refused"] == 3


def test_changes_and_parameters_reach_every_record(client: FlaskClient) -> None:
    plain, _ = ask(client, lines_of(FORMULA), "views=weights,allergens&market=eu")
    twice, _ = ask(client, lines_of(FORMULA), "views=weights,allergens&market=eu&factor=2")
    assert twice["weights"]["totals"]["grams"]["grams"] == pytest.approx(
        2 * plain["weights"]["totals"]["grams"]["grams"]
    )
    assert plain["allergens"]["market"] == "eu"


def test_an_empty_archive_has_a_summary(client: FlaskClient) -> None:
    (last,) = ask(client, b"")
    assert last["summary"]["records"] == 0


def test_a_record_beyond_a_mebibyte_costs_itself_alone(client: FlaskClient) -> None:
    large = {**CARD, "method": "x" * (1 << 20)}
    first, second, third, _ = ask(client, lines_of(CARD, large, CARD))
    assert (first["status"], second["status"]) == (third["status"], "refused")


def test_an_archive_may_be_longer_than_any_body(client: FlaskClient) -> None:
    body = lines_of(*[{**CARD, "method": "x" * 20_000}] * 120)
    assert len(body) > 2 << 20
    assert ask(client, body)[-1]["summary"]["records"] == 120


def test_the_body_may_come_without_a_length(client: FlaskClient) -> None:
    response = client.post(
        "/v1/archive", input_stream=BytesIO(lines_of(CARD, CARD)), content_type=NDJSON,
        environ_overrides={"wsgi.input_terminated": True},
    )  # fmt: skip
    assert len(response.get_data().splitlines()) == 3


def test_duplex_answers_before_the_body_has_ended(client: FlaskClient) -> None:
    """The first answer comes while later records have not been read yet."""

    class Counted(BytesIO):
        taken = 0

        def read(self, size: int | None = -1) -> bytes:
            data = super().read(size)
            Counted.taken += len(data)
            return data

    body = lines_of(*[{**CARD, "method": "x" * 1000}] * 200)
    response = client.post(
        "/v1/archive?flow=duplex", input_stream=Counted(body), content_type=NDJSON,
        environ_overrides={"wsgi.input_terminated": True},
    )  # fmt: skip
    first = next(iter(response.response))
    assert json.loads(first)["record"] == 1  # type: ignore[arg-type]
    assert Counted.taken < len(body) / 4
    response.close()


def test_the_spool_is_bounded(tmp_path: Any, kitchen: Kitchen) -> None:
    """Beyond the spool's bound answers are sent as they come, and none is lost or out of order."""
    app = create_app(Config(data=tmp_path, spool=1000, most_spool=5000), kitchen)
    answers = ask(app.test_client(), lines_of(*[CARD] * 50))
    assert [one.get("record") for one in answers] == [*range(1, 51), None]
    app.extensions["tarebook"].shelf.close()


def test_what_is_asked_is_read_before_the_body(client: FlaskClient) -> None:
    response = client.post("/v1/archive?views=wieghts&flow=x", data=b"", content_type=NDJSON)
    assert_problem(response, 422, "invalid")
    response = client.post("/v1/archive?views=wieghts", data=b"", content_type=NDJSON)
    problem = assert_problem(response, 422, "invalid", parameters={"views"})
    assert "weights" in problem["errors"][0]["detail"]
    response = client.post("/v1/archive", data=b"", content_type=NDJSON, headers={"Accept": "text/html"})
    assert_problem(response, 406, "not-acceptable")


def test_a_place_is_given_back(make_app: App) -> None:
    client = make_app(most_archives=1).test_client()
    for _ in range(3):
        assert len(ask(client, lines_of(CARD))) == 2
        refused = client.post("/v1/archive?views=x", data=b"", content_type=NDJSON)
        assert refused.status_code == 422
