"""The household measures of the USDA Standard Reference, each asked for in a cook's words.

Tolerance: 1 percent, or half a unit of the last digit that the database prints, whichever is more.
Expected values are the database's own; ``usda_measures.csv`` says where each comes from.
"""

from __future__ import annotations

import csv
from pathlib import Path

import pytest

from service.domain.formula import Component, Formula, Line
from service.kitchen import Kitchen, open_kitchen

VECTORS = Path(__file__).parent.parent / "vectors" / "usda_measures.csv"
#: The share of printed portions that a line may fail to ask for, each with its reason in the file.
MOST_LEFT_OUT = 0.05


def _rows() -> list[dict[str, str]]:
    lines = [line for line in VECTORS.read_text("utf-8").splitlines() if not line.startswith("#")]
    return list(csv.DictReader(lines))


ROWS = _rows()
ASKED = [row for row in ROWS if not row["left_out"]]


@pytest.fixture(scope="module")
def kitchen() -> Kitchen:
    return open_kitchen()


def _half_of_last_digit(printed: str) -> float:
    """Give half a unit of the last digit of a number as printed: 4.2 → 0.05, 125 → 0.5."""
    decimals = len(printed.partition(".")[2])
    return float(0.5 * 10.0**-decimals)


@pytest.mark.parametrize("row", ASKED, ids=lambda row: f"{row['words']} ({row['ndb']})")
def test_a_cook_s_words_weigh_what_the_database_prints(kitchen: Kitchen, row: dict[str, str]) -> None:
    formula = Formula(
        name="One portion",
        measures="us",
        handling=row["handling"] or None,
        components=(Component(ingredients=(Line(text=row["words"]),)),),
    )
    weighed = kitchen.scales.weigh(formula)
    (line,) = weighed.lines
    assert line.grams is not None, line.reason
    printed = float(row["grams"])
    allowed = max(0.01 * printed, _half_of_last_digit(row["grams"])) + 1e-9
    assert line.grams.value == pytest.approx(printed, abs=allowed), line.basis
    assert line.grams.low <= line.grams.value <= line.grams.high


def test_hardly_any_portion_is_left_out_and_each_has_its_reason() -> None:
    left = [row for row in ROWS if row["left_out"]]
    assert len(ASKED) >= 1200
    assert len(left) <= MOST_LEFT_OUT * len(ROWS)
    assert all(bool(row["words"]) != bool(row["left_out"]) for row in ROWS)
