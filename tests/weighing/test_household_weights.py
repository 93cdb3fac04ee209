"""Household weights against the entries of the USDA Standard Reference, asked for in plain words."""

from __future__ import annotations

import csv
from pathlib import Path

import pytest

from service.domain.formula import Component, Formula, Line
from service.kitchen import Kitchen

VECTORS = Path(__file__).parent.parent / "vectors"


def rows(name: str) -> list[dict[str, str]]:
    lines = (VECTORS / name).read_text("utf-8").splitlines()
    return list(csv.DictReader(line for line in lines if not line.startswith("#")))


@pytest.mark.parametrize("row", rows("usda_weights.csv"), ids=lambda r: r["text"])
def test_weighs_what_the_entry_says(kitchen: Kitchen, row: dict[str, str]) -> None:
    formula = Formula(
        name="One line",
        components=(Component(ingredients=(Line(text=row["text"]),)),),
        measures="us",
        handling=row["handling"] or None,
    )
    (line,) = kitchen.scales.weigh(formula).lines
    assert line.grams is not None, f"{row['text']}: {line.reason}"
    assert line.grams.value == pytest.approx(float(row["grams"]), rel=0.01), row["source"]
    assert line.grams.low <= float(row["grams"]) <= line.grams.high, row["source"]


def test_there_are_enough_of_them() -> None:
    assert len(rows("usda_weights.csv")) >= 60
