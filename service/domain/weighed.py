"""A formula weighed: every gram with its band, its basis and what was assumed for it."""

from __future__ import annotations

from dataclasses import field

from service.domain.band import Band
from service.domain.formula import Formula, Line
from service.domain.reading import Problem
from service.domain.record import record


@record
class Basis:
    """Where a mass comes from.

    ``kind``: written-mass | household-weight | density | egg-grade | piece | house | percent |
    equivalent | none. ``row`` names the table row (table:key), ``source`` the row's source,
    ``evidence`` its letter (R read, G regulator, T third party, M memory, J judged).
    """

    kind: str
    row: str
    source: str
    evidence: str


@record
class Assumption:
    """A choice that nobody stated: its permanent ``code``, the line (JSON Pointer; ``None`` for
    the whole formula) and the ``part`` of it, the ``value`` taken, and what it is worth: how many
    ``grams`` the line would move if the likeliest other choice were meant (``None``: not known).
    """

    code: str
    line: str | None
    part: str
    value: str
    grams: float | None
    detail: str


@record
class WeighedLine:
    """One item of a line, weighed.

    ``component`` and ``position`` index the formula's components and their ingredients; ``line``
    is the resolved line (text read, fields filled); ``code`` the ingredient's code in the tables
    (after ``part``: the white of an egg is ``egg-white``) or ``None`` where no table knows it;
    ``grams`` is ``None`` where it could not be weighed and ``reason`` then says why.
    ``otherwise``: codes of the ingredients that its name may mean as well, where nothing settles it;
    ``text_says``: codes that its text names while its fields, which decide, name another thing.
    ``left_to_cook``: the line states no amount. ``chosen``: ``False`` for optional lines that the
    caller left out.
    """

    component: int
    position: int
    pointer: str
    line: Line
    code: str | None
    name: str
    as_written: str
    grams: Band | None
    basis: Basis | None
    reason: str | None
    left_to_cook: bool
    group: str
    alternatives: tuple[WeighedLine, ...] = ()
    otherwise: tuple[str, ...] = ()
    text_says: tuple[str, ...] = ()

    def with_grams(self, grams: Band, code: str | None = None, line: Line | None = None) -> WeighedLine:
        """Give the line with another mass, as another ingredient or said otherwise."""
        return WeighedLine(
            self.component, self.position, self.pointer, line or self.line, code or self.code,
            self.name, self.as_written, grams, self.basis, self.reason, self.left_to_cook, self.group,
            self.alternatives, self.otherwise, self.text_says,
        )  # fmt: skip


@record
class Weighed:
    """A formula with its lines weighed and its totals taken.

    ``formula`` is the formula as given with its text lines read (one entry an item). ``totals``
    are keyed by the names in ``TOTALS``; ``None`` where an ingredient of unknown composition
    leaves even the band unknown. Lines that could not be weighed are in none of them, and make
    ``complete`` ``False``: it is ``True`` when every line with an amount weighs.
    ``group_totals`` gives the same for each baked group (contract: what is baked together).
    ``unknown`` names, for each total that it touches, what is in the formula of which the tables
    do not know how much of that total it holds: the total's value is then what is known, and its
    band reaches up to the most that the unknown could hold.
    """

    formula: Formula
    lines: tuple[WeighedLine, ...]
    totals: dict[str, Band | None]
    group_totals: dict[str, dict[str, Band | None]]
    assumptions: tuple[Assumption, ...]
    problems: tuple[Problem, ...]
    complete: bool
    unknown: dict[str, tuple[str, ...]] = field(default_factory=dict)


#: The totals that every weighing gives. Units: grams, but ``acids`` in milliequivalents.
TOTALS = (
    "grams", "flour", "water", "fat", "saturated", "sugars", "protein", "starch", "fibre",
    "salt", "sodium", "egg_white", "egg_yolk", "whole_egg", "acids", "alcohol",
)  # fmt: skip
