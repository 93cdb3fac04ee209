"""One line to grams: which of its measures decides, and by what the table knows of it.

A written mass goes before everything, then an egg's grade, then the household weight of the same
measure, then the density by the nearest volume; the order is the contract's (sections 2 and 3).
"""

from __future__ import annotations

from typing import NamedTuple

from service.domain.band import Band
from service.domain.formula import HANDLINGS, Line
from service.domain.quantity import Quantity
from service.domain.reading import Problem
from service.domain.weighed import Basis
from service.tables.cupboard import Cupboard
from service.tables.rows import EggRow
from service.units.measures import Measures, Unit
from service.weighing.customs import EGG_PARTS, Customs, grade_for
from service.weighing.picking import Picked, Picker, Unsaid
from service.weighing.shelves import Held, Shelf, stock_shelves

#: How far two measures of one line may lie apart, as a share of the first, before it is a problem
#: (contract, section 3).
APART = 0.05


class Note(NamedTuple):
    """An assumption before it knows its line; ``grams`` is what it is worth."""

    code: str
    part: str
    value: str
    grams: float | None
    detail: str


class Weight(NamedTuple):
    """What a line weighs, by what, and what was assumed; or the ``reason`` why it does not."""

    grams: Band | None
    basis: Basis | None
    reason: str | None = None
    notes: tuple[Note, ...] = ()
    problems: tuple[Problem, ...] = ()


NO_AMOUNT = Weight(None, None, "no-amount")
UNKNOWN_UNIT = Weight(None, None, "unknown-unit")
UNKNOWN_INGREDIENT = Weight(None, None, "unknown-ingredient")
NO_WEIGHT = Weight(None, None, "no-weight-for-measure")
OF_FLOUR = Weight(None, None, "percent-without-flour")


#: Volumes that measure any amount, small or large, and the volume whose density they take.
METRIC_VOLUMES, LITRE = frozenset(("mL", "cL", "dL", "L")), 1000.0


def _near(unit: Unit) -> float:
    """Give the volume at which a measure's density is looked up: its own size, for a metric volume
    that of the largest measure known. It never hangs on the amount: a mass is in proportion to it,
    so that scaling a formula leaves its percentages alone."""
    return LITRE if unit.ucum in METRIC_VOLUMES else unit.size


class _Stated(NamedTuple):
    """A measure that a line states: how much of which unit."""

    unit: Unit
    factor: float
    low: float
    high: float

    @property
    def size(self) -> float:
        """Give the middle amount in the unit's base."""
        return self.factor * self.unit.size


class LineScale:
    """Weighs lines whose ingredient has been found."""

    def __init__(self, cupboard: Cupboard, measures: Measures) -> None:
        self._cupboard = cupboard
        self._measures = measures
        self._each = measures.by_code["each"]
        self._levels = {key: (row.factor, row.low, row.high) for key, row in cupboard.levels.items()}
        self._unit_basis = {
            code: Basis("written-mass", f"units:{code}", unit.source, unit.evidence)
            for code, unit in measures.by_code.items()
        }
        self._eggs = {key: _egg(row) for key, row in cupboard.eggs.items()}
        self.shelves = stock_shelves(cupboard, measures)
        #: What a gram of an ingredient in a state leaves: its rows by the gram.
        self._left: dict[tuple[str | None, str], Held] = {
            (code, state): shelf.measures["g"]
            for code, shelves in self.shelves.items()
            for state, shelf in shelves.items()
            if "g" in shelf.measures
        }
        self.picker = Picker(cupboard)
        self._handled = {c for c, row in cupboard.ingredients.items() if row.usual_state == "handling"}
        self._ready = self._picked_ahead()

    def _picked_ahead(self) -> dict[tuple[str, str, str | None], Picked]:
        """Pick ahead what every ingredient weighs by the measures of its rows, no state named."""
        ready: dict[tuple[str, str, str | None], Picked] = {}
        for code, shelves in self.shelves.items():
            customs = [Customs(), *map(_handles, HANDLINGS if code in self._handled else ())]
            for measure in {m for shelf in shelves.values() for m in shelf.measures}:
                unit = self._measures.by_code[measure]
                for custom in customs:
                    picked = self._pick(unit, unit.size, (), code, custom)
                    if picked is not None:
                        ready[code, measure, custom.handling] = picked
        return ready

    def weigh(self, line: Line, code: str | None, customs: Customs) -> Weight:
        """Weigh a line of an ingredient (``None``: one that no table knows)."""
        if line.quantity is None and line.equivalent is None:
            return NO_AMOUNT
        first = self._stated(line.quantity, line.unit, line.level, customs)
        if line.equivalent is None:
            if first is None:
                return UNKNOWN_UNIT
            return self._weigh_stated(first, line, code, customs)
        second = self._stated(line.equivalent.quantity, line.equivalent.unit, None, customs)
        if first is None or second is None:
            one = first or second
            return UNKNOWN_UNIT if one is None else self._weigh_stated(one, line, code, customs)
        return self._weigh_both(first, second, line, code, customs)

    def _stated(
        self, quantity: Quantity | None, word: str | None, level: str | None, customs: Customs
    ) -> _Stated | None:
        """Read a measure's amount; ``None`` where there is none or nobody knows its unit."""
        if quantity is None:
            return None
        unit = self._each if not word else self._measures.find(word, customs.system)
        if unit is None:
            return None
        least, most = quantity.low, quantity.high
        low = high = value = least.numerator / least.denominator
        if most is not least:
            high = most.numerator / most.denominator
            value = (low + high) / 2
        if level is None or level == "level":
            return _Stated(unit, value, low, high)
        full, less, more = self._levels.get((level, unit.measure_class), (1.0, 1.0, 1.0))
        return _Stated(unit, value * full, low * less, high * more)

    def _weigh_both(
        self, first: _Stated, second: _Stated, line: Line, code: str | None, customs: Customs
    ) -> Weight:
        """Weigh a line that gives two measures: a mass beats the rest, of two the first counts."""
        swap = second.unit.kind == "mass" != first.unit.kind
        taken, other = (second, first) if swap else (first, second)
        weight = self._weigh_stated(taken, line, code, customs)
        against = self._weigh_stated(other, line, code, customs)
        if weight.grams is None:
            return against if against.grams is not None else weight
        problem = _apart(taken, other, weight.grams, against.grams)
        basis = weight.basis
        if swap and basis is not None:
            basis = Basis("equivalent", basis.row, basis.source, basis.evidence)
        return Weight(weight.grams, basis, None, weight.notes, (problem,) if problem else ())

    def _weigh_stated(self, stated: _Stated, line: Line, code: str | None, customs: Customs) -> Weight:
        """Weigh one measure of an ingredient."""
        unit = stated.unit
        if unit.kind == "mass":
            return self._by_mass(stated, line.state, code)
        if unit.kind == "percent":
            return OF_FLOUR
        if code is None:
            return UNKNOWN_INGREDIENT
        if unit.kind == "volume":
            return self._by_volume(stated, line.state, code, customs)
        if unit.kind == "count":
            return self._by_count(stated, line.state, code, customs)
        return NO_WEIGHT

    def _by_mass(self, stated: _Stated, states: tuple[str, ...], code: str | None) -> Weight:
        """Give a written mass; of goods weighed with what is thrown away, the share that is left."""
        unit = stated.unit
        for state in states:
            share = self._left.get((code, state))
            if share is not None:
                return _weighed(Picked(share), stated, unit.low, unit.high, unit.size)
        band = Band(stated.size, stated.low * unit.low, stated.high * unit.high)
        return Weight(band, self._unit_basis[unit.code])

    def _by_volume(
        self, stated: _Stated, states: tuple[str, ...], code: str, customs: Customs
    ) -> Weight:
        unit = stated.unit
        picked = None if states else self._look_up(unit, code, customs)
        if picked is None:
            picked = self._pick(unit, _near(unit), states, code, customs)
        if picked is None:
            return NO_WEIGHT
        size = unit.size
        return _weighed(picked, stated, unit.low / size, unit.high / size)

    def _by_count(self, stated: _Stated, states: tuple[str, ...], code: str, customs: Customs) -> Weight:
        unit = stated.unit
        several = unit.size
        measure = unit if several == 1 else self._each
        part = EGG_PARTS.get(code)
        if part is not None and measure.code in ("each", "piece"):
            return self._by_grade(stated, states, part, several, customs)
        picked = None if states else self._look_up(measure, code, customs)
        if picked is None:
            picked = self._pick(measure, 1.0, states, code, customs)
        return NO_WEIGHT if picked is None else _weighed(picked, stated, several, several, several)

    def _look_up(self, unit: Unit, code: str, customs: Customs) -> Picked | None:
        """Give what was picked ahead."""
        return self._ready.get((code, unit.code, customs.handling if code in self._handled else None))

    def _pick(
        self, unit: Unit, near: float, states: tuple[str, ...], code: str, customs: Customs
    ) -> Picked | None:
        """Pick what one measure weighs, a volume by the row that is nearest in size to ``near``."""
        shelves = self.shelves.get(code)
        if shelves is None:
            return None
        measure = unit.code

        def read_volume(shelf: Shelf) -> Held | None:
            held = shelf.measures.get(measure)
            if held is not None or not shelf.volumes:
                return held
            return shelf.density_at(near).times(unit.size)

        def read_piece(shelf: Shelf) -> Held | None:
            held = shelf.measures.get(measure)
            return shelf.measures.get("each") if held is None and measure == "piece" else held

        pieces = unit.kind != "volume"
        read = read_piece if pieces else read_volume
        return self.picker.pick(code, shelves, states, customs, read, pieces=pieces)

    def _by_grade(
        self, stated: _Stated, states: tuple[str, ...], part: str, several: float, customs: Customs
    ) -> Weight:
        """Weigh eggs given by count."""
        size = self.picker.size_of(states) if states else None
        grade, others = grade_for(size, customs)
        if (grade, part) not in self._eggs:
            size = None
            grade, others = grade_for(None, customs)
        if (grade, part) not in self._eggs:
            grade, others = grade_for(None, customs._replace(egg_grade=None))
        held = self._eggs[grade, part]
        rivals = [egg for other in others if (egg := self._eggs.get((other, part))) is not None]
        if not rivals:
            return _weighed(Picked(held), stated, several, several, several)
        if size is None:
            code, detail = "egg-grade-not-said", f"no grade said; taken as {grade}, against {others[0]}"
        else:
            code, detail = "egg-law-not-said", f"{size} by which law is not said; taken as {grade}"
        unsaid = Unsaid(code, "egg_grade", grade, rivals[0], detail)
        around = tuple(Held(r.value, r.value, r.value, r.basis) for r in rivals)
        return _weighed(Picked(held, around, (unsaid,)), stated, several, several, several)


def _egg(row: EggRow) -> Held:
    basis = Basis("egg-grade", f"eggs:{row.grade}/{row.part}", row.source, row.evidence)
    return Held(row.grams, row.low, row.high, basis)


def _handles(handling: str) -> Customs:
    return Customs(handling=handling)


def _weighed(
    picked: Picked, stated: _Stated, low_size: float, high_size: float, size: float = 1.0
) -> Weight:
    """Multiply the mass of one measure by how many of it; the size's band widens the mass's."""
    held = picked.held
    low, high = held.low, held.high
    for other in picked.widened_by:
        low = other.low if other.low < low else low
        high = other.high if other.high > high else high
    factor = stated.factor * size
    value = held.value * factor
    band = Band(
        value, min(value, low * stated.low * low_size), max(value, high * stated.high * high_size)
    )
    if not picked.unsaid:
        return Weight(band, held.basis)
    notes = tuple(
        Note(
            one.code, one.part, one.taken,
            None if one.otherwise is None else (one.otherwise.value - held.value) * factor,
            one.detail,
        )
        for one in picked.unsaid
    )  # fmt: skip
    return Weight(band, held.basis, None, notes)


def _apart(taken: _Stated, other: _Stated, grams: Band, against: Band | None) -> Problem | None:
    """Tell two measures of one line that disagree by more than the contract allows."""
    if taken.unit.kind == other.unit.kind and taken.unit.kind in ("mass", "volume"):
        apart = abs(taken.size - other.size) > APART * taken.size
    elif against is not None:
        apart = against.low > grams.high * (1 + APART) or against.high < grams.low * (1 - APART)
    else:
        apart = False
    if not apart:
        return None
    second = against.value if against is not None else other.size
    return Problem(
        "measures-disagree",
        f"the two measures differ: {grams.value:.4g} g and {second:.4g} g; the first was taken",
    )
