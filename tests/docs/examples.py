"""Cut a page of documentation into its fenced examples."""

from __future__ import annotations

import json
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path
from typing import Any

ROOT = Path(__file__).resolve().parents[2]


@dataclass(frozen=True)
class Example:
    """A fenced block: its ``language``, what stands after it (``about``), its ``text``, its line."""

    page: str
    line: int
    language: str
    about: str
    text: str


def examples(page: str) -> Iterator[Example]:
    """Give every fenced block of a page, in order."""
    block: list[str] | None = None
    language = about = ""
    started = 0
    for number, line in enumerate((ROOT / page).read_text("utf-8").splitlines(), start=1):
        if line.startswith("```") and block is None:
            language, _, about = line[3:].partition(" ")
            block, started = [], number
        elif line.startswith("```") and block is not None:
            yield Example(page, started, language, about, "\n".join(block))
            block = None
        elif block is not None:
            block.append(line)


def lacks(shown: Any, real: Any, place: str = "") -> Iterator[str]:
    """Say where an answer lacks what a trimmed answer shows.

    An object may show some of its members, a list some of its entries in their order; a text that
    ends in ``…`` is a beginning.
    """
    if isinstance(shown, dict) and isinstance(real, dict):
        for name, value in shown.items():
            if name not in real:
                yield f"{place}/{name}: there is no such member"
            else:
                yield from lacks(value, real[name], f"{place}/{name}")
    elif isinstance(shown, list) and isinstance(real, list):
        left = iter(real)
        for position, value in enumerate(shown):
            if not any(not list(lacks(value, each)) for each in left):
                yield f"{place}/{position}: {json.dumps(value, ensure_ascii=False)} is not in the list"
    elif isinstance(shown, str) and shown.endswith("…") and isinstance(real, str):
        if not real.startswith(shown[:-1]):
            yield f"{place}: {real!r} does not begin so"
    elif shown != real:
        yield f"{place}: {real!r}, not {shown!r}"
