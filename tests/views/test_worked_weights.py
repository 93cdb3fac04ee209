"""Sums and percents of printed formulas (``vectors/worked_weights.csv``), through the weights view."""

from __future__ import annotations

import csv
from fractions import Fraction
from pathlib import Path

import pytest

from service.domain.formula import Component, Formula, Line
from service.domain.quantity import Quantity
from service.kitchen import open_kitchen
from service.views.registry import NoParams
from service.views.weights import weights
from service.views.work import Work

VECTORS = Path(__file__).parents[1] / "vectors" / "worked_weights.csv"
KITCHEN = open_kitchen()


def rows() -> list[dict[str, str]]:
    lines = (line for line in VECTORS.read_text("utf-8").splitlines() if not line.startswith("#"))
    return list(csv.DictReader(lines))


def line(written: str) -> Line:
    ingredient, _, amount = written.partition(":")
    number, unit = amount.split()
    return Line(ingredient=ingredient, quantity=Quantity.of(Fraction(number)), unit=unit)


@pytest.mark.parametrize("row", rows(), ids=lambda row: row["id"])
def test_weights_of_a_printed_formula(row: dict[str, str]) -> None:
    made = Component(ingredients=tuple(line(each) for each in row["formula"].split(";")))
    found = weights(Work(KITCHEN, Formula("As printed", (made,))), NoParams())
    if row["asked"] == "grams":
        value = found.totals["grams"].grams
    else:
        (value,) = [
            each.percent
            for each in found.lines
            if row["asked"] in (each.ingredient, each.as_written, each.name)
        ]
    assert value == pytest.approx(float(row["expected"]), abs=float(row["tolerance"]) + 1e-9), row[
        "source"
    ]
