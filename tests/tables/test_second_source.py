"""One cup of each of 45 ingredients, in four systems of measures, against a second authority.

The authority is not the one that our tables carry first. The two lie within a tenth of each other, or
our band holds the second.
"""

from __future__ import annotations

import csv
from pathlib import Path

import pytest

from service.domain.formula import Component, Formula, Line
from service.kitchen import Kitchen, open_kitchen

VECTORS = Path(__file__).parent.parent / "vectors" / "second_source_cups.csv"
#: Millilitres of a cup: UCUM 2.2 [cup_us]; half an imperial pint (UCUM [pt_br]/2); 250 mL where the
#: metric kitchen and Australian Standard AS 1325 have it.
CUPS = {"us": 236.588, "imperial": 284.13, "metric": 250.0, "au": 250.0}


def _rows() -> list[dict[str, str]]:
    lines = [line for line in VECTORS.read_text("utf-8").splitlines() if not line.startswith("#")]
    return list(csv.DictReader(lines))


@pytest.fixture(scope="module")
def kitchen() -> Kitchen:
    return open_kitchen()


def _cup(kitchen: Kitchen, row: dict[str, str], system: str) -> tuple[float, float, float]:
    formula = Formula(
        name="One cup",
        measures=system,
        handling=row["handling"] or None,
        components=(Component(ingredients=(Line(text=f"1 cup {row['words']}"),)),),
    )
    (line,) = kitchen.scales.weigh(formula).lines
    assert line.grams is not None, f"{row['words']}: {line.reason}"
    return line.grams.value, line.grams.low, line.grams.high


@pytest.mark.parametrize("row", _rows(), ids=lambda r: f"{r['words']} {r['handling']}".strip())
@pytest.mark.parametrize("system", CUPS)
def test_agrees_with_a_second_authority(kitchen: Kitchen, row: dict[str, str], system: str) -> None:
    value, low, high = _cup(kitchen, row, system)
    second = float(row["grams"]) / float(row["millilitres"]) * CUPS[system]
    assert abs(value / second - 1) <= 0.10 or low <= second <= high, (
        f"{value:.1f} g against {second:.1f} g ({row['source']})"
    )
