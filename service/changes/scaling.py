"""Scale a formula by one exact factor: every amount, each line's own words, and the yield.

Lines in percent of flour stay: they follow the flour. Pans, oven and method stay as written, and a
note says so where they speak of amounts.
"""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction
from itertools import pairwise

from service.changes.bench import Bench, Place, places, with_lines
from service.changes.targets import factor_of
from service.changes.wording import Wording
from service.domain.changes import TARGETS, Changes
from service.domain.formula import Dimension, Equivalent, Formula, Line, Yield
from service.domain.quantity import LARGEST, Quantity, write_fraction
from service.errors import Fault, Invalid

#: Beyond this denominator an amount cannot travel exactly (twelve digits are read back); it is then
#: taken as the nearest one within it, which moves it by less than one part in 10^12.
FINEST = 10**12


def scale(formula: Formula, changes: Changes, bench: Bench) -> Formula:
    """Scale to the target that the changes name; without one the same formula comes back.

    Raises: Invalid, naming the target's parameter: it does not fit this formula, or the result is
    beyond the bounds of a formula.
    """
    target = next((name for name in TARGETS if getattr(changes, name)), None)
    if target is None:
        return formula
    aim = factor_of(formula, changes, bench)
    bench.factor = aim.factor
    scaled = scaled_by(aim.formula, aim.factor, bench)
    if aim.pieces is not None:
        yields = replace(scaled.yields or Yield(), pieces=aim.pieces, piece_mass=aim.piece_mass)
        scaled = replace(scaled, yields=yields)
    _refuse_beyond_bounds(scaled, target)
    return scaled


def scaled_by(formula: Formula, factor: Fraction, bench: Bench) -> Formula:
    """Scale every amount of a formula by an exact factor."""
    if factor == 1:
        return formula
    opened = bench.opened(formula)
    wording = Wording(bench, opened, opened)

    def change(_: Place, line: Line) -> Line:
        return wording.reworded(line, _scaled_line(line, factor, opened, bench))

    scaled = with_lines(opened, change)
    bench.notes.extend(_left_as_written(formula, factor, bench))
    return replace(scaled, yields=_scaled_yield(formula.yields, factor))


def _times(quantity: Quantity | None, factor: Fraction) -> Quantity | None:
    if quantity is None:
        return None
    product = quantity.times(factor)
    if max(product.low.denominator, product.high.denominator) <= FINEST:
        return product
    return Quantity(product.low.limit_denominator(FINEST), product.high.limit_denominator(FINEST))


def _scaled_line(line: Line, factor: Fraction, formula: Formula, bench: Bench) -> Line:
    """Scale a line's amount, its equivalent and its alternatives; a percentage stays."""
    unit = bench.unit(line.unit, formula)
    by_flour = unit is not None and unit.kind == "percent"
    same = line.equivalent
    if same is not None:
        same = Equivalent(_times(same.quantity, factor) or same.quantity, same.unit)
    return replace(
        line,
        quantity=line.quantity if by_flour else _times(line.quantity, factor),
        equivalent=same,
        alternatives=tuple(_scaled_line(each, factor, formula, bench) for each in line.alternatives),
    )


def _scaled_dimension(dimension: Dimension | None, factor: Fraction) -> Dimension | None:
    if dimension is None:
        return None
    return Dimension(_times(dimension.value, factor) or dimension.value, dimension.unit)


def _scaled_yield(yields: Yield | None, factor: Fraction) -> Yield | None:
    """Scale what is made; the mass of one piece stays."""
    if yields is None:
        return None
    return replace(
        yields,
        portions=_times(yields.portions, factor),
        pieces=_times(yields.pieces, factor),
        mass=_scaled_dimension(yields.mass, factor),
    )


def _left_as_written(formula: Formula, factor: Fraction, bench: Bench) -> list[str]:
    """Say which parts of the formula were not scaled although they speak of amounts."""
    notes = []
    times = write_fraction(factor)
    if formula.pans:
        notes.append(f"pans stay as given: they would hold {times} times as much as before")
    steps = [*formula.method, *(step for part in formula.components for step in part.method)]
    if any(_speaks_of_amounts(step, formula, bench) for step in steps):
        notes.append(f"the method stays as written: amounts in its words are not scaled by {times}")
    lines = [line for _, line in places(bench.opened(formula))]
    if lines and formula.yields is None and all(line.unit == "%" for line in lines):
        notes.append("all lines are percentages and nothing says how much is made: nothing to scale")
    return notes


def _speaks_of_amounts(step: str, formula: Formula, bench: Bench) -> bool:
    """Tell whether a step of the method names an amount of a mass or a volume."""
    words = step.replace("(", " ").replace(")", " ").split()
    for number, word in pairwise(words):
        if number[0].isnumeric() and not number[-1].isalpha():
            unit = bench.unit(word.strip(".,;"), formula)
            if unit is not None and unit.kind in ("mass", "volume"):
                return True
    return False


def _beyond(quantity: Quantity | None) -> bool:
    return quantity is not None and not 0 < quantity.low <= quantity.high <= LARGEST


def _refuse_beyond_bounds(formula: Formula, target: str) -> None:
    """Refuse a result that would be refused as an input. Raises: Invalid."""
    faults = []
    for (component, position), line in places(formula):
        amounts = [line.quantity, line.equivalent.quantity if line.equivalent else None]
        amounts += [each.quantity for each in line.alternatives]
        if any(_beyond(amount) for amount in amounts):
            pointer = f"/components/{component}/ingredients/{position}"
            detail = f"{pointer}: the result is beyond the bounds (above 0, at most {LARGEST})."
            faults.append(Fault("out-of-bounds", detail, parameter=target))
    yields = formula.yields
    if yields and any(_beyond(each) for each in (yields.portions, yields.pieces)):
        detail = f"/yield: the result is beyond the bounds (above 0, at most {LARGEST})."
        faults.append(Fault("out-of-bounds", detail, parameter=target))
    if faults:
        raise Invalid("The result would not be a formula.", faults=tuple(faults))
