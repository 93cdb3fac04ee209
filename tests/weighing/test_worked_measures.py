"""Lines of cards that print a weight and a measure: ``vectors/worked_measures.csv``."""

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


def measured(kitchen: Kitchen, line: Line, per: str) -> float:
    """How many of a measure a line has, by the one of its two amounts that is no mass."""
    one = kitchen.measures.find(per, "us")
    assert one is not None
    assert line.equivalent is not None
    for given in (line, line.equivalent):
        unit = kitchen.measures.find(given.unit or "each", "us")
        if unit is not None and unit.kind == one.kind and given.quantity is not None:
            return float(given.quantity.middle) * unit.size / one.size
    raise AssertionError(line)


@pytest.mark.parametrize("row", rows(), ids=lambda row: row["id"])
def test_grams_to_a_measure_as_the_card_has_them(kitchen: Kitchen, row: dict[str, str]) -> None:
    (line,) = weigh(kitchen, row["text"]).lines
    expected, within = float(row["expected"]), float(row["tolerance"])
    assert line.grams is not None
    found = line.grams.value / measured(kitchen, line.line, row["per"])
    assert found == pytest.approx(expected, abs=within), row["source"]


@pytest.mark.parametrize("row", rows(), ids=lambda row: row["id"])
def test_weight_and_measure_that_disagree_are_told(kitchen: Kitchen, row: dict[str, str]) -> None:
    told = [problem.code for problem in weigh(kitchen, row["text"]).problems]
    assert told == ([] if row["agree"] == "yes" else ["measures-disagree"]), row["why"]
