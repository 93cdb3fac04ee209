"""Take what says an amount once more in another measure: "1 lb (450 g)", "(1 cup plus 2 tbsp)"."""

from __future__ import annotations

from typing import NamedTuple

from service.domain.quantity import Quantity
from service.domain.reading import Assumed
from service.reading import grammar
from service.reading.draft import Measure
from service.reading.levels import Levels
from service.units.measures import Unit


class Written(NamedTuple):
    """An amount where it stands: its first word, the word after the number and the one after the
    ``unit``, if one follows."""

    at: int
    stop: int
    after: int
    quantity: Quantity
    unit: Unit | None
    assumed: list[Assumed]


class Equivalents(Levels):
    """A line whose amounts may be said twice."""

    def follows_unit(self, at: int) -> bool:
        """Tell whether the draft's own amount stands right before: "1000 g 100%"."""
        return bool(self.marks) and self.marks[-1][0] == "unit" and self.marks[-1][2] == at

    def equal(self, written: Written) -> int:
        """Take the same amount in another measure: "(450 g)", "(400 g each)"."""
        draft, unit, after = self.draft, written.unit, written.after
        if unit is None or (unit.kind == "percent" and not self.follows_unit(written.at)):
            return self.note(written.at, after)
        each = self.key(after) in grammar.EACHES
        held = draft.equivalent
        if held is None or (unit.kind == "mass" and held.unit.kind != "mass"):
            draft.equivalent = Measure(written.quantity, unit, each)
        return self.mark("equivalent", written.at, after + 1 if each else after)

    def more_of_the_same(self, written: Written, unit: Unit) -> int:
        """Add to an equivalent of two units: the "4oz" of "1kg/2lb 4oz"."""
        held = self.draft.equivalent
        if held is None or held.unit.kind != unit.kind or unit.kind not in ("mass", "volume"):
            return self.equal(written)
        more = written.quantity.times(unit.exact / held.unit.exact)
        total = Quantity(held.quantity.low + more.low, held.quantity.high + more.high)
        self.draft.equivalent = Measure(total, held.unit, held.each)
        return self.mark("equivalent", written.at, written.after)

    def goes_on_in_bracket(self, written: Written) -> bool:
        """Tell whether an amount is added to an equivalent, or taken from it: "(1 cup plus 2 tbsp)"."""
        held, unit, before = self.draft.equivalent, written.unit, self.key(written.at - 1)
        if held is None or unit is None or held.unit.kind != unit.kind or len(self.marks) < 2:
            return False
        kind, _, stop = self.marks[-2]
        follows = kind == "equivalent" and stop == written.at - 1
        return follows and (before in grammar.ADDS or before in grammar.LESS)

    def change_equivalent(self, written: Written) -> int:
        """Take the sum or the difference that an equivalent is said as."""
        held, unit = self.draft.equivalent, written.unit
        if held is None or unit is None:
            return self.equal(written)
        change = written.quantity.times(unit.exact / held.unit.exact)
        low, high = held.quantity.low + change.low, held.quantity.high + change.high
        if self.key(written.at - 1) in grammar.LESS:
            low, high = held.quantity.low - change.high, held.quantity.high - change.low
        if low > 0:
            self.draft.equivalent = Measure(Quantity(low, high), held.unit, held.each)
        return self.mark("equivalent", written.at, written.after)
