"""What is judged together: one baked group of a weighed formula."""

from __future__ import annotations

from dataclasses import dataclass, field, replace
from functools import cached_property
from typing import Protocol

from service.domain.band import Band
from service.domain.formula import Component, Formula
from service.domain.weighed import Weighed, WeighedLine
from service.rules.amounts import Amounts, Exchange
from service.rules.kinds import GAS, LEDGER, SOURED_GAS
from service.rules.ledger import Ledger, keep_ledger
from service.tables.cupboard import Cupboard

#: The group of what is baked together; every other component is a group of its own.
BAKED = "baked"


class Sized(Protocol):
    """A unit's size: metres for a length, millilitres for a volume, kelvin (with ``offset``) for a
    temperature."""

    @property
    def kind(self) -> str:
        """Give mass | volume | length | temperature | count | percent."""

    @property
    def size(self) -> float:
        """Give the size in the kind's base."""

    @property
    def offset(self) -> float:
        """Give the temperature that zero of the unit stands for, in kelvin."""


class Sizes(Protocol):
    """Finds a unit's size by its word, as the units room does."""

    def find(self, word: str, system: str) -> Sized | None:
        """Find the unit that a word means under a system of measures."""


@dataclass(eq=False)
class Judged:
    """One baked group. Nobody changes one (see ``service.domain.record``).

    ``group`` is its name (``baked`` for batter, dough, foam, preferment and swirl; else the
    component's own); ``lines`` are its weighed lines, ``components`` its components;
    ``product_class`` the stated class, else the one proposed, and ``class_stated`` tells which;
    ``altitude`` is the height at which it is baked, in metres, ``None`` where no caller says;
    ``market`` the market that a caller asks for.
    ``base`` is the group of which this one is a trial, with one line changed, and ``touched`` the
    kinds that the change moves: what rests on none of them is the base's.
    """

    weighed: Weighed
    formula: Formula
    group: str
    components: tuple[Component, ...]
    lines: tuple[WeighedLine, ...]
    product_class: str | None
    class_stated: bool
    cupboard: Cupboard
    sizes: Sizes | None = None
    altitude: float | None = None
    market: str | None = None
    base: Judged | None = field(default=None, repr=False)
    touched: frozenset[str] = frozenset()
    #: What was measured of the group so far, by the measure's name.
    measured: dict[str, Band | None] = field(default_factory=dict, init=False, repr=False)
    #: What rules worked out of the group once, for several of them.
    memo: dict[str, object] = field(default_factory=dict, init=False, repr=False)

    @cached_property
    def amounts(self) -> Amounts:
        """What the group holds, by kind."""
        return Amounts(self.lines, self.cupboard)

    @cached_property
    def ledger(self) -> Ledger:
        """The group's acid-base ledger."""
        flour, sugar = self.amounts.of("flour"), self.amounts.of("sugar")
        return keep_ledger(self.lines, flour, self.cupboard, sugar=sugar)

    @cached_property
    def complete(self) -> bool:
        """Whether every line with an amount was weighed, and is of an ingredient that a table knows:
        what a mass of the unknown does in the mix is not known."""
        return not self.amounts.unweighed and not self.unknown

    @cached_property
    def unknown(self) -> tuple[WeighedLine, ...]:
        """Lines of a written mass whose ingredient no table knows."""
        return tuple(line for line in self.lines if line.code is None and line.grams is not None)

    @property
    def liquid_share(self) -> float:
        """The share of the water of all lines that liquids, syrups and pulp bring."""
        share = self.amounts.of("liquid_water").per(self.amounts.of("water"))
        return 0.0 if share is None else share.value

    def amounts_of_role(self, role: str) -> Amounts | None:
        """Give what the components of one role hold; ``None`` where there is none."""
        indices = {i for i, component in enumerate(self.formula.components) if component.role == role}
        lines = [line for line in self.lines if line.component in indices]
        return Amounts(lines, self.cupboard) if lines else None

    @cached_property
    def flour_left_open(self) -> tuple[WeighedLine, ...]:
        """Lines of flour that state no amount: what is taken is not on the card."""
        return self.left_open("meal")

    @cached_property
    def liquid_left_open(self) -> tuple[WeighedLine, ...]:
        """Lines of liquid that state no amount: "milk to mix"."""
        return self.left_open("liquid")

    def left_open(self, *kinds: str) -> tuple[WeighedLine, ...]:
        """Give the lines of some kinds that state no amount and leave it to the cook."""
        return tuple(
            line
            for line in self.lines
            if line.grams is None
            and line.left_to_cook
            and line.code is not None
            and not self.amounts.contents.of_code(line.code).moves.isdisjoint(kinds)
        )

    @cached_property
    def method(self) -> tuple[str, ...]:
        """The sentences that say how the group is made: its components' and the formula's."""
        own = tuple(step for component in self.components for step in component.method)
        return own + self.formula.method

    def with_lines(self, lines: tuple[WeighedLine, ...]) -> Judged:
        """Give the group with other lines."""
        return replace(self, lines=lines, base=None, touched=frozenset())

    def moved(self, touched: frozenset[str]) -> frozenset[str]:
        """Give what a change of some kinds moves here: without a carbonate no acid frees gas."""
        if SOURED_GAS in touched and GAS not in touched and self.ledger.carbonate.high <= 0:
            return touched - {SOURED_GAS}
        return touched

    def with_line_times(self, line: WeighedLine, factor: float) -> Judged:
        """Give the group with one line's mass multiplied, its band with it."""
        if line.grams is None:
            return self
        more = line.with_grams(line.grams.times(factor))
        lines = tuple([more if each is line else each for each in self.lines])
        return self._trial(lines, *self.amounts.with_line(line, factor))

    def with_exchanged(self, *exchanges: Exchange) -> Judged:
        """Give the group with lines in the place of others, or more of them."""
        lines = self.lines
        for old, new in exchanges:
            if old is None:
                lines = (*lines, new)
            else:
                lines = tuple([new if each is old else each for each in lines])
        return self._trial(lines, *self.amounts.with_exchanged(exchanges))

    def _trial(
        self, lines: tuple[WeighedLine, ...], amounts: Amounts, touched: frozenset[str]
    ) -> Judged:
        """Give the group with other lines, of which the amounts are known."""
        touched = self.moved(touched)
        other = Judged(
            self.weighed, self.formula, self.group, self.components, lines, self.product_class,
            self.class_stated, self.cupboard, self.sizes, self.altitude, self.market, self, touched,
        )  # fmt: skip
        other.__dict__["amounts"] = amounts
        if LEDGER not in touched:
            other.__dict__["ledger"] = self.ledger
        return other
