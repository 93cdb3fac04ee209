"""The rooms: which may look at which. Parsed, not run, so that a forbidden import cannot hide."""

from __future__ import annotations

import ast
import sys
from pathlib import Path

import pytest

ROOT = Path(__file__).parents[2]

CORE = ("errors", "domain", "tables", "units", "reading", "weighing", "rules", "changes")
KITCHEN = (*CORE, "kitchen")
VIEWS = (*KITCHEN, "views")
EDGE = (*VIEWS, "render", "schemas")

#: For each room the rooms that it may look at, and the libraries that are its own.
ROOMS: dict[str, tuple[tuple[str, ...], frozenset[str]]] = {
    "errors": ((), frozenset()),
    "domain": (("errors",), frozenset()),
    "tables": (("errors", "domain"), frozenset()),
    "units": (("errors", "domain", "tables"), frozenset({"pint"})),
    "reading": (("errors", "domain", "tables", "units"), frozenset()),
    "weighing": (("errors", "domain", "tables", "units"), frozenset()),
    "rules": (("errors", "domain", "tables", "weighing"), frozenset()),
    "changes": (("errors", "domain", "tables", "units", "weighing"), frozenset()),
    "kitchen": (("domain", "tables", "units", "reading", "weighing"), frozenset()),
    "views": (KITCHEN, frozenset()),
    "render": (("errors", "domain", "views"), frozenset()),
    "schemas": (
        ("errors", "domain"),
        frozenset({"marshmallow", "apispec", "orjson", "rfc8785"}),
    ),
    "store": (("errors", "domain"), frozenset({"sqlite_utils"})),
    "archive": (EDGE, frozenset({"orjson", "rich"})),
    "http": ((*EDGE, "store", "archive"), frozenset({"flask", "flask_cors", "werkzeug", "orjson"})),
    "cli": ((*EDGE, "store", "archive", "http"), frozenset({"rich"})),
}
#: What of the standard library a room may not touch, whatever else it may look at.
_OUTSIDE = {
    "csv",
    "sqlite3",
    "socket",
    "http",
    "urllib",
    "os",
    "pathlib",
    "time",
    "subprocess",
    "random",
}
CLOSED: dict[str, set[str]] = {
    "domain": _OUTSIDE | {"datetime", "io", "logging"},
    "reading": _OUTSIDE,
    "weighing": _OUTSIDE,
    "rules": _OUTSIDE,
    "changes": _OUTSIDE,
    "schemas": _OUTSIDE,
    "views": _OUTSIDE - {"csv"},
    "tables": {"sqlite3", "socket", "http", "urllib", "os", "time", "subprocess", "random"},
    "http": {"csv", "sqlite3", "socket", "subprocess"},
}


def files_of(room: str) -> list[Path]:
    if room == "schemas":
        return sorted((ROOT / "schemas").rglob("*.py"))
    single = ROOT / "service" / f"{room}.py"
    return [single] if single.exists() else sorted((ROOT / "service" / room).rglob("*.py"))


def imports_of(source: str) -> set[str]:
    """Give the dotted names of everything that a module imports, wherever the import stands."""
    names = set()
    for node in ast.walk(ast.parse(source)):
        if isinstance(node, ast.Import):
            names |= {alias.name for alias in node.names}
        elif isinstance(node, ast.ImportFrom):
            assert node.level == 0, "imports name their module in full"
            base = node.module or ""
            names |= {f"{base}.{a.name}" for a in node.names} if base == "service" else {base}
    return names


def trespasses(room: str, source: str) -> set[str]:
    """Give the imports of a module that its room does not allow."""
    rooms, libraries = ROOMS[room]
    wrong = set()
    for name in imports_of(source):
        first, _, rest = name.partition(".")
        if first == "service":
            other = rest.partition(".")[0]
            allowed = other in (room, *rooms) or other in ("", "__version__")
        elif first == "schemas":
            allowed = "schemas" in (room, *rooms)
        elif first == "_typeshed":
            allowed = True  # names for type checkers; there is no such module when the program runs
        elif first in sys.stdlib_module_names:
            allowed = first not in CLOSED.get(room, set())
        else:
            allowed = first in libraries
        if not allowed:
            wrong.add(name)
    return wrong


@pytest.mark.parametrize("room", ROOMS)
def test_rooms_look_downward_only(room: str) -> None:
    found = {str(f.relative_to(ROOT)): trespasses(room, f.read_text("utf-8")) for f in files_of(room)}
    assert found, "the room is there"
    assert {path: wrong for path, wrong in found.items() if wrong} == {}


def test_every_room_has_its_rules() -> None:
    there = {
        path.stem for path in (ROOT / "service").iterdir() if path.suffix == ".py" or path.is_dir()
    } - {"__init__", "__pycache__"}
    assert there | {"schemas"} == set(ROOMS)


@pytest.mark.parametrize(
    ("room", "source"),
    [
        ("domain", "import flask"),
        ("domain", "from service.tables import rows"),
        ("domain", "def f():\n    import csv"),
        ("rules", "from pint import UnitRegistry"),
        ("views", "from service.store.shelf import Shelf"),
        ("views", "import marshmallow.fields"),
        ("store", "from service.views import weights"),
        ("schemas", "from service.tables.cupboard import Cupboard"),
        ("http", "import sqlite_utils"),
        ("http", "import pint"),
        ("errors", "from service import domain"),
    ],
)
def test_the_test_sees_a_trespass(room: str, source: str) -> None:
    assert trespasses(room, source)


def test_no_stars() -> None:
    for room in ROOMS:
        for file in files_of(room):
            for node in ast.walk(ast.parse(file.read_text("utf-8"))):
                if isinstance(node, ast.ImportFrom):
                    assert all(alias.name != "*" for alias in node.names), file
