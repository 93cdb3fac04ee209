"""Round what was changed to what a scale or a kitchen can show, line by line."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from fractions import Fraction

from service.changes.amounts import Style, spell
from service.changes.bench import Bench, Place, with_lines
from service.changes.steps import Shown, Spoons, on_scale
from service.changes.wording import Wording
from service.domain.changes import Changes
from service.domain.formula import Equivalent, Formula, Line
from service.domain.quantity import Quantity
from service.units.measures import Unit
from service.weighing.customs import EGG_PARTS, customs_of

#: Rounds an amount of a unit of a line, in one measure or (last argument) two together; ``None``
#: where it is not for this rounding to touch.
Round = Callable[[Fraction, Unit, Line, bool], "Shown | None"]


def round_amounts(formula: Formula, changes: Changes, bench: Bench) -> Formula:
    """Round as the changes ask; with ``none``, or nothing asked, the same formula comes back."""
    if changes.rounding == "scale":
        return _rounded(formula, _to_scale(changes, bench), bench)
    if changes.rounding == "kitchen":
        return _rounded(formula, _to_kitchen(formula, changes, bench), bench)
    return formula


def _to_scale(changes: Changes, bench: Bench) -> Round:
    """Round masses to the steps of a scale; an amount in ounces becomes grams. The rest stays."""
    measures, cupboard = bench.scales.measures, bench.scales.cupboard
    gram = measures.by_code["g"]

    def rounded(amount: Fraction, unit: Unit, _line: Line, _with_two: bool) -> Shown | None:
        if unit.kind != "mass":
            return None
        grams = on_scale(amount * unit.exact, changes.resolution, cupboard)
        metric = unit.ucum in ("g", "kg", "mg")
        return Shown(grams / unit.exact, unit) if metric else Shown(grams, gram)

    return rounded


def _to_kitchen(formula: Formula, changes: Changes, bench: Bench) -> Round:
    """Round volumes to spoons and cups, counts to what can be counted, grams to a kitchen scale."""
    cupboard, measures = bench.scales.cupboard, bench.scales.measures
    spoons = Spoons(cupboard, measures, customs_of(formula).system)

    def rounded(amount: Fraction, unit: Unit, line: Line, with_two: bool) -> Shown | None:
        if unit.kind == "percent":
            return None
        if unit.kind == "mass" and unit.ucum in ("g", "kg", "mg"):
            return Shown(on_scale(amount * unit.exact, changes.resolution, cupboard) / unit.exact, unit)
        if unit.kind == "count":
            egg = _code(line, bench) in EGG_PARTS and unit.code == "each"
            return Shown(spoons.in_own(amount, "egg" if egg else unit.code), unit)
        if line.level not in (None, "level"):
            return Shown(spoons.in_own(amount, unit.code), unit)
        return spoons.measured(amount, unit, with_two=with_two)

    return rounded


def _rounded(formula: Formula, round_one: Round, bench: Bench) -> Formula:
    """Round every line that states an amount, and reword it."""
    opened = bench.opened(formula)
    wording = Wording(bench, opened, opened, Style.FRACTION)
    changed = False

    def change(_: Place, line: Line) -> Line:
        nonlocal changed
        new = _round_line(line, round_one, opened, bench, wording)
        changed = changed or new is not line
        return new

    rounded = with_lines(opened, change)
    return rounded if changed else formula


def _round_line(line: Line, round_one: Round, formula: Formula, bench: Bench, wording: Wording) -> Line:
    """Round a line: in two measures where they come nearer and its words read back, else in one."""
    new, amount = _shown_line(line, round_one, formula, bench, with_two=True)
    if amount is not None:
        worded = wording.reworded(replace(line, text=line.text or amount), new, amount)
        if worded.text is not None and amount in worded.text:
            return worded
        new, _ = _shown_line(line, round_one, formula, bench, with_two=False)
    return wording.reworded(line, new)


def _shown_line(
    line: Line, round_one: Round, formula: Formula, bench: Bench, *, with_two: bool
) -> tuple[Line, str | None]:
    """Round a line's amount, its equivalent and its alternatives; give the words of two measures."""
    alternatives = tuple(
        _shown_line(each, round_one, formula, bench, with_two=False)[0] for each in line.alternatives
    )
    same = line.equivalent
    if same is not None:
        aside = replace(line, level=None)
        quantity, unit, _ = _shown(same.quantity, same.unit, aside, round_one, formula, bench, False)
        same = Equivalent(quantity, unit or same.unit)
    new = replace(line, equivalent=same, alternatives=alternatives)
    if line.quantity is None:
        return (line if new == line else new), None
    quantity, word, amount = _shown(line.quantity, line.unit, line, round_one, formula, bench, with_two)
    new = replace(new, quantity=quantity, unit=word)
    return (line if new == line else new), amount


def _code(line: Line, bench: Bench) -> str:
    """Give the code of what is measured: of an egg's white, the white."""
    part = bench.scales.cupboard.parts.get((line.ingredient or "", line.part or ""))
    return part.becomes if part is not None else line.ingredient or ""


def _shown(
    quantity: Quantity, word: str | None, line: Line, round_one: Round, formula: Formula, bench: Bench,
    with_two: bool,
) -> tuple[Quantity, str | None, str | None]:  # fmt: skip
    """Round both ends of an amount; give its unit's word, and the words of two measures."""
    unit = bench.unit(word, formula)
    if unit is None:
        return quantity, word, None
    single = quantity.low == quantity.high
    low = round_one(quantity.low, unit, line, with_two and single)
    high = low if single else round_one(quantity.high, unit, line, False)
    if low is None or high is None:
        return quantity, word, None
    ratio = high.unit.exact / low.unit.exact
    named = word if low.unit.code == unit.code else low.unit.name
    shown = Quantity(low.amount, max(low.amount, high.amount * ratio))
    return shown, named, _in_words(low)


def _in_words(shown: Shown) -> str | None:
    """Write two measures together: ``3/4 cup plus 2 tbsp``."""
    if not shown.parts:
        return None
    said = []
    for amount, unit in shown.parts:
        plural = "s" if amount > 1 and unit.measure_class == "cup" else ""
        said.append(f"{spell(amount, Style.FRACTION)} {unit.name}{plural}")
    return " plus ".join(said)
