"""A line on the table: its words, what has been noted of them, and the things it names so far."""

from __future__ import annotations

from service.domain.reading import Problem, Span
from service.domain.words import key_of
from service.reading.amounts import Numbers
from service.reading.draft import Draft
from service.reading.lexicon import Found, Lexicon
from service.reading.scan import Scanned, Word, scan
from service.reading.shelf import Shelf

OPENERS, CLOSERS = frozenset("([{"), frozenset(")]}")
STOPS = OPENERS | CLOSERS | frozenset(",;:")


class Sheet:
    """The words of a line, the ``draft`` at hand and the ``drafts`` that are done.

    ``owner`` is the thing to which the draft at hand is an alternative; ``depth`` counts open
    brackets; ``loose`` are places of words after a name that were not understood; ``marks`` say
    which part of the line which words give.
    """

    def __init__(
        self, text: str, lexicon: Lexicon, shelf: Shelf, language: str, scanned: Scanned | None = None
    ) -> None:
        self.text = text
        self.lexicon = lexicon
        self.shelf = shelf
        self.words, self.after = scan(text) if scanned is None else scanned
        self.count = len(self.words)
        self.numbers = Numbers(text, self.words, language.startswith("en"))
        self._found: list[Found | None] = [None] * self.count
        self.drafts: list[Draft] = []
        self.draft = Draft()
        self.owner: Draft | None = None
        self.depth = 0
        self.loose: list[int] = []
        self.marks: list[tuple[str, int, int]] = []
        self.problems: list[Problem] = []
        self.ends_with_or = False
        self.has_bracket = "(" in text

    def at(self, at: int) -> Found:
        """Give what the tables have that may begin at a word."""
        found = self._found[at]
        if found is None:
            found = self._found[at] = self.lexicon.at(self.words, at, self.count)
        return found

    def key(self, at: int) -> str:
        """Give a word's key; nothing beyond the line's ends."""
        return self.words[at].key if 0 <= at < self.count else ""

    def stops(self, at: int) -> bool:
        """Tell whether a clause ends before a word, or the line does."""
        return at >= self.count or not STOPS.isdisjoint(self.words[at].gap)

    def slice(self, start: int, stop: int) -> str:
        """Give the text of the words from ``start`` to before ``stop``."""
        return self.text[self.words[start].start : self.words[stop - 1].end]

    def mark(self, part: str, start: int, stop: int) -> int:
        """Note which part of the line some words give; gives the word after them."""
        if self.owner is not None:
            part = "alternative"
        self.marks.append((part, start, stop))
        return stop

    def joint(self, start: int, stop: int) -> int:
        """Note words that only tie others together; gives the word after them."""
        return self.mark("joint", start, stop)

    def note(self, start: int, stop: int) -> int:
        """Keep words as a remark on the draft at hand; gives the word after them."""
        self.draft.notes.append(self.slice(start, stop))
        return self.mark("note", start, stop)

    def problem(self, code: str, detail: str, start: int, stop: int) -> None:
        """Report the words from ``start`` to before ``stop``."""
        place = self.words[start].start, self.words[stop - 1].end
        self.problems.append(Problem(code, detail, *place))

    def name_unknown(self, draft: Draft) -> None:
        """Take the words that no table knows for a name."""
        start, stop = draft.unread[0], draft.unread[-1] + 1
        draft.unknown = draft.name_text = self.slice(start, stop)
        draft.name_from, draft.name_to = start, stop
        for place in draft.unread:
            self.mark("ingredient", place, place + 1)
        draft.unread = []
        self.report_unknown(draft)

    def report_unknown(self, draft: Draft, near: tuple[str, ...] = ()) -> None:
        """Report a name that no table knows, with the known names that look like it."""
        name = draft.unknown or ""
        near = tuple(dict.fromkeys((*near, *self.lexicon.nearest(name))))[:3]
        hint = f"; near names: {', '.join(near)}" if near else ""
        detail = f"no table knows “{name}”{hint}"
        self.problem("unknown-ingredient", detail, draft.name_from, draft.name_to)

    def open_alternative(self) -> None:
        """Begin what may be taken instead; without an amount of its own it takes the last one's."""
        owner = self.owner or self.draft
        self.flush()
        self.owner = owner
        self.draft = Draft(inherits=True)
        owner.alternatives.append(self.draft)

    def next_item(self, *, shares: bool = False) -> None:
        """Close the draft at hand and begin the next thing to weigh."""
        last = self.owner or self.draft
        self.close()
        self.draft = Draft()
        if shares:
            self.draft.leader = last.leader or last
            self.draft.inherits = True
            self.draft.each = last.each

    def close(self) -> None:
        """Close the draft at hand with its alternatives."""
        self.flush()
        owner = self.owner or self.draft
        for draft in (owner, *owner.alternatives):
            self.owner = None if draft is owner else owner
            if draft is not owner and not draft.named:
                self._borrow_noun(draft, owner)
            if draft.unread and not draft.named:
                self.name_unknown(draft)
        self.drafts.append(owner)
        self.owner = None

    def _borrow_noun(self, draft: Draft, owner: Draft) -> None:
        """Complete an alternative from the name it stands beside: "fresh yeast (or 2 tsp instant)"."""
        said = [self.words[at].key for at in draft.unread]
        said += [key_of(use.text) for use in draft.states]
        for start in range(max(0, owner.name_from), owner.name_to):
            nouns = [word.key for word in self.words[start : owner.name_to]]
            row = self.lexicon.name_by_key(" ".join([*said, *nouns])) if said else None
            if row is not None:
                draft.name = row
                draft.name_text = " ".join([*said, self.slice(start, owner.name_to)])
                for at in draft.unread:
                    self.mark("ingredient", at, at + 1)
                draft.unread, draft.states = [], []
                return

    def flush(self) -> None:
        """Report the words after the name that were not understood, one run a problem."""
        if not self.loose:
            return
        start = before = self.loose[0]
        for at in (*self.loose[1:], -1):
            if at != before + 1:
                words = self.slice(start, before + 1)
                self.draft.notes.append(words)
                self.problem("unread-words", f"“{words}” was not understood", start, before + 1)
                start = at
            before = at
        self.loose = []

    def spans(self) -> tuple[Span, ...]:
        """Give the spans in the order of the text, neighbours of one part joined."""
        found: list[Span] = []
        before, end = "", -1
        words, marks = self.words, self.marks
        if any(marks[n][1] < marks[n - 1][1] for n in range(1, len(marks))):
            marks.sort(key=_start_of_mark)
        for part, start, stop in marks:
            if part == before and end == start and (part == "alternative" or not words[start].gap):
                found[-1] = Span(part, found[-1].start, words[stop - 1].end)
            else:
                found.append(Span(part, words[start].start, words[stop - 1].end))
            before, end = part, stop
        return tuple(found)


def _start_of_mark(mark: tuple[str, int, int]) -> int:
    return mark[1]


def is_joined(word: Word) -> bool:
    """Tell whether nothing but a blank or a hyphen stands before a word."""
    return word.gap == "" or word.gap == "-"
