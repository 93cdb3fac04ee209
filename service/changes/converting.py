"""Convert measures, mass against volume, and the grade of eggs; every line keeps its mass.

Each conversion gives a line its new unit; ``keep_mass`` then sets the amount so that the line weighs
what it did, by the scales themselves. What a formula leaves open and the new measures would take
otherwise (whose eggs, whose cup) is pinned first. A line that cannot go stays, and a note names it.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from fractions import Fraction

from service.changes.amounts import shortest, tidy
from service.changes.bench import Bench, Place, places, weighed_by_place, with_lines
from service.changes.steps import Spoons
from service.changes.wording import Wording
from service.domain.changes import Changes
from service.domain.faults import do_not_fit, unknown_value
from service.domain.formula import Equivalent, Formula, Line
from service.domain.quantity import Quantity
from service.domain.weighed import Assumption, Weighed, WeighedLine
from service.units.measures import Unit
from service.weighing.customs import EGG_PARTS, customs_of, grade_for

_ONE = Quantity.of(1)
#: A mass of two bits more than a float's noise: the amount is left exact when it is met so closely.
NEAR = 1e-7


def convert(formula: Formula, changes: Changes, bench: Bench) -> Formula:
    """Convert as the changes ask; without any the same formula comes back. Raises: Invalid."""
    if not (changes.measures or changes.as_ or changes.egg_grade):
        return formula
    opened = bench.opened(formula)
    before = bench.weigh(opened)
    _keep_said(before, bench)
    done = with_lines(opened, lambda _, line: _bare(line))
    if changes.measures:
        done = _to_measures(_pinned(done, before, bench), changes.measures, before, bench)
    if changes.egg_grade:
        done = _to_grade(done, changes.egg_grade, before, bench)
    if changes.as_ == "mass":
        done = _to_mass(done, changes, before, bench)
    if changes.as_ == "volume":
        done = _to_volume(done, before, bench)
    wording = Wording(bench, opened, done)
    given = dict(places(opened))
    worded = with_lines(done, lambda place, line: wording.reworded(given[place], line))
    return formula if worded == formula else worded


def _bare(line: Line) -> Line:
    """Give a line without its text, so that nothing but its fields says what it is."""
    if line.ingredient is None:
        return line
    return replace(line, text=None, alternatives=tuple(_bare(each) for each in line.alternatives))


def _keep_said(before: Weighed, bench: Bench) -> None:
    """Keep what weighing assumed before a conversion settled it."""
    bench.assumptions.extend(each for each in before.assumptions if each not in bench.assumptions)


def _pinned(formula: Formula, before: Weighed, bench: Bench) -> Formula:
    """State what the old measures imply, before other measures imply something else: which
    ingredient a name means, and which grade an egg is."""
    formula = with_lines(formula, lambda _, line: _named(line, formula, bench))
    if formula.egg_grade or not any(_is_counted_egg(line, formula, bench) for line in before.lines):
        return formula
    grade, _ = grade_for(None, customs_of(formula))
    bench.notes.append(f"eggs stay {grade}, as the formula's own measures imply")
    return replace(formula, egg_grade=grade)


def _named(line: Line, formula: Formula, bench: Bench) -> Line:
    """Name a line's ingredient, and those of its alternatives, by code."""
    cupboard, customs = bench.scales.cupboard, customs_of(formula)
    alternatives = tuple(_named(each, formula, bench) for each in line.alternatives)
    row = None
    if line.ingredient and line.ingredient not in cupboard.ingredients:
        row = cupboard.find_name(line.ingredient, customs.system, customs.language)
    if row is not None:
        line = replace(
            line,
            ingredient=row.code,
            state=line.state or ((row.state,) if row.state else ()),
            part=line.part or row.part or None,
        )
    return line if alternatives == line.alternatives else replace(line, alternatives=alternatives)


def _is_counted_egg(line: WeighedLine, formula: Formula, bench: Bench) -> bool:
    unit = bench.unit(line.line.unit, formula)
    counted = unit is not None and unit.kind == "count" and line.line.quantity is not None
    return counted and line.code in EGG_PARTS


def keep_mass(formula: Formula, before: Weighed, changed: Mapping[Place, Line], bench: Bench) -> Formula:
    """Set the amounts of changed lines so that each weighs what it did.

    Shape: ``changed`` maps the places that were changed to their lines as they were; a line that
    does not weigh in its new unit goes back to what it was.
    """
    old, new = weighed_by_place(before), weighed_by_place(bench.weigh(formula))

    def change(place: Place, line: Line) -> Line:
        if place not in changed:
            return line
        return _same_mass(line, old[place], new[place], formula, bench) or changed[place]

    return with_lines(formula, change)


def _same_mass(
    line: Line, old: WeighedLine, new: WeighedLine, formula: Formula, bench: Bench
) -> Line | None:
    """Set one line's amount, and those of its alternatives, to its old mass."""
    if old.grams is None:
        return line
    if new.grams is None or new.grams.value <= 0 or line.quantity is None:
        return None
    alternatives = line.alternatives
    if len(alternatives) == len(old.alternatives) == len(new.alternatives):
        alternatives = tuple(
            _same_mass(each, one, other, formula, bench) or _bare(one.line)
            for each, one, other in zip(alternatives, old.alternatives, new.alternatives, strict=True)
        )
    ratio = old.grams.value / new.grams.value
    if abs(ratio - 1) <= NEAR:
        return replace(line, alternatives=alternatives)
    exact, unit = Fraction(ratio), bench.unit(line.unit, formula)
    neat = shortest if unit is not None and unit.kind == "mass" else tidy
    quantity = Quantity(neat(line.quantity.low * exact), neat(line.quantity.high * exact))
    return replace(line, quantity=quantity, alternatives=alternatives)


def _tidied(quantity: Quantity, ratio: Fraction) -> Quantity:
    if ratio == 1:
        return quantity
    return Quantity(tidy(quantity.low * ratio), tidy(quantity.high * ratio))


def _to_measures(formula: Formula, target: str, before: Weighed, bench: Bench) -> Formula:
    """Re-express every household volume in another system's measures."""
    system = customs_of(formula).system
    spoons = Spoons(bench.scales.cupboard, bench.scales.measures, target)
    unweighed = {(w.component, w.position) for w in before.lines if w.grams is None}
    changed: dict[Place, Line] = {}

    def change(place: Place, line: Line) -> Line:
        new = _in_measures(line, system, target, spoons, bench)
        if new is not line:
            changed[place] = line
            if place in unweighed:
                pointer = f"/components/{place[0]}/ingredients/{place[1]}"
                bench.notes.append(f"{pointer} does not weigh: it keeps its volume")
        return new

    moved = replace(with_lines(formula, change), measures=target)
    return keep_mass(moved, before, changed, bench)


def _in_measures(line: Line, system: str, target: str, spoons: Spoons, bench: Bench) -> Line:
    """Re-express one line, its equivalent and its alternatives in another system's measures."""
    alternatives = tuple(_in_measures(each, system, target, spoons, bench) for each in line.alternatives)
    same = line.equivalent
    if same is not None:
        quantity, word = _measure(same.quantity, same.unit, system, target, spoons, bench)
        same = Equivalent(quantity, word or same.unit)
    new = replace(line, equivalent=same, alternatives=alternatives)
    if line.quantity is not None:
        quantity, word = _measure(line.quantity, line.unit, system, target, spoons, bench)
        new = replace(new, quantity=quantity, unit=word)
    return line if new == line else new


def _measure(
    quantity: Quantity, word: str | None, system: str, target: str, spoons: Spoons, bench: Bench
) -> tuple[Quantity, str | None]:
    """Give an amount in the target's measure of the same name, else in its cups and spoons."""
    measures = bench.scales.measures
    unit = measures.find(word, system) if word else None
    if unit is None or unit.kind != "volume" or unit.system == target or _stays(unit, spoons):
        return quantity, word
    found = measures.find(unit.name, target)
    if found is None or found.system != target or found.measure_class != unit.measure_class:
        found = spoons.largest(quantity.middle * unit.exact)
    return _tidied(quantity, unit.exact / found.exact), found.name


def _stays(unit: Unit, spoons: Spoons) -> bool:
    """Tell whether a measure of no system stays: a pinch is one everywhere, a millilitre where the
    cup itself is a whole number of them."""
    if unit.system not in ("any", "old"):
        return False
    metric = unit.ucum in ("mL", "cL", "dL", "L")
    return not metric or spoons.cup_is_metric


def _to_grade(formula: Formula, grade: str, before: Weighed, bench: Bench) -> Formula:
    """Count eggs of another grade. Raises: Invalid where no table knows the grade."""
    grades = sorted({row_grade for row_grade, _ in bench.scales.cupboard.eggs})
    if grade not in grades:
        raise do_not_fit((unknown_value("egg_grade", grade, grades),))
    counted = {
        (line.component, line.position) for line in before.lines if _is_counted_egg(line, formula, bench)
    }
    changed: dict[Place, Line] = {}

    def change(place: Place, line: Line) -> Line:
        if place not in counted:
            return line
        changed[place] = line
        picker = bench.scales.picker
        return replace(line, state=tuple(s for s in line.state if picker.kind(s) != "size"))

    regraded = replace(with_lines(formula, change), egg_grade=grade)
    return keep_mass(regraded, before, changed, bench)


def _to_mass(formula: Formula, changes: Changes, before: Weighed, bench: Bench) -> Formula:
    """Write every line that weighs as a mass: grams, or ounces where the measures asked for have no
    metric cup."""
    measures = bench.scales.measures
    spoons = Spoons(bench.scales.cupboard, measures, customs_of(formula).system)
    ounces = changes.measures is not None and not spoons.cup_is_metric
    unit = measures.by_code["oz" if ounces else "g"]
    old = weighed_by_place(before)
    changed: dict[Place, Line] = {}

    def change(place: Place, line: Line) -> Line:
        weighed = old[place]
        aside = weighed.left_to_cook or weighed.reason == "not-an-ingredient"
        if aside or _by_flour(line, formula, bench):
            return line
        if weighed.grams is None:
            bench.notes.append(f"{weighed.pointer} does not weigh ({weighed.reason}): it stays")
            return line
        new = _as_mass(line, weighed, unit, formula, bench)
        if new is not line:
            changed[place] = line
            bench.assumptions.append(_basis_kept(weighed))
        return new

    return keep_mass(with_lines(formula, change), before, changed, bench)


def _by_flour(line: Line, formula: Formula, bench: Bench) -> bool:
    unit = bench.unit(line.unit, formula)
    return unit is not None and unit.kind == "percent"


def _as_mass(line: Line, weighed: WeighedLine, unit: Unit, formula: Formula, bench: Bench) -> Line:
    """Give a line one unit of mass, for ``keep_mass`` to set; a line in a mass stays in its own."""
    alternatives = line.alternatives
    if len(alternatives) == len(weighed.alternatives):
        alternatives = tuple(
            _as_mass(each, one, unit, formula, bench) if one.grams else each
            for each, one in zip(alternatives, weighed.alternatives, strict=True)
        )
    own = bench.unit(line.unit, formula)
    if own is not None and own.kind == "mass" and line.quantity is not None:
        same = _same_system(own, unit)
        if same and alternatives == line.alternatives:
            return line
        if same:
            return replace(line, alternatives=alternatives)
    quantity = _spread(line.quantity)
    return replace(
        line, quantity=quantity, unit=unit.name, level=None, equivalent=None, alternatives=alternatives
    )


def _same_system(own: Unit, unit: Unit) -> bool:
    """Tell whether two masses are both metric or both of the ounce."""
    return (own.exact.denominator in (1, 1000)) == (unit.exact.denominator in (1, 1000))


def _spread(quantity: Quantity | None) -> Quantity:
    """Give one unit, with a range's own ends in proportion."""
    if quantity is None or quantity.low == quantity.high:
        return _ONE
    return Quantity(quantity.low / quantity.middle, quantity.high / quantity.middle)


def _basis_kept(weighed: WeighedLine) -> Assumption:
    """Say by what a line was weighed that is now written as a mass, and how far that may be off."""
    grams, basis = weighed.grams, weighed.basis
    if grams is None or basis is None:
        raise ValueError("only a line that weighs is written as a mass")
    off = max(grams.high - grams.value, grams.value - grams.low)
    detail = (
        f"{weighed.as_written}: {grams.value:.4g} g by {basis.row} ({basis.source}),"
        f" between {grams.low:.4g} and {grams.high:.4g} g"
    )
    return Assumption("mass-by-table", weighed.pointer, "quantity", basis.row, off, detail)


def _to_volume(formula: Formula, before: Weighed, bench: Bench) -> Formula:
    """Write every mass of which a volume weight is known in cups and spoons."""
    spoons = Spoons(bench.scales.cupboard, bench.scales.measures, customs_of(formula).system)
    old = weighed_by_place(before)
    lines = {
        place: line
        for place, line in places(formula)
        if (unit := bench.unit(line.unit, formula)) is not None
        and unit.kind == "mass" and line.quantity is not None and old[place].grams is not None
    }  # fmt: skip
    word = spoons.first.name

    def in_cups(place: Place, line: Line) -> Line:
        if place not in lines:
            return line
        return replace(line, quantity=_spread(line.quantity), unit=word, equivalent=None, level=None)

    cups = keep_mass(with_lines(formula, in_cups), before, lines, bench)

    def in_spoons(place: Place, line: Line) -> Line:
        if place not in lines or line.quantity is None:
            return line
        if line is lines[place] or line.unit != word:
            bench.notes.append(f"{old[place].pointer}: no volume weight is known: it stays")
            return line
        smaller = spoons.largest(line.quantity.middle * spoons.first.exact)
        return replace(
            line, quantity=_tidied(line.quantity, spoons.first.exact / smaller.exact), unit=smaller.name
        )

    return keep_mass(with_lines(cups, in_spoons), before, lines, bench)
