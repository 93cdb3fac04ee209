"""Lines whose amount stands where it is easily lost: each has the amounts that it writes, and no more.

A row of the table says what a line reads as: ``amount unit name``, several things tied by ``&``, a range
with two dots, ``?`` before a name that no table is asked to know.
"""

from __future__ import annotations

import csv
from fractions import Fraction
from pathlib import Path

import pytest

from service.domain.formula import Line
from service.kitchen import Kitchen

Read = tuple[tuple[Fraction, Fraction] | None, str, str]
TABLE = Path(__file__).parents[1] / "vectors" / "amount_lines.csv"
with TABLE.open(encoding="utf-8", newline="") as _file:
    ROWS = list(csv.DictReader(_file))


def _unit(kitchen: Kitchen, word: str) -> str:
    unit = kitchen.measures.find(word, "us") if word else None
    return unit.code if unit else word


def _whole(kitchen: Kitchen, code: str, part: str | None) -> str:
    row = kitchen.cupboard.parts.get((code, part or ""))
    return row.becomes if row else code


def _wanted(kitchen: Kitchen, said: str) -> Read:
    amount, unit, name = said.split(" ", 2)
    low, _, high = amount.partition("..")
    found = None if name.startswith("?") else kitchen.cupboard.find_name(name, "us")
    code = name.removeprefix("?") if found is None else _whole(kitchen, found.code, found.part)
    return (Fraction(low), Fraction(high or low)), _unit(kitchen, unit), code


def _read(kitchen: Kitchen, line: Line) -> Read:
    quantity = line.quantity
    amount = None if quantity is None else (quantity.low, quantity.high)
    return amount, _unit(kitchen, line.unit or ""), _whole(kitchen, line.ingredient or "", line.part)


@pytest.mark.parametrize("row", ROWS, ids=[row["text"] for row in ROWS])
def test_no_amount_is_lost_or_made(kitchen: Kitchen, row: dict[str, str]) -> None:
    items = kitchen.reader.read_line(row["text"]).items
    wanted = [_wanted(kitchen, said) for said in row["reads"].split(" & ")]
    assert [_read(kitchen, item.line) for item in items] == wanted, row["source"]


def test_every_manner_is_there() -> None:
    assert all(row["source"] for row in ROWS)
    assert len({row["manner"] for row in ROWS}) >= 15
