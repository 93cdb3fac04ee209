"""A group's leavening as the findings tell it: the ledger in figures that a reader can check."""

from __future__ import annotations

from collections.abc import Iterable

from service.domain.band import ZERO, Band
from service.domain.record import sent
from service.rules.cocoa import ledgers_by_cocoa
from service.rules.judged import Judged
from service.rules.leavening import practice_of
from service.rules.ledger import (
    ROUTES,
    Ledger,
    gas_grams,
    gas_millilitres,
    powder_grams,
    soda_grams,
)
from service.views.figures import PER_HUNDRED, banded, share_of


@sent
class GasRoute:
    """Carbon dioxide by one route: ``route`` is acid-base | thermal | powder | ammonia | yeast, ``mmol``
    what it can give, ``millilitres_per_100g`` its volume at 20 Cel and 101.325 kPa in 100 g of
    batter."""

    route: str
    mmol: Band
    millilitres_per_100g: Band | None


@sent
class AmmoniaGas:
    """The ammonia (NH3) that ammonium salts give beside their carbon dioxide, counted in no route and in
    no sum: it raises thin, dry goods, and stays dissolved in moist ones (the low end). Units as in
    ``GasRoute``."""

    mmol: Band
    millilitres_per_100g: Band | None


@sent
class LeftOver:
    """What is left over, in milliequivalents and as grams of soda."""

    milliequivalents: Band
    grams_of_soda: Band


@sent
class LedgerEntry:
    """One line's entry: ``kind`` carbonate | acid | food-acid | food-alkali, and its source."""

    line: str
    ingredient: str
    kind: str
    milliequivalents: Band
    source: str
    evidence: str


@sent
class PowderEquivalent:
    """The carbon dioxide of all routes but yeast's, as so much reference powder.
    ``reference_co2_percent`` and ``cup_of_flour_grams`` state what it is counted in."""

    grams: Band
    per_100g_flour: Band | None
    per_cup_of_flour: Band | None
    reference_co2_percent: float
    cup_of_flour_grams: float


@sent
class ByCocoa:
    """What would be left over if the cocoa were this one."""

    ingredient: str
    soda_left: LeftOver
    acid_left: LeftOver


@sent
class LeaveningAnswer:
    """A group's leavening. ``raised_by`` names what raises its class, the chief means first: gas |
    yeast | foam | cream | steam; air and steam are noted, not reckoned. ``soda_left`` and
    ``acid_left`` carry the band of acids; ``sodium_milligrams`` is what the leaveners bring;
    ``co2_grams`` is the carbon dioxide of all routes but yeast's; ``practice`` tells accepted practice
    beside the arithmetic; ``complete``: whether every line weighs, and none leaves a leavener to the
    cook."""

    group: str
    raised_by: tuple[str, ...]
    routes: tuple[GasRoute, ...]
    ammonia_gas: AmmoniaGas | None
    co2_grams: Band
    carbonate: LeftOver
    acid: LeftOver
    food_alkali: LeftOver
    soda_left: LeftOver
    acid_left: LeftOver
    sodium_milligrams: Band
    powder_equivalent: PowderEquivalent
    entries: tuple[LedgerEntry, ...]
    by_cocoa: tuple[ByCocoa, ...]
    practice: str | None
    complete: bool


_NOTHING = LeftOver(ZERO, ZERO)
#: Kinds that stand in the ledger or give gas.
_LEAVENERS = ("soda", "powder", "ammonia", "acid_salt", "yeast", "leaven")


def _left(meq: Band, judged: Judged) -> LeftOver:
    if not (meq.value or meq.low or meq.high):
        return _NOTHING
    return LeftOver(banded(meq), banded(soda_grams(meq, judged.cupboard.constants)))


def _routes(ledger: Ledger, judged: Judged) -> tuple[GasRoute, ...]:
    whole = judged.amounts.of("total")
    routes = []
    for route in ROUTES:
        mmol = ledger.gas[route]
        if mmol.high <= 0:
            continue
        share = gas_millilitres(mmol, judged.cupboard.constants).per(whole)
        routes.append(GasRoute(route, banded(mmol), share_of(share, PER_HUNDRED)))
    return tuple(routes)


def _ammonia(ledger: Ledger, judged: Judged) -> AmmoniaGas | None:
    if ledger.ammonia.high <= 0:
        return None
    share = gas_millilitres(ledger.ammonia, judged.cupboard.constants).per(judged.amounts.of("total"))
    return AmmoniaGas(banded(ledger.ammonia), share_of(share, PER_HUNDRED))


def _powder(ledger: Ledger, judged: Judged) -> PowderEquivalent:
    constants = judged.cupboard.constants
    grams = powder_grams(ledger.chemical_gas, constants)
    share = grams.per(judged.amounts.of("flour"))
    cup = constants["cup_of_flour"].value
    return PowderEquivalent(
        banded(grams),
        share_of(share, PER_HUNDRED),
        share_of(share, cup),
        constants["reference_powder_co2"].value * PER_HUNDRED,
        cup,
    )


def _by_cocoa(judged: Judged) -> tuple[ByCocoa, ...]:
    """Tell what each kind of cocoa would leave over, where the group has cocoa and soda."""
    return tuple(
        ByCocoa(
            each.cocoa.code, _left(each.ledger.soda_left, judged), _left(each.ledger.acid_left, judged)
        )
        for each in ledgers_by_cocoa(judged)
    )


#: A class that nothing raises.
_NOTHING_RAISES = ("none",)


def rises(judged: Judged) -> bool:
    """Tell whether a group rises: by its class, or by what a line of it brings."""
    row, ledger = judged.cupboard.classes.get(judged.product_class or ""), judged.ledger
    if row is not None and row.raised_by != _NOTHING_RAISES:
        return True
    return ledger.carbonate.high > 0 or any(gas.high > 0 for gas in ledger.gas.values())


def leavening_beside(groups: Iterable[Judged]) -> tuple[LeaveningAnswer, ...]:
    """Give the leavening of those of some groups that rise."""
    return tuple(leavening_of(judged) for judged in groups if rises(judged))


def leavening_of(judged: Judged) -> LeaveningAnswer:
    """Give a group's leavening as the answer tells it."""
    ledger = judged.ledger
    row = judged.cupboard.classes.get(judged.product_class or "")
    accepted = practice_of(judged)
    return LeaveningAnswer(
        group=judged.group,
        raised_by=row.raised_by if row else (),
        routes=_routes(ledger, judged),
        ammonia_gas=_ammonia(ledger, judged),
        co2_grams=banded(gas_grams(ledger.chemical_gas, judged.cupboard.constants)),
        carbonate=_left(ledger.carbonate, judged),
        acid=_left(ledger.acid, judged),
        food_alkali=_left(ledger.food_alkali, judged),
        soda_left=_left(ledger.soda_left, judged),
        acid_left=_left(ledger.acid_left, judged),
        sodium_milligrams=banded(ledger.sodium),
        powder_equivalent=_powder(ledger, judged),
        entries=tuple(
            LedgerEntry(e.line, e.ingredient, e.kind, banded(e.meq), e.source, e.evidence)
            for e in ledger.entries
        ),
        by_cocoa=_by_cocoa(judged),
        practice=accepted.words if accepted else None,
        complete=judged.complete and not judged.left_open(*_LEAVENERS),
    )
