"""Join the lines of a card into a formula: components, alternatives that span two lines, the method.

Nothing of a card is dropped: a line that names no ingredient is a note, a heading opens a component,
a line that is not understood stays an entry with its text. Defaults are not filled in: the class of a
formula, for one, is proposed where it is judged.
"""

from __future__ import annotations

from dataclasses import dataclass, field, replace
from fractions import Fraction
from typing import Protocol

from service.domain.formula import LONGEST_LINE, Component, Formula, Line, Yield, pointer_of
from service.domain.quantity import Quantity
from service.domain.reading import Assumed, Card, CardAssumed, Problem, Reading, ReadLine
from service.reading.method import MethodRead
from service.reading.reader import Reader
from service.reading.scan import DIGITS, scan

USUAL_MEASURES = "us"
USUAL_LANGUAGE = "en"
MOST_DIGITS = 6
PORTION_WORDS = frozenset(("serve", "servings"))


class CardText(Protocol):
    """What a card holds (``service.domain.reading.Card``)."""

    @property
    def title(self) -> str: ...  # noqa: D102
    @property
    def lines(self) -> tuple[str, ...]: ...  # noqa: D102
    @property
    def method(self) -> tuple[str, ...]: ...  # noqa: D102
    @property
    def notes(self) -> tuple[str, ...]: ...  # noqa: D102
    @property
    def portions(self) -> Fraction | None: ...  # noqa: D102
    @property
    def measures(self) -> str | None: ...  # noqa: D102
    @property
    def language(self) -> str | None: ...  # noqa: D102


@dataclass(slots=True)
class _Part:
    """A component while its lines are read."""

    name: str | None = None
    role: str | None = None
    lines: list[tuple[Line, tuple[Assumed, ...]]] = field(default_factory=list)


class _CardReader:
    def __init__(self, card: CardText, reader: Reader) -> None:
        self.card = card
        self.reader = reader
        self.system = card.measures or USUAL_MEASURES
        self.language = card.language or USUAL_LANGUAGE
        self.parts = [_Part()]
        self.notes = list(card.notes)
        self.portions = card.portions
        self.problems: list[Problem] = []

    def read(self) -> Reading:
        lines = [self.reader.read_line(text, self.system, self.language) for text in self.card.lines]
        at = 0
        while at < len(lines):
            at = self._take(lines, at)
        if not any(part.lines for part in self.parts):
            self._keep_remarks(lines)
        method = self.reader.methods.read(self.card.method)
        parts = [part for part in self.parts if part.lines or part.name] or self.parts
        return Reading(
            formula=self._formula(parts, method),
            lines=tuple(lines),
            assumptions=(*_assumptions(parts), *(CardAssumed(*one) for one in method.assumed)),
            problems=tuple(self.problems),
        )

    def _take(self, lines: list[ReadLine], at: int) -> int:
        """Take a line, with the next one where it is the other choice; gives the line after."""
        line = lines[at]
        for problem in line.problems:
            self.problems.append(replace(problem, line=f"/lines/{at}"))
        if line.kind == "heading":
            name = line.text.strip().rstrip(":").strip("*_# ")
            self.parts.append(_Part(name, self._role(name)))
            return at + 1
        if line.kind == "remark":
            self._note(line.text.strip())
            return at + 1
        if line.ends_with_or and at + 1 < len(lines) and lines[at + 1].kind == "ingredient":
            joined = f"{line.text.rstrip()} {lines[at + 1].text.lstrip()}"
            if len(joined) <= LONGEST_LINE:
                lines_read = self.reader.read_line(joined, self.system, self.language)
                for problem in lines[at + 1].problems:
                    self.problems.append(replace(problem, line=f"/lines/{at + 1}"))
                self._add(lines_read)
                return at + 2
        self._open_part(line)
        self._add(line)
        return at + 1

    def _open_part(self, line: ReadLine) -> None:
        """Begin the component that a line names before its first ingredient: "Filling: 100 g butter"."""
        head, colon, _ = line.text.partition(":")
        first = line.spans[0] if line.spans else None
        if not colon or first is None or first.part != "note" or first.end > len(head):
            return
        name, role = head.strip(" *_#"), self._role(head)
        if role is not None and line.states_amount:
            self.parts.append(_Part(name, role))

    def _add(self, line: ReadLine) -> None:
        entries = self.parts[-1].lines
        for item in line.items:
            entries.append((item.line, item.assumed))

    def _note(self, text: str) -> None:
        """Keep a remark as a note; "serves 8" also says the portions."""
        if not text:
            return
        self.notes.append(text)
        words, _ = scan(text)
        counts = len(words) == 2 and words[0].key in PORTION_WORDS and words[1].kind == DIGITS
        if counts and self.portions is None and 0 < len(words[1].text) <= MOST_DIGITS:
            self.portions = Fraction(int(words[1].text)) or None

    def _keep_remarks(self, lines: list[ReadLine]) -> None:
        """Keep the remarks of a card that names nothing to weigh as its lines: a formula has lines,
        and whoever weighs it is told that these are none."""
        remarks = [line.text.strip() for line in lines if line.kind == "remark" and line.text.strip()]
        self.notes = [note for note in self.notes if note not in remarks]
        self.parts[-1].lines += [(Line(text=remark), ()) for remark in remarks]

    def _role(self, name: str) -> str | None:
        """Tell a component's role by the last known word of its heading."""
        words, _ = scan(name)
        keys = [word.key for word in words]
        for length in (2, 1):
            for start in range(len(keys) - length, -1, -1):
                for row in self.reader.cupboard.card_words.get(
                    " ".join(keys[start : start + length]), ()
                ):
                    if row.kind == "role":
                        return row.meaning
        return None

    def _formula(self, parts: list[_Part], method: MethodRead) -> Formula:
        card = self.card
        portions = None if self.portions is None else Yield(portions=Quantity.of(self.portions))
        return Formula(
            name=card.title,
            components=tuple(
                Component(part.name, part.role, None, tuple(line for line, _ in part.lines))
                for part in parts
            ),
            measures=card.measures,
            pans=method.pans,
            yields=portions,
            bake=method.bake,
            method=card.method,
            notes=tuple(self.notes),
            language=card.language,
        )


def _assumptions(parts: list[_Part]) -> list[CardAssumed]:
    return [
        CardAssumed(pointer_of(component, position), assumed)
        for component, part in enumerate(parts)
        for position, (_, several) in enumerate(part.lines)
        for assumed in several
    ]


def read_card(card: CardText, reader: Reader) -> Reading:
    """Read a card: its lines, headings and method, to a formula and what was not understood."""
    return _CardReader(card, reader).read()


def read_text(text: str, measures: str | None = None, language: str | None = None) -> Card:
    """Part a card that is plain text: the title, the ingredient lines, the method.

    The first line that says something is the title. The paragraphs after it are told apart by their
    look: as long as lines are short or begin with an amount they are ingredients; the method begins
    with the first paragraph whose lines are sentences.
    """
    paragraphs: list[list[str]] = [[]]
    for line in text.splitlines():
        if line.strip():
            paragraphs[-1].append(line.strip())
        elif paragraphs[-1]:
            paragraphs.append([])
    paragraphs = [paragraph for paragraph in paragraphs if paragraph]
    if not paragraphs:
        return Card("", (), measures=measures, language=language)
    title, *rest = paragraphs[0]
    blocks = [rest, *paragraphs[1:]] if rest else paragraphs[1:]
    lines: list[str] = []
    while blocks and (not lines or not _is_method(blocks[0])):
        lines += blocks.pop(0)
    steps = [step for block in blocks for step in block if not _is_method_heading(step)]
    return Card(title.strip("# *_"), tuple(lines), tuple(steps), measures=measures, language=language)


def _is_method_heading(line: str) -> bool:
    return line.strip("#*_: ").casefold() in ("method", "directions", "instructions", "preparation")


def _is_method(block: list[str]) -> bool:
    """Tell whether a paragraph is sentences: a heading that says so, or most lines long and ended by
    a full stop."""
    if _is_method_heading(block[0]):
        return True
    sentences = sum(1 for line in block if line.endswith((".", "!")) and line.count(" ") >= 4)
    return 2 * sentences >= len(block)
