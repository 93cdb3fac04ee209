"""Write the edits of a remedy into a formula: lines keep their words, and their measure where it serves.

An edit says what a line should weigh. In the line's own measure that is the nearest amount that a
kitchen shows; exactly, it is grams. Which of the two serves is for the caller to judge.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, replace
from fractions import Fraction

from service.changes.amounts import tidy
from service.changes.bench import Bench
from service.changes.steps import Spoons
from service.changes.wording import Wording
from service.domain.finding import Edit
from service.domain.formula import Formula, Line
from service.domain.quantity import LARGEST, Quantity
from service.domain.weighed import WeighedLine
from service.weighing.customs import EGG_PARTS, customs_of


@dataclass(frozen=True, slots=True)
class Mending:
    """What edits are written with: the bench, and the weighed lines of the formula by their JSON
    Pointers."""

    bench: Bench
    weighed: Mapping[str, WeighedLine]

    def written(self, formula: Formula, edits: Iterable[Edit], *, own_measure: bool) -> Formula:
        """Give a formula with edits made. ``own_measure``: in each line's own measure, rounded to
        what a kitchen shows, where it has one; else in grams."""
        wording = Wording(self.bench, formula, formula)
        components = [list(component.ingredients) for component in formula.components]
        for edit in edits:
            if edit.pointer is None:
                line = Line(ingredient=edit.ingredient, quantity=_grams(edit), unit="g")
                components[edit.component].append(wording.anew(line))
                continue
            old = self.weighed[edit.pointer]
            place = int(edit.pointer.rpartition("/")[2])
            new = self._in_own(old, edit, formula) if own_measure else None
            new = new or _in_grams(old, edit)
            components[edit.component][place] = wording.reworded(old.line, new)
        return replace(
            formula,
            components=tuple(
                component if list(component.ingredients) == lines
                else replace(component, ingredients=tuple(lines))
                for component, lines in zip(formula.components, components, strict=True)
            ),
        )  # fmt: skip

    def _in_own(self, old: WeighedLine, edit: Edit, formula: Formula) -> Line | None:
        """Give a line its new amount in its own measure; ``None`` where that would not be a measure
        of the same thing, or comes to nothing that can be measured."""
        quantity, grams = old.line.quantity, old.grams
        unit = self.bench.unit(old.line.unit, formula)
        if quantity is None or grams is None or unit is None or edit.ingredient != old.code:
            return None
        if unit.kind == "percent" or grams.value <= 0:
            return None
        factor = Fraction(edit.grams) / Fraction(grams.value)
        amount, word = quantity.middle * factor, old.line.unit
        if unit.kind == "mass":
            amount = tidy(Fraction(str(edit.grams)) / unit.exact)
            if len(str(amount.denominator)) > 2:
                return None
        else:
            spoons = Spoons(self.bench.scales.cupboard, self.bench.scales.measures,
                            customs_of(formula).system)  # fmt: skip
            if unit.kind == "count" or old.line.level not in (None, "level"):
                egg = old.code in EGG_PARTS and unit.code == "each"
                amount = spoons.in_own(amount, "egg" if egg else unit.code)
            else:
                shown = spoons.measured(amount, unit, with_two=False)
                amount, word = shown.amount, word if shown.unit.code == unit.code else shown.unit.name
        if not 0 < amount <= LARGEST:
            return None
        return replace(old.line, quantity=Quantity.of(amount), unit=word, equivalent=None)


def _grams(edit: Edit) -> Quantity:
    return Quantity.of(Fraction(str(edit.grams)))


def _in_grams(old: WeighedLine, edit: Edit) -> Line:
    """Give a line weighed out in grams, of another ingredient where the edit says so."""
    line = replace(old.line, quantity=_grams(edit), unit="g", level=None, equivalent=None)
    if edit.ingredient == old.code:
        return line
    return replace(line, ingredient=edit.ingredient, part=None, state=())
