"""From a scaling target to the factor that reaches it on this formula."""

from __future__ import annotations

from dataclasses import dataclass, replace
from fractions import Fraction

from service.changes.amounts import tidy
from service.changes.athand import factor_at_hand
from service.changes.bench import Bench, places, refuse
from service.domain.changes import TARGETS, Amount, Changes
from service.domain.faults import do_not_fit, several_targets
from service.domain.formula import Dimension, Formula, Yield
from service.domain.quantity import Quantity, write_fraction
from service.domain.weighed import Assumption, Weighed
from service.errors import Fault, Invalid
from service.weighing.customs import customs_of
from service.weighing.percent import yield_mass


@dataclass(frozen=True, slots=True)
class Aim:
    """The factor, the formula that it is applied to (percentages may need a mass first), and the
    pieces that the target itself states."""

    formula: Formula
    factor: Fraction
    pieces: Quantity | None = None
    piece_mass: Dimension | None = None


def grams_of(amount: Amount, parameter: str, bench: Bench, formula: Formula) -> Fraction:
    """Give an amount of mass in grams. Raises: Invalid where its unit is no mass."""
    unit = bench.unit(amount.unit, formula)
    if not amount.unit or unit is None or unit.kind != "mass":
        detail = f"{parameter} is in {amount.unit!r}; it takes a unit of mass, such as g, kg, oz or lb."
        raise refuse(parameter, "unknown-unit", detail)
    return amount.quantity * unit.exact


def _middle(quantity: Quantity, what: str, bench: Bench) -> Fraction:
    """Give a yield's amount; of a range the middle, which is an assumption."""
    if quantity.low != quantity.high:
        value = write_fraction(quantity.middle)
        said = f"{write_fraction(quantity.low)} to {write_fraction(quantity.high)}"
        detail = f"the formula makes {said} {what}; its middle is scaled from"
        bench.assumptions.append(Assumption("yield-range", None, what, value, None, detail))
    return quantity.middle


def _by_portions(formula: Formula, asked: Fraction, bench: Bench) -> Aim:
    """Scale by the portions that the formula states, else by its pieces, one a portion."""
    yields = formula.yields or Yield()
    if yields.portions is not None:
        return Aim(formula, asked / _middle(yields.portions, "portions", bench))
    if yields.pieces is not None:
        detail = "the formula states pieces and no portions; a piece is taken as a portion"
        bench.assumptions.append(Assumption("piece-is-portion", None, "portions", "1", None, detail))
        return Aim(formula, asked / _middle(yields.pieces, "pieces", bench))
    detail = "The formula does not say how many portions it makes (yield.portions)."
    raise refuse("portions", "yield-missing", detail)


def _by_pieces(formula: Formula, pieces: Fraction, changes: Changes, bench: Bench) -> Aim:
    """Scale to pieces of a mass, else by the pieces that the formula states.

    What is mixed is what the pieces weigh, over what is left after scrap and after the oven.
    """
    yields = formula.yields or Yield()
    asked = Quantity.of(pieces)
    kept = (1 - (changes.scrap or Fraction(0))) * (1 - (changes.bake_loss or Fraction(0)))
    mass = _piece_mass(changes, yields)
    by_percent = mass is not None and _all_percent(bench.opened(formula)) is not None
    if changes.piece_mass is None and yields.pieces is not None and not by_percent:
        factor = pieces / _middle(yields.pieces, "pieces", bench)
        return Aim(formula, factor / kept, asked, yields.piece_mass)
    if mass is None:
        detail = "Neither piece_mass nor the formula's own yield says what a piece is."
        raise refuse("pieces", "yield-missing", detail)
    needed = pieces * grams_of(mass, "piece_mass", bench, formula) / kept
    aim = _mixing(formula, needed) if by_percent else _to_mass(formula, needed, "pieces", bench)
    return replace(aim, pieces=asked, piece_mass=Dimension(Quantity.of(mass.quantity), mass.unit))


def _piece_mass(changes: Changes, yields: Yield) -> Amount | None:
    """Give the mass of a piece: the asked one, else the formula's own."""
    if changes.piece_mass is not None or yields.piece_mass is None:
        return changes.piece_mass
    return Amount(yields.piece_mass.value.middle, yields.piece_mass.unit)


def _all_percent(formula: Formula) -> Fraction | None:
    """Give the sum of the lines where every amount is a percentage of flour; else ``None``."""
    stated = [line for _, line in places(formula) if line.quantity is not None]
    if not stated or any(line.unit != "%" for line in stated):
        return None
    return sum((line.quantity.middle for line in stated if line.quantity), Fraction(0))


def _refuse_unweighed(weighed: Weighed, parameter: str, *, of_flour: bool, bench: Bench) -> None:
    """Refuse a target of mass where what it is measured by is not known. Raises: Invalid."""
    faults = []
    for line in weighed.lines:
        if line.grams is not None or line.left_to_cook or line.reason == "not-an-ingredient":
            continue
        row = bench.scales.cupboard.ingredients.get(line.code or "")
        if of_flour and row is not None and row.flour == 0:
            continue
        detail = f"{line.pointer} ({line.as_written}) does not weigh: {line.reason}."
        faults.append(Fault("unweighed", detail, parameter=parameter))
    if faults:
        raise Invalid("The formula's mass is not known.", faults=tuple(faults))


def _to_mass(formula: Formula, grams: Fraction, parameter: str, bench: Bench) -> Aim:
    """Scale to a mass of all lines together."""
    if _all_percent(bench.opened(formula)) is not None:
        return _making(formula, grams, bench)
    weighed = bench.weigh(formula)
    _refuse_unweighed(weighed, parameter, of_flour=False, bench=bench)
    total = weighed.totals["grams"]
    if total is None or total.value <= 0:
        raise refuse(parameter, "unweighed", "The formula has no mass to scale from.")
    return Aim(formula, tidy(grams / Fraction(total.value)))


def _making(formula: Formula, grams: Fraction, bench: Bench) -> Aim:
    """Let a formula of percentages make a mass: by its yield's own factor where it states one."""
    made = yield_mass(formula, bench.scales.measures, customs_of(formula).system)
    if made is not None and made.value > 0:
        return Aim(formula, tidy(grams / Fraction(made.value)))
    return _mixing(formula, grams)


def _mixing(formula: Formula, grams: Fraction) -> Aim:
    """State the mass that is mixed of a formula of percentages."""
    mass = Dimension(Quantity.of(tidy(grams)), "g")
    yields = replace(formula.yields or Yield(), mass=mass)
    return Aim(replace(formula, yields=yields), Fraction(1))


def _by_flour(formula: Formula, asked: Amount, bench: Bench) -> Aim:
    """Scale to a mass of flour."""
    grams = grams_of(asked, "flour", bench, formula)
    percents = _all_percent(bench.opened(formula))
    if percents is not None:
        return _making(formula, grams * percents / 100, bench)
    weighed = bench.weigh(formula)
    _refuse_unweighed(weighed, "flour", of_flour=True, bench=bench)
    flour = weighed.totals["flour"]
    if flour is None or flour.value <= 0:
        raise refuse("flour", "no-flour", "The formula has no flour to scale by.")
    return Aim(formula, tidy(grams / Fraction(flour.value)))


def factor_of(formula: Formula, changes: Changes, bench: Bench) -> Aim:
    """Give the aim of the one target that the changes name. Raises: Invalid."""
    named = [name for name in TARGETS if getattr(changes, name)]
    if len(named) > 1:
        raise do_not_fit(several_targets(named))
    if changes.factor is not None:
        return Aim(formula, changes.factor)
    if changes.portions is not None:
        return _by_portions(formula, changes.portions, bench)
    if changes.pieces is not None:
        return _by_pieces(formula, changes.pieces, changes, bench)
    if changes.mass is not None:
        return _to_mass(formula, grams_of(changes.mass, "mass", bench, formula), "mass", bench)
    if changes.flour is not None:
        return _by_flour(formula, changes.flour, bench)
    return Aim(formula, factor_at_hand(formula, changes.have, bench))
