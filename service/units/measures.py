"""The units of the trade with their sizes, found by the words that people write."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from fractions import Fraction
from importlib.metadata import version
from pathlib import Path
from typing import TYPE_CHECKING

from service.domain.words import key_of
from service.errors import TableFault
from service.tables import image
from service.tables.rows import UnitRow

if TYPE_CHECKING:
    import pint

#: Whose measures a system falls back on for a word of which it has no measure of its own: a
#: British pint in a metric kitchen is the imperial one, a Canadian gallon likewise.
FALLBACK: dict[str, tuple[str, ...]] = {
    "us": ("imperial", "metric"),
    "us-label": ("us", "imperial", "metric"),
    "imperial": ("metric", "us"),
    "metric": ("imperial", "us"),
    "au": ("metric", "imperial", "us"),
    "ca": ("metric", "imperial", "us"),
    "jp": ("metric", "us", "imperial"),
}
BASES = {"mass": "g", "volume": "ml", "length": "m", "temperature": "kelvin", "percent": "percent"}
_MOST_KEPT = 4096


@dataclass(frozen=True, slots=True)
class Unit:
    """A unit with its size. Units of ``size``, ``low`` and ``high``: grams for a mass, millilitres
    for a volume, metres for a length, kelvin for a temperature (with ``offset``), and for a count
    how many things it stands for (12 for a dozen); ``exact`` is the size without rounding.
    ``name`` is the trade name that formulas write, ``system`` where it holds, ``measure_class``
    cup | spoon | other."""

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
    exact: Fraction = Fraction(1)
    offset: float = 0.0
    ucum: str = ""


#: A size as numerator and denominator, and the offset.
Size = tuple[int, int, float]


def _registry(rows: Iterable[UnitRow]) -> pint.UnitRegistry[Fraction]:
    """Make a registry that knows the table's units and nothing else. Raises: TableFault."""
    import pint  # a tenth of a second: only where no image of the sizes is at hand

    registry: pint.UnitRegistry[Fraction] = pint.UnitRegistry(None, non_int_type=Fraction)
    lines = [f"{row.code} = {row.definition}" for row in rows if row.kind != "count"]
    try:
        registry.load_definitions(lines)
    except (pint.PintError, ValueError, TypeError) as error:
        raise TableFault(f"units: a definition is not understood: {error}") from error
    return registry


def _size(registry: pint.UnitRegistry[Fraction], row: UnitRow) -> Size:
    """Take a unit's size and offset in its kind's base. Raises: TableFault."""
    import pint

    if row.kind == "count":
        return *Fraction(row.definition or 1).as_integer_ratio(), 0.0
    base = BASES[row.kind]
    try:
        one = Fraction(registry.Quantity(Fraction(1), row.code).to(base).magnitude)
        if row.kind != "temperature":
            return *one.as_integer_ratio(), 0.0
        zero = Fraction(registry.Quantity(Fraction(0), row.code).to(base).magnitude)
    except (pint.PintError, TypeError) as error:
        raise TableFault(f"units: {row.code}: {row.definition!r} gives no {row.kind}") from error
    return *(one - zero).as_integer_ratio(), float(zero)


def _sizes(rows: Iterable[UnitRow]) -> list[Size]:
    """Give the size of each unit, from the registry or its image. Raises: TableFault."""
    several = tuple(rows)

    def taken() -> list[Size]:
        registry = _registry(several)
        return [_size(registry, row) for row in several]

    told = repr([(row.code, row.kind, row.definition) for row in several])
    key = image.key_for(told, version("pint"), image.sources([Path(__file__)]))
    return image.kept("units", key, taken)


def _unit(row: UnitRow, taken: Size) -> Unit:
    numerator, denominator, offset = taken
    exact = Fraction(numerator, denominator)
    size = float(exact)
    low = size if row.low is None else row.low
    high = size if row.high is None else row.high
    if not low <= size * (1 + 1e-9) or not size <= high * (1 + 1e-9) or size <= 0:
        raise TableFault(f"units: {row.code}: the size {size} lies outside {low} to {high}")
    return Unit(
        row.code, row.name, row.kind, row.system, size, min(low, size), max(high, size),
        row.measure_class, row.source, row.evidence, exact, offset, row.ucum,
    )  # fmt: skip


class _Words:
    """The words of one system: as written first, since a cook's T is no t, then folded."""

    def __init__(self) -> None:
        self.written: dict[str, Unit] = {}
        self.folded: dict[str, Unit] = {}

    def add(self, word: str, unit: Unit) -> None:
        """Add a word. Raises: TableFault where another unit of the system has claimed it."""
        self._claim(self.written, word, unit)
        if len(word) > 1 and key_of(word):
            self._claim(self.folded, key_of(word), unit)

    @staticmethod
    def _claim(words: dict[str, Unit], word: str, unit: Unit) -> None:
        if words.setdefault(word, unit) is not unit:
            raise TableFault(f"units: {word!r} means {words[word].code} and {unit.code} alike")

    def fill(self, other: _Words) -> None:
        """Take from another system the words that this one lacks."""
        for word, unit in other.written.items():
            self.written.setdefault(word, unit)
        for word, unit in other.folded.items():
            self.folded.setdefault(word, unit)


class Measures:
    """All units, by code and by every word that names them. Raises: TableFault, at start."""

    def __init__(self, rows: Mapping[str, UnitRow]) -> None:
        sized = zip(rows.items(), _sizes(rows.values()), strict=True)
        self.by_code: dict[str, Unit] = {code: _unit(row, size) for (code, row), size in sized}
        self._plain: dict[str, Unit] = dict(self.by_code)
        for unit in self.by_code.values():
            if unit.ucum:
                self._plain.setdefault(unit.ucum, unit)
        self._words = self._by_system(rows)
        #: How many words the longest name of a unit has: readers need look no further.
        self.longest_name = max(key.count(" ") + 1 for key in self._words["us"].folded)
        self._found: dict[tuple[str, str], Unit | None] = {}

    def _by_system(self, rows: Mapping[str, UnitRow]) -> dict[str, _Words]:
        own: dict[str, _Words] = {system: _Words() for system in (*FALLBACK, "any", "old")}
        for code, row in rows.items():
            if row.system not in own:
                raise TableFault(f"units: {code}: there is no system {row.system!r}")
            for word in dict.fromkeys((row.name, *row.words)):
                own[row.system].add(word, self.by_code[code])
        found = {}
        for system, others in FALLBACK.items():
            words = _Words()
            for other in (system, "any", "old", *others):
                words.fill(own[other])
            found[system] = words
        return found

    def find(self, word: str, system: str) -> Unit | None:
        """Find the unit that a word, a trade name, a UCUM code or a unit's code means under a
        system of measures: that system's own, else one that holds under any, else an old one,
        else that of a related system.

        Words are compared as written first and without case, plural and stops after that; a
        single letter only as written, since ``T`` is a tablespoon and ``t`` a teaspoon.
        """
        words = self._words.get(system)
        if words is None:
            return None
        unit = words.written.get(word)
        if unit is not None:
            return unit
        key = (word, system)
        if key in self._found:
            return self._found[key]
        if len(self._found) >= _MOST_KEPT:
            self._found.clear()
        unit = self._found[key] = self._look_up(word, words)
        return unit

    def _look_up(self, word: str, words: _Words) -> Unit | None:
        bare = word.strip().rstrip(".")
        plain = self._plain.get(bare) if "_" in bare or "[" in bare else None
        unit = plain or words.written.get(bare) or self._plain.get(bare)
        if unit is None and len(bare) > 1:
            unit = words.folded.get(key_of(bare))
        return unit
