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
class Have:
    """``have=<ingredient>:<quantity><unit>``: what is at hand of one ingredient."""

    ingredient: str
    quantity: Quantity
    unit: str


@dataclass(frozen=True, slots=True)
class Changes:
    """What to change before a view looks: choices, one scaling target, measures, rounding.

    At most one of ``factor``, ``portions``, ``mass_grams``, ``flour_grams`` and ``have`` is set.
    ``rounding``: none | scale | kitchen; ``resolution`` in grams. ``as_`` is mass or volume.
    """

    choose: tuple[Choice, ...] = ()
    swap: tuple[tuple[str, str], ...] = ()
    factor: Fraction | None = None
    portions: Fraction | None = None
    mass_grams: float | None = None
    flour_grams: float | None = None
    have: tuple[Have, ...] = ()
    measures: str | None = None
    as_: str | None = None
    rounding: str | None = None
    resolution: float | None = None


NO_CHANGES = Changes()
