"""The reader: text lines to what they say, kept so that a line met again costs nothing."""

from __future__ import annotations

from dataclasses import replace

from service.domain.formula import Line
from service.domain.reading import Assumed, Problem, ReadItem, ReadLine, Span
from service.reading.compose import compose
from service.reading.draft import Draft, divide, settle
from service.reading.kinds import kind_of
from service.reading.lexicon import Lexicon
from service.reading.line import LineScanner
from service.reading.shelf import Shelf
from service.tables.cupboard import Cupboard
from service.units.measures import Measures

MOST_KEPT = 16384
MOST_LEXICONS = 16
Settled = tuple[Line, tuple[Assumed, ...], str]


class Reader:
    """Reads lines under a cupboard and its measures. Readings are kept, at most ``MOST_KEPT``."""

    def __init__(self, cupboard: Cupboard, measures: Measures) -> None:
        self.cupboard = cupboard
        self.measures = measures
        self._kept: dict[tuple[str, str, str], ReadLine] = {}
        self._lexicons: dict[tuple[str, str], tuple[Lexicon, Shelf]] = {}
        self._tags = frozenset(row.language for rows in cupboard.names.values() for row in rows)

    def read_line(self, text: str, system: str = "us", language: str = "en") -> ReadLine:
        """Read one line of a card under a system of measures and a language (BCP 47)."""
        key = (text, system, language)
        found = self._kept.get(key)
        if found is None:
            if len(self._kept) >= MOST_KEPT:
                self._kept.clear()
            found = self._kept[key] = self._read(text, system, language)
        return found

    def forget(self) -> None:
        """Drop every kept reading: for measuring what a cold reading costs."""
        self._kept.clear()

    def lexicon(self, system: str, language: str) -> tuple[Lexicon, Shelf]:
        """Give the words and shelves of a system and language."""
        tag = language if language in self._tags else language.split("-")[0]
        found = self._lexicons.get((system, tag))
        if found is None:
            if len(self._lexicons) >= MOST_LEXICONS:
                self._lexicons.clear()
            shelf = Shelf(self.cupboard, self.measures, system)
            found = Lexicon(self.cupboard, self.measures, system, tag), shelf
            self._lexicons[(system, tag)] = found
        return found

    def _read(self, text: str, system: str, language: str) -> ReadLine:
        lexicon, shelf = self.lexicon(system, language)
        scanner = LineScanner(text, lexicon, shelf, language)
        kind = kind_of(text.strip(), scanner.words, scanner.after, lexicon)
        if kind != "ingredient":
            return _aside(text, kind, scanner)
        scanner.run()
        items = _items(text, scanner, shelf)
        items = self._told_apart(items, text, system, language)
        written = any(draft.amount_written for draft in scanner.drafts)
        return ReadLine(
            text=text,
            kind=kind,
            items=tuple(items),
            spans=scanner.spans(),
            problems=tuple(scanner.problems),
            ends_with_or=scanner.ends_with_or,
            states_amount=written,
        )

    def _told_apart(
        self, items: list[ReadItem], text: str, system: str, language: str
    ) -> list[ReadItem]:
        """Give each item its own words: the whole line where it is the only one, else words that say
        it alone, kept only where reading them gives the same fields again."""
        alone = len(items) == 1
        found = []
        for item in items:
            alternatives = tuple(
                self._with_words(other, system, language) for other in item.line.alternatives
            )
            line = replace(item.line, alternatives=alternatives)
            line = replace(line, text=text) if alone else self._with_words(line, system, language)
            found.append(replace(item, line=line))
        return found

    def _with_words(self, line: Line, system: str, language: str) -> Line:
        lexicon, shelf = self.lexicon(system, language)
        words = line.text or ""
        scanner = LineScanner(words, lexicon, shelf, language)
        scanner.run()
        again = _items(words, scanner, shelf)
        same = len(again) == 1 and replace(again[0].line, text=words) == line
        return line if same else replace(line, text=None)


def _aside(text: str, kind: str, scanner: LineScanner) -> ReadLine:
    """Give a line that names no ingredient: a heading, or a remark that is kept and reported."""
    words = scanner.words
    if not words:
        return ReadLine(text, kind, (), (), ())
    start, end = words[0].start, words[-1].end
    problems: tuple[Problem, ...] = ()
    if kind == "remark":
        detail = "no ingredient: kept as a note of the formula"
        problems = (Problem("remark", detail, start, end),)
    return ReadLine(text, kind, (), (Span("note", start, end),), problems)


def _items(text: str, scanner: LineScanner, shelf: Shelf) -> list[ReadItem]:
    """Settle the drafts of a line: amounts shared out, alternatives in their places."""
    _share_out(scanner.drafts)
    items: list[ReadItem] = []
    last: Draft | None = None
    for draft in scanner.drafts:
        _inherit(draft, last)
        before = draft
        for other in draft.alternatives:
            if not other.amount_written:
                other.take_amount_of(before)
                other.states = other.states or [use for use in draft.states if use.before]
            before = other
        others = [settled for other in draft.alternatives for settled in settle(other, shelf)]
        for line, assumed, name in settle(draft, shelf):
            if line.ingredient is None and line.quantity is None and line.note is None and others:
                continue
            if line.ingredient is None:
                scanner.problems.append(Problem("no-ingredient", "names no ingredient", *_whole(text)))
            alternatives = tuple(
                replace(one, text=compose(one, other_name)) for one, _, other_name in others
            )
            line = replace(line, text=compose(line, name), alternatives=alternatives)
            more = tuple(a for _, several, _ in others for a in several)
            items.append(ReadItem(line, assumed + tuple(a for a in more if a not in assumed)))
        last = draft
    return items


def _whole(text: str) -> tuple[int, int]:
    start = len(text) - len(text.lstrip())
    return start, len(text.rstrip())


def _inherit(draft: Draft, last: Draft | None) -> None:
    """Complete what leans on the thing before it: "2 eggs plus 1", "juice of 1 lemon and the rind"."""
    if last is None or draft.named:
        if last is not None and draft.name is not None and last.parts and not draft.parts:
            draft.parts = draft.parts
        return
    if draft.parts and draft.quantity is not None:
        return
    if draft.parts or draft.quantity is not None:
        draft.name, draft.unknown, draft.name_text = last.name, last.unknown, last.name_text
    if draft.parts and draft.quantity is None:
        draft.take_amount_of(last)


def _share_out(drafts: list[Draft]) -> None:
    """Give everyone of a group the amount ("each"), or its share of it."""
    groups: dict[int, list[Draft]] = {}
    for draft in drafts:
        if draft.leader is not None:
            groups.setdefault(id(draft.leader), [draft.leader]).append(draft)
    for group in groups.values():
        source = next((draft for draft in group if draft.quantity is not None), group[0])
        each = any(draft.each for draft in group)
        for draft in group:
            if draft is not source:
                draft.take_amount_of(source)
            if draft is not group[0]:
                draft.states = [use for use in group[0].states if use.before] + draft.states
        if each:
            for draft in group:
                draft.each = True
        else:
            divide(group)
