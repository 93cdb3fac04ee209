"""Examples in docstrings are run: what a reader is shown is what happens."""

from __future__ import annotations

import doctest
import importlib
from pathlib import Path

import pytest

ROOT = Path(__file__).parents[2]
#: Modules whose docstrings show a prompt, told by their text.
SHOWN = tuple(
    ".".join(file.relative_to(ROOT).with_suffix("").parts)
    for room in ("service", "schemas")
    for file in sorted((ROOT / room).rglob("*.py"))
    if ">>> " in file.read_text("utf-8")
)


@pytest.mark.parametrize("module", SHOWN)
def test_examples_hold(module: str) -> None:
    done = doctest.testmod(importlib.import_module(module))
    assert done.attempted > 0
    assert done.failed == 0


def test_some_modules_show_examples() -> None:
    assert "service.domain.words" in SHOWN
