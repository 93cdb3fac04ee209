"""The cupboard over HTTP, in plain words: every portion that ``usda_measures.csv`` asks for, and words
whose meaning the formula's language or measures decide."""

from __future__ import annotations

from collections import defaultdict
from typing import Any

import pytest
from flask.testing import FlaskClient

from tests.tables.test_usda_coverage import ASKED, ROWS

#: The most lines that one formula of these tests has.
BATCH = 200
#: The least share of the portions printed that is asked for (the rest have their reasons).
LEAST = 0.95


def weights(client: FlaskClient, texts: list[str], **more: Any) -> Any:
    lines = [{"text": text} for text in texts]
    said = {"name": "Portions", "measures": "us", **more, "components": [{"ingredients": lines}]}
    answer = client.post("/v1/weights", json=said)
    assert answer.status_code == 200, answer.get_json()
    return answer.get_json()


def test_portions_weigh_what_the_database_prints(client: FlaskClient) -> None:
    """Source: USDA SR28 and SR Legacy, as ``usda_measures.csv`` says of each row."""
    by_handling: dict[str, list[dict[str, str]]] = defaultdict(list)
    for row in ASKED:
        by_handling[row["handling"]].append(row)
    off = []
    for handling, rows in by_handling.items():
        more = {"handling": handling} if handling else {}
        for start in range(0, len(rows), BATCH):
            batch = rows[start : start + BATCH]
            answer = weights(client, [row["words"] for row in batch], **more)
            got = {line["pointer"]: line["grams"] for line in answer["lines"]}
            for place, row in enumerate(batch):
                printed = float(row["grams"])
                last = 0.5 * 10.0 ** -len(row["grams"].partition(".")[2])
                grams = got[f"/components/0/ingredients/{place}"]
                if grams is None or abs(grams - printed) > max(0.01 * printed, last) + 0.005:
                    off.append((row["words"], printed, grams))
    assert off == []
    assert len(ASKED) >= LEAST * len(ROWS)


@pytest.mark.parametrize(
    ("language", "code"), [("en-US", "corn-flour"), ("en-GB", "cornstarch"), ("en-IE", "cornstarch")]
)
def test_the_language_decides_a_word(client: FlaskClient, language: str, code: str) -> None:
    """Common practice: cornflour is maize starch in Britain and Ireland, maize meal in the US."""
    answer = weights(client, ["100 g cornflour"], language=language)
    assert answer["lines"][0]["ingredient"] == code
    assert "ambiguous-name" in [one["code"] for one in answer["assumptions"]]


def test_eggs_to_crack_are_in_the_answer(client: FlaskClient) -> None:
    """Counting: three whites come from three eggs, of which one yolk is used."""
    assert weights(client, ["3 egg whites and 1 yolk"])["eggs"] == {
        "whole": 0.0, "whites": 3.0, "yolks": 1.0, "to_crack": 3,
        "surplus_whites": 0.0, "surplus_yolks": 2.0,
    }  # fmt: skip
    assert weights(client, ["100 g water"])["eggs"] is None
