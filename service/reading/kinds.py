"""Tell what kind of line this is: an ingredient, a heading that names a component, or a remark."""

from __future__ import annotations

from service.reading.grammar import INSTRUCTIONS
from service.reading.line import LineScanner
from service.reading.scan import LETTERS

MOST_HEADING_WORDS = 8


def kind_of(scanner: LineScanner) -> str:
    """Give ``ingredient``, ``heading`` or ``remark``. A line without a word is a remark."""
    words, after = scanner.words, scanner.after
    if not words:
        return "remark"
    if scanner.numbers.starts(0):
        return "ingredient"
    if words[0].gap == "_" and after == "_":
        return "remark"
    if after.endswith(":") and len(words) <= MOST_HEADING_WORDS:
        return "heading"
    first = words[0].key
    if first == "for" and len(words) > 1 and words[1].key in ("the", "a"):
        return "heading" if len(words) <= MOST_HEADING_WORDS else "remark"
    if first in INSTRUCTIONS and len(words) > 1 and words[0].kind == LETTERS:
        found = scanner.at(0)
        if not found.name_length and not found.unit_length:
            return "remark"
    return "ingredient"
