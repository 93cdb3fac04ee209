"""Lines in percent of the formula's flour, weighed once something gives the flour a mass.

In this order: flour that other lines weigh; a percent line that also has a mass; the yield's mass,
or its pieces times their mass, taken as the mass of what is mixed (contract, section 3).
"""

from __future__ import annotations

from dataclasses import dataclass

from service.domain.band import Band
from service.domain.formula import Dimension, Formula
from service.domain.quantity import Quantity
from service.domain.weighed import Basis, WeighedLine
from service.units.measures import Measures

#: The definition is the trade's, so it needs no table: all flour of the formula is 100.
BASIS = Basis("percent", "percent:flour", "baker's percentage: all flour of the formula is 100", "R")
YIELD_TAKEN = "yield-taken-as-mixed"


@dataclass(frozen=True, slots=True)
class Flour:
    """The formula's flour in grams, and how it was found (``None``: by the lines)."""

    grams: Band
    assumed: str | None = None


def grams_of(dimension: Dimension, measures: Measures, system: str) -> Band | None:
    """Give a stated mass in grams; ``None`` where its unit is no mass."""
    unit = measures.find(dimension.unit, system)
    if unit is None or unit.kind != "mass":
        return None
    return _amount(dimension.value).times(unit.size)


def _amount(quantity: Quantity) -> Band:
    return Band(float(quantity.middle), float(quantity.low), float(quantity.high))


def yield_mass(formula: Formula, measures: Measures, system: str) -> Band | None:
    """Give the mass that the formula says it makes."""
    makes = formula.yields
    if makes is None:
        return None
    if makes.mass is not None:
        return grams_of(makes.mass, measures, system)
    if makes.pieces is None or makes.piece_mass is None:
        return None
    piece = grams_of(makes.piece_mass, measures, system)
    return None if piece is None else piece.times_band(_amount(makes.pieces))


def percent_of(line: WeighedLine, measures: Measures, system: str) -> Band | None:
    """Give a line's stated percentage; ``None`` for a line that states none."""
    if line.line.unit is None or line.line.quantity is None:
        return None
    unit = measures.find(line.line.unit, system)
    return _amount(line.line.quantity) if unit is not None and unit.kind == "percent" else None


def find_flour(
    weighed: list[tuple[Band, float]],
    stated: list[tuple[Band, float, Band | None]],
    made: Band | None,
) -> Flour | None:
    """Find the flour of a formula with percent lines.

    Shapes: ``weighed`` has each weighed line's grams with its share of flour; ``stated`` each percent
    line's percentage, share of flour, and its own mass where it has one; ``made`` is the yield.
    """
    flour = sum(grams.value * share for grams, share in weighed)
    flour_percent = sum(percent.value * share for percent, share, mass in stated if mass is None)
    if flour > 0:
        if flour_percent >= 100:
            return None
        rest = 1 - flour_percent / 100
        low = sum(grams.low * share for grams, share in weighed)
        high = sum(grams.high * share for grams, share in weighed)
        return Flour(Band(flour / rest, low / rest, high / rest))
    for percent, _, mass in stated:
        if mass is not None:
            found = mass.times(100).per(percent)
            return None if found is None else Flour(found)
    return _by_yield(weighed, stated, made)


def _by_yield(
    weighed: list[tuple[Band, float]], stated: list[tuple[Band, float, Band | None]], mass: Band | None
) -> Flour | None:
    if mass is None:
        return None
    for grams, _ in weighed:
        mass = mass.minus(grams)
    if mass.low <= 0:
        return None
    percents = [percent for percent, _, _ in stated]
    whole = Band(*(sum(getattr(p, end) for p in percents) for end in ("value", "low", "high")))
    found = mass.times(100).per(whole)
    return None if found is None else Flour(found, YIELD_TAKEN)
