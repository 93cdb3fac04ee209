"""The acid-base ledger of a baked group: carbonates against acids, and the gas that comes of it.

Units: milliequivalents (1 meq of acid takes up 84.006 mg of soda), millimoles of gas. Leaveners come
from ``tables/leaveners.csv``, the acidity of foods from ``tables/acidity``. Foods were titrated to
about pH 8.3 and batters stop near 7, so that the upper ends of the acids' bands are generous.

What is reckoned: the acids, less the alkali of foods (old egg white, alkalised cocoa), take up
carbonate and free its gas; bicarbonate that is left over gives half its gas by heat and stays behind
as carbonate; powders and ammonia give their own gas; yeast gives what the sugars that ferment give.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from functools import cached_property

from service.domain.band import ZERO, Band, total
from service.domain.record import record
from service.domain.weighed import WeighedLine
from service.tables.cupboard import Cupboard
from service.tables.rule_rows import ConstantRow, LeavenerRow

#: The routes by which gas comes, in the order in which they are told.
ROUTES = ("acid-base", "thermal", "powder", "ammonia", "yeast")
#: All but yeast's.
_CHEMICAL = ROUTES[:-1]


@record
class Entry:
    """One line's entry: ``kind`` carbonate | acid | food-acid | food-alkali, its ``meq`` and where
    the figure comes from."""

    line: str
    ingredient: str
    kind: str
    meq: Band
    source: str
    evidence: str


@dataclass(eq=False)
class Ledger:
    """A group's ledger, which nobody changes. Units: meq for ``carbonate``, ``acid``, ``food_alkali``
    (what each side brings), ``soda_left`` and ``acid_left``; mmol of gas for each of ``gas``; mg for
    ``sodium`` (what the leaveners bring)."""

    entries: tuple[Entry, ...]
    carbonate: Band
    acid: Band
    food_alkali: Band
    soda_left: Band
    acid_left: Band
    gas: dict[str, Band]
    sodium: Band

    @cached_property
    def chemical_gas(self) -> Band:
        """Give the gas of all routes but yeast's, which takes its time. Units: mmol."""
        return total([self.gas[route] for route in _CHEMICAL])

    @property
    def carbon_dioxide(self) -> Band:
        """Give the carbon dioxide among the chemical gas: of baking ammonia's, half (a mole of it gives
        one of ammonia and one of carbon dioxide), which is also its low end. Units: mmol."""
        ammonia = self.gas["ammonia"]
        half = ammonia.times(0.5)
        own = Band(half.value, min(ammonia.low, half.value), half.high)
        return total(self.gas[route] for route in ROUTES if route not in ("yeast", "ammonia")).plus(own)


def _clipped(band: Band, top: Band) -> Band:
    """Keep a band between zero and another band."""
    return Band(
        min(max(band.value, 0.0), top.value),
        min(max(band.low, 0.0), top.low),
        min(max(band.high, 0.0), top.high),
    )


def food_entry(line: WeighedLine, code: str, cupboard: Cupboard) -> Entry | None:
    """Give the entry of a food that is sour or alkaline; ``None`` for one that is neither."""
    row = cupboard.acidity.get(code)
    if row is None or line.grams is None or (row.meq == 0 and row.low == 0 and row.high == 0):
        return None
    grams, per_gram = line.grams, Band(row.meq / 100, row.low / 100, row.high / 100)
    if row.meq < 0:
        alkali = Band(-per_gram.value, max(0.0, -per_gram.high), -per_gram.low)
        return Entry(
            line.pointer, code, "food-alkali", grams.times_band(alkali), row.source, row.evidence
        )
    acid = Band(per_gram.value, max(0.0, per_gram.low), max(0.0, per_gram.high))
    return Entry(line.pointer, code, "food-acid", grams.times_band(acid), row.source, row.evidence)


def leavener_entry(line: WeighedLine, row: LeavenerRow) -> Entry | None:
    """Give the entry of a carbonate or a dry acid; ``None`` for any other leavener."""
    if line.grams is None:
        return None
    if row.carbonate_meq:
        meq = line.grams.times(row.carbonate_meq)
        return Entry(line.pointer, row.ingredient, "carbonate", meq, row.source, row.evidence)
    if row.acid_meq is None:
        return None
    per_gram = Band(
        row.acid_meq,
        row.acid_meq if row.acid_meq_low is None else row.acid_meq_low,
        row.acid_meq if row.acid_meq_high is None else row.acid_meq_high,
    )
    meq = line.grams.times_band(per_gram)
    return Entry(line.pointer, row.ingredient, "acid", meq, row.source, row.evidence)


def own_gas(line: WeighedLine, row: LeavenerRow) -> Band:
    """Give the gas that a leavener can give: a carbonate with enough acid, a powder or ammonia by
    itself. Units: mmol."""
    if line.grams is None or row.co2_mmol is None:
        return ZERO
    low = row.co2_mmol if row.co2_low is None else row.co2_low
    high = row.co2_mmol if row.co2_high is None else row.co2_high
    return line.grams.times_band(Band(row.co2_mmol, low, high))


def yeast_gas(flour: Band, constants: Mapping[str, ConstantRow]) -> Band:
    """Give the gas of the sugars that ferment in an ordinary straight dough. Units: mmol."""
    share = constants["yeast_sugar_fermented"]
    fermented = flour.times_band(Band(share.value, share.low or 0.0, share.high or share.value))
    per_gram = constants["co2_per_sugar_fermented"].value / constants["molar_mass_co2"].value * 1000
    return fermented.times(per_gram)


def _is_leaven(code: str, cupboard: Cupboard) -> bool:
    """Tell whether it is sourdough, poolish or another dough that ferments another."""
    row = cupboard.ingredients.get(code)
    return row is not None and row.role == "yeast"


def keep_ledger(
    lines: Iterable[WeighedLine],
    flour: Band,
    cupboard: Cupboard,
    instead: Mapping[str, str] | None = None,
) -> Ledger:
    """Keep the ledger of a group's lines.

    ``instead`` maps an ingredient's code to another by whose acidity it is reckoned (what would
    another cocoa do). ``flour`` feeds the yeast. Lines that were not weighed are left out: the
    caller says so.
    """
    entries: list[Entry] = []
    gas = dict.fromkeys(ROUTES, ZERO)
    potential = heat_left = sodium = ZERO
    for line in lines:
        if line.grams is None or line.code is None:
            continue
        row = cupboard.leaveners.get(line.code)
        if row is not None:
            entry = leavener_entry(line, row)
            sodium = sodium.plus(line.grams.times(row.sodium_mg or 0.0))
            if row.kind in ("powder", "ammonia"):
                gas[row.kind] = gas[row.kind].plus(own_gas(line, row))
            elif row.kind == "yeast":
                gas["yeast"] = yeast_gas(flour, cupboard.constants)
            elif entry is not None and entry.kind == "carbonate":
                potential = potential.plus(own_gas(line, row))
                # What is left over ends as carbonate, which holds half a mole of gas a mole of base.
                heat_left = heat_left.plus(own_gas(line, row).minus(entry.meq.times(0.5)))
        else:
            entry = food_entry(line, (instead or {}).get(line.code, line.code), cupboard)
            if _is_leaven(line.code, cupboard):
                gas["yeast"] = yeast_gas(flour, cupboard.constants)
        if entry is not None:
            entries.append(entry)
    return _balanced(tuple(entries), gas, potential, heat_left, sodium)


def _balanced(
    entries: tuple[Entry, ...], gas: dict[str, Band], potential: Band, heat_left: Band, sodium: Band
) -> Ledger:
    """Set the acids against the carbonates and share out the gas."""
    carbonate = total(e.meq for e in entries if e.kind == "carbonate")
    acid = total(e.meq for e in entries if e.kind in ("acid", "food-acid"))
    alkali = total(e.meq for e in entries if e.kind == "food-alkali")
    free_acid = acid.minus(alkali)
    taken = _clipped(free_acid, carbonate)
    left = _clipped(carbonate.minus(free_acid), carbonate)
    over = free_acid.minus(carbonate)
    acid_left = Band(max(0.0, over.value), max(0.0, over.low), max(0.0, over.high))
    if carbonate.value > 0:
        gas_a_base = potential.value / carbonate.value
        heat_a_base = max(0.0, heat_left.value) / carbonate.value
        gas = {**gas, "acid-base": taken.times(gas_a_base), "thermal": left.times(heat_a_base)}
    return Ledger(entries, carbonate, acid, alkali, left, acid_left, gas, sodium)


def gas_grams(mmol: Band, constants: Mapping[str, ConstantRow]) -> Band:
    """Give the mass of so much carbon dioxide. Units: grams."""
    return mmol.times(constants["molar_mass_co2"].value / 1000)


def gas_millilitres(mmol: Band, constants: Mapping[str, ConstantRow]) -> Band:
    """Give the volume of so much gas at the convention's temperature and pressure. Source: the ideal
    gas law, CODATA 2018."""
    litres_a_mole = (
        constants["gas_constant"].value
        * constants["gas_temperature"].value
        / constants["gas_pressure"].value
        * 1000
    )
    return mmol.times(litres_a_mole)


def soda_grams(meq: Band, constants: Mapping[str, ConstantRow]) -> Band:
    """Give milliequivalents as grams of soda."""
    return meq.times(constants["molar_mass_soda"].value / 1000)


def powder_grams(mmol: Band, constants: Mapping[str, ConstantRow]) -> Band:
    """Give the mass of reference powder that would give so much gas. Units: grams."""
    return gas_grams(mmol, constants).times(1 / constants["reference_powder_co2"].value)
