"""What a reading of one text line gives."""

from __future__ import annotations

from fractions import Fraction

from service.domain.formula import Formula, Line
from service.domain.record import record


@record
class Span:
    """A stretch of a line's text and the part of the line that it gives.

    ``part`` is one of quantity, unit, level, ingredient, state, part, equivalent, note,
    alternative, optional, joint (words such as "each", "and", "of" that tie parts together).
    ``start`` and ``end`` count characters (code points); ``end`` is excluded.
    """

    part: str
    start: int
    end: int


@record
class Problem:
    """Something that was not understood, or understood with doubt, and where it stands.

    ``code`` is permanent; ``line`` a JSON Pointer or ``None`` where the line is plain.
    """

    code: str
    detail: str
    start: int | None = None
    end: int | None = None
    line: str | None = None


@record
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


@record
class ReadItem:
    """One thing to weigh that a line names; most lines name one.

    "1 cup each sugar and milk" names two, "juice and rind of 1 lemon" two, "3 whites and 1 yolk"
    two. ``line`` has every field filled that the text gives; its ``text`` is the whole line where
    it names one item, else the words that would say this item alone.
    """

    line: Line
    assumed: tuple[Assumed, ...] = ()


@record
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


@record
class Card:
    """A card as its owner wrote it: a title, its lines, the method, all as text.

    ``measures`` is the system under which its cups are read (``None``: the usual one, an assumption of
    the weighing), ``language`` a BCP 47 tag (``None``: English).
    """

    title: str
    lines: tuple[str, ...]
    method: tuple[str, ...] = ()
    notes: tuple[str, ...] = ()
    portions: Fraction | None = None
    measures: str | None = None
    language: str | None = None


@record
class CardAssumed:
    """A choice that reading a card made. ``pointer`` (RFC 6901) leads to the member of the formula that
    it is about: an ingredient line, ``/bake``."""

    pointer: str
    assumed: Assumed


@record
class Reading:
    """A card as read.

    ``formula`` has an entry for each thing that the lines name; ``lines`` is what each line of the card
    says, in order; ``assumptions`` point into the formula; ``problems`` have ``line`` set to a pointer
    into the card (``/lines/3``, ``/method/0``), and ``start`` and ``end`` count in that text.
    """

    formula: Formula
    lines: tuple[ReadLine, ...]
    assumptions: tuple[CardAssumed, ...]
    problems: tuple[Problem, ...]
