"""What a height does to a formula's baking, as the findings tell it: air, water, gas, adjustments."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from service.domain.band import Band
from service.rules.altitude import TOLD
from service.rules.heights import adjusted, air_at, rows_at
from service.rules.judged import Judged
from service.tables.rule_rows import AltitudeRow
from service.views.figures import banded, shown


@dataclass(frozen=True, slots=True)
class Authority:
    """What one authority says from a height on. Units: metres for ``above_metres``; ``unit`` tells
    those of ``low`` to ``high``: share (of what stands in the formula), Cel (degrees more), of the pan,
    or words (then ``note`` is the advice)."""

    above_metres: float
    low: float | None
    typical: float | None
    high: float | None
    unit: str
    note: str
    source: str
    evidence: str


@dataclass(frozen=True, slots=True)
class Adjustment:
    """What is adjusted in a group: ``changes`` says what, ``how`` is less | more | up | to | advice.
    ``low`` to ``high`` spans all authorities; ``by_gas_law`` is the share that keeps the gas at its
    volume, for leavening."""

    group: str
    rule: str
    changes: str
    how: str
    low: float | None
    high: float | None
    by_gas_law: float | None
    authorities: tuple[Authority, ...]


@dataclass(frozen=True, slots=True)
class AltitudeAnswer:
    """The height at which it is baked, by the standard atmosphere. ``boiling_celsius`` has the
    weather's reach as its band; ``gas_expansion``: how many times its room at sea level a gas takes;
    below ``adjusted_from_metres`` nothing is adjusted."""

    metres: float
    pressure_kilopascals: float
    boiling_celsius: Band
    gas_expansion: float
    adjusted_from_metres: float
    adjustments: tuple[Adjustment, ...]


def _authority(row: AltitudeRow) -> Authority:
    return Authority(
        row.above, row.low, row.typical, row.high, row.unit, row.note, row.source, row.evidence
    )


def _adjustments(judged: Judged, metres: float) -> Iterable[Adjustment]:
    """Give what is adjusted in a group, rule by rule."""
    for rule, (changes, how) in sorted(TOLD.items()):
        rows = rows_at(rule, judged.product_class, metres, judged.cupboard)
        if not rows:
            continue
        said = adjusted(rule, judged.product_class, metres, judged.cupboard)
        yield Adjustment(
            judged.group,
            rule,
            changes,
            how,
            shown(said.low) if said else None,
            shown(said.high) if said else None,
            shown(said.gas) if said and said.gas is not None else None,
            tuple(_authority(row) for row in rows),
        )


def altitude_of(groups: Iterable[Judged], metres: float | None) -> AltitudeAnswer | None:
    """Tell of a height and what is adjusted there; ``None`` where no caller said a height."""
    several = tuple(groups)
    if metres is None or not several:
        return None
    constants = several[0].cupboard.constants
    air = air_at(metres, constants)
    return AltitudeAnswer(
        shown(metres),
        shown(air.pascals / 1000),
        banded(air.boiling),
        shown(air.expansion),
        constants["altitude_least"].value,
        tuple(each for judged in several for each in _adjustments(judged, metres)),
    )
