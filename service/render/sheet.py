"""A drawing as a list of marks, from top to bottom of a sheet that is as wide as its reader's.

Across, places are percents of the sheet's width, so that bars stretch and text keeps its size; down,
they are pixels. A sheet is laid out twice at once, for narrow and for wide readers: a mark stands where
the narrow one has it and is lifted by some pixels on the wide one; text that breaks otherwise there is
written for each. Widths are those of a wide common typeface.
"""

from __future__ import annotations

import unicodedata
from dataclasses import dataclass, field

#: The sheet's margins and inside, in percent of its width.
LEFT, RIGHT = 4.0, 96.0
#: The narrowest sheet, and the narrowest that counts as wide. Units: pixels.
NARROWEST, WIDE = 300.0, 640.0
#: Where a wide sheet has its plots beside the text. Units: percent of its width.
PLOT_LEFT, PLOT_RIGHT = 46.0, 83.0
#: The room for text across a narrow sheet, a wide one, and beside the plots of a wide one.
INSIDE = NARROWEST * (RIGHT - LEFT) / 100
WIDE_INSIDE = WIDE * (RIGHT - LEFT) / 100
BESIDE = WIDE * (PLOT_LEFT - LEFT) / 100 - 14


@dataclass(frozen=True, slots=True)
class Words:
    """One line of text: ``x`` in percent and ``beside`` it by some pixels, the base line ``y`` in
    pixels; ``kind`` names its style, ``anchor`` is start | middle | end."""

    x: float
    y: float
    text: str
    kind: str
    anchor: str = "start"
    beside: float = 0.0


@dataclass(frozen=True, slots=True)
class Bar:
    """A bar from ``left`` to ``right`` (percent), ``y`` and ``height`` in pixels, with round ends of
    ``radius``."""

    left: float
    right: float
    y: float
    height: float
    kind: str
    radius: float = 0.0


@dataclass(frozen=True, slots=True)
class Shape:
    """A mark of constant size about a place: ``x`` in percent and ``beside`` it by some pixels;
    ``name`` is one of ``svg.SHAPES``."""

    x: float
    y: float
    name: str
    kind: str
    beside: float = 0.0


Mark = Words | Bar | Shape


@dataclass(frozen=True, slots=True)
class Placed:
    """Marks that move together. ``lift``: pixels by which they stand higher on a wide sheet;
    ``only``: narrow | wide | empty (both); ``plot``: their places are percents of the plot, which is
    the sheet's inside, and on a wide sheet the part beside the text."""

    marks: tuple[Mark, ...]
    lift: float
    only: str = ""
    plot: bool = False


#: Styles of text: size in pixels, and whether it is bold.
STYLES: dict[str, tuple[float, bool]] = {
    "title": (18.0, True),
    "subtitle": (13.0, False),
    "heading": (15.0, True),
    "name": (14.0, False),
    "value": (14.0, True),
    "caption": (12.0, False),
    "numeral": (11.0, True),
    "told-good": (12.0, True),
    "told-doubt": (12.0, True),
    "told-bad": (12.0, True),
}
#: How far one line of text lies under another, in parts of its size.
LEADING = 1.32

#: Widths of letters in parts of the size, the widest of the common screen typefaces (measured on
#: DejaVu Sans); bold ones are wider by a share.
_WIDTHS: dict[str, float] = {
    letter: width
    for width, letters in (
        (0.36, " '\\ijlIJ,./:;|f-·’"),
        (0.41, "()[]t!r"),
        (0.52, '"*_`sz“”'),
        (0.6, "?cLFkvxyP"),
        (0.65, "TYaoeESbdghnpqu$0123456789{}K"),
        (0.7, "AVBRXZC"),
        (0.79, "UHNDG&OQ"),
        (0.86, "w#+<=>^~M−"),
        (1.0, "%mW@…¼½¾⅓⅔⅛"),
    )
    for letter in letters
}
_BOLD = 1.13
_OTHER, _FOREIGN, _FULL = 0.8, 0.9, 1.1


def width_of(text: str, kind: str) -> float:
    """Estimate, on the wide side, how wide a line of text is. Units: pixels."""
    size, bold = STYLES[kind]
    return sum(_advance(letter) for letter in text) * size * (_BOLD if bold else 1.0)


def _advance(letter: str) -> float:
    known = _WIDTHS.get(letter)
    if known is not None:
        return known
    if unicodedata.combining(letter):
        return 0.0
    if unicodedata.east_asian_width(letter) in "WF":
        return _FULL
    return _OTHER if letter < "\u0250" else _FOREIGN


def broken(text: str, kind: str, width: float) -> list[str]:
    """Break text into lines of at most a width; a word that is longer is cut. Units: pixels.

    Text without words gives one empty line.
    """
    lines = [""]
    for word in text.split():
        for piece in _pieces(word, kind, width):
            joined = f"{lines[-1]} {piece}" if lines[-1] else piece
            if width_of(joined, kind) <= width:
                lines[-1] = joined
            else:
                lines.append(piece)
    return lines


def _pieces(word: str, kind: str, width: float) -> list[str]:
    """Cut a word that is wider than a line."""
    pieces = [""]
    for letter in word:
        if pieces[-1] and width_of(pieces[-1] + letter, kind) > width:
            pieces.append("")
        pieces[-1] += letter
    return pieces


@dataclass
class Sheet:
    """A sheet being drawn from the top down. ``y`` is how far the narrow one is drawn, ``lift`` how
    much less the wide one is, in pixels; ``title`` and ``told`` are what a reader hears who does not
    see it; ``id`` sets it apart from other drawings of one page."""

    id: str
    title: str
    told: list[str] = field(default_factory=list)
    placed: list[Placed] = field(default_factory=list)
    y: float = 16.0
    lift: float = 0.0

    def down(self, pixels: float) -> None:
        """Leave room."""
        self.y += pixels

    def put(self, *marks: Mark, more: float = 0.0, only: str = "", plot: bool = False) -> None:
        """Add marks; ``more``: pixels by which they are lifted beside what stands above them."""
        self.placed.append(Placed(marks, self.lift + more, only, plot))

    def write(self, text: str, kind: str) -> None:
        """Write text across the sheet, broken into lines, and go down below it."""
        self._write(kind, broken(text, kind, INSIDE), broken(text, kind, WIDE_INSIDE))

    def write_beside(
        self, text: str, value: str, kind: str = "name", told: str = "value", *, column: bool = False
    ) -> None:
        """Write text to the left, broken into lines, and a value at the right of its first line, in
        the style ``told``. ``column``: a wide sheet has a plot between them."""
        taken = width_of(value, told) + 10
        wide = BESIDE if column else WIDE_INSIDE - taken
        if value:
            self.put(Words(RIGHT, self.y + STYLES[kind][0] * LEADING, value, told, "end"))
        self._write(kind, broken(text, kind, INSIDE - taken), broken(text, kind, wide))

    def _write(self, kind: str, narrow: list[str], wide: list[str]) -> None:
        step = STYLES[kind][0] * LEADING
        if narrow == wide:
            self.put(*self._lines(narrow, kind, step))
        else:
            self.put(*self._lines(narrow, kind, step), only="narrow")
            self.put(*self._lines(wide, kind, step), only="wide")
        self.y += len(narrow) * step
        self.lift += (len(narrow) - len(wide)) * step

    def _lines(self, lines: list[str], kind: str, step: float) -> list[Mark]:
        return [Words(LEFT, self.y + place * step, line, kind) for place, line in enumerate(lines, 1)]
