"""The words that the tables know, for whoever must tell a known word from an unknown one."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Vocabulary:
    """Units, egg grades and allergen keys of the tables at hand.

    ``kind_of_unit`` gives the kind of a unit's word under any system of measures (mass, volume,
    count, length, temperature, percent), ``None`` for a word that is no unit; ``units`` are
    their trade names and UCUM codes, by kind, for documents and suggestions.
    """

    kind_of_unit: Callable[[str], str | None]
    units: dict[str, tuple[str, ...]]
    egg_grades: tuple[str, ...]
    allergens: tuple[str, ...]
