"""Tell what kind of line this is: an ingredient, a heading that names a component, or a remark."""

from __future__ import annotations

from service.reading.grammar import INSTRUCTIONS
from service.reading.line import LineScanner
from service.reading.scan import LETTERS

MOST_HEADING_WORDS = 8
MOST_TITLE_WORDS = 3
#: Words after the first of a sentence: "Cream the butter."
SENTENCE_WORDS = frozenset(
    ("the", "a", "an", "in", "with", "until", "together", "well", "all", "and", "into")
)


def kind_of(scanner: LineScanner) -> str:
    """Give ``ingredient``, ``heading`` or ``remark``. A line without a word is a remark."""
    words, after = scanner.words, scanner.after
    if not words:
        return "remark"
    if _is_amount_first(scanner) or _amount_follows_heading(scanner):
        return "ingredient"
    if words[0].gap == "_" and after == "_":
        return "remark"
    if after.endswith(":") and len(words) <= MOST_HEADING_WORDS:
        return "heading"
    if _is_title(scanner):
        return "heading"
    first = words[0].key
    if first == "for" and len(words) > 1 and words[1].key in ("the", "a"):
        return "heading" if len(words) <= MOST_HEADING_WORDS else "remark"
    if first in INSTRUCTIONS and len(words) > 1 and words[0].kind == LETTERS:
        found = scanner.at(0)
        if not found.name_length and not found.unit_length:
            return "remark"
        if after.endswith(".") and words[1].key in SENTENCE_WORDS:
            return "remark"
    return "ingredient"


def _is_amount_first(scanner: LineScanner) -> bool:
    """Tell whether a line begins with an amount: "2 cups …", "from 4 to 5 cups …"."""
    at = 1 if scanner.words[0].key == "from" and scanner.count > 1 else 0
    return scanner.numbers.starts(at)


def _amount_follows_heading(scanner: LineScanner) -> bool:
    """Tell whether a heading and its first ingredient stand in one line: "Icing: 100 g butter"."""
    words = scanner.words[: MOST_HEADING_WORDS + 1]
    return any(":" in word.gap and at and scanner.numbers.starts(at) for at, word in enumerate(words))


def _is_title(scanner: LineScanner) -> bool:
    """Tell whether a line without an amount is a title: "FROSTING", "Filling", "Dry ingredients"."""
    words = scanner.words
    if len(words) > MOST_TITLE_WORDS or scanner.after or any(word.kind != LETTERS for word in words):
        return False
    if words[-1].key == "ingredient":
        return True
    role = any(row.kind == "role" for row in scanner.shelf.cupboard.card_words.get(words[-1].key, ()))
    shouted = all(word.text.isupper() for word in words) and len(words[0].text) > 3
    named = scanner.at(0).name is not None
    return role and (shouted or (len(words) == 1 and not named))
