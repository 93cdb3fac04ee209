"""The amounts of a baked group by kind, summed over its lines. What a gram of a line brings stands in
``kinds``.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from service.domain.band import ZERO, Band
from service.domain.weighed import WeighedLine
from service.rules.kinds import Contents, Shares, contents_of
from service.tables.cupboard import Cupboard

#: A line with the one that takes its place; ``None`` for a line that is new.
Exchange = tuple[WeighedLine | None, WeighedLine]


@dataclass(slots=True)
class _Sum:
    """What there is of a kind, with the lines that bring it. Nobody changes one that is shared."""

    value: float
    low: float
    high: float
    lines: list[WeighedLine]


class Amounts:
    """The amounts of a group by kind, each with its band and the lines that bring it."""

    def __init__(self, lines: Iterable[WeighedLine], cupboard: Cupboard) -> None:
        self.contents: Contents = contents_of(cupboard)
        self._sums: dict[str, _Sum] = {}
        unweighed = []
        for line in lines:
            if line.grams is not None:
                self._add(line, line.grams, self.contents.of(line).shares)
            elif not line.left_to_cook and line.reason != "not-an-ingredient":
                unweighed.append(line)
        #: Lines that state an amount and could not be weighed.
        self.unweighed: tuple[WeighedLine, ...] = tuple(unweighed)

    def _add(self, line: WeighedLine, grams: Band, shares: Shares) -> None:
        value, low, high, sums = grams.value, grams.low, grams.high, self._sums
        for kind, share in shares:
            found = sums.get(kind)
            if found is None:
                sums[kind] = _Sum(value * share, low * share, high * share, [line])
                continue
            found.value += value * share
            found.low += low * share
            found.high += high * share
            found.lines.append(line)

    def _like(self) -> Amounts:
        """Give the same amounts once more, of which sums may be put in the place of others."""
        other = Amounts.__new__(Amounts)
        other.contents, other.unweighed, other._sums = self.contents, self.unweighed, dict(self._sums)
        return other

    def with_line(self, line: WeighedLine, factor: float) -> tuple[Amounts, frozenset[str]]:
        """Give the amounts with one line's mass multiplied, and what that moves. Units: ``factor`` zero
        or more."""
        other, gram = self._like(), self.contents.of(line)
        if line.grams is None:
            return other, gram.moves
        more, sums = factor - 1, other._sums
        value, low, high = more * line.grams.value, more * line.grams.low, more * line.grams.high
        for kind, share in gram.shares:
            had = sums[kind]
            sums[kind] = _Sum(
                had.value + value * share, had.low + low * share, had.high + high * share, had.lines
            )
        return other, gram.moves

    def with_exchanged(self, exchanges: Iterable[Exchange]) -> tuple[Amounts, frozenset[str]]:
        """Give the amounts with lines in the place of others, or more of them, and what that moves."""
        other, moves = self._like(), frozenset[str]()
        for old, new in exchanges:
            gram = self.contents.of(new)
            moves |= gram.moves
            had = gram if old is None else self.contents.of(old)
            if old is not None and had is gram and old.grams is not None and new.grams is not None:
                other._swap(old, old.grams, new, new.grams, gram.shares)
                continue
            if old is not None and old.grams is not None:
                moves |= had.moves
                other._take(old, old.grams, had.shares)
            if new.grams is not None:
                other._put(new, new.grams, gram.shares)
        return other, moves

    def _swap(self, old: WeighedLine, was: Band, new: WeighedLine, now: Band, shares: Shares) -> None:
        """Take a line away and add another that brings the same: ``_take`` and ``_put`` in one."""
        sums = self._sums
        for kind, share in shares:
            had = sums[kind]
            if len(had.lines) == 1:
                sums[kind] = _Sum(now.value * share, now.low * share, now.high * share, [new])
                continue
            sums[kind] = _Sum(
                max(0.0, had.value - was.value * share) + now.value * share,
                max(0.0, had.low - was.low * share) + now.low * share,
                max(0.0, had.high - was.high * share) + now.high * share,
                [*(each for each in had.lines if each is not old), new],
            )

    def _put(self, line: WeighedLine, grams: Band, shares: Shares) -> None:
        """Add a line as ``_add`` does, and leave the sums that others share as they are."""
        value, low, high, sums = grams.value, grams.low, grams.high, self._sums
        for kind, share in shares:
            had = sums.get(kind)
            if had is None:
                sums[kind] = _Sum(value * share, low * share, high * share, [line])
                continue
            sums[kind] = _Sum(
                had.value + value * share, had.low + low * share, had.high + high * share,
                [*had.lines, line],
            )  # fmt: skip

    def _take(self, line: WeighedLine, grams: Band, shares: Shares) -> None:
        """Take a line away; a kind that no other line brings goes with it, to the last digit."""
        value, low, high, sums = grams.value, grams.low, grams.high, self._sums
        for kind, share in shares:
            had = sums.get(kind)
            left = [] if had is None else [each for each in had.lines if each is not line]
            if had is None or not left:
                sums.pop(kind, None)
                continue
            sums[kind] = _Sum(
                max(0.0, had.value - value * share),
                max(0.0, had.low - low * share),
                max(0.0, had.high - high * share),
                left,
            )

    def of(self, *kinds: str) -> Band:
        """Give the sum of some kinds. Units: grams, ``sodium`` mg."""
        value = low = high = 0.0
        for kind in kinds:
            found = self._sums.get(kind)
            if found is not None:
                value, low, high = value + found.value, low + found.low, high + found.high
        return Band(value, low, high) if high else ZERO

    def share(self, over: tuple[str, ...], under: tuple[str, ...], scale: float) -> Band | None:
        """Give the sum of some kinds over that of others, times ``scale``; ``None`` where the divisor
        may be nothing. (This is ``of`` and ``Band.per`` in one: most of the checks' time goes here.)"""
        sums = self._sums
        by_value = by_low = by_high = 0.0
        for kind in under:
            found = sums.get(kind)
            if found is not None:
                by_value += found.value
                by_low += found.low
                by_high += found.high
        if by_low <= 0:
            return None
        value = low = high = 0.0
        for kind in over:
            found = sums.get(kind)
            if found is not None:
                value += found.value
                low += found.low
                high += found.high
        return Band(scale * value / by_value, scale * low / by_high, scale * high / by_low)

    def has(self, kind: str) -> bool:
        """Tell whether there is any of a kind."""
        found = self._sums.get(kind)
        return found is not None and found.value > 0

    def lines(self, *kinds: str) -> tuple[WeighedLine, ...]:
        """Give the lines that bring some kinds, the heaviest first, each once."""
        several = [self._sums[kind].lines for kind in kinds if kind in self._sums]
        if not several:
            return ()
        found = {id(line): line for lines in several for line in lines}
        return tuple(sorted(found.values(), key=lambda line: -(line.grams.value if line.grams else 0)))
