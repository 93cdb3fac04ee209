"""Read the tables and refuse a bad row with its file and line."""

from __future__ import annotations

import csv
import hashlib
import math
from collections.abc import Callable, Iterator
from dataclasses import fields
from importlib.resources import files
from importlib.resources.abc import Traversable
from typing import Any, TypeVar, get_type_hints

from service.errors import TableFault
from service.tables.rows import TABLES

Row = TypeVar("Row")
EVIDENCE = frozenset("RGTMJ")


def _number(cell: str) -> float:
    value = float(cell)
    if not math.isfinite(value):
        raise ValueError("a number that is not finite")
    return value


def _boolean(cell: str) -> bool:
    if cell not in ("yes", "no"):
        raise ValueError("yes or no is expected")
    return cell == "yes"


def _filled(read: Callable[[str], Any]) -> Callable[[str], Any]:
    def reader(cell: str) -> Any:
        if cell == "":
            raise ValueError("must not be empty")
        return read(cell)

    return reader


_READERS: dict[Any, Callable[[str], Any]] = {
    str: str,
    int: _filled(int),
    float: _filled(_number),
    bool: _filled(_boolean),
    float | None: lambda cell: _number(cell) if cell else None,
    tuple[str, ...]: lambda cell: tuple(p.strip() for p in cell.split(";") if p.strip()) if cell else (),
}


def _check(row: Any) -> None:
    """Refuse what no row may be: without source, with a band upside down."""
    if not row.source:
        raise ValueError("source: must not be empty")
    if row.evidence.split("/")[0] not in EVIDENCE:
        raise ValueError(f"evidence: {row.evidence!r} is none of R, G, T, M, J")
    low, high = getattr(row, "low", None), getattr(row, "high", None)
    value = next((getattr(row, n) for n in ("grams", "value", "factor", "meq") if hasattr(row, n)), None)
    if low is not None and high is not None and low > high:
        raise ValueError(f"low {low} lies above high {high}")
    if value is not None and low is not None and low > value:
        raise ValueError(f"low {low} lies above the value {value}")
    if value is not None and high is not None and high < value:
        raise ValueError(f"high {high} lies below the value {value}")


def _cells(names: list[str], readers: list[Callable[[str], Any]], cells: list[str]) -> list[Any]:
    """Read a row's cells; a fault names its column."""
    try:
        return [read(cell.strip()) for read, cell in zip(readers, cells, strict=True)]
    except ValueError:
        return _cells_one_by_one(names, readers, cells)


def _cells_one_by_one(
    names: list[str], readers: list[Callable[[str], Any]], cells: list[str]
) -> list[Any]:
    values = []
    for name, read, cell in zip(names, readers, cells, strict=True):
        try:
            values.append(read(cell.strip()))
        except ValueError as error:
            raise ValueError(f"column {name}: {error}") from error
    return values


def read_rows(name: str, text: str, row_type: type[Row]) -> Iterator[Row]:
    """Give the rows of one file. Lines that begin with ``#`` are remarks.

    Raises: TableFault, naming file, line and column.
    """
    names = [field.name for field in fields(row_type)]  # type: ignore[arg-type]
    hints = get_type_hints(row_type)
    readers = [_READERS[hints[n]] for n in names]
    lines = csv.reader(text.splitlines())
    header: list[str] | None = None
    for cells in lines:
        if not cells or cells[0].startswith("#"):
            continue
        if header is None:
            header = cells
            if header != names:
                raise TableFault(f"{name}, line {lines.line_num}: columns are {header}, not {names}")
            continue
        if len(cells) != len(names):
            raise TableFault(f"{name}, line {lines.line_num}: {len(cells)} cells, not {len(names)}")
        try:
            row = row_type(*_cells(names, readers, cells))
            _check(row)
        except ValueError as error:
            raise TableFault(f"{name}, line {lines.line_num}: {error}") from error
        yield row


def table_files(table: str) -> list[Traversable]:
    """Give the files of a table: ``table.csv``, or every CSV file of the folder ``table``."""
    root = files("service.tables")
    single = root / f"{table}.csv"
    if single.is_file():
        return [single]
    folder = root / table
    if not folder.is_dir():
        return []
    return sorted((f for f in folder.iterdir() if f.name.endswith(".csv")), key=lambda f: f.name)


def load_table(table: str) -> tuple[Any, ...]:
    """Give all rows of a table by name. Raises: TableFault."""
    rows: list[Any] = []
    for file in table_files(table):
        rows.extend(read_rows(f"{table}/{file.name}", file.read_text("utf-8"), TABLES[table]))
    return tuple(rows)


def load_tables() -> dict[str, tuple[Any, ...]]:
    """Give every table by name. Raises: TableFault."""
    return {table: load_table(table) for table in TABLES}


def tables_digest() -> str:
    """Give the SHA-256 of all table files, names and bytes."""
    digest = hashlib.sha256()
    for table in sorted(TABLES):
        for file in table_files(table):
            digest.update(f"{table}/{file.name}\0".encode())
            digest.update(file.read_bytes())
    return digest.hexdigest()
