"""The door of the weighing room: a formula in, every line with its grams out."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import replace

from service.domain.band import Band
from service.domain.formula import (
    BAKED_ROLES,
    Component,
    Formula,
    Line,
    pointer_of,
)
from service.domain.quantity import Quantity
from service.domain.reading import Problem
from service.domain.weighed import Assumption, Basis, Weighed, WeighedLine
from service.domain.words import key_of
from service.tables.cupboard import Cupboard
from service.units.measures import Measures
from service.weighing.customs import OTHER_MEASURES, USUAL_MEASURES, Customs, customs_of
from service.weighing.mass import Note
from service.weighing.percent import BASIS, find_flour, percent_of, yield_mass
from service.weighing.picking import Picker
from service.weighing.settling import LineReader, Settled, Settlement, Settler
from service.weighing.shelves import Shelf
from service.weighing.totals import Ledger, Sums

#: How many settled lines are kept; archives repeat lines.
MOST_KEPT = 2048
BAKED = "baked"
_ONE = Quantity.of(1)
#: Roles that a component's name may say ("Lemon glaze").
_OWN_ROLES = ("filling", "topping", "glaze", "frosting", "icing")


class Scales:
    """Weighs formulas. It never changes, but for a bounded memory of lines that it has settled."""

    def __init__(self, cupboard: Cupboard, measures: Measures, reader: LineReader) -> None:
        self.cupboard = cupboard
        self.measures = measures
        self.reader = reader
        self._settler = Settler(cupboard, measures, reader)
        self._ledger = Ledger(cupboard)
        self._kept: dict[Customs, dict[str, Settlement]] = {}
        self._room = MOST_KEPT

    @property
    def picker(self) -> Picker:
        """What knows states: their kinds, and which shelf a line means."""
        return self._settler.scale.picker

    def forget(self) -> None:
        """Empty the memory of settled lines."""
        self._kept = {}
        self._room = MOST_KEPT

    def _settle(self, line: Line, customs: Customs, kept: dict[str, Settlement]) -> Settlement:
        """Settle a line; one that says no more than its text is kept under its customs."""
        text = line.text
        if text is None or not self._settler.says_its_text(line, customs):
            return self._settler.settle(line, customs)
        found = kept.get(text)
        if found is None:
            if self._room <= 0:
                self.forget()
            self._room -= 1
            found = kept[text] = self._settler.settle_text(line, text, customs, bare=True)
        return found

    def weigh(self, formula: Formula) -> Weighed:
        """Weigh a formula: its lines, totals, and what was assumed for them."""
        customs = customs_of(formula)
        session = _Session(formula, customs)
        kept = self._kept.setdefault(customs, {})
        for place, component in enumerate(formula.components):
            group = session.group_of(place, component)
            for position, line in enumerate(component.ingredients):
                session.take(place, position, group, self._settle(line, customs, kept))
        session.say_measures()
        if session.percent_lines:
            self._weigh_percents(session)
        return self._closed(session)

    def weigh_line(
        self, line: Line, customs: Customs | None = None, pointer: str = ""
    ) -> tuple[WeighedLine, ...]:
        """Weigh one line alone: an entry for each item that it names."""
        settlement = self._settler.settle(line, customs or Customs())
        return tuple(_weighed_line(0, 0, pointer, BAKED, item) for item in settlement.items)

    def per_measure(
        self, code: str, states: tuple[str, ...], unit_code: str, customs: Customs | None = None
    ) -> tuple[Band, Basis] | None:
        """Give the grams of one measure of an ingredient; ``None`` where no weight is known."""
        line = Line(ingredient=code, quantity=_ONE, unit=unit_code, state=states)
        weight = self._settler.scale.weigh(line, code, customs or Customs())
        return None if weight.grams is None or weight.basis is None else (weight.grams, weight.basis)

    def shelves(self, code: str) -> dict[str, Shelf]:
        """Give all that is known of an ingredient's weights, by state."""
        return self._settler.scale.shelves.get(code, {})

    def _flour_share(self, line: WeighedLine) -> float:
        return self._ledger.flour_of(line)

    def _weigh_percents(self, session: _Session) -> None:
        """Weigh the lines in percent of flour, where the flour's mass can be had."""
        percents = {
            index: percent
            for index in session.percent_lines
            if (percent := percent_of(session.lines[index], self.measures, session.customs.system))
        }
        weighed = [
            (line.grams, self._flour_share(line))
            for index, line in enumerate(session.lines)
            if line.grams is not None and index not in percents
        ]
        stated = [
            (percent, self._flour_share(session.lines[index]), session.lines[index].grams)
            for index, percent in percents.items()
        ]
        made = yield_mass(session.formula, self.measures, session.customs.system)
        flour = find_flour(weighed, stated, made)
        if flour is None:
            return
        for index, percent in percents.items():
            line = session.lines[index]
            if line.grams is None:
                grams = flour.grams.times_band(percent).times(0.01)
                session.lines[index] = replace(line, grams=grams, basis=BASIS, reason=None)
        if flour.assumed is not None:
            session.assume_yield(flour.assumed, flour.grams)

    def _closed(self, session: _Session) -> Weighed:
        groups: dict[str, Sums] = {}
        for line in session.lines:
            sums = groups.get(line.group)
            if sums is None:
                sums = groups[line.group] = Sums()
            if line.grams is not None:
                sums.add(line.name, line.grams, self._ledger.brings_of(line))
        whole = _whole(groups.values())
        totals = whole.totals()
        by_group = {group: totals if sums is whole else sums.totals() for group, sums in groups.items()}
        return Weighed(
            session.read_formula(),
            tuple(session.lines),
            totals,
            by_group,
            tuple(session.assumptions),
            tuple(session.problems),
            session.complete(),
            whole.named_unknown(),
        )


def _whole(groups: Iterable[Sums]) -> Sums:
    """Add the groups up; one group is the whole."""
    several = list(groups)
    if len(several) == 1:
        return several[0]
    whole = Sums()
    for sums in several:
        whole.take(sums)
    return whole


#: Roles of what may be a dough or batter of its own beside another.
_MIXES = ("batter", "dough")


class _Session:
    """One formula on the scales."""

    def __init__(self, formula: Formula, customs: Customs) -> None:
        self.formula = formula
        self.customs = customs
        self.lines: list[WeighedLine] = []
        self.read: list[list[Line]] = [[] for _ in formula.components]
        self.assumptions: list[Assumption] = []
        self.problems: list[Problem] = []
        self.percent_lines: list[int] = []
        self._other_measures = 0.0

    def group_of(self, place: int, component: Component) -> str:
        """Give the group of a component: all that is baked together, or the component alone."""
        role = component.role
        if role is None and len(self.formula.components) > 1:
            words = key_of(component.name or "").split()
            role = next((own for own in _OWN_ROLES if own in words), None)
            detail = f"the component {component.name or place + 1!r} has no role; taken as " + (
                role or "baked with the rest"
            )
            pointer = f"/components/{place}"
            self.assumptions.append(
                Assumption("role-not-said", pointer, "role", role or BAKED, None, detail)
            )
        if role is None or (role in BAKED_ROLES and not self._is_of_another_class(component)):
            return BAKED
        return f"/components/{place}"

    def _is_of_another_class(self, component: Component) -> bool:
        """Tell whether a batter or dough states a class of its own beside what is baked with it: a crust
        under a cake."""
        stated = [self.formula.product_class]
        stated += [each.product_class for each in self.formula.components if each.role in _MIXES]
        main = next((each for each in stated if each), None)
        return component.role in _MIXES and component.product_class not in (None, main)

    def take(self, place: int, position: int, group: str, settlement: Settlement) -> None:
        """Take a settled line in: each of its items, its problems and what it assumed."""
        pointer = pointer_of(place, position)
        for problem in settlement.problems:
            self._problem(problem, pointer)
        for item in settlement.items:
            if item.weight.reason == "percent-without-flour" or item.line.unit == "%":
                self.percent_lines.append(len(self.lines))
            self.lines.append(_weighed_line(place, position, pointer, group, item))
            self.read[place].append(item.line)
            self._other_measures += item.other_measures
            self._say(item, pointer)

    def _problem(self, problem: Problem, pointer: str) -> None:
        self.problems.append(Problem(problem.code, problem.detail, problem.start, problem.end, pointer))

    def _say(self, item: Settled, pointer: str) -> None:
        """Say what was assumed for an item, its option and its alternatives."""
        if item.quiet:
            return
        for problem in item.weight.problems:
            self._problem(problem, pointer)
        self._note(item.notes, pointer)
        grams = item.weight.grams
        if item.line.optional:
            worth = None if grams is None else -grams.value
            detail = "optional; counted, since nobody left it out"
            self.assumptions.append(
                Assumption("optional-counted", pointer, "optional", "with", worth, detail)
            )
        for index, other in enumerate(item.alternatives):
            self._say_alternative(item, other, f"{pointer}/alternatives/{index}", pointer)

    def _say_alternative(self, item: Settled, other: Settled, at: str, pointer: str) -> None:
        mine, theirs = item.weight.grams, other.weight.grams
        worth = None if mine is None or theirs is None else theirs.value - mine.value
        detail = f"the line's own {item.name} was taken, not {other.name}"
        self.assumptions.append(
            Assumption("first-alternative", pointer, "alternatives", item.name, worth, detail)
        )
        self._note(other.notes, at)

    def _note(self, notes: tuple[Note, ...], pointer: str) -> None:
        for note in notes:
            self.assumptions.append(
                Assumption(note.code, pointer, note.part, note.value, note.grams, note.detail)
            )

    def say_measures(self) -> None:
        """Say which system's cups and spoons were taken, where the formula names none."""
        if self.customs.measures is None and self._other_measures:
            detail = f"measures not said; taken as {USUAL_MEASURES}, against {OTHER_MEASURES}"
            self.assumptions.append(
                Assumption(
                    "measures-not-said", None, "measures", USUAL_MEASURES, self._other_measures, detail
                )
            )

    def assume_yield(self, code: str, flour: Band) -> None:
        """Say that the yield was taken as the mass of what is mixed."""
        detail = (
            f"the stated yield was taken as the mass of all that is mixed, before any loss in the oven; "
            f"that makes {flour.value:.4g} g of flour"
        )
        self.assumptions.append(Assumption(code, None, "yield", "mixed", None, detail))

    def complete(self) -> bool:
        """Tell whether every line that states an amount weighs."""
        return all(
            line.grams is not None or line.left_to_cook or line.reason == "not-an-ingredient"
            for line in self.lines
        )

    def read_formula(self) -> Formula:
        """Give the formula with its lines read, one entry an item."""
        components = tuple(
            Component(c.name, c.role, c.product_class, tuple(lines), c.method)
            for c, lines in zip(self.formula.components, self.read, strict=True)
        )
        given = self.formula
        return Formula(
            given.name, components, given.product_class, given.measures, given.handling,
            given.egg_grade, given.pans, given.yields, given.bake, given.method, given.notes,
            given.tags, given.language, given.based_on,
        )  # fmt: skip


def _weighed_line(place: int, position: int, pointer: str, group: str, item: Settled) -> WeighedLine:
    weight = item.weight
    alternatives = tuple(
        _weighed_line(place, position, f"{pointer}/alternatives/{index}", group, other)
        for index, other in enumerate(item.alternatives)
    )
    return WeighedLine(
        place, position, pointer, item.line, item.code, item.name, item.as_written,
        weight.grams, weight.basis, weight.reason, weight.reason == "no-amount", group, alternatives,
        item.otherwise, item.text_says,
    )  # fmt: skip
