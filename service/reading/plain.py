"""Read the plain line: a number, a unit, perhaps a state, a name, and nothing else.

Most lines of most cards are so, and this reads them at a third of the cost. It gives exactly what the
scanner of ``line`` gives, or ``None`` where there is any doubt (a test holds the two together).
"""

from __future__ import annotations

from functools import lru_cache

from service.domain.formula import Line
from service.domain.quantity import LARGEST, VULGAR, Quantity
from service.domain.reading import Assumed, ReadItem, ReadLine, Span
from service.reading.amounts import NUMBER_WORDS, SEVERAL, SHARE_WORDS
from service.reading.draft import ambiguous
from service.reading.grammar import NOT_AMOUNTS, SMALL
from service.reading.lexicon import Found, Lexicon
from service.reading.naming import IN_SHELL
from service.reading.scan import DIGITS, FRACTION, LETTERS, Scanned, Word
from service.reading.shelf import Shelf
from service.tables.rows import NameRow, StateRow
from service.units.measures import Unit

MOST_WORDS = 8
MOST_DIGITS = 4
#: Words that mean something special after a number.
_SPECIAL = (
    SMALL
    | NOT_AMOUNTS
    | frozenset(NUMBER_WORDS)
    | frozenset(SHARE_WORDS)
    | frozenset(SEVERAL)
    | {"x", "to", "bis"}
)


@lru_cache(maxsize=4096)
def _quantity(digits: str, fraction: str) -> Quantity | None:
    value = int(digits or 0) + VULGAR.get(fraction, 0)
    return Quantity.of(value) if 0 < value <= LARGEST else None


def read_plain(text: str, scanned: Scanned, lexicon: Lexicon, shelf: Shelf) -> ReadLine | None:
    """Read a plain line; ``None`` where it is none."""
    words, after = scanned
    count = len(words)
    if after or not 2 <= count <= MOST_WORDS or words[0].kind not in (DIGITS, FRACTION):
        return None
    for word in words:
        if word.gap:
            return None
    amount = _amount(words)
    if amount is None:
        return None
    quantity, start = amount
    if start >= count or words[start].kind != LETTERS or words[start].key in _SPECIAL:
        return None
    found = lexicon.at(words, start, count)
    if found.unit is None:
        return _counted(text, words, start, quantity, found)
    unit, after_unit = found.unit, start + found.unit_length
    if (
        found.name_length > found.unit_length
        or found.state_length
        or unit.kind not in ("mass", "volume")
    ):
        return None
    return _measured(text, words, (start, after_unit), quantity, unit, lexicon, shelf)


def _amount(words: list[Word]) -> tuple[Quantity, int] | None:
    """Read "2", "½" or "2½" and give the word after it."""
    first, second = words[0], words[1]
    if first.kind == FRACTION:
        quantity, start = _quantity("", first.text), 1
    elif len(first.text) > MOST_DIGITS:
        return None
    elif second.kind == FRACTION:
        quantity, start = _quantity(first.text, second.text), 2
    else:
        quantity, start = _quantity(first.text, ""), 1
    return None if quantity is None else (quantity, start)


def _counted(
    text: str, words: list[Word], start: int, quantity: Quantity, found: Found
) -> ReadLine | None:
    """Read what is counted by a name of one word: "2 eggs"."""
    row = found.name
    if row is None or start + 1 != len(words) or found.part_length or found.state_length:
        return None
    spans = (_span("quantity", words, 0, start), _span("ingredient", words, start, start + 1))
    return _line(text, quantity, "each", row, words[start].text, (), None, spans)


def _measured(
    text: str,
    words: list[Word],
    unit_at: tuple[int, int],
    quantity: Quantity,
    unit: Unit,
    lexicon: Lexicon,
    shelf: Shelf,
) -> ReadLine | None:
    """Read what follows the unit: a name, or one state and a name, and nothing else."""
    at, count = unit_at[1], len(words)
    if at >= count or words[at].key in _SPECIAL or words[at].kind != LETTERS:
        return None
    state: StateRow | None = None
    name_at = at
    found = lexicon.at(words, at, count)
    if found.name_length != count - at:
        state, name_at = found.state, at + found.state_length
        if state is None or found.name or found.part or found.unit or state.kind == "manner":
            return None
        if state.state == IN_SHELL:
            return None
        if name_at >= count or words[name_at].key in _SPECIAL or words[name_at].kind != LETTERS:
            return None
        found = lexicon.at(words, name_at, count)
    row = found.name
    length = count - name_at
    if (
        row is None
        or found.name_length != length
        or max(found.part_length, found.state_length) >= length
    ):
        return None
    spans = [_span("quantity", words, 0, unit_at[0]), _span("unit", words, *unit_at)]
    note = None
    states: tuple[str, ...] = ()
    if state is not None:
        spans.append(_span("state" if state.state else "note", words, at, name_at))
        if shelf.counts(state, row.code, row.part or None, counted=False):
            states = tuple(state.state.split("+"))
        else:
            note = text[words[at].start : words[name_at - 1].end]
    spans.append(_span("ingredient", words, name_at, count))
    written = text[words[name_at].start : words[-1].end]
    name = shelf.name_of_unit(unit)
    return _line(text, quantity, name, row, written, states, note, tuple(spans))


def _span(part: str, words: list[Word], start: int, stop: int) -> Span:
    return Span(part, words[start].start, words[stop - 1].end)


def _line(
    text: str,
    quantity: Quantity,
    unit: str,
    row: NameRow,
    written: str,
    states: tuple[str, ...],
    note: str | None,
    spans: tuple[Span, ...],
) -> ReadLine:
    if row.state:
        states = tuple(sorted({*states, *row.state.split("+")}))
    assumed: tuple[Assumed, ...] = (ambiguous(row, written),) if row.instead else ()
    line = Line(text, row.code, quantity, unit, None, states, row.part or None, None, None, (), note)
    return ReadLine(text, "ingredient", (ReadItem(line, assumed),), spans, (), False, True)
