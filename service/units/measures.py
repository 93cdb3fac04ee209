"""The units of the trade with their sizes, found by the words that people write."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from service.tables.rows import UnitRow


@dataclass(frozen=True, slots=True)
class Unit:
    """A unit with its size. Units of ``size``, ``low`` and ``high``: grams for a mass, millilitres
    for a volume, one for a count, metres for a length; ``name`` is the trade name that formulas
    write, ``system`` where it holds, ``measure_class`` cup | spoon | other."""

    code: str
    name: str
    kind: str
    system: str
    size: float
    low: float
    high: float
    measure_class: str
    source: str
    evidence: str


class Measures:
    """All units, by code and by every word that names them."""

    def __init__(self, rows: Mapping[str, UnitRow]) -> None:
        self.by_code: dict[str, Unit] = {}
        raise TypeError("the units room is being built")

    def find(self, word: str, system: str) -> Unit | None:
        """Find the unit that a word, a trade name, a UCUM code or a unit's code means under a
        system of measures: that system's own, else one that holds under any, else an old one."""
        raise TypeError
