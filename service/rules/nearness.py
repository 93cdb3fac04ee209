"""A slip that strains nothing, and is seen in the whole all the same.

A doubled flour may leave every measure inside a wide range, each at the wrong end of it, or a few a
little outside, none so far that it warns. The slips of the table ``undoings`` are undone one at a time,
line by line, and one is told where

* the group lies far from the centres of its class's ranges, and undoing the slip brings the whole much
  nearer; or
* measures lie outside their ranges, and undoing the slip brings back all of them but a third.

How near a group lies is its unease, summed over the measures of the mix by the style that leaves it
least; salt, syrup and pulp are to taste and are left out.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import replace
from math import inf
from typing import NamedTuple

from service.domain.weighed import WeighedLine
from service.rules.judged import Judged
from service.rules.measures import MEASURES
from service.rules.styles import Key, held_by, of_the_mix, style_of, styles_here, unease_of
from service.tables.rule_rows import UndoingRow

_LEAST = "slip_least_unease"
#: Undoing a slip may leave one measure in so many outside, and bring one in so many out.
_BUT_ONE_IN = 3
#: Rules whose measures are to taste.
_TO_TASTE = ("SALT", "BAL-09", "BAL-10")


class Nearer(NamedTuple):
    """A slip undone: the ``line``, the row of the table, and the unease that is left."""

    line: WeighedLine
    row: UndoingRow
    unease: float


class _Whole(NamedTuple):
    """A group as it stands: its ``unease``, whether it is ``far`` from the centres of its class, and
    the measures that lie ``outside`` with the side on which they do."""

    unease: float
    far: bool
    outside: Mapping[Key, str]

    def by_itself(self, row: UndoingRow) -> float:
        """Give the share of the unease that may be left where nothing else tells the slip."""
        return row.share if self.far and row.share is not None else 0.0

    def brought_back(self, row: UndoingRow) -> float:
        """Give the share of the unease that may be left where measures are brought back."""
        many = len(self.outside) >= row.outside
        return row.share_outside if many and row.share_outside is not None else 0.0


def unease_of_whole(judged: Judged) -> float | None:
    """Give how far a group lies from its class's centres by the style that leaves it least; ``None``
    where its class is not known. Units: widths, summed over the measures."""
    unease = _least_unease(judged, inf) if judged.product_class else inf
    return unease if unease < inf else None


def _least_unease(judged: Judged, most: float) -> float:
    """Give the unease by the style that leaves it least; infinite where it is more than ``most``."""
    least = inf
    for style in styles_here(judged):
        least = min(least, _unease_by(judged, style, min(most, least)))
    return least


def _unease_by(judged: Judged, style: str | None, most: float) -> float:
    """Give the unease by one style; infinite where it is more than ``most``."""
    unease = 0.0
    for each in held_by(judged, style).values():
        if of_the_mix(each.rule) and not each.rule.startswith(_TO_TASTE):
            unease += unease_of(each.rows, each.found, each.band)
            if unease > most:
                return inf
    return unease


def _outside(judged: Judged) -> dict[Key, str]:
    """Give the measures of the mix that lie outside the rows of the group's style, with their side."""
    held = held_by(judged, style_of(judged))
    return {k: each.found.side for k, each in held.items() if each.found and of_the_mix(each.rule)}


def nearest_undoing(judged: Judged) -> Nearer | None:
    """Give the slip that brings a group nearest when it is undone; ``None`` where nothing lies outside
    and the group lies near enough (constant ``slip_least_unease``), or where none brings it much
    nearer."""
    enough, outside = judged.cupboard.constants[_LEAST].value, _outside(judged)
    if not outside and _unease_by(judged, style_of(judged), enough) < inf:
        return None
    unease = unease_of_whole(judged)
    if unease is None:
        return None
    whole = _Whole(unease, unease >= enough, outside)
    return min(_undone(judged, whole), key=lambda each: each.unease, default=None)


def _undone(judged: Judged, whole: _Whole) -> Iterator[Nearer]:
    """Undo each slip of the table, line by line, and give those that bring the whole near enough."""
    for row in judged.cupboard.undoings:
        by_itself, back = whole.unease * whole.by_itself(row), whole.unease * whole.brought_back(row)
        for line in judged.amounts.lines(row.kind) if by_itself or back else ():
            most = max(by_itself, back if _may_bring_back(judged, whole, line, row) else 0.0)
            if most <= 0:
                continue
            trial = _with(judged, line, row)
            left = _least_unease(trial, most)
            if left <= by_itself or (left <= back and _brings_back(whole, trial)):
                yield Nearer(line, row, left)


def _with(judged: Judged, line: WeighedLine, row: UndoingRow) -> Judged:
    """Give the group with a slip undone: the line's mass or, where the row names one, its ingredient."""
    if row.ingredient:
        return judged.with_exchanged((line, replace(line, code=row.ingredient)))
    return judged.with_line_times(line, row.factor)


def _may_bring_back(judged: Judged, whole: _Whole, line: WeighedLine, row: UndoingRow) -> bool:
    """Tell whether a slip undone moves all measures that lie outside, but a third, the right way."""
    contents = judged.amounts.contents
    moves = contents.of(line).moves
    if row.ingredient:
        moves |= contents.of_code(row.ingredient).moves
    stay = sum(not _moved_back(key, side, moves, row) for key, side in whole.outside.items())
    return stay <= len(whole.outside) // _BUT_ONE_IN


def _moved_back(key: Key, side: str, moves: frozenset[str], row: UndoingRow) -> bool:
    """Tell whether a change of some kinds can move a measure back; where both its sum and its divisor
    move, or it is more than a ratio, either way is open."""
    measure = MEASURES[key[1]]
    above, below = not moves.isdisjoint(measure.over), not moves.isdisjoint(measure.under)
    if row.ingredient or above == below:
        return not measure.rests_on.isdisjoint(moves)
    return (above == (row.factor > 1)) == (side == "low")


def _brings_back(whole: _Whole, trial: Judged) -> bool:
    """Tell whether a trial brings back all measures but a third, and hardly another passes out."""
    after, least = _outside(trial), len(whole.outside) // _BUT_ONE_IN
    stay = sum(key in whole.outside for key in after)
    return stay <= least and len(after) - stay <= least
