"""What the lines bring, added up: flour, water, fat … with the bands of their masses.

What an ingredient brings is taken from its composition once, at start. Where the composition has no
value, the ingredient may hold anything from nothing to what its other parts leave room for: the
total's value leaves it out, its band takes it in, and the total is named as unknown.
"""

from __future__ import annotations

import re
from collections.abc import Iterable
from dataclasses import dataclass

from service.domain.band import Band
from service.domain.formula import Line
from service.domain.weighed import TOTALS, WeighedLine
from service.tables.cupboard import Cupboard
from service.tables.rows import CompositionRow, IngredientRow

_PLACE = {name: place for place, name in enumerate(TOTALS)}
_GRAMS, _ACIDS = _PLACE["grams"], _PLACE["acids"]
#: Totals that come from a column of the composition of the same name, in g per 100 g.
_COLUMNS = ("water", "fat", "saturated", "sugars", "protein", "starch", "fibre", "alcohol")
#: Columns that share 100 g between them.
_PROXIMATES = ("water", "protein", "fat", "carbohydrate", "alcohol")
#: Columns that are parts of the carbohydrate.
_CARBOHYDRATES = ("sugars", "starch", "fibre")
#: Roles of eggs and their parts, and the fresh thing whose solids they have.
_FRESH = {"egg": "egg", "white": "egg-white", "yolk": "egg-yolk"}

#: How a line states a leaven's water, in percent of its flour.
_HYDRATION = re.compile(r"(\d{2,3}(?:\.\d+)?)\s*(?:%|per ?cent)\s+hydration", re.IGNORECASE)

Shares = tuple[tuple[int, float], ...]


@dataclass(frozen=True, slots=True)
class Brings:
    """What one gram of an ingredient brings: places in ``TOTALS`` with shares. ``unknown`` has the
    most that it could hold of what is not known; ``acids`` milliequivalents with their band."""

    known: Shares
    unknown: Shares
    acids: tuple[float, float, float] | None


def _room(row: CompositionRow, column: str) -> float:
    """Give the most of a column that the row's other values leave room for, g per 100 g."""
    if column == "saturated" and row.fat is not None:
        return row.fat
    if column in _CARBOHYDRATES and row.carbohydrate is not None:
        taken = sum(getattr(row, c) or 0.0 for c in _CARBOHYDRATES)
        return max(0.0, row.carbohydrate - taken)
    return max(0.0, 100 - sum(getattr(row, c) or 0.0 for c in _PROXIMATES))


def hydration_of(line: Line) -> float | None:
    """Read what a line says of a leaven's water: grams to a gram of its flour."""
    said = _HYDRATION.search(line.note or "") or _HYDRATION.search(line.text or "")
    return float(said[1]) / 100 if said else None


def _hydrated(brings: Brings, flour: float, stated: float) -> Brings:
    """Change a leaven's share of flour: its flour brings what it brought, the rest is water."""
    water = _PLACE["water"]
    known = tuple(
        (place, 1 - stated + (share - 1 + flour) * stated / flour)
        if place == water
        else (place, share * stated / flour)
        for place, share in brings.known
    )
    return Brings(known, brings.unknown, brings.acids)


class Ledger:
    """Adds up what lines bring, by ingredient code."""

    def __init__(self, cupboard: Cupboard) -> None:
        self._composition = cupboard.composition
        self._acidity = cupboard.acidity
        self._ingredients = cupboard.ingredients
        constants = cupboard.constants
        self._salt = constants["salt_per_sodium"].value
        self._white = constants["white_share_of_egg"].value
        self._yolk = constants["yolk_share_of_egg"].value
        self._brings = {code: self._brings_of(code, row) for code, row in cupboard.ingredients.items()}
        #: Leavens of flour and water, and their shares of flour.
        self._leavens = {
            code: row.flour
            for code, row in cupboard.ingredients.items()
            if row.role == "yeast" and 0 < row.flour < 1
        }
        rest = tuple((place, 1.0) for name, place in _PLACE.items() if name not in ("grams", "acids"))
        self._stranger = Brings((), self._with_sodium(rest), None)

    def _with_sodium(self, shares: Shares) -> Shares:
        """Bound sodium by what a gram of salt holds."""
        sodium = _PLACE["sodium"]
        return tuple((p, 1 / self._salt if p == sodium else s) for p, s in shares)

    def _brings_of(self, code: str, row: IngredientRow) -> Brings:
        known: list[tuple[int, float]] = []
        unknown: list[tuple[int, float]] = []
        if row.flour:
            known.append((_PLACE["flour"], row.flour))
        self._add_egg(code, row.role, known)
        made_of = self._composition.get(code)
        if made_of is None:
            unknown += [(_PLACE[c], 1.0) for c in (*_COLUMNS, "salt")]
            unknown.append((_PLACE["sodium"], 1 / self._salt))
        else:
            self._add_composition(made_of, known, unknown)
        acid = self._acidity.get(code)
        acids = (acid.meq / 100, acid.low / 100, acid.high / 100) if acid else (0.0, 0.0, 0.0)
        return Brings(tuple(known), tuple(unknown), acids)

    def _add_composition(
        self, row: CompositionRow, known: list[tuple[int, float]], unknown: list[tuple[int, float]]
    ) -> None:
        for column in _COLUMNS:
            value = getattr(row, column)
            share = _room(row, column) if value is None else value
            if share:
                (unknown if value is None else known).append((_PLACE[column], share / 100))
        if row.sodium_mg is None:
            salt = _room(row, "sodium_mg") / 100
            unknown += [(_PLACE["salt"], salt), (_PLACE["sodium"], salt / self._salt)]
        elif row.sodium_mg:
            sodium = row.sodium_mg / 100_000
            known += [(_PLACE["sodium"], sodium), (_PLACE["salt"], sodium * self._salt)]

    def _add_egg(self, code: str, role: str, known: list[tuple[int, float]]) -> None:
        """Count eggs and their parts as liquid egg: a dried egg by its solids."""
        fresh = _FRESH.get(role)
        if fresh is None:
            return
        dry, wet = self._composition.get(code), self._composition.get(fresh)
        liquid = 1.0
        if code != fresh and dry and wet and dry.water is not None and wet.water is not None:
            liquid = (100 - dry.water) / (100 - wet.water)
        if role == "egg":
            known.append((_PLACE["whole_egg"], liquid))
        if role != "yolk":
            share = self._white if role == "egg" else 1.0
            known.append((_PLACE["egg_white"], liquid * share))
        if role != "white":
            share = self._yolk if role == "egg" else 1.0
            known.append((_PLACE["egg_yolk"], liquid * share))

    def brings(self, code: str | None) -> Brings:
        """Give what one gram of an ingredient brings; of an unknown one nothing but bounds."""
        return self._stranger if code is None else self._brings.get(code, self._stranger)

    def brings_of(self, line: WeighedLine) -> Brings:
        """Give what one gram of a line's ingredient brings: a leaven whose hydration the line states
        (``100% hydration``: as much water as flour) by that, whatever its kind usually has."""
        brings = self.brings(line.code)
        flour = self._leavens.get(line.code or "")
        if flour is None:
            return brings
        stated = hydration_of(line.line)
        return brings if stated is None else _hydrated(brings, flour, 1 / (1 + stated))

    def flour_of(self, line: WeighedLine) -> float:
        """Give what share of a line counts as flour."""
        if line.code is None:
            return 0.0
        flour = self._ingredients[line.code].flour
        stated = hydration_of(line.line) if line.code in self._leavens else None
        return flour if stated is None else 1 / (1 + stated)

    def add_up(self, lines: Iterable[WeighedLine]) -> Sums:
        """Add up lines; those without a mass bring nothing."""
        sums = Sums()
        for line in lines:
            if line.grams is not None:
                sums.add(line.name, line.grams, self.brings_of(line))
        return sums


class Sums:
    """Totals while they are added up: values, lows and highs by place in ``TOTALS``."""

    def __init__(self) -> None:
        self.values = [0.0] * len(TOTALS)
        self.lows = [0.0] * len(TOTALS)
        self.highs = [0.0] * len(TOTALS)
        self.unknown: dict[str, list[str]] = {}

    def add(self, name: str, grams: Band, brings: Brings) -> None:
        """Add one line."""
        value, low, high = grams.value, grams.low, grams.high
        values, lows, highs = self.values, self.lows, self.highs
        values[_GRAMS] += value
        lows[_GRAMS] += low
        highs[_GRAMS] += high
        for place, share in brings.known:
            values[place] += value * share
            lows[place] += low * share
            highs[place] += high * share
        for place, share in brings.unknown:
            highs[place] += high * share
            self.unknown.setdefault(TOTALS[place], []).append(name)
        if brings.acids is None:
            self.unknown.setdefault("acids", []).append(name)
        elif brings.acids[2] or brings.acids[1]:
            meq, least, most = brings.acids
            values[_ACIDS] += value * meq
            lows[_ACIDS] += min(low * least, high * least)
            highs[_ACIDS] += max(low * most, high * most)

    def take(self, other: Sums) -> None:
        """Add another's totals."""
        for place in range(len(TOTALS)):
            self.values[place] += other.values[place]
            self.lows[place] += other.lows[place]
            self.highs[place] += other.highs[place]
        for name, several in other.unknown.items():
            self.unknown.setdefault(name, []).extend(several)

    def totals(self) -> dict[str, Band | None]:
        """Give the totals; acids have no bound where an ingredient is unknown."""
        bands: dict[str, Band | None] = {
            name: Band(value, low, high)
            for name, value, low, high in zip(TOTALS, self.values, self.lows, self.highs, strict=True)
        }
        if "acids" in self.unknown:
            bands["acids"] = None
        return bands

    def named_unknown(self) -> dict[str, tuple[str, ...]]:
        """Give the names of what is unknown of each total, each once."""
        return {name: tuple(dict.fromkeys(several)) for name, several in self.unknown.items()}
