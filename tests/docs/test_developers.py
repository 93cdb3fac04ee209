"""DEVELOPERS.md is true: its paths exist, and its worked example works without a line of code."""

from __future__ import annotations

import csv
import re
from collections import defaultdict
from typing import Any

import pytest

from service.domain.formula import Component, Formula, Line
from service.kitchen import Kitchen
from service.tables.cupboard import Cupboard, open_cupboard
from service.tables.loader import read_rows
from service.tables.rows import TABLES
from tests.docs.examples import ROOT, Example, examples

PAGE = "DEVELOPERS.md"
TEXT = (ROOT / PAGE).read_text("utf-8")
ROWS = [block for block in examples(PAGE) if block.about.startswith("service/tables/")]
VECTORS = next(block for block in examples(PAGE) if block.about == "tests/vectors")


@pytest.mark.parametrize(
    "path", sorted(set(re.findall(r"`((?:service|schemas|tests|deploy|openapi)/[\w./]+)`", TEXT)))
)
def test_a_path_that_is_named_exists(path: str) -> None:
    assert (ROOT / path).exists()


def _with_the_example() -> Cupboard:
    """Put the page's rows before the tables' own."""
    extra: dict[str, list[Any]] = defaultdict(list)
    for block in ROWS:
        table = block.about.split("/")[2]
        extra[table].extend(read_rows(block.about, block.text, TABLES[table]))
    return open_cupboard().with_rows({name: tuple(rows) for name, rows in extra.items()}, "example")


def test_the_example_is_of_an_ingredient_that_no_table_knows() -> None:
    codes = {row["code"] for row in csv.DictReader(ROWS[0].text.splitlines())}
    assert codes
    assert not codes & open_cupboard().ingredients.keys()


def test_the_rows_stand_in_files_that_exist() -> None:
    assert len(ROWS) == 5
    assert all((ROOT / block.about).is_file() for block in ROWS)


@pytest.mark.parametrize(
    "row", list(csv.DictReader(VECTORS.text.splitlines())), ids=lambda row: row["text"]
)
def test_the_example_weighs_as_its_source_says(row: dict[str, str]) -> None:
    kitchen = Kitchen(_with_the_example())
    line = Line(text=row["text"])
    formula = Formula("Trial", (Component(ingredients=(line,)),), measures="us")
    [weighed] = kitchen.scales.weigh(formula).lines
    assert weighed.grams is not None
    assert weighed.grams.value == pytest.approx(float(row["grams"]), rel=float(row["within"])), row[
        "source"
    ]


@pytest.mark.parametrize(
    "shown",
    [block for block in examples(PAGE) if block.language == "python"],
    ids=lambda block: block.about,
)
def test_code_that_is_shown_stands_where_it_says(shown: Example) -> None:
    assert shown.text in (ROOT / shown.about).read_text("utf-8")
