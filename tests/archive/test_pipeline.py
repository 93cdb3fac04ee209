"""One record in, one answer out, a summary at the end; whatever a record is, it costs itself alone."""

from __future__ import annotations

import json
from collections.abc import Iterable
from typing import Any

import pytest

from service.archive.asking import read_asked
from service.archive.pipeline import Asked, answers
from service.archive.records import LARGEST_RECORD
from service.errors import Invalid
from service.kitchen import Kitchen

CARD: dict[str, Any] = {
    "title": "Semaphore Sponge",
    "lines": ["1 cup sifted cake flour", "1 cup sugar", "4 eggs", "Few grains salt", "2 cups zibble"],
}


PLAIN = Asked()


def run(kitchen: Kitchen, *records: object, asked: Asked = PLAIN) -> list[dict[str, Any]]:
    lines: Iterable[bytes] = (
        record if isinstance(record, bytes) else json.dumps(record).encode() for record in records
    )
    return [json.loads(line) for line in answers(lines, asked, kitchen)]


def test_the_summary_counts_what_the_answers_say(kitchen: Kitchen) -> None:
    whole = {**CARD, "lines": CARD["lines"][:3]}
    *given, last = run(kitchen, CARD, whole, b"{")
    assert [each["record"] for each in given] == [1, 2, 3]
    assert [each["status"] for each in given] == ["partial", "converted", "refused"]
    summary = last["summary"]
    assert (summary["records"], summary["converted"], summary["partial"], summary["refused"]) == (
        3,
        1,
        1,
        1,
    )
    assert summary["refusals"] == {"not-json": 1}
    # By hand: 5 lines and 3; "2 cups zibble" is of an unknown ingredient.
    assert summary["lines"]["all"] == 8
    assert summary["lines"]["unweighed"] == {"unknown-ingredient": 1}
    assert summary["lines"]["weighed"] == summary["lines"]["stating_an_amount"] - 1


def test_a_card_that_names_nothing_to_weigh_says_so_of_each_line(kitchen: Kitchen) -> None:
    card = {"title": "Waffles Again", "lines": ["Follow directions for making Waffles. Serve with"]}
    answer, last = run(kitchen, card)
    assert answer["status"] == "partial"
    [line] = answer["formula"]["components"][0]["ingredients"]
    assert line["text"] == card["lines"][0]
    assert ("remark", "/lines/0") in [(one["code"], one["line"]) for one in answer["problems"]]
    assert last["summary"]["partial"] == 1


def test_no_line_of_a_card_is_dropped(kitchen: Kitchen) -> None:
    [answer, _] = run(kitchen, CARD)
    said = [line["text"] for part in answer["formula"]["components"] for line in part["ingredients"]]
    assert said == CARD["lines"]
    assert [problem["line"] for problem in answer["problems"]] == ["/lines/4"]


def test_an_assumption_of_reading_is_told_with_its_worth(kitchen: Kitchen) -> None:
    card = {"title": "Plain Cake", "lines": ["2 cups flour"], "method": "Bake in a hot oven."}
    [answer, _] = run(kitchen, card)
    told = {one["code"]: one for one in answer["assumptions"]}
    assert told["ambiguous-name"]["line"] == "/components/0/ingredients/0"
    assert told["ambiguous-name"]["grams"] is not None
    assert answer["formula"]["bake"]["temperature"]["unit"] == "[degF]"
    assert any(one["line"] == "/bake" for one in answer["assumptions"])


def test_views_stand_beside_the_formula_under_their_names(kitchen: Kitchen) -> None:
    asked = read_asked("weights, allergens", {"market": ["eu"]}, kitchen)
    [answer, _] = run(kitchen, CARD, asked=asked)
    assert [line["as_written"] for line in answer["weights"]["lines"]] == CARD["lines"]
    assert answer["allergens"]["market"] == "eu"
    assert answer["allergens"]["complete"] is False


def test_changes_are_applied_to_every_record(kitchen: Kitchen) -> None:
    asked = read_asked("weights", {"factor": ["1/2"]}, kitchen)
    [answer, _] = run(kitchen, CARD, asked=asked)
    assert answer["formula"]["components"][0]["ingredients"][2]["quantity"] == "2"


def test_a_change_that_one_record_does_not_take_costs_that_record_alone(kitchen: Kitchen) -> None:
    portions = {
        "name": "Buns",
        "components": [{"ingredients": [{"text": "2 eggs"}]}],
        "yield": {"portions": 4},
    }
    asked = read_asked("weights", {"portions": ["8"]}, kitchen)
    first, second, _ = run(kitchen, CARD, portions, asked=asked)
    assert first["status"] == "refused"
    assert first["problems"]
    assert second["status"] == "converted"
    assert second["formula"]["components"][0]["ingredients"][0]["quantity"] == "4"


def test_what_comes_out_goes_back_in(kitchen: Kitchen) -> None:
    asked = Asked(("weights",))
    [first, _] = run(kitchen, CARD, asked=asked)
    [again, _] = run(kitchen, first["formula"], asked=asked)
    assert again["formula"] == first["formula"]
    assert again["weights"]["lines"] == first["weights"]["lines"]


@pytest.mark.parametrize(
    ("raw", "code"),
    [
        (b"{", "not-json"),
        (b'{"a": NaN}', "not-json"),
        (b'{"title": "a", "title": "b", "lines": []}', "not-json"),
        (b"[" * 40 + b"]" * 40, "not-json"),
        (b"\xff", "not-json"),
        (b"[]", "not-json"),
        (b"x" * (LARGEST_RECORD + 1), "too-large"),
        (b'{"title": "a", "lines": []}', "too-few"),
        (b'{"name": "a", "components": [], "colour": 1}', "unknown-member"),
    ],
    ids=["syntax", "nan", "twice", "deep", "bytes", "list", "large", "no lines", "unknown member"],
)
def test_a_broken_record_is_refused_with_its_reason(raw: bytes, code: str, kitchen: Kitchen) -> None:
    [answer, last] = run(kitchen, raw)
    assert answer["status"] == "refused"
    assert answer["formula"] is None
    assert code in [problem["code"] for problem in answer["problems"]]
    assert last["summary"]["refused"] == 1


@pytest.mark.parametrize(
    ("views", "words", "parameters"),
    [
        ("wieghts", {}, {"views"}),
        ("weights", {"facter": ["2"]}, {"facter"}),
        ("weights", {"market": ["eu"]}, {"market"}),
        ("allergens", {}, {"market"}),
        ("allergens", {"market": ["mars"]}, {"market"}),
        ("weights", {"factor": ["0"], "measures": ["cubits"]}, {"factor", "measures"}),
    ],
)
def test_what_no_record_could_be_asked_is_refused_at_once(
    views: str, words: dict[str, list[str]], parameters: set[str], kitchen: Kitchen
) -> None:
    with pytest.raises(Invalid) as refusal:
        read_asked(views, words, kitchen)
    assert {fault.parameter for fault in refusal.value.faults} == parameters
