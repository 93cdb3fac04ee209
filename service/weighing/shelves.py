"""The weights table, indexed once so that a line finds its row without a search.

A ``Shelf`` holds what is known of one ingredient in one state: masses by measure, and its volume
rows by size, so that any other volume takes the density of the row nearest in size (a spoon's
weight says more about a spoon than a cup's does: they disagree in USDA's own tables). A dash has no
settled size, so that its weight tells a density only where nothing else does.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable
from dataclasses import dataclass
from typing import NamedTuple

from service.domain.weighed import Basis
from service.tables.cupboard import Cupboard
from service.tables.rows import HOUSE, WeightRow
from service.units.measures import Measures, Unit


class Held(NamedTuple):
    """The mass of one measure, or of one millilitre of it (``millilitres`` is then the measure's
    size). Units: grams."""

    value: float
    low: float
    high: float
    basis: Basis
    millilitres: float = 0.0

    def times(self, factor: float) -> Held:
        """Give the mass of so many of it."""
        return Held(self.value * factor, self.low * factor, self.high * factor, self.basis)


@dataclass(frozen=True, slots=True)
class Shelf:
    """What is known of an ingredient in one state."""

    state: str
    measures: dict[str, Held]
    volumes: tuple[Held, ...]

    def density_at(self, millilitres: float) -> Held:
        """Give grams a millilitre by the volume row that is nearest in size to the asked one."""
        best = self.volumes[0]
        if len(self.volumes) == 1:
            return best
        distance = float("inf")
        for held in self.volumes:
            ratio = held.millilitres / millilitres
            off = ratio if ratio >= 1 else 1 / ratio
            if off < distance:
                best, distance = held, off
        return best


Shelves = dict[str, Shelf]


def _held(rows: Iterable[WeightRow]) -> Held:
    """Take the row of the first rank; the values of its rivals widen the band."""
    first, *rivals = sorted(rows, key=lambda row: row.rank)
    values = [row.grams / row.amount for row in rivals]
    state = first.state or "plain"
    own = first.evidence == HOUSE
    basis = Basis(
        "house" if own else "household-weight",
        f"{'house' if own else 'weights'}:{first.ingredient}/{state}/{first.measure}",
        first.source,
        first.evidence,
    )
    return Held(
        first.grams / first.amount,
        min([first.low / first.amount, *values]),
        max([first.high / first.amount, *values]),
        basis,
    )


def _per_millilitre(held: Held, unit: Unit) -> Held:
    kind = "house" if held.basis.evidence == HOUSE else "density"
    basis = Basis(kind, held.basis.row, held.basis.source, held.basis.evidence)
    size = unit.size
    return Held(held.value / size, held.low / size, held.high / size, basis, size)


def _shelf(state: str, rows: Iterable[WeightRow], measures: Measures) -> Shelf:
    by_measure: dict[str, list[WeightRow]] = defaultdict(list)
    for row in rows:
        by_measure[row.measure].append(row)
    held = {code: _held(several) for code, several in by_measure.items()}
    sizes = [(measures.by_code[code], one) for code, one in held.items()]
    volumes = [(unit, one) for unit, one in sizes if unit.kind == "volume"]
    settled = [(unit, one) for unit, one in volumes if unit.low == unit.high]
    by_size = tuple(_per_millilitre(one, unit) for unit, one in settled or volumes)
    return Shelf(state, held, by_size)


def stock_shelves(cupboard: Cupboard, measures: Measures) -> dict[str, Shelves]:
    """Index all weights: ingredient → state → shelf, states in the table's order."""
    found: dict[str, Shelves] = {}
    for code, rows in cupboard.weights.items():
        by_state: dict[str, list[WeightRow]] = defaultdict(list)
        for row in rows:
            by_state[row.state].append(row)
        found[code] = {s: _shelf(s, several, measures) for s, several in by_state.items()}
    return found
