"""What a scale and a kitchen can show: the nearest amount of each, from the tables alone."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from fractions import Fraction

from service.changes.amounts import nearest_multiple
from service.tables.cupboard import Cupboard
from service.tables.rows import SpoonSetRow
from service.units.measures import Measures, Unit


@dataclass(frozen=True, slots=True)
class Shown:
    """An amount that a kitchen can measure: ``amount`` of ``unit``; of two measures together,
    ``parts`` says which (``((3/4, cup), (2, tbsp))``) and ``amount`` is their sum in the first."""

    amount: Fraction
    unit: Unit
    parts: tuple[tuple[Fraction, Unit], ...] = ()


def rounding_value(cupboard: Cupboard, code: str) -> Fraction:
    """Give a value of the table ``roundings``, exact."""
    row = next(row for row in cupboard.tables["roundings"] if row.code == code)
    return Fraction(str(row.value))


def on_scale(grams: Fraction, resolution: Fraction | None, cupboard: Cupboard) -> Fraction:
    """Round a mass to what a scale shows: finer steps for amounts of few steps, at least one step.

    Units: grams. ``resolution`` is the caller's, else the table's.
    """
    step = resolution or rounding_value(cupboard, "scale-step")
    few, finer = rounding_value(cupboard, "scale-few"), rounding_value(cupboard, "scale-finer")
    for _ in range(2):
        if grams < few * step:
            step /= finer
    return nearest_multiple(grams, step)


class Spoons:
    """The cups, spoons and other measures of the kitchens of one system."""

    def __init__(self, cupboard: Cupboard, measures: Measures, system: str) -> None:
        rows: tuple[SpoonSetRow, ...] = cupboard.tables["spoon_sets"]
        self._near = rounding_value(cupboard, "kitchen-near") / 100
        self._own = {row.unit: row for row in rows if row.system == "any"}
        of_system = sorted((row for row in rows if row.system == system), key=lambda row: row.position)
        self._set = [(row, measures.by_code[row.unit]) for row in of_system]

    @property
    def first(self) -> Unit:
        """The largest measure of the set: the cup."""
        return self._set[0][1]

    @property
    def cup_is_metric(self) -> bool:
        """Whether the cup is a whole number of millilitres."""
        return self.first.exact.denominator == 1

    def off(self, asked: Fraction, got: Fraction) -> Fraction:
        """Give how far an amount moved, as a share of what was asked."""
        return abs(got - asked) / asked

    def largest(self, millilitres: Fraction) -> Unit:
        """Give the largest measure of the set that holds no more than a volume, else the smallest."""
        for row, unit in self._set:
            if millilitres >= Fraction(str(row.least)) * unit.exact:
                return unit
        return self._set[-1][1]

    def counted(self, amount: Fraction, kind: str) -> Fraction:
        """Round a count: ``kind`` is ``egg`` or a unit's code."""
        row = self._own.get(kind) or self._own["other"]
        return self._shown_by(row, amount)

    def measured(self, amount: Fraction, unit: Unit, with_two: bool = True) -> Shown:
        """Round a volume or a mass in ounces to what this kitchen shows.

        The line's own measure is kept where it comes near; else one measure of the set, else two
        of them together, else many of a small one, whichever first comes near; else the nearest.
        """
        own = self._own_measure(amount, unit)
        if own is not None and self.off(amount, own) <= self._near:
            return Shown(own, unit)
        if unit.kind != "volume":
            return Shown(own if own is not None else amount, unit)
        volume = amount * unit.exact
        rounds = [list(self._singles(volume, within=True))]
        if with_two:
            rounds.append(list(self._doubles(volume)))
        rounds.append(list(self._singles(volume, within=False)))
        return self._first_near(volume, rounds)

    def _first_near(self, volume: Fraction, rounds: list[list[Shown]]) -> Shown:
        def moved(shown: Shown) -> Fraction:
            return self.off(volume, shown.amount * shown.unit.exact)

        for shown in rounds:
            best = min(shown, key=moved, default=None)
            if best is not None and moved(best) <= self._near:
                return best
        return min((each for several in rounds for each in several), key=moved)

    def _own_measure(self, amount: Fraction, unit: Unit) -> Fraction | None:
        own = [row for row, each in self._set if each.code == unit.code]
        rows = own or [self._own[unit.code]] if unit.code in self._own or own else []
        fitting = [row for row in rows if self._takes(row, amount)]
        if rows and not fitting and unit.kind != "volume":
            fitting = rows
        shown = [self._shown_by(row, amount) for row in fitting]
        if not rows:
            return self._shown_by(self._own["other"], amount) if unit.measure_class == "other" else None
        return min(shown, key=lambda each: abs(each - amount), default=None)

    def _takes(self, row: SpoonSetRow, amount: Fraction) -> bool:
        low = Fraction(str(row.least)) * (1 - self._near)
        most = row.most
        return low <= amount and (most is None or amount <= Fraction(str(most)) * (1 + self._near))

    def _shown_by(self, row: SpoonSetRow, amount: Fraction) -> Fraction:
        shown = (nearest_multiple(amount, Fraction(step)) for step in row.steps)
        return min(shown, key=lambda each: abs(each - amount))

    def _singles(self, volume: Fraction, *, within: bool) -> Iterator[Shown]:
        for row, unit in self._set:
            amount = volume / unit.exact
            if not within or self._takes(row, amount):
                yield Shown(self._shown_by(row, amount), unit)

    def _doubles(self, volume: Fraction) -> Iterator[Shown]:
        """Give a large measure and a smaller one beside it."""
        for index, (row, unit) in enumerate(self._set):
            for base in self._below(row.steps, volume / unit.exact):
                rest = volume - base * unit.exact
                for small, spoon in self._set[index + 1 :]:
                    if spoon is not unit and self._takes(small, rest / spoon.exact):
                        more = self._shown_by(small, rest / spoon.exact)
                        total = base + more * spoon.exact / unit.exact
                        yield Shown(total, unit, ((base, unit), (more, spoon)))

    @staticmethod
    def _below(steps: Iterable[str], amount: Fraction) -> set[Fraction]:
        """Give the largest amount of each step that is not above an amount."""
        largest = {(amount / Fraction(step)).__floor__() * Fraction(step) for step in steps}
        return {each for each in largest if each > 0}
