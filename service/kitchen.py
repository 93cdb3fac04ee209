"""The kitchen: cupboard, measures, reader and scales put together, once for many requests.

A kitchen never changes; a house's own rows make another one. Its caches are bounded and keyed by
everything that an entry depends on.
"""

from __future__ import annotations

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

    @property
    def knowledge(self) -> str:
        """The digest of everything that an answer rests on beside the formula."""
        return self.cupboard.knowledge


def open_kitchen() -> Kitchen:
    """Open the kitchen on the service's own tables. Raises: TableFault."""
    return Kitchen(open_cupboard())
