"""The measures that ranges are set for: by name, each with its unit, its words and its sum.

Most are ratios of kinds of ``amounts``; a few read the ledger. The limits' column ``measure`` names
one of them; adding a measure is a line here and a row there.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

from service.domain.band import Band, total
from service.rules.done import centre_celsius
from service.rules.judged import BAKED, Judged
from service.rules.ledger import gas_grams, powder_grams, soda_grams
from service.rules.oven import oven_celsius
from service.rules.pans import filled, pans_volume
from service.tables.cupboard import Cupboard
from service.tables.once import once
from service.tables.rule_rows import LimitRow

PERCENT = 100.0


@dataclass(frozen=True, slots=True)
class Measure:
    """A measure. ``over`` and ``under`` are the kinds whose lines move it (numerator and divisor);
    ``of`` gives its band for a group, ``None`` where it has no meaning there (nothing to divide by).
    ``rests_on`` has every kind (and what of the ledger) that it reads: where none moves, it stays.
    ``scale``: it is that many times the sum of ``over`` to that of ``under``; ``None`` where it is
    more than a ratio.
    """

    name: str
    says: str
    over: tuple[str, ...]
    under: tuple[str, ...]
    of: Callable[[Judged], Band | None]
    rests_on: frozenset[str]
    scale: float | None = None


MEASURES: dict[str, Measure] = {}


def measure_of(judged: Judged, name: str) -> Band | None:
    """Give a measure of a group, worked out once; ``None`` where it has no meaning there."""
    measured = judged.measured
    if name not in measured:
        measure, base = MEASURES[name], judged.base
        same = base is not None and measure.rests_on.isdisjoint(judged.touched)
        measured[name] = measure_of(base, name) if base is not None and same else measure.of(judged)
    return measured[name]


def _ratio(
    name: str, says: str, over: str, under: str, scale: float = 1.0, needs: str = "", without: str = ""
) -> None:
    """Set down a ratio of sums of kinds. ``needs``: kinds of which there must be some for the
    measure to mean anything; ``without``: kinds of which there must be none."""
    above, below = tuple(over.split()), tuple(under.split())
    must, must_not = tuple(needs.split()), tuple(without.split())

    def of(judged: Judged) -> Band | None:
        amounts = judged.amounts
        for kind in must:
            if not amounts.has(kind):
                return None
        for kind in must_not:
            if amounts.has(kind):
                return None
        return amounts.share(above, below, scale)

    rests_on = frozenset((*above, *below, *must, *must_not))
    MEASURES[name] = Measure(name, says, above, below, of, rests_on, scale)


def _read(
    name: str, says: str, over: str, under: str, of: Callable[[Judged], Band | None], rests_on: str
) -> None:
    """Set down a measure that is more than a ratio of kinds. ``rests_on``: all that it reads."""
    above, below = tuple(over.split()), tuple(under.split())
    MEASURES[name] = Measure(name, says, above, below, of, frozenset(rests_on.split()))


TOUGHENERS = "flour cocoa_solids whole_egg egg_white_alone milk_solids"
TENDERISERS = "sugar fat egg_yolk_alone"
DRIERS = "flour cocoa_solids milk_solids"
MOISTENERS = "egg liquid_water"
LIQUIDS = "egg liquid"
_TOUGH, _TENDER = tuple(TOUGHENERS.split()), tuple(TENDERISERS.split())

_ratio("sugar_pct", "sugar on flour", "sugar", "flour", PERCENT)
_ratio("dry_sugar_pct", "dry sugar on flour", "dry_sugar", "flour", PERCENT)
_ratio("fat_pct", "fat on flour", "fat", "flour", PERCENT)
_ratio("egg_pct", "egg on flour", "egg", "flour", PERCENT)
_ratio("white_pct", "egg white on flour", "white", "flour", PERCENT)
_ratio("yolk_pct", "egg yolk on flour", "yolk", "flour", PERCENT)
_ratio("cocoa_pct", "cocoa on flour", "cocoa", "flour", PERCENT)
_ratio("syrup_pct", "syrup on flour", "syrup", "flour", PERCENT)
_ratio("puree_pct", "pulp on flour", "puree", "flour", PERCENT, needs="puree")
_ratio("liquid_pct", "added liquid on flour", "liquid", "flour", PERCENT)
_ratio("liquid_without_egg_pct", "added liquid on flour", "liquid", "flour", PERCENT, without="egg")
_ratio("powder_pct", "baking powder on flour", "powder", "flour", PERCENT)
_ratio("soda_pct", "soda on flour", "soda", "flour", PERCENT)
_ratio(
    "powder_alone_pct", "baking powder on flour, where nothing else raises it", "powder", "flour",
    PERCENT, needs="powder", without="soda ammonia yeast leaven",
)  # fmt: skip
_ratio(
    "fat_unleavened_pct", "fat on flour, where nothing else raises it", "fat", "flour", PERCENT,
    without="soda powder ammonia yeast leaven",
)  # fmt: skip
_ratio("salt_pct", "salt on flour", "salt", "flour", PERCENT)
_ratio("salt_of_whole", "salt of the whole", "salt", "total", PERCENT)
_ratio("flour_of_whole", "flour of the whole", "flour", "total", PERCENT)
_ratio("salt_on_white", "salt on egg white", "salt", "white", PERCENT)
_ratio("fat_on_white", "fat on egg white", "fat", "white", PERCENT)
_ratio("starch_on_white", "starch on egg white", "starch", "white", PERCENT)
_ratio("sugar_to_white", "sugar to egg white", "sugar", "white", needs="white")
_ratio("sugar_to_egg", "sugar to egg", "sugar", "egg")
_ratio("flour_to_white", "flour to egg white", "flour", "white", needs="flour")
_ratio("flour_to_egg", "flour to egg", "flour", "egg", needs="flour")
_ratio(
    "sugar_to_egg_alone",
    "sugar to egg, where egg alone raises it",
    "sugar",
    "egg",
    without="powder soda ammonia",
)
_ratio(
    "flour_to_egg_alone", "flour to egg, where egg alone raises it", "flour", "egg",
    needs="flour", without="powder soda ammonia",
)  # fmt: skip
_ratio("egg_to_fat", "egg to fat", "egg", "fat", needs="butter")
_ratio("egg_to_pure_fat", "egg to pure fat", "egg", "pure_fat", needs="butter")
_ratio("yolk_to_fat", "yolk to fat", "yolk", "fat")
_ratio("fat_to_sugar", "fat to sugar", "fat", "sugar")
_ratio("sugar_to_fat", "sugar to fat", "sugar", "fat")
_ratio("liquid_to_flour", "egg and liquid to flour", LIQUIDS, "flour")
_ratio("liquid_to_sugar", "egg and liquid to sugar", LIQUIDS, "sugar")
_ratio("flour_to_sugar", "flour to sugar", "flour", "sugar")
_ratio("sugar_to_flour_and_cocoa", "sugar to flour and cocoa", "sugar", "flour cocoa", needs="cocoa")
_ratio("fat_to_water", "fat to added liquid", "butter", "liquid")
_ratio("dry_to_moist", "driers to moisteners", DRIERS, MOISTENERS)
_ratio("starch_to_milk", "starch to milk", "starch", "milk", PERCENT, needs="egg starch")
_ratio("flour_to_milk", "flour to milk", "meal", "milk", PERCENT, needs="egg meal", without="starch")
_ratio("sugar_to_milk", "sugar to milk", "sugar", "milk", PERCENT, needs="egg starch")
_ratio("yolk_to_milk", "yolk to milk", "yolk", "milk", PERCENT, needs="egg starch")
_ratio(
    "egg_to_milk",
    "egg to milk",
    "egg",
    "milk",
    PERCENT,
    needs="egg",
    without="starch flour gel chocolate",
)
_ratio(
    "custard_sugar_to_milk", "sugar to milk", "sugar", "milk", PERCENT,
    needs="egg", without="starch flour gel chocolate",
)  # fmt: skip
_ratio(
    "cream_to_chocolate", "cream to chocolate", "cream", "chocolate",
    needs="cream chocolate", without="egg flour starch",
)  # fmt: skip
_ratio(
    "sugar_to_butter", "sugar to butter", "dry_sugar", "butter",
    needs="dry_sugar butter", without="egg flour starch cream",
)  # fmt: skip
_ratio("gelatin_pct", "gelatin of the whole", "gel", "total", PERCENT, needs="gel")
_ratio("ammonia_pct", "baking ammonia on flour", "ammonia", "flour", PERCENT, needs="ammonia")


def _per_flour(band: Band, judged: Judged) -> Band | None:
    share = band.per(judged.amounts.of("flour"))
    return None if share is None else share.times(PERCENT)


def _water(judged: Judged) -> Band | None:
    """Water on flour. Pulp may keep its own water: its low end counts none of it."""
    amounts = judged.amounts
    share = amounts.share(("water",), ("flour",), PERCENT)
    kept = amounts.share(("puree_water",), ("flour",), PERCENT) if share else None
    if share is None or kept is None:
        return share
    return Band(share.value, share.low - kept.low, share.high)


def _tough_to_tender(judged: Judged) -> Band | None:
    """Tougheners over tenderisers; a white alone toughens, a yolk alone makes tender. Where both stand
    in a formula, parted for beating, the band reaches to what they are as whole egg."""
    amounts, constants = judged.amounts, judged.cupboard.constants
    tough, tender = amounts.of(*_TOUGH), amounts.of(*_TENDER)
    share = tough.per(tender)
    yolk_a_white = constants["yolk_share_of_egg"].value / constants["white_share_of_egg"].value
    white, yolk = amounts.of("egg_white_alone").value, amounts.of("egg_yolk_alone")
    paired = min(yolk.value, white * yolk_a_white)
    if share is None or paired <= 0:
        return share
    whole = yolk.times(paired / yolk.value)
    joined = tough.plus(whole).per(tender.minus(whole))
    return share if joined is None else Band(share.value, share.low, max(share.high, joined.high))


def _yeast(judged: Judged) -> Band | None:
    """Yeast on flour. What lives in a leaven nobody weighs: where it alone raises, nothing is told."""
    amounts = judged.amounts
    if amounts.has("leaven") and not amounts.has("yeast"):
        return None
    return amounts.share(("yeast",), ("flour",), PERCENT)


def _milk_solids(judged: Judged) -> Band | None:
    """Milk solids on flour. The low end counts them without their fat, which does not dry."""
    amounts = judged.amounts
    share = amounts.share(("milk_solids",), ("flour",), PERCENT)
    fat = amounts.share(("milk_fat",), ("flour",), PERCENT) if share else None
    if share is None or fat is None:
        return share
    return Band(share.value, max(0.0, share.low - fat.high), share.high)


@once
def practice_rows(cupboard: Cupboard) -> dict[str, LimitRow]:
    """Give the rows of the soda that practice sets against sour things, by ingredient (LEAVEN-04)."""
    return {row.measure.rpartition("/")[2]: row for row in cupboard.limits.get("LEAVEN-04", ())}


@once
def _read_practice(cupboard: Cupboard) -> frozenset[str]:
    """Give the sour things of which a read rule tells the soda."""
    return frozenset(code for code, row in practice_rows(cupboard).items() if "R" in row.evidence)


def _soda_to_syrup(judged: Judged) -> Band | None:
    """Soda over syrup, less the soda that practice sets against what else is sour (LEAVEN-04)."""
    soda, syrup = judged.amounts.of("soda"), judged.amounts.of("syrup")
    if soda.value <= 0:
        return None
    rows = practice_rows(judged.cupboard)
    own = {line.code for line in judged.amounts.lines("syrup")}
    for line in judged.lines:
        row = rows.get(line.code or "")
        if row is None or line.grams is None or line.code in own:
            continue
        per_gram = Band(
            (row.typical or 0.0) / PERCENT, (row.low or 0.0) / PERCENT, (row.high or 0.0) / PERCENT
        )
        soda = soda.minus(line.grams.times_band(per_gram))
    share = Band(max(0.0, soda.value), max(0.0, soda.low), max(0.0, soda.high)).per(syrup)
    return None if share is None else share.times(PERCENT)


def _tartar(judged: Judged) -> Band | None:
    """Dry acid as cream of tartar, per 100 g of white."""
    acid = [e.meq for e in judged.ledger.entries if e.kind == "acid"]
    per_gram = judged.cupboard.constants["molar_mass_cream_of_tartar"].value / 1000
    meq = Band(sum(b.value for b in acid), sum(b.low for b in acid), sum(b.high for b in acid))
    share = meq.times(per_gram).per(judged.amounts.of("white"))
    return None if share is None else share.times(PERCENT)


def _foam_sugar(judged: Judged) -> Band | None:
    """Sugar beaten into the whites: that of the foam component, where the formula has one."""
    foam = judged.amounts_of_role("foam")
    if foam is None or foam.of("white").value <= 0:
        return None
    return foam.of("sugar").per(foam.of("white"))


def _powder_equivalent(judged: Judged) -> Band | None:
    return _per_flour(powder_grams(judged.ledger.chemical_gas, judged.cupboard.constants), judged)


def _gas(judged: Judged) -> Band | None:
    return _per_flour(gas_grams(judged.ledger.chemical_gas, judged.cupboard.constants), judged)


def _soda_left(judged: Judged) -> Band | None:
    return _per_flour(soda_grams(judged.ledger.soda_left, judged.cupboard.constants), judged)


def _acid_left(judged: Judged) -> Band | None:
    if judged.ledger.chemical_gas.value <= 0:
        return None
    return _per_flour(soda_grams(judged.ledger.acid_left, judged.cupboard.constants), judged)


def _sour_without_soda(judged: Judged) -> Band | None:
    """Acid of what practice sets soda against by a read rule, as soda, where powder stands alone."""
    if judged.amounts.of("powder").value <= 0 or judged.amounts.of("soda").value > 0:
        return None
    # Cream of tartar may stand for the whites' sake.
    kinds = ("food-acid",) if judged.amounts.has("egg_white_alone") else ("food-acid", "acid")
    sour = _read_practice(judged.cupboard)
    acids = [e.meq for e in judged.ledger.entries if e.kind in kinds and e.ingredient in sour]
    return _per_flour(soda_grams(total(acids), judged.cupboard.constants), judged)


def _salt_in_product(judged: Judged) -> Band | None:
    """Salt by sodium per 100 g as mixed; baking takes water and leaves the salt."""
    per_sodium = judged.cupboard.constants["salt_per_sodium"].value / 1000
    share = judged.amounts.of("sodium").times(per_sodium).per(judged.amounts.of("total"))
    return None if share is None else share.times(PERCENT)


GASSY = "soda powder ammonia"
_read("yeast_pct", "yeast on flour, as fresh yeast", "yeast", "flour", _yeast, "yeast flour leaven")
_read("tartar_to_white", "leavening acid to egg white", "acid_salt", "white", _tartar, "ledger white")
_read(
    "milk_solids_pct", "milk solids on flour", "milk_solids", "flour", _milk_solids,
    "milk_solids milk_fat flour",
)  # fmt: skip
_read("water_pct", "water of all lines on flour", "water", "flour", _water, "water flour puree_water")
_read(
    "tough_to_tender", "tougheners to tenderisers", TOUGHENERS, TENDERISERS, _tough_to_tender,
    f"{TOUGHENERS} {TENDERISERS}",
)  # fmt: skip
_read(
    "soda_to_syrup", "soda to syrup", "soda", "syrup", _soda_to_syrup,
    "soda syrup liquid cocoa acid_salt ledger",
)  # fmt: skip
_read(
    "foam_sugar_to_white", "sugar beaten into the whites", "sugar", "white", _foam_sugar, "sugar white"
)
CHEMISTRY = "gas soured-gas flour"
_read(
    "powder_equivalent_pct", "gas, as baking powder on flour", GASSY, "flour", _powder_equivalent,
    CHEMISTRY,
)  # fmt: skip
_read("gas_pct", "carbon dioxide on flour", GASSY, "flour", _gas, CHEMISTRY)
_read("soda_left_pct", "soda left over, on flour", "soda", "flour", _soda_left, CHEMISTRY)
_read(
    "acid_left_pct", "acid left over, as soda on flour", "acid_salt liquid", "flour", _acid_left,
    "ledger flour",
)  # fmt: skip
_read(
    "sour_without_soda_pct",
    "acid of sour milk and molasses without soda, as soda on flour",
    "liquid syrup",
    "flour",
    _sour_without_soda,
    "ledger flour powder soda egg_white_alone",
)
_read(
    "salt_in_product",
    "salt by all sodium, in 100 g as mixed",
    "salt powder soda",
    "total",
    _salt_in_product,
    "sodium total",
)


def _water_for_cocoa(judged: Judged) -> Band | None:
    """Water beyond the least that the class takes without cocoa, per gram of cocoa."""
    amounts = judged.amounts
    rows = judged.cupboard.limit_rows("BAL-06", judged.product_class)
    low = next((row.low for row in rows if row.low is not None), None)
    if low is None or amounts.of("cocoa_powder").value <= 0:
        return None
    spare = amounts.of("water").minus(amounts.of("flour").times(low / PERCENT))
    cocoa = amounts.of("cocoa_powder").value
    return spare.times(1 / cocoa)


def _water_to_flour_and_cocoa(judged: Judged) -> Band | None:
    """Water over flour and cocoa. Flour makes room for cocoa: nobody is told to take less cocoa."""
    amounts = judged.amounts
    return amounts.share(("water",), ("flour", "cocoa"), 1.0) if amounts.has("cocoa_powder") else None


def _minutes(judged: Judged) -> Band | None:
    bake = judged.formula.bake
    if judged.group != BAKED or bake is None or bake.minutes is None:
        return None
    return Band((bake.minutes.low + bake.minutes.high) / 2, bake.minutes.low, bake.minutes.high)


#: How a class rises that nothing but foam carries.
_FOAM_ALONE = ("foam",)


def _fat_in_foam(judged: Judged) -> Band | None:
    """Fat and yolk beaten with whites, per 100 g of white, where the formula has a foam of whites; of
    what foam alone raises (a meringue), the yolk of its eggs: nuts and chocolate are folded in."""
    row = judged.cupboard.classes.get(judged.product_class or "")
    if row is not None and row.raised_by == _FOAM_ALONE:
        share = judged.amounts.of("yolk").per(judged.amounts.of("white"))
        return None if share is None else share.times(PERCENT)
    foam = judged.amounts_of_role("foam")
    if foam is None or foam.of("egg_white_alone").value <= 0:
        return None
    share = foam.of("fat", "egg_yolk_alone").per(foam.of("egg_white_alone"))
    return None if share is None else share.times(PERCENT)


def _fill(judged: Judged) -> Band | None:
    state = filled(judged)
    return None if state is None else state.fill


def _tin(judged: Judged) -> Band | None:
    volume = pans_volume(judged)
    return None if volume is None else volume.per(judged.amounts.of("total"))


_read(
    "water_for_cocoa", "spare water to cocoa", "liquid egg", "cocoa_powder", _water_for_cocoa,
    "water flour cocoa_powder",
)  # fmt: skip
_read(
    "water_to_flour_and_cocoa", "water to flour and cocoa", "water", "flour", _water_to_flour_and_cocoa,
    "water flour cocoa cocoa_powder",
)  # fmt: skip
_read("oven_celsius", "the oven's heat", "", "", oven_celsius, "")
_read("bake_minutes", "the time in the oven", "", "", _minutes, "")
_read("centre_celsius", "the heat of the centre when done", "", "", centre_celsius, "")
_read(
    "fat_in_foam", "fat and yolk beaten with whites", "fat yolk", "white", _fat_in_foam,
    "fat egg_yolk_alone egg_white_alone yolk white",
)  # fmt: skip
_read("pan_fill", "the fill of the pans", "total", "", _fill, "total")
_read("pan_per_gram", "the tin's volume to dough", "total", "", _tin, "total")
