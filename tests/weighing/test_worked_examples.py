"""Worked examples of measures and of what they weigh: ``vectors/worked_examples.csv``."""

from __future__ import annotations

import csv
from fractions import Fraction
from pathlib import Path

import pytest

from service.kitchen import Kitchen
from service.units.measures import Unit
from tests.weighing.lines import weigh

VECTORS = Path(__file__).parent.parent / "vectors" / "worked_examples.csv"


def rows() -> list[dict[str, str]]:
    lines = (line for line in VECTORS.read_text("utf-8").splitlines() if not line.startswith("#"))
    return list(csv.DictReader(lines))


def amounts(kitchen: Kitchen, given: str) -> list[tuple[float, Unit]]:
    """Amounts of units by their codes: ``1 cup_us + 2 tbsp_us``."""
    pairs = [each.split() for each in given.split(" + ")]
    return [(float(Fraction(count)), kitchen.measures.by_code[code]) for count, code in pairs]


def grams(kitchen: Kitchen, text: str) -> float:
    (line,) = weigh(kitchen, text).lines
    assert line.grams is not None
    return line.grams.value


def found(kitchen: Kitchen, row: dict[str, str]) -> float:
    asked, given, of = row["asked"], row["given"], row["of"]
    if asked == "grams":
        return grams(kitchen, given)
    if asked == "ratio":
        return grams(kitchen, given) / grams(kitchen, of)
    unit = kitchen.measures.by_code[of]
    if asked == "size":
        return sum(count * each.size for count, each in amounts(kitchen, given)) / unit.size
    ((count, own),) = amounts(kitchen, given)
    if asked == "difference":
        return count * own.size / unit.size
    return (count * own.size + own.offset - unit.offset) / unit.size


@pytest.mark.parametrize("row", rows(), ids=lambda row: row["id"])
def test_worked_example(kitchen: Kitchen, row: dict[str, str]) -> None:
    expected, within = float(row["answer"]), float(row["within"])
    assert found(kitchen, row) == pytest.approx(expected, abs=within), row["source"]


def test_dozens_of_eggs(kitchen: Kitchen) -> None:
    """egg-08, egg-10: 7 Pa. Code 87.42: a dozen of large at 24 oz and a case of 30 dozen at 45 lb are
    56.699 g an egg; egg-09: jumbo at 30 oz is 70.874 g. egg-19: an average dozen of 680 g (Wiley, Foods
    and Their Adulteration) is 56.667 g an egg. Within 0.01."""
    eggs = kitchen.cupboard.eggs
    assert eggs["us-large", "shell"].low == pytest.approx(56.699, abs=0.01)
    assert eggs["us-jumbo", "shell"].low == pytest.approx(70.874, abs=0.01)
    large = eggs["us-large", "shell"]
    assert large.low is not None
    assert large.low - 0.05 <= 56.667 <= large.grams, "the least of the class, to a rounded dozen"


def test_middle_of_a_class_less_its_shell(kitchen: Kitchen) -> None:
    """egg-11: EU classes, middle of M 58 g, USDA refuse 12 percent: 51.04 g within 0.1. egg-12: 50 g
    of edible large egg at the same refuse had 56.818 g with its shell: inside the US class."""
    eggs = kitchen.cupboard.eggs
    assert eggs["eu-m", "whole"].grams == pytest.approx(51.04, abs=0.1)
    large = eggs["us-large", "shell"]
    assert large.low is not None
    assert large.high is not None
    assert large.low <= 56.818 <= large.high


def test_shell_of_an_old_hen(kitchen: Kitchen) -> None:
    """egg-17: Henley formulary: 92.58 of 738.35 grains are shell, 12.539 percent: a US egg of that
    weight, 47.84 g, is a small one, of which as much is edible."""
    share, grams_of_it = 92.58 / 738.35, 738.35 * 0.06479891
    assert share * 100 == pytest.approx(12.539, abs=0.02)
    edible = kitchen.cupboard.eggs["us-small", "whole"]
    assert edible.low is not None
    assert edible.high is not None
    assert edible.low <= grams_of_it * (1 - share) <= edible.high
