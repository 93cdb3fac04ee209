"""Read the plain line: an amount, a unit, perhaps a state, a name, and states after a comma.

Most lines of most cards are so, and this reads them at a third of the cost. It gives exactly what the
scanner of ``line`` gives, or ``None`` where there is any doubt (tests hold the two together).
"""

from __future__ import annotations

from functools import lru_cache

from service.domain.formula import Line
from service.domain.quantity import LARGEST, VULGAR, Quantity
from service.domain.reading import ReadItem, ReadLine, Span
from service.reading.amounts import NUMBER_WORDS, SEVERAL, SHARE_WORDS
from service.reading.draft import Draft, PartUse, StateUse, ambiguous, settle
from service.reading.grammar import LEVEL_WORDS, NOT_AMOUNTS, SMALL
from service.reading.lexicon import Found, Lexicon, shortest_turned
from service.reading.naming import IN_SHELL
from service.reading.scan import DIGITS, FRACTION, LETTERS, Scanned, Word
from service.reading.shelf import Shelf
from service.tables.rows import NameRow, StateRow
from service.units.measures import Unit

MOST_WORDS = 10
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
_ENDS = frozenset(("", ")", "."))


@lru_cache(maxsize=4096)
def _quantity(digits: str, fraction: str) -> Quantity | None:
    value = int(digits or 0) + VULGAR.get(fraction, 0)
    return Quantity.of(value) if 0 < value <= LARGEST else None


class _Plain:
    """A plain line while it is read: its words, the place reached, and what was found so far."""

    __slots__ = ("at", "count", "lexicon", "shelf", "spans", "text", "words")

    def __init__(self, text: str, words: list[Word], lexicon: Lexicon, shelf: Shelf) -> None:
        self.text = text
        self.words = words
        self.count = len(words)
        self.lexicon = lexicon
        self.shelf = shelf
        self.spans: list[Span] = []
        self.at = 0

    def span(self, part: str, start: int, stop: int) -> None:
        """Note a span and go on after it."""
        self.spans.append(Span(part, self.words[start].start, self.words[stop - 1].end))
        self.at = stop

    def amount(self) -> Quantity | None:
        """Take "2", "½" or "2½"."""
        words, at = self.words, self.at
        first = words[at]
        if first.kind == FRACTION:
            quantity, stop = _quantity("", first.text), at + 1
        elif first.kind != DIGITS or len(first.text) > MOST_DIGITS:
            return None
        elif at + 1 < self.count and words[at + 1].kind == FRACTION:
            quantity, stop = _quantity(first.text, words[at + 1].text), at + 2
        else:
            quantity, stop = _quantity(first.text, ""), at + 1
        if quantity is not None:
            self.span("quantity", at, stop)
        return quantity

    def is_word(self) -> bool:
        """Tell whether a word that is no small one stands here."""
        if self.at >= self.count:
            return False
        word = self.words[self.at]
        return word.kind == LETTERS and word.key not in _SPECIAL

    def unit(self) -> Unit | None:
        """Take a unit of mass or volume; ``None`` leaves the place as it is."""
        found = self.here()
        unit = found.unit
        if unit is None or unit.kind not in ("mass", "volume"):
            return None
        if found.name_length > found.unit_length or found.state_length:
            return None
        self.span("unit", self.at, self.at + found.unit_length)
        return unit

    def state_before(self, found: Found) -> StateUse | None:
        """Take a state that is nothing else; ``None`` leaves the place as it is."""
        row = found.state
        if row is None or found.name or found.part or found.unit or not _is_plain(row):
            return None
        return self._use(row, found.state_length, before=True)

    def _use(self, row: StateRow, length: int, *, before: bool) -> StateUse:
        at, stop = self.at, self.at + length
        self.span("state" if row.state else "note", at, stop)
        return StateUse(row, before, self.text[self.words[at].start : self.words[stop - 1].end])

    def here(self) -> Found:
        """Give what may begin at the place reached."""
        return self.lexicon.at(self.words, self.at, self.count)

    def name(self, head: int, found: Found) -> NameRow | None:
        """Take a name that ends the head; ``None`` where it is none, or something else as well, or hangs
        on its measure."""
        at = self.at
        length = head - at
        row = found.name
        if row is None or found.name_length != length:
            return None
        if found.part_length >= length or found.state_length >= length:
            return None
        if row.instead and self.shelf.hangs_on_measure(row):
            return None
        self.span("ingredient", at, head)
        return row

    def tail(self, draft: Draft) -> bool:
        """Take states and a level after the name; ``False`` at anything else."""
        words = self.words
        while self.at < self.count:
            at = self.at
            word = words[at]
            if word.gap not in (",", "(", ""):
                return False
            if word.key == "and" and at + 1 < self.count and not word.gap and not words[at + 1].gap:
                self.span("joint", at, at + 1)
                continue
            if word.gap == "(" and word.key in LEVEL_WORDS and draft.level is None:
                draft.level = LEVEL_WORDS[word.key]
                self.span("level", at, at + 1)
                continue
            found = self.lexicon.at(words, at, self.count)
            row = found.state
            if row is None or found.name or found.part or found.unit or not _is_plain(row):
                return False
            if word.gap and self._is_turned(draft, shortest_turned(found)):
                return False
            if found.state_length < 2 and word.key in _SPECIAL:
                return False
            draft.states.append(self._use(row, found.state_length, before=False))
        return words[-1].key != "and"

    def _is_turned(self, draft: Draft, length: int) -> bool:
        """Tell whether the words after a comma make another name with the one before it."""
        name = self.words[draft.name_from : draft.name_to]
        return self.lexicon.turned(self.words, self.at, length, name) is not None


def _is_plain(row: StateRow) -> bool:
    """Tell whether a state is said of the thing alone and leads to no other word."""
    return row.kind != "manner" and row.state != IN_SHELL and not row.word.endswith((" in", " with"))


def read_plain(text: str, scanned: Scanned, lexicon: Lexicon, shelf: Shelf) -> ReadLine | None:
    """Read a plain line; ``None`` where it is none."""
    words, after = scanned
    count = len(words)
    if not 2 <= count <= MOST_WORDS or after not in _ENDS:
        return None
    head = _head_end(words)
    if head < 2:
        return None
    line = _Plain(text, words, lexicon, shelf)
    if words[0].kind == LETTERS:
        return _part_first(line) if head == count == 3 and not after else None
    quantity = line.amount()
    if quantity is None or not line.is_word():
        return None
    unit = line.unit()
    if unit is None:
        return _counted(line, quantity, head)
    if not line.is_word():
        return None
    name_at, found = line.at, line.here()
    row = line.name(head, found)
    if row is not None and head == count and not after:
        return _simple(line, quantity, shelf.name_of_unit(unit), row)
    draft = Draft(quantity=quantity, amount_written=True, unit=unit)
    if row is None:
        state = line.state_before(found)
        if state is None or not line.is_word():
            return None
        draft.states.append(state)
        name_at = line.at
        row = line.name(head, line.here())
    return _with_tail(line, draft, row, (name_at, head), after)


def _head_end(words: list[Word]) -> int:
    """Give the first word after a comma or bracket, or the end; 0 where other signs stand first."""
    if words[0].gap:
        return 0
    for at, word in enumerate(words):
        if word.gap:
            return at if word.gap in (",", "(") else 0
    return len(words)


def _counted(line: _Plain, quantity: Quantity, head: int) -> ReadLine | None:
    """Read what is counted by a name of one word: "2 eggs", "3 large eggs, beaten"."""
    found, state = line.here(), None
    if head == line.at + 2:
        state = line.state_before(found)
        if state is None or state.row.kind != "size" or not line.is_word():
            return None
        found = line.here()
    if head != line.at + 1 or found.unit is not None:
        return None
    name_at, row = line.at, line.name(head, found)
    if row is not None and head == line.count and state is None:
        return _simple(line, quantity, "each", row)
    draft = Draft(quantity=quantity, amount_written=True)
    if state is not None:
        draft.states.append(state)
    return _with_tail(line, draft, row, (name_at, head), "")


def _part_first(line: _Plain) -> ReadLine | None:
    """Read "Whites 4 eggs"."""
    found = line.here()
    if found.part is None or found.part_length != 1 or found.name_length > 1 or found.unit:
        return None
    line.span("part", 0, 1)
    quantity = line.amount()
    if quantity is None or line.at != 2 or not line.is_word():
        return None
    draft = Draft(quantity=quantity, amount_written=True, parts=[PartUse(found.part, [])])
    found = line.here()
    if found.unit is not None:
        return None
    return _with_tail(line, draft, line.name(3, found), (2, 3), "")


def _simple(line: _Plain, quantity: Quantity, unit: str, row: NameRow) -> ReadLine:
    """Give a line that says an amount and a name and nothing else."""
    text = line.text
    states = tuple(sorted(row.state.split("+"))) if row.state else ()
    last = line.spans[-1]
    assumed = (ambiguous(row, text[last.start : last.end]),) if row.instead else ()
    fields = Line(text, row.code, quantity, unit, None, states, row.part or None)
    item = ReadItem(fields, assumed)
    return ReadLine(text, "ingredient", (item,), tuple(line.spans), (), False, True)


def _with_tail(
    line: _Plain, draft: Draft, row: NameRow | None, name_at: tuple[int, int], after: str
) -> ReadLine | None:
    """Give a line with states beside its name, settled as the scanner's drafts are."""
    if row is None:
        return None
    start, stop = line.spans[-1].start, line.spans[-1].end
    draft.name, draft.name_text = row, line.text[start:stop]
    draft.name_from, draft.name_to = name_at
    if draft.name_to < line.count and not line.tail(draft):
        return None
    if after == ")" and all(word.gap != "(" for word in line.words):
        return None
    (settled,) = settle(draft, line.shelf, line.text)
    item = ReadItem(settled.line, settled.assumed)
    return ReadLine(line.text, "ingredient", (item,), _joined(line.spans, line.words), (), False, True)


def _joined(spans: list[Span], words: list[Word]) -> tuple[Span, ...]:
    """Join neighbours of one part as the scanner does."""
    if all(span.part != spans[at].part for at, span in enumerate(spans[1:])):
        return tuple(spans)
    found = spans[:1]
    tight = {word.start for word in words if not word.gap}
    for span in spans[1:]:
        last = found[-1]
        if span.part == last.part and span.start in tight:
            found[-1] = Span(span.part, last.start, span.end)
        else:
            found.append(span)
    return tuple(found)
