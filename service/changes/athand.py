"""Scale to what is at hand: how many times the formula can be made of each, the scarcest decides.

An egg at hand gives one white and one yolk, a lemon its juice and its rind: what a formula takes of
the parts is counted against the whole, and the part that is needed most often decides.
"""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction
from functools import partial

from service.changes.amounts import tidy
from service.changes.bench import Bench, refuse
from service.domain.changes import Have
from service.domain.faults import faults_in, suggestion
from service.domain.formula import Component, Formula, Line
from service.domain.quantity import Quantity, write_fraction
from service.domain.weighed import Weighed, WeighedLine
from service.errors import Invalid
from service.weighing.customs import customs_of


def factor_at_hand(formula: Formula, haves: tuple[Have, ...], bench: Bench) -> Fraction:
    """Give the least factor of all that is at hand, and say each in the notes.

    Raises: Invalid, with one fault for each that does not fit the formula.
    """
    weighed = bench.weigh(formula)
    try:
        factors = [_factor(have, formula, weighed, bench) for have in haves]
    except Invalid:
        every = (partial(_factor, have, formula, weighed, bench) for have in haves)
        raise Invalid("What is at hand does not fit the formula.", faults=faults_in(*every)) from None
    least = min(factors)
    for factor, have in zip(factors, haves, strict=True):
        decides = ": the scarcest, which decides" if factor == least else ""
        amount = f"{write_fraction(have.quantity.middle)} {have.unit}".strip()
        times = f"{float(factor):.4g}"
        bench.notes.append(f"{have.ingredient} at hand ({amount}) is enough for {times} times{decides}")
    return least


def _probed(lines: tuple[Line, ...], formula: Formula, bench: Bench) -> list[float | None]:
    """Weigh lines by themselves under a formula's customs. Units: grams."""
    alone = replace(formula, components=(Component(ingredients=lines),), pans=(), yields=None)
    return [line.grams.value if line.grams else None for line in bench.scales.weigh(alone).lines]


def _code_of(have: Have, formula: Formula, weighed: Weighed, bench: Bench) -> str:
    """Find the ingredient that is at hand. Raises: Invalid, with the nearest of the formula."""
    customs = customs_of(formula)
    row = bench.scales.cupboard.find_name(have.ingredient, customs.system, customs.language)
    codes = {line.code for line in weighed.lines if line.code}
    if row is not None:
        becomes = bench.scales.cupboard.parts.get((row.code, row.part)) if row.part else None
        return becomes.becomes if becomes is not None else row.code
    names = sorted(codes | {line.name for line in weighed.lines})
    hint = suggestion(have.ingredient, names)
    raise refuse("have", "unknown-ingredient", f"No table knows {have.ingredient!r}.{hint}")


def _factor(have: Have, formula: Formula, weighed: Weighed, bench: Bench) -> Fraction:
    """Give how many times the formula can be made of one thing at hand. Raises: Invalid."""
    code = _code_of(have, formula, weighed, bench)
    parts = _parts_of(code, bench)
    lines = [line for line in weighed.lines if line.code in parts and not line.left_to_cook]
    if not lines:
        names = sorted({line.code for line in weighed.lines if line.code})
        detail = f"The formula has no {have.ingredient!r}.{suggestion(code, names)}"
        raise refuse("have", "not-in-formula", detail)
    counted = _by_count(have, lines, formula, bench)
    if counted is not None:
        return counted
    unweighed = [line for line in lines if line.grams is None]
    if unweighed:
        said = ", ".join(f"{line.pointer} ({line.as_written})" for line in unweighed)
        raise refuse("have", "unweighed", f"{have.ingredient}: no weight is known of {said}.")
    needed = _needed(code, lines, parts, formula, bench)
    unit = have.unit or "each"
    (at_hand,) = _probed((Line(ingredient=code, quantity=have.quantity, unit=unit),), formula, bench)
    if at_hand is None or not needed:
        said = f"{write_fraction(have.quantity.middle)} {have.unit}".strip()
        raise refuse("have", "unknown-unit", f"{have.ingredient}: no weight is known of {said}.")
    return tidy(Fraction(at_hand) / Fraction(needed))


def _parts_of(code: str, bench: Bench) -> dict[str, str]:
    """Give the codes that come out of one ingredient with the part that each is: itself none."""
    rows = bench.scales.cupboard.parts.values()
    return {code: "", **{row.becomes: row.part for row in rows if row.ingredient == code}}


def _by_count(have: Have, lines: list[WeighedLine], formula: Formula, bench: Bench) -> Fraction | None:
    """Divide amounts in one unit exactly, where all lines and what is at hand share it."""
    at_hand = bench.unit(have.unit, formula)
    total = Fraction(0)
    for line in lines:
        unit = bench.unit(line.line.unit, formula)
        plain = line.line.part is None and line.line.equivalent is None and not line.line.state
        if unit is None or at_hand is None or line.line.quantity is None or not plain:
            return None
        if unit.kind != at_hand.kind or (unit.kind == "count" and unit.code != at_hand.code):
            return None
        if line.code != lines[0].code or line.line.level is not None:
            return None
        total += line.line.quantity.middle * unit.exact
    return have.quantity.middle * at_hand.exact / total if at_hand and total else None


def _needed(
    code: str, lines: list[WeighedLine], parts: dict[str, str], formula: Formula, bench: Bench
) -> float | None:
    """Give the grams of the whole ingredient that the formula takes, parts counted as wholes."""
    of_parts: dict[str, float] = {}
    for line in lines:
        grams = line.grams.value if line.grams else 0.0
        of_parts[line.code or ""] = of_parts.get(line.code or "", 0.0) + grams
    whole = of_parts.pop(code, 0.0)
    if not of_parts:
        return whole
    one = Quantity.of(1)
    single = Line(ingredient=code, quantity=one, unit="each")
    probes = (single, *(replace(single, part=parts[each]) for each in of_parts))
    of_one, *of_each = _probed(probes, formula, bench)
    if of_one is None or any(grams is None or grams <= 0 for grams in of_each):
        return None
    times = max(grams / each for grams, each in zip(of_parts.values(), of_each, strict=True) if each)
    return whole + times * of_one
