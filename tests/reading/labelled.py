"""Hold what the reader makes of a line against a label that was written by reading the text alone.

A label is one row an item: quantity exact (a range with two dots), unit by any of its words, states
with semicolons, ``?`` before an ingredient that no table knows. Two codes are the same thing where the
tables' own names say so, or where a part says so (the white of an egg is egg-white).
"""

from __future__ import annotations

import csv
from collections.abc import Iterator
from fractions import Fraction
from pathlib import Path

from service.domain.formula import Line
from service.domain.reading import ReadLine
from service.kitchen import Kitchen

VECTORS = Path(__file__).parents[1] / "vectors"
Rows = list[dict[str, str]]


def read_labels(name: str) -> list[Rows]:
    """Give the labels of a table, all rows of a line together."""
    lines: dict[tuple[str, str], Rows] = {}
    with (VECTORS / name).open(encoding="utf-8", newline="") as file:
        for row in csv.DictReader(file):
            lines.setdefault((row.get("place", ""), row["text"]), []).append(row)
    return list(lines.values())


def differences(kitchen: Kitchen, rows: Rows, read: ReadLine) -> list[str]:
    """Say in what a reading differs from its label; nothing where it agrees."""
    if read.kind != rows[0]["kind"]:
        return [f"kind {read.kind}"]
    if read.kind != "ingredient":
        return []
    if len(read.items) != len(rows):
        return [f"{len(read.items)} items"]
    return [
        said
        for row, item in zip(rows, read.items, strict=True)
        for said in _differences(kitchen, row, item.line)
    ]


def _differences(kitchen: Kitchen, row: dict[str, str], line: Line) -> Iterator[str]:
    amount = None if line.quantity is None else (line.quantity.low, line.quantity.high)
    if amount != _amount(row["quantity"]):
        yield f"quantity {amount}"
    if _unit(kitchen, line.unit or "") != _unit(kitchen, row["unit"]):
        yield f"unit {line.unit}"
    if (line.level or "") != row["level"]:
        yield f"level {line.level}"
    if not _same_ingredient(kitchen, row, line):
        yield f"ingredient {line.ingredient}, part {line.part}"
    if set(line.state) != set(filter(None, row["state"].split(";"))):
        yield f"state {line.state}"
    measure = line.equivalent
    if ("" if measure is None else f"{measure.quantity.low} {measure.unit}") != row["equivalent"]:
        yield f"equivalent {measure}"
    others = ";".join(
        f"{one.quantity.low if one.quantity else '-'} {one.unit} {one.ingredient}"
        for one in line.alternatives
    )
    if others != row["alternatives"]:
        yield f"alternatives {others}"


def _amount(text: str) -> tuple[Fraction, Fraction] | None:
    if not text:
        return None
    low, _, high = text.partition("..")
    return Fraction(low), Fraction(high or low)


def _unit(kitchen: Kitchen, word: str) -> str:
    unit = kitchen.measures.find(word, "us") if word else None
    return unit.code if unit else word


def _same_ingredient(kitchen: Kitchen, row: dict[str, str], line: Line) -> bool:
    wanted = row["ingredient"]
    if wanted.startswith("?"):
        return line.ingredient == wanted[1:]
    if wanted not in kitchen.cupboard.ingredients:
        found = kitchen.cupboard.find_name(wanted.replace("-", " "), "us")
        wanted = found.code if found else wanted
    return _whole(kitchen, line.ingredient or "", line.part) == _whole(kitchen, wanted, row["part"])


def _whole(kitchen: Kitchen, code: str, part: str | None) -> str:
    row = kitchen.cupboard.parts.get((code, part or ""))
    return row.becomes if row else code
