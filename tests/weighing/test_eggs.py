"""Eggs by grade and part against the law's classes and the USDA's portions."""

from __future__ import annotations

import csv
from pathlib import Path

import pytest

from service.domain.formula import Component, Formula, Line
from service.domain.weighed import Weighed
from service.kitchen import Kitchen
from service.weighing.customs import USUAL_GRADE

VECTORS = Path(__file__).parent.parent / "vectors"
OUNCE = 28.349523125


def rows() -> list[dict[str, str]]:
    lines = (VECTORS / "eggs.csv").read_text("utf-8").splitlines()
    return list(csv.DictReader(line for line in lines if not line.startswith("#")))


def weigh(kitchen: Kitchen, text: str, grade: str | None, measures: str | None = None) -> Weighed:
    components = (Component(ingredients=(Line(text=text),)),)
    return kitchen.scales.weigh(Formula("Eggs", components, measures=measures, egg_grade=grade))


@pytest.mark.parametrize("row", rows(), ids=lambda r: f"{r['text']} {r['egg_grade']}")
def test_counted_eggs_weigh_by_grade(kitchen: Kitchen, row: dict[str, str]) -> None:
    (line,) = weigh(kitchen, row["text"], row["egg_grade"]).lines
    assert line.grams is not None
    assert line.grams.value == pytest.approx(float(row["grams"]), abs=float(row["within"])), row[
        "source"
    ]
    assert line.basis is not None
    assert line.basis.kind == "egg-grade"


@pytest.mark.parametrize(
    ("grade", "ounces"),
    [("us-small", 18), ("us-medium", 21), ("us-large", 24), ("us-extra-large", 27), ("us-jumbo", 30)],
)
def test_us_classes_start_at_the_laws_dozen(kitchen: Kitchen, grade: str, ounces: int) -> None:
    """Source: 7 Pa. Code 87.42, which repeats USDA AMS 56, section 56.218: ounces a dozen."""
    assert kitchen.cupboard.eggs[grade, "shell"].low == pytest.approx(ounces * OUNCE / 12, abs=0.01)


@pytest.mark.parametrize(
    ("grade", "low", "high"),
    [("eu-m", 53, 63), ("eu-l", 63, 73), ("ca-large", 56, 63), ("ca-extra-large", 63, 70),
     ("jp-m", 58, 64), ("gb-size-3", 60, 65)],
)  # fmt: skip
def test_classes_have_the_laws_bounds(kitchen: Kitchen, grade: str, low: float, high: float) -> None:
    """Sources: Delegated Regulation (EU) 2023/2465; BCcampus textbook table 12 (Canada A); Japanese
    egg trade standard; Regulation (EEC) 2772/75."""
    row = kitchen.cupboard.eggs[grade, "shell"]
    assert (row.low, row.high) == (low, high)


def test_white_and_yolk_make_the_egg(kitchen: Kitchen) -> None:
    """Source: an egg without shell is its white and its yolk; the USDA's portions add up so."""
    eggs = kitchen.cupboard.eggs
    for (grade, part), row in eggs.items():
        if part == "whole" and (grade, "white") in eggs:
            parts = eggs[grade, "white"].grams + eggs[grade, "yolk"].grams
            assert parts == pytest.approx(row.grams, rel=0.01), grade


def test_edible_part_is_less_than_the_egg_in_its_shell(kitchen: Kitchen) -> None:
    """Source: shell 9 to 14 percent (USDA SR 26 refuse, New International Encyclopaedia, Egg)."""
    eggs = kitchen.cupboard.eggs
    for (grade, part), row in eggs.items():
        if part == "shell":
            assert 0.80 < eggs[grade, "whole"].grams / row.grams < 0.92, grade


def test_eight_extra_large_whites_fill_a_cup_and_more(kitchen: Kitchen) -> None:
    """Common practice: eight whites of extra-large eggs fill 1 1/4 to 1 1/3 US cups."""
    (eight,) = weigh(kitchen, "Whites of 8 eggs", "us-extra-large").lines
    (least,) = weigh(kitchen, "1 1/4 cups egg whites", None, "us").lines
    (most,) = weigh(kitchen, "1 1/3 cups egg whites", None, "us").lines
    assert eight.grams is not None
    assert least.grams is not None
    assert most.grams is not None
    assert eight.grams.low <= most.grams.value
    assert eight.grams.high >= least.grams.value


@pytest.mark.parametrize("measures", [None, *USUAL_GRADE])
def test_a_grade_not_said_is_an_assumption_with_its_worth(
    kitchen: Kitchen, measures: str | None
) -> None:
    weighed = weigh(kitchen, "3 eggs", None, measures)
    (line,) = weighed.lines
    grade, rival, *_ = USUAL_GRADE[measures or "us"]
    (said,) = [a for a in weighed.assumptions if a.code == "egg-grade-not-said"]
    assert (said.line, said.value) == ("/components/0/ingredients/0", grade)
    eggs = kitchen.cupboard.eggs
    worth = 3 * (eggs[rival, "whole"].grams - eggs[grade, "whole"].grams)
    assert said.grams == pytest.approx(worth)
    assert line.grams is not None
    assert line.grams.low <= 3 * eggs[rival, "whole"].grams <= line.grams.high


def test_a_grade_that_is_said_is_no_assumption(kitchen: Kitchen) -> None:
    assert weigh(kitchen, "3 eggs", "us-large", "us").assumptions == ()


def test_a_size_without_a_law_says_so(kitchen: Kitchen) -> None:
    weighed = weigh(kitchen, "2 large eggs", None)
    (said,) = [a for a in weighed.assumptions if a.code == "egg-law-not-said"]
    assert said.value == "us-large"
    assert said.grams == pytest.approx(2 * (59.84 - 50), abs=0.1), "EU L against US large"


def test_surplus_is_known_by_white_and_yolk(kitchen: Kitchen) -> None:
    """Three whites and one yolk: the totals tell what three eggs would leave over."""
    weighed = weigh(kitchen, "3 whites and 1 yolk", "us-large")
    assert [line.code for line in weighed.lines] == ["egg-white", "egg-yolk"]
    white, yolk = weighed.totals["egg_white"], weighed.totals["egg_yolk"]
    assert white is not None
    assert yolk is not None
    assert (white.value, yolk.value) == (99.0, 17.0), "USDA SR 26, NDB 01124 and 01125"


def test_a_grade_that_no_law_knows_is_taken_as_the_usual_one(kitchen: Kitchen) -> None:
    weighed = weigh(kitchen, "3 eggs", "no-such-grade", "us")
    assert weighed.lines[0].grams is not None
    assert weighed.lines[0].grams.value == 150, "USDA SR 26, NDB 01123: large 50 g"
    assert [a.code for a in weighed.assumptions] == ["egg-grade-not-said"]


def test_a_size_that_the_formulas_law_lacks_falls_back_on_its_grade(kitchen: Kitchen) -> None:
    """Source: the Australian guide has no small egg; its extra large is 55.0 g without shell."""
    weighed = weigh(kitchen, "1 small egg", "au-extra-large", "au")
    assert weighed.lines[0].grams is not None
    assert weighed.lines[0].grams.value == pytest.approx(55.0, abs=0.1)
