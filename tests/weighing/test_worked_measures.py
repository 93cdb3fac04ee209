"""Cards that print a weight and a measure of one thing, against each other (``vectors/worked_measures.csv``)."""

from __future__ import annotations

import csv
from pathlib import Path

import pytest

from service.domain.formula import Component, Formula, Line
from service.domain.weighed import Weighed
from service.kitchen import Kitchen

VECTORS = Path(__file__).parent.parent / "vectors" / "worked_measures.csv"


def rows() -> list[dict[str, str]]:
    lines = (line for line in VECTORS.read_text("utf-8").splitlines() if not line.startswith("#"))
    return list(csv.DictReader(lines))


def weigh(kitchen: Kitchen, text: str) -> Weighed:
    return kitchen.scales.weigh(
        Formula("Card", (Component(ingredients=(Line(text=text),)),), measures="us")
    )


@pytest.mark.parametrize("row", rows(), ids=lambda row: row["id"])
def test_grams_to_a_measure_as_the_card_has_them(kitchen: Kitchen, row: dict[str, str]) -> None:
    (line,) = weigh(kitchen, row["text"]).lines
    measured = line.line.equivalent
    assert line.grams is not None
    assert measured is not None
    size, one = (kitchen.measures.find(unit, "us") for unit in (measured.unit, row["per"]))
    assert size is not None
    assert one is not None
    count = float(measured.quantity.middle) * size.size / one.size
    expected, within = float(row["expected"]), float(row["tolerance"])
    assert line.grams.value / count == pytest.approx(expected, abs=within), row["source"]


@pytest.mark.parametrize("row", rows(), ids=lambda row: row["id"])
def test_weight_and_measure_that_disagree_are_told(kitchen: Kitchen, row: dict[str, str]) -> None:
    told = [problem.code for problem in weigh(kitchen, row["text"]).problems]
    assert told == ([] if row["agree"] == "yes" else ["measures-disagree"]), row["why"]
