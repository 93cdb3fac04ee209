"""The reader: text lines to what they say, kept so that a line met again costs nothing."""

from __future__ import annotations

from dataclasses import replace

from service.domain.formula import Line
from service.domain.reading import Problem, ReadItem, ReadLine, Span
from service.reading.compose import compose
from service.reading.draft import Draft, bounded, settle, settle_all
from service.reading.kinds import kind_of
from service.reading.lexicon import Lexicon
from service.reading.line import LineScanner
from service.reading.method import MethodReader
from service.reading.plain import read_plain
from service.reading.scan import scan
from service.reading.shelf import Shelf
from service.tables.cupboard import Cupboard
from service.units.measures import Measures

MOST_KEPT = 16384
MOST_LEXICONS = 16


class Reader:
    """Reads lines under a cupboard and its measures. Readings are kept, at most ``MOST_KEPT``."""

    def __init__(self, cupboard: Cupboard, measures: Measures) -> None:
        self.cupboard = cupboard
        self.measures = measures
        self._kept: dict[tuple[str, str, str], ReadLine] = {}
        self._lexicons: dict[tuple[str, str], tuple[Lexicon, Shelf]] = {}
        #: Reads what a method says of baking.
        self.methods = MethodReader(cupboard)
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
        scanned = scan(text)
        plain = read_plain(text, scanned, lexicon, shelf)
        if plain is not None:
            return plain
        scanner = LineScanner(text, lexicon, shelf, language, scanned)
        kind = kind_of(scanner)
        if kind != "ingredient":
            return _aside(text, kind, scanner)
        scanner.run()
        drafts = scanner.drafts
        first = drafts[0]
        items: tuple[ReadItem, ...]
        if len(drafts) == 1 and not first.alternatives and len(first.parts) < 2:
            items = (_single(text, first, scanner, shelf),)
        else:
            items = self._several(text, scanner, system, language)
        return ReadLine(
            text, kind, items, scanner.spans(), tuple(scanner.problems), scanner.ends_with_or,
            any(draft.amount_written for draft in drafts),
        )  # fmt: skip

    def _several(
        self, text: str, scanner: LineScanner, system: str, language: str
    ) -> tuple[ReadItem, ...]:
        """Give the items of a line that names several things or alternatives, each in its own words:
        the whole line where it is the only one, else words that say it alone, kept only where reading
        them gives the same fields again."""
        _, shelf = self.lexicon(system, language)
        settled = settle_all(scanner.drafts, shelf)
        items = []
        for one in settled:
            others = tuple(
                self._with_words(other.line, other.name, system, language)
                for other in one.others
                if other.line.ingredient is not None
            )
            line = replace(one.line, alternatives=others)
            if len(settled) == 1:
                line = replace(line, text=text)
            else:
                line = self._with_words(line, one.name, system, language)
            named = line.ingredient is not None
            if not named and not (line.text or "").strip():
                said = one.name or line.note or compose(line, "").strip() or text.strip()
                line = replace(line, text=None, ingredient=bounded(said))
            if not named or len(others) < len(one.others):
                _no_ingredient(text, scanner)
            items.append(ReadItem(line, one.all_assumed()))
        return tuple(items)

    def _with_words(self, line: Line, name: str, system: str, language: str) -> Line:
        """Give a line words that say it alone, if reading them gives its fields again."""
        lexicon, shelf = self.lexicon(system, language)
        words = compose(line, name)
        scanner = LineScanner(words, lexicon, shelf, language)
        scanner.run()
        again = settle_all(scanner.drafts, shelf)
        same = len(again) == 1 and again[0].line == replace(line, alternatives=())
        return replace(line, text=words) if same and not again[0].others else line


def _single(text: str, draft: Draft, scanner: LineScanner, shelf: Shelf) -> ReadItem:
    """Give the one thing that a line names."""
    one = settle(draft, shelf, text)[0]
    if one.line.ingredient is None:
        _no_ingredient(text, scanner)
    return ReadItem(one.line, one.assumed)


def _no_ingredient(text: str, scanner: LineScanner) -> None:
    start, end = len(text) - len(text.lstrip()), len(text.rstrip())
    scanner.problems.append(Problem("no-ingredient", "names no ingredient", start, end))


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
