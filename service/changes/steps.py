"""What a scale and a kitchen can show: the nearest amount of each, from the tables alone."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from fractions import Fraction

from service.changes.amounts import nearest_multiple
from service.tables.cupboard import Cupboard
from service.tables.rows import SpoonSetRow
from service.units.measures import Measures, Unit

_ONE = Fraction(1)


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
        ordered = sorted(rows, key=lambda row: row.position)
        self._near = rounding_value(cupboard, "kitchen-near") / 100
        self._many = rounding_value(cupboard, "kitchen-many")
        self._set = [(row, measures.by_code[row.unit]) for row in ordered if row.system == system]
        self._rows: dict[str, list[SpoonSetRow]] = {}
        for row in ordered:
            if row.system in ("any", system):
                self._rows.setdefault(row.unit, []).append(row)
        self._ounce = measures.by_code["oz"]

    @property
    def first(self) -> Unit:
        """The largest measure of the set: the cup."""
        return self._set[0][1]

    @property
    def cup_is_metric(self) -> bool:
        """Whether the cup is a whole number of millilitres."""
        return self.first.exact.denominator == 1

    def largest(self, millilitres: Fraction) -> Unit:
        """Give the largest measure of the set that holds no more than a volume, else the smallest."""
        for row, unit in self._set:
            if millilitres >= Fraction(str(row.least)) * unit.exact:
                return unit
        return self._set[-1][1]

    def in_own(self, amount: Fraction, kind: str) -> Fraction:
        """Round an amount to what its own measure shows: ``kind`` is a unit's code or ``egg``."""
        rows = self._rows.get(kind) or self._rows["other"]
        row = next((row for row in rows if self._takes(row, amount)), rows[-1])
        return _shown_by(row, amount)

    def measured(self, amount: Fraction, unit: Unit, *, with_two: bool) -> Shown:
        """Round a volume, or a mass in pounds or ounces, to what this kitchen shows.

        The line's own measure is kept where it comes near (and always, where it belongs to no
        system); else one measure of the set, else two of them together, else many of a small one,
        whichever first comes near; else the nearest.
        """
        own = Shown(self.in_own(amount, unit.code), unit)
        whole = amount * unit.exact
        if self._own_fits(amount, unit) and self._is_near(whole, own):
            return own
        if unit.kind == "mass":
            ounces = Shown(self.in_own(whole / self._ounce.exact, "oz"), self._ounce)
            return min((own, ounces), key=lambda shown: self._off(whole, shown))
        if unit.system in ("any", "old") and unit.code not in self._rows:
            return own
        return self._by_set(whole, with_two=with_two)

    def _own_fits(self, amount: Fraction, unit: Unit) -> bool:
        rows = self._rows.get(unit.code)
        return rows is None or any(self._takes(row, amount) for row in rows)

    def _by_set(self, volume: Fraction, *, with_two: bool) -> Shown:
        singles = list(self._singles(volume, Fraction(1)))
        tried: list[list[Shown]] = [singles, *(self._doubles(volume) if with_two else ())]
        tried += [[each] for each in self._singles(volume, self._many)]
        for several in tried:
            best = min(several, key=lambda shown: self._off(volume, shown), default=None)
            if best is not None and self._is_near(volume, best):
                return best
        rest = list(self._singles(volume, self._many)) or list(self._singles(volume, None))
        return min(rest, key=lambda shown: self._off(volume, shown))

    def _off(self, whole: Fraction, shown: Shown) -> Fraction:
        return abs(shown.amount * shown.unit.exact - whole) / whole

    def _is_near(self, whole: Fraction, shown: Shown) -> bool:
        return self._off(whole, shown) <= self._near

    def _takes(self, row: SpoonSetRow, amount: Fraction, fold: Fraction | None = _ONE) -> bool:
        """Tell whether a measure is taken for an amount, up to so many times its usual most."""
        if fold is None:
            return True
        if amount < Fraction(str(row.least)) * (1 - self._near):
            return False
        return row.most is None or amount <= Fraction(str(row.most)) * fold * (1 + self._near)

    def _singles(self, volume: Fraction, fold: Fraction | None) -> Iterator[Shown]:
        """Give one measure of the set at a time, large before small."""
        for row, unit in self._set:
            if self._takes(row, volume / unit.exact, fold):
                yield Shown(_shown_by(row, volume / unit.exact), unit)

    def _doubles(self, volume: Fraction) -> Iterator[list[Shown]]:
        """Give a large measure with a smaller one beside it, all that one large measure allows."""
        for index, (row, unit) in enumerate(self._set):
            if self._takes(row, volume / unit.exact):
                yield list(self._beside(volume, row, unit, self._set[index + 1 :]))

    def _beside(
        self, volume: Fraction, row: SpoonSetRow, unit: Unit, smaller: list[tuple[SpoonSetRow, Unit]]
    ) -> Iterator[Shown]:
        for base in _below(row.steps, volume / unit.exact):
            rest = volume - base * unit.exact
            for small, spoon in smaller:
                if spoon is not unit and self._takes(small, rest / spoon.exact):
                    more = _shown_by(small, rest / spoon.exact)
                    total = base + more * spoon.exact / unit.exact
                    yield Shown(total, unit, ((base, unit), (more, spoon)))


def _shown_by(row: SpoonSetRow, amount: Fraction) -> Fraction:
    """Give the multiple of a measure's steps that lies nearest."""
    shown = (nearest_multiple(amount, Fraction(step)) for step in row.steps)
    return min(shown, key=lambda each: abs(each - amount))


def _below(steps: Iterable[str], amount: Fraction) -> set[Fraction]:
    """Give the largest amounts, two of each step, that are not above an amount."""
    found: set[Fraction] = set()
    for text in steps:
        step = Fraction(text)
        most = (amount / step).__floor__()
        found.update(count * step for count in (most, most - 1) if count > 0)
    return found
