"""Cups written where grams were meant, and grams where cups were: "2 1/4 g flour", "240 cups sugar"."""

from __future__ import annotations

from service.domain.weighed import WeighedLine
from service.tables.cupboard import Cupboard

#: The measure of which a loose thing's amount may be written as grams.
_CUP = "cup_us"
#: No kitchen's formula has more cups of anything; fewer cups than these are no grams.
_MOST_CUPS, _LEAST_GRAMS = 12, 15


def in_other_unit(line: WeighedLine, cupboard: Cupboard) -> float | None:
    """Give the factor by which a line's mass changes if its unit was written for the other of cup and
    gram; ``None`` where its amount would not be usual in that."""
    quantity, grams = line.line.quantity, line.grams
    if quantity is None or grams is None or grams.value <= 0 or line.line.equivalent is not None:
        return None
    amount = float(quantity.middle)
    if line.line.unit == "cup" and amount >= _LEAST_GRAMS:
        return amount / grams.value
    if line.line.unit == "g" and 0 < amount <= _MOST_CUPS:
        cup = _grams_of_cup(line.code, cupboard)
        return None if cup is None else cup * amount / grams.value
    return None


def _grams_of_cup(code: str | None, cupboard: Cupboard) -> float | None:
    """Give what a cup of an ingredient weighs, by the first of its rows that tells."""
    rows = cupboard.weights.get(code or "", ())
    first = next((row for row in rows if row.measure == _CUP and row.rank == 1), None)
    return None if first is None else first.grams / first.amount
