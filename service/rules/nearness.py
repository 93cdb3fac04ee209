"""A slip that strains nothing, and is seen in the whole all the same.

A doubled flour may leave every measure inside a wide range, each at the wrong end of it. Where a group
lies far from the centres of its class's ranges, the slips of the table ``undoings`` are undone one at a
time, line by line: the one that brings the whole much nearer is told. How near a group lies is its
unease, summed over the measures of the mix by the style that leaves it least; salt, syrup and pulp are
to taste and are left out.
"""

from __future__ import annotations

from collections.abc import Iterator
from typing import NamedTuple

from service.domain.weighed import WeighedLine
from service.rules.judged import Judged
from service.rules.styles import held_by, of_the_mix, styles_of, unease_of
from service.tables.rule_rows import UndoingRow

_LEAST = "slip_least_unease"
#: Rules whose measures are to taste.
_TO_TASTE = ("SALT", "BAL-09", "BAL-10")


class Nearer(NamedTuple):
    """A slip undone: the ``line``, the row of the table, and the unease that is left."""

    line: WeighedLine
    row: UndoingRow
    unease: float


def unease_of_whole(judged: Judged, most: float = float("inf")) -> float | None:
    """Give how far a group lies from its class's centres by the style that leaves it least; ``None``
    where that is more than ``most``. Units: widths, summed over the measures."""
    least: float | None = None
    for style in styles_of(judged.product_class, judged.cupboard):
        unease = _unease_by(judged, style, most)
        if unease is not None:
            least = most = unease
    return least


def _unease_by(judged: Judged, style: str | None, most: float) -> float | None:
    unease = 0.0
    for each in held_by(judged, style).values():
        if of_the_mix(each.rule) and not each.rule.startswith(_TO_TASTE):
            unease += unease_of(each.rows, each.found, each.band)
            if unease > most:
                return None
    return unease


def nearest_undoing(judged: Judged) -> Nearer | None:
    """Give the slip that brings a group nearest when it is undone; ``None`` where the group lies near
    enough (constant ``slip_least_unease``) or none brings it much nearer."""
    unease = unease_of_whole(judged)
    if unease is None or unease < judged.cupboard.constants[_LEAST].value:
        return None
    return min(_undone(judged, unease), key=lambda each: each.unease, default=None)


def _undone(judged: Judged, unease: float) -> Iterator[Nearer]:
    """Undo each slip of the table, line by line, and give those that bring the whole near enough."""
    for row in judged.cupboard.undoings:
        for line in judged.amounts.lines(row.kind):
            left = unease_of_whole(judged.with_line_times(line, row.factor), unease * row.share)
            if left is not None:
                yield Nearer(line, row, left)
