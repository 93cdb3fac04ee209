"""No worked example is lost: each is held by a test, or it stands there why none holds it.

``vectors/worked_index.csv`` lists every example that was collected. What a test holds carries the
example's id, in a table of examples or in the test's own words, or has the words beside ``said``.
"""

from __future__ import annotations

import csv
import re
from functools import cache
from pathlib import Path

import pytest

TESTS = Path(__file__).parents[1]
VECTORS = TESTS / "vectors"
#: 631 of formulas' balance, 213 of measures, chemistry, heights and pans.
COLLECTED = 631 + 213


@cache
def table(path: Path) -> list[dict[str, str]]:
    lines = (line for line in path.read_text("utf-8").splitlines() if not line.startswith("#"))
    return list(csv.DictReader(lines))


INDEX = table(VECTORS / "worked_index.csv")
HELD = [row for row in INDEX if row["held_in"]]
LEFT = [row for row in INDEX if not row["held_in"]]


@cache
def ids_of(path: Path) -> frozenset[str]:
    """The examples of a table; one may stand in several rows, told apart after a stroke."""
    return frozenset(row["id"].partition("/")[0] for row in table(path) if "id" in row)


def test_every_example_is_listed_once():
    assert len(INDEX) == len({row["id"] for row in INDEX}) == COLLECTED
    assert all(row["publication"] and row["answer"] for row in INDEX)


@pytest.mark.parametrize("held_in", sorted({row["held_in"] for row in HELD}))
def test_example_stands_where_it_is_said_to(held_in):
    path = TESTS / held_in
    text = path.read_text("utf-8")
    for row in HELD:
        if row["held_in"] != held_in:
            continue
        if row["said"]:
            assert re.search(rf"(?<![\w.]){re.escape(row['said'])}(?!\d)", text), row["id"]
        else:
            assert row["id"] in ids_of(path), row["id"]


def test_example_that_no_test_holds_says_why():
    in_tables = {each for path in VECTORS.glob("worked_*.csv") if path.name != "worked_index.csv"
                 for each in ids_of(path)}  # fmt: skip
    for row in LEFT:
        assert row["why"], row["id"]
        assert row["id"] not in in_tables
    assert in_tables <= {row["id"] for row in INDEX}


def test_nearly_all_are_held():
    assert len(LEFT) < 0.01 * len(INDEX)
