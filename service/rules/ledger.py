"""The acid-base ledger of a baked group: carbonates against acids, and the gas that comes of it.

Units: milliequivalents (1 meq of acid takes up 84.006 mg of soda), millimoles of gas. Leaveners come
from ``tables/leaveners.csv``, the acidity of foods from ``tables/acidity``. Foods were titrated to
about pH 8.3 and batters stop near 7, so that the upper ends of the acids' bands are generous.

What is reckoned: the acids, less the alkali of foods (old egg white, alkalised cocoa), take up
carbonate and free its gas; bicarbonate that is left over gives half its gas by heat and stays behind
as carbonate; powders and ammonia give their own gas. Gas is carbon dioxide throughout; the ammonia that
ammonium salts give beside it stands apart.

Yeast gives what it ferments in an ordinary straight dough, by its dose, and never more than there is to
ferment: the sugars of the lines, flour's own and those that its enzymes free. The high end gives little
yeast a night's time.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, replace
from functools import cached_property

from service.domain.band import ZERO, Band, total
from service.domain.record import record
from service.domain.weighed import WeighedLine
from service.tables.cupboard import Cupboard
from service.tables.once import once
from service.tables.rows import AcidityRow
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
    (what each side brings), ``soda_left`` and ``acid_left``; mmol of carbon dioxide for each route of
    ``gas``; mmol of ammonia for ``ammonia`` (NH3, in none of the routes); mg for ``sodium`` (what the
    leaveners bring)."""

    entries: tuple[Entry, ...]
    carbonate: Band
    acid: Band
    food_alkali: Band
    soda_left: Band
    acid_left: Band
    gas: dict[str, Band]
    ammonia: Band
    sodium: Band

    @cached_property
    def chemical_gas(self) -> Band:
        """Give the carbon dioxide of all routes but yeast's, which takes its time; the ammonia of baking
        ammonia is not in it. Units: mmol."""
        return total([self.gas[route] for route in _CHEMICAL])


def _clipped(band: Band, top: Band) -> Band:
    """Keep a band between zero and another band."""
    return Band(
        min(max(band.value, 0.0), top.value),
        min(max(band.low, 0.0), top.low),
        min(max(band.high, 0.0), top.high),
    )


@record
class Reagent:
    """What a gram of a thing does in the ledger. ``kind`` is that of the entry that it makes (``None``:
    none) with its ``meq``; ``route``: by which it gives gas, and how many ``mmol`` of carbon dioxide it
    can give (a carbonate with enough acid, a powder or ammonia by itself; of yeast the flour tells), and
    of ``ammonia`` beside it; ``sodium``: mg that a leavener brings; ``yeast``: grams of fresh yeast that
    it stands for (none: a leaven, whose yeast nobody weighs)."""

    ingredient: str
    kind: str | None
    meq: Band
    route: str | None
    mmol: Band
    ammonia: Band
    sodium: float
    source: str
    evidence: str
    yeast: float = 0.0


#: Which side of the balance an entry stands on.
_SIDES = {"carbonate": "carbonate", "acid": "acid", "food-acid": "acid", "food-alkali": "alkali"}


@once
def reagents_of(cupboard: Cupboard) -> dict[str, Reagent]:
    """Give all that stands in a ledger, by ingredient: leaveners, sour and alkaline foods, and doughs
    that ferment another (sourdough, poolish)."""
    found = {code: _of_food(row) for code, row in cupboard.acidity.items()}
    for code, thing in cupboard.ingredients.items():
        if thing.role == "yeast":
            food = found.get(code) or Reagent(code, None, ZERO, None, ZERO, ZERO, 0.0, "", "")
            found[code] = replace(food, route="yeast")
    return found | {code: _of_leavener(row) for code, row in cupboard.leaveners.items()}


def _of_food(row: AcidityRow) -> Reagent:
    value, low, high = row.meq / 100, row.low / 100, row.high / 100
    kind, meq = "food-acid", Band(value, max(0.0, low), max(0.0, high))
    if row.meq < 0:
        kind, meq = "food-alkali", Band(-value, max(0.0, -high), -low)
    neutral = row.meq == 0 and row.low == 0 and row.high == 0
    return Reagent(
        row.ingredient, None if neutral else kind, meq, None, ZERO, ZERO, 0.0, row.source, row.evidence
    )


def _of_leavener(row: LeavenerRow) -> Reagent:
    kind, meq = None, ZERO
    if row.carbonate_meq:
        kind, meq = "carbonate", Band.exact(row.carbonate_meq)
    elif row.acid_meq is not None:
        kind, meq = "acid", _between(row.acid_meq, row.acid_meq_low, row.acid_meq_high)
    route = row.kind if row.kind in ("powder", "ammonia", "yeast") else None
    if route is None and kind == "carbonate":
        route = "acid-base"
    mmol = ZERO if row.co2_mmol is None else _between(row.co2_mmol, row.co2_low, row.co2_high)
    ammonia = ZERO if row.nh3_mmol is None else _between(row.nh3_mmol, row.nh3_low, row.nh3_high)
    return Reagent(
        row.ingredient,
        kind,
        meq,
        route,
        mmol,
        ammonia,
        row.sodium_mg or 0.0,
        row.source,
        row.evidence,
        row.fresh_yeast or 0.0,
    )


def _between(value: float, low: float | None, high: float | None) -> Band:
    return Band(value, value if low is None else low, value if high is None else high)


def fermented_gas(sugar: Band, constants: Mapping[str, ConstantRow]) -> Band:
    """Give the carbon dioxide of sugar that is fermented. Units: grams of glucose or its like; mmol."""
    per_gram = constants["co2_per_sugar_fermented"].value / constants["molar_mass_co2"].value * 1000
    return sugar.times(per_gram)


def sugar_fermented(
    yeast: Band, leaven: bool, flour: Band, sugar: Band, constants: Mapping[str, ConstantRow]
) -> Band:
    """Give the sugar that yeast ferments. ``yeast`` is counted as fresh; ``leaven``: whether another
    dough ferments this one too, as an ordinary dose of yeast would; ``sugar`` is what the lines bring.
    Units: grams."""
    ordinary, offered = (
        flour.times_band(_banded(constants[code]))
        for code in ("yeast_sugar_fermented", "flour_fermentable")
    )
    there = offered.plus(sugar)
    does = yeast.times_band(_banded(constants["sugar_per_yeast"]))
    if leaven:
        does = does.plus(ordinary)
    return Band(
        min(does.value, there.value),
        min(does.low, there.low),
        min(max(does.high, ordinary.high), there.high),
    )


def _banded(row: ConstantRow) -> Band:
    return _between(row.value, row.low, row.high)


def keep_ledger(
    lines: Iterable[WeighedLine],
    flour: Band,
    cupboard: Cupboard,
    instead: Mapping[str, str] | None = None,
    sugar: Band = ZERO,
) -> Ledger:
    """Keep the ledger of a group's lines.

    ``instead`` maps an ingredient's code to another by whose acidity it is reckoned (what would
    another cocoa do). ``flour`` and ``sugar`` feed the yeast. Lines that were not weighed are left
    out: the caller says so.
    """
    known, others = reagents_of(cupboard), instead or {}
    entries: list[Entry] = []
    sides: dict[str, list[Band]] = {"carbonate": [], "acid": [], "alkali": []}
    gas: dict[str, list[Band]] = {}
    heat_left, ammonia, sodium, yeast = [], [], [], []
    leaven = False
    for line in lines:
        code, grams = line.code or "", line.grams
        one = known.get(others.get(code, code))
        if grams is None or one is None:
            continue
        if one.kind is not None:
            meq = grams.times_band(one.meq)
            sides[_SIDES[one.kind]].append(meq)
            entries.append(Entry(line.pointer, one.ingredient, one.kind, meq, one.source, one.evidence))
            if one.route == "acid-base":
                # What is left over ends as carbonate, which holds half a mole of gas a mole of base.
                heat_left.append(grams.times_band(one.mmol).minus(meq.times(0.5)))
        if one.route == "yeast":
            yeast.append(grams.times(one.yeast))
            leaven = leaven or not one.yeast
        elif one.route is not None:
            gas.setdefault(one.route, []).append(grams.times_band(one.mmol))
        if one.ammonia.high:
            ammonia.append(grams.times_band(one.ammonia))
        if one.sodium:
            sodium.append(grams.times(one.sodium))
    if yeast:
        fermented = sugar_fermented(total(yeast), leaven, flour, sugar, cupboard.constants)
        gas["yeast"] = [fermented_gas(fermented, cupboard.constants)]
    given = {route: total(gas[route]) if route in gas else ZERO for route in ROUTES}
    return _balanced(tuple(entries), sides, given, total(heat_left), total(ammonia), total(sodium))


def _balanced(
    entries: tuple[Entry, ...],
    sides: dict[str, list[Band]],
    gas: dict[str, Band],
    heat_left: Band,
    ammonia: Band,
    sodium: Band,
) -> Ledger:
    """Set the acids against the carbonates and share out the gas that these could give."""
    carbonate, acid, alkali = (total(sides[side]) for side in ("carbonate", "acid", "alkali"))
    free_acid = acid.minus(alkali)
    taken = _clipped(free_acid, carbonate)
    left = _clipped(carbonate.minus(free_acid), carbonate)
    over = free_acid.minus(carbonate)
    acid_left = Band(max(0.0, over.value), max(0.0, over.low), max(0.0, over.high))
    potential, gas["acid-base"] = gas["acid-base"], ZERO
    if carbonate.value > 0:
        gas["acid-base"] = taken.times(potential.value / carbonate.value)
        gas["thermal"] = left.times(max(0.0, heat_left.value) / carbonate.value)
    return Ledger(entries, carbonate, acid, alkali, left, acid_left, gas, ammonia, sodium)


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
