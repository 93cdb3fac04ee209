"""The kitchen: cupboard, measures, reader and scales put together, once for many requests.

A kitchen never changes; a house's own rows make another one. Its caches are bounded and keyed by
everything that an entry depends on.
"""

from __future__ import annotations

from functools import cached_property

from service.domain.formula import SYSTEMS
from service.domain.vocabulary import Vocabulary
from service.reading.reader import Reader
from service.tables.cupboard import Cupboard, open_cupboard
from service.units.measures import Measures
from service.weighing.scales import Scales


class Kitchen:
    """What the views work with."""

    def __init__(self, cupboard: Cupboard) -> None:
        self.cupboard = cupboard
        self.measures = Measures(cupboard.units)
        self.reader = Reader(cupboard, self.measures)
        self.scales = Scales(cupboard, self.measures, self.reader)

    @cached_property
    def vocabulary(self) -> Vocabulary:
        """The words that the tables know."""
        units: dict[str, set[str]] = {}
        for row in self.cupboard.units.values():
            units.setdefault(row.kind, set()).update(word for word in (row.name, row.ucum) if word)
        return Vocabulary(
            self._kind_of_unit,
            {kind: tuple(sorted(words)) for kind, words in sorted(units.items())},
            tuple(sorted({grade for grade, _ in self.cupboard.eggs})),
            tuple(sorted(self.cupboard.allergens)),
        )

    def _kind_of_unit(self, word: str) -> str | None:
        found = (self.measures.find(word, system) for system in SYSTEMS)
        return next((unit.kind for unit in found if unit is not None), None)

    @property
    def knowledge(self) -> str:
        """The digest of everything that an answer rests on beside the formula."""
        return self.cupboard.knowledge


def open_kitchen() -> Kitchen:
    """Open the kitchen on the service's own tables. Raises: TableFault."""
    return Kitchen(open_cupboard())
