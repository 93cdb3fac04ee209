"""Readings over HTTP (contract, section 4): the formula as read, the spans, what was not understood."""

from __future__ import annotations

from typing import Any

from flask.testing import FlaskClient

CARD: dict[str, Any] = {
    "title": "Sponge Drops",
    "lines": ["Whites 3 eggs", "⅓ cup powdered sugar", "", "For the glaze:", "2 dl Mehl", "Serve cold."],
    "measures": "us",
}


def read(client: FlaskClient, **members: Any) -> Any:
    response = client.post("/v1/readings", json={**CARD, **members})
    assert response.status_code == 200
    return response.get_json()


def test_every_line_comes_back_with_its_spans(client: FlaskClient) -> None:
    answer = read(client)
    assert [line["text"] for line in answer["lines"]] == CARD["lines"]
    kinds = [line["kind"] for line in answer["lines"]]
    assert kinds[:2] == ["ingredient", "ingredient"]
    assert kinds[3] == "heading"
    parts = {
        (span["part"], line["text"][span["start"] : span["end"]])
        for line in answer["lines"]
        for span in line["spans"]
    }
    # What each stretch of the text means, told by reading it.
    assert {
        ("part", "Whites"), ("quantity", "3"), ("ingredient", "eggs"), ("quantity", "⅓"),
        ("unit", "cup"), ("ingredient", "powdered sugar"), ("quantity", "2"), ("unit", "dl"),
    } <= parts  # fmt: skip


def test_what_was_not_understood_is_told(client: FlaskClient) -> None:
    answer = read(client)
    places = {(problem["code"], problem["line"]) for problem in answer["problems"]}
    assert ("unknown-ingredient", "/lines/4") in places
    assert "Serve cold." in answer["formula"]["notes"]
    assert [c.get("name") for c in answer["formula"]["components"]] == [None, "For the glaze"]


def test_what_was_assumed_is_told_with_its_worth(client: FlaskClient) -> None:
    told = {one["code"]: one for one in read(client)["assumptions"]}
    assert told["egg-grade-not-said"]["line"] == "/components/0/ingredients/0"
    assert told["egg-grade-not-said"]["grams"] is not None


def test_the_formula_goes_back_in(client: FlaskClient) -> None:
    formula = read(client)["formula"]
    assert client.post("/v1/weights", json=formula).status_code == 200
    assert client.post("/v1/formulas", json=formula).status_code == 201


def test_a_card_as_text_reads_as_its_document_does(client: FlaskClient) -> None:
    text = "\n".join(("Sponge Drops", "Whites 3 eggs", "⅓ cup powdered sugar"))
    as_text = client.post("/v1/readings", data=text.encode(), content_type="text/plain").get_json()
    as_document = read(client, lines=CARD["lines"][:2])
    assert as_text["lines"] == as_document["lines"]
    assert as_text["formula"]["components"] == as_document["formula"]["components"]


def test_a_member_that_no_card_has_is_refused_with_those_that_it_has(client: FlaskClient) -> None:
    """Contract, section 4: a card is ``{"title", "lines", "method", "measures"}``."""
    answer = client.post("/v1/readings", json={**CARD, "yield": {"portions": 3}})
    [fault] = answer.get_json()["errors"]
    assert (fault["pointer"], fault["code"]) == ("/yield", "unknown-member")
    assert all(member in fault["detail"] for member in ("title", "lines", "method", "measures"))


def test_measures_decide_how_cups_are_read(client: FlaskClient) -> None:
    assert read(client, measures="imperial")["formula"]["measures"] == "imperial"


def test_a_card_that_names_nothing_to_weigh_keeps_its_lines_and_says_so(client: FlaskClient) -> None:
    answer = read(client, lines=["Serve cold."])
    [line] = answer["formula"]["components"][0]["ingredients"]
    assert line == {"text": "Serve cold."}
    assert "remark" in {problem["code"] for problem in answer["problems"]}
