"""What a reading of one text line gives."""

from __future__ import annotations

from dataclasses import dataclass

from service.domain.formula import Line


@dataclass(frozen=True, slots=True)
class Span:
    """A stretch of a line's text and the part of the line that it gives.

    ``part`` is one of quantity, unit, level, ingredient, state, part, equivalent, note,
    alternative, optional, joint (words such as "each", "and", "of" that tie parts together).
    ``start`` and ``end`` count characters (code points); ``end`` is excluded.
    """

    part: str
    start: int
    end: int


@dataclass(frozen=True, slots=True)
class Problem:
    """Something that was not understood, or understood with doubt, and where it stands.

    ``code`` is permanent; ``line`` a JSON Pointer or ``None`` where the line is plain.
    """

    code: str
    detail: str
    start: int | None = None
    end: int | None = None
    line: str | None = None


@dataclass(frozen=True, slots=True)
class Assumed:
    """A choice that reading made: ``part`` of the line, the ``value`` taken, ``instead`` of what.

    ``instead`` names the other reading where its worth in grams can be told: an ingredient code, a
    state or a unit, by ``part``.
    """

    code: str
    part: str
    value: str
    instead: tuple[str, ...] = ()
    detail: str = ""


@dataclass(frozen=True, slots=True)
class ReadItem:
    """One thing to weigh that a line names; most lines name one.

    "1 cup each sugar and milk" names two, "juice and rind of 1 lemon" two, "3 whites and 1 yolk"
    two. ``line`` has every field filled that the text gives; its ``text`` is the whole line where
    it names one item, else the words that would say this item alone.
    """

    line: Line
    assumed: tuple[Assumed, ...] = ()


@dataclass(frozen=True, slots=True)
class ReadLine:
    """A text line as read.

    ``kind``: ingredient | heading (names a component: "For the glaze:") | remark (an instruction,
    an attribution, a page note: kept as a note of the formula). ``spans`` are in the order of the
    text and do not overlap; what carries meaning and lies in no span lies in a problem.
    ``ends_with_or`` tells that the next line is an alternative of this one.
    """

    text: str
    kind: str
    items: tuple[ReadItem, ...]
    spans: tuple[Span, ...]
    problems: tuple[Problem, ...]
    ends_with_or: bool = False
    states_amount: bool = False
