"""The changes that every view takes, in the one order in which they are applied."""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction

from service.domain.quantity import Quantity


@dataclass(frozen=True, slots=True)
class Choice:
    """``choose=<line>:<alternative|with|without>``: ``line`` is a JSON Pointer; ``take`` the index
    of the alternative (0 is the line's own), ``"with"`` or ``"without"``."""

    line: str
    take: str


@dataclass(frozen=True, slots=True)
class Amount:
    """A single amount with its unit as the caller wrote it: ``900g``, ``2 1/4 lb``."""

    quantity: Fraction
    unit: str


@dataclass(frozen=True, slots=True)
class Have:
    """``have=<ingredient>:<quantity><unit>``: what is at hand of one ingredient. ``unit`` is empty
    for a count (``have=egg:6``)."""

    ingredient: str
    quantity: Quantity
    unit: str


@dataclass(frozen=True, slots=True)
class Changes:
    """What to change before a view looks: choices, swaps, one scaling target, measures, rounding.

    At most one of the targets ``factor``, ``portions``, ``pieces``, ``mass``, ``flour`` and ``have``
    is set. ``piece_mass`` is the mass of a baked piece; ``bake_loss`` and ``scrap`` are shares, 0 to
    below 1, of what goes into the oven and of what is mixed. ``measures`` is one of
    ``formula.SYSTEMS``; ``as_`` is mass or volume; ``egg_grade`` a grade of the table ``eggs``;
    ``rounding`` is none, scale or kitchen; ``resolution`` is the scale's step. Units: grams.
    ``altitude`` is the height at which it is baked, in ``m`` or ``ft``: it moves no line, but the
    formula is judged for that height.
    """

    choose: tuple[Choice, ...] = ()
    swap: tuple[tuple[str, str], ...] = ()
    factor: Fraction | None = None
    portions: Fraction | None = None
    pieces: Fraction | None = None
    piece_mass: Amount | None = None
    bake_loss: Fraction | None = None
    scrap: Fraction | None = None
    mass: Amount | None = None
    flour: Amount | None = None
    have: tuple[Have, ...] = ()
    measures: str | None = None
    as_: str | None = None
    egg_grade: str | None = None
    altitude: Amount | None = None
    rounding: str | None = None
    resolution: Fraction | None = None


NO_CHANGES = Changes()

#: The targets of scaling, of which a caller names one at most.
TARGETS = ("factor", "portions", "pieces", "mass", "flour", "have")
