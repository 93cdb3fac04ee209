"""A slip that strains nothing, and is seen in the whole all the same.

A doubled flour may leave every measure inside a wide range, each at the wrong end of it. Where a group
lies far from the centres of its class's ranges, the slips of the table ``undoings`` are undone one at a
time, line by line: the one that brings the whole much nearer is told. How near a group lies is its
unease, summed over the measures of the mix by the style that leaves it least; salt, syrup and pulp are
to taste and are left out.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from math import inf
from typing import NamedTuple

from service.domain.weighed import WeighedLine
from service.rules.judged import Judged
from service.rules.styles import held_by, of_the_mix, style_of, styles_of, unease_of
from service.tables.rule_rows import UndoingRow

_LEAST = "slip_least_unease"
#: A slip undone leads to one of so many styles, those that leave the group least uneasy as it stands.
_LIKELY = 3
#: Rules whose measures are to taste.
_TO_TASTE = ("SALT", "BAL-09", "BAL-10")


class Nearer(NamedTuple):
    """A slip undone: the ``line``, the row of the table, and the unease that is left."""

    line: WeighedLine
    row: UndoingRow
    unease: float


def unease_of_whole(judged: Judged) -> float | None:
    """Give how far a group lies from its class's centres by the style that leaves it least; ``None``
    where its class is not known. Units: widths, summed over the measures."""
    return min((unease for unease, _ in _by_style(judged)), default=None)


def _by_style(judged: Judged) -> list[tuple[float, str | None]]:
    """Give the unease by each style of the class, the least first."""
    styles = styles_of(judged.product_class, judged.cupboard) if judged.product_class else ()
    by_style = [(_unease_by(judged, style, inf), style) for style in styles]
    return sorted(by_style, key=lambda each: each[0])


def _unease_by(judged: Judged, style: str | None, most: float) -> float:
    """Give the unease by one style; infinite where it is more than ``most``."""
    unease = 0.0
    for each in held_by(judged, style).values():
        if of_the_mix(each.rule) and not each.rule.startswith(_TO_TASTE):
            unease += unease_of(each.rows, each.found, each.band)
            if unease > most:
                return inf
    return unease


def nearest_undoing(judged: Judged) -> Nearer | None:
    """Give the slip that brings a group nearest when it is undone; ``None`` where the group lies near
    enough (constant ``slip_least_unease``) or none brings it much nearer."""
    enough = judged.cupboard.constants[_LEAST].value
    if _unease_by(judged, style_of(judged), enough) < inf:
        return None
    nearest = _by_style(judged)[:_LIKELY]
    if not nearest or nearest[0][0] < enough:
        return None
    styles = [style for _, style in nearest]
    return min(_undone(judged, nearest[0][0], styles), key=lambda each: each.unease, default=None)


def _undone(judged: Judged, unease: float, styles: Sequence[str | None]) -> Iterator[Nearer]:
    """Undo each slip of the table, line by line, and give those that bring the whole near enough."""
    for row in judged.cupboard.undoings:
        for line in judged.amounts.lines(row.kind):
            trial, most = judged.with_line_times(line, row.factor), unease * row.share
            left = min(_unease_by(trial, style, most) for style in styles)
            if left < inf:
                yield Nearer(line, row, left)
