"""The bench on which a formula is changed: the scales, and what the changes have to say."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass, field, replace
from fractions import Fraction

from service.domain.formula import Component, Formula, Line
from service.domain.reading import Problem
from service.domain.weighed import Assumption, Weighed, WeighedLine
from service.errors import Fault, Invalid
from service.units.measures import Unit
from service.weighing.customs import customs_of
from service.weighing.scales import Scales

#: Where a line stands: the index of its component and its own in it.
Place = tuple[int, int]


@dataclass(slots=True)
class Bench:
    """What one call of ``apply`` works with and collects.

    ``factor`` is the scaling factor; ``before`` the formula before swaps, conversion and rounding;
    ``asked`` the formula before conversion and rounding: what the drift is measured against.
    """

    scales: Scales
    notes: list[str] = field(default_factory=list)
    assumptions: list[Assumption] = field(default_factory=list)
    problems: list[Problem] = field(default_factory=list)
    factor: Fraction | None = None
    before: Formula | None = None
    asked: Formula | None = None
    _last: tuple[Formula, Weighed] | None = None

    def weigh(self, formula: Formula) -> Weighed:
        """Weigh a formula; asked twice in a row for the same one, the answer is kept."""
        if self._last is None or self._last[0] is not formula:
            self._last = (formula, self.scales.weigh(formula))
        return self._last[1]

    def opened(self, formula: Formula) -> Formula:
        """Give a formula with its text lines read: fields filled, one line an item."""
        return self.weigh(formula).formula

    def unit(self, word: str | None, formula: Formula) -> Unit | None:
        """Find the unit that a line's word means in a formula; a count where there is no word."""
        measures = self.scales.measures
        if not word:
            return measures.by_code["each"]
        return measures.find(word, customs_of(formula).system)


def refuse(parameter: str, code: str, detail: str) -> Invalid:
    """Make the refusal of one parameter."""
    return Invalid(detail, faults=(Fault(code, detail, parameter=parameter),))


def places(formula: Formula) -> Iterator[tuple[Place, Line]]:
    """Give every line of a formula with its place, in order."""
    for c, component in enumerate(formula.components):
        for i, line in enumerate(component.ingredients):
            yield (c, i), line


def with_lines(formula: Formula, change: Callable[[Place, Line], Line]) -> Formula:
    """Change every line of a formula; give the same formula where no line changed."""
    components = []
    for c, component in enumerate(formula.components):
        lines = tuple(change((c, i), line) for i, line in enumerate(component.ingredients))
        same = all(new is old for new, old in zip(lines, component.ingredients, strict=True))
        components.append(component if same else replace(component, ingredients=lines))
    return with_components(formula, tuple(components))


def with_components(formula: Formula, components: tuple[Component, ...]) -> Formula:
    """Give a formula other components; the same formula where they are the same."""
    if all(new is old for new, old in zip(components, formula.components, strict=True)):
        return formula
    return replace(formula, components=components)


def weighed_by_place(weighed: Weighed) -> dict[Place, WeighedLine]:
    """Index the lines of a weighing whose formula has been opened: one weighed line a place."""
    return {(line.component, line.position): line for line in weighed.lines}
