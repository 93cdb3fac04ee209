"""The catalogues: units, classes, rules and markets, each entry with its source."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from typing import Any

import orjson
from flask import Blueprint, Response

from schemas.answers import document_of
from service.http.answering import made_once
from service.http.conditions import tag_of
from service.http.desk import desk
from service.http.operations import Operation, operation
from service.http.queries import read_query
from service.kitchen import Kitchen
from service.rules.registry import Rule, all_rules, as_listed, listed_limits, sources_of, worst_of
from service.tables.law_rows import MarketAllergenRow, MarketRow
from service.tables.rows import UnitRow
from service.tables.rule_rows import AltitudeRow, ClassRow, LimitRow, StyleRow

blueprint = Blueprint("catalogues", __name__, url_prefix="/v1")
_BASES = {"mass": "g", "volume": "mL", "length": "m", "temperature": "K"}


@dataclass(frozen=True, slots=True)
class UnitEntry:
    """A unit of the trade. ``size`` with its band ``low`` to ``high`` is in ``base``: g, mL, m or K;
    for a count it is how many things it stands for. ``unit`` is its row in the table."""

    code: str
    size: float
    low: float
    high: float
    base: str | None
    unit: UnitRow


@dataclass(frozen=True, slots=True)
class Units:
    """Every unit, in the order of codes."""

    units: tuple[UnitEntry, ...]


@dataclass(frozen=True, slots=True)
class ClassEntry:
    """A product class, its styles, every range that it or one of them is held to, and what
    authorities change for it at altitude."""

    code: str
    row: ClassRow
    styles: tuple[StyleRow, ...]
    ranges: tuple[LimitRow, ...]
    altitude: tuple[AltitudeRow, ...]


@dataclass(frozen=True, slots=True)
class Classes:
    """Every product class, in the order of codes."""

    classes: tuple[ClassEntry, ...]


@dataclass(frozen=True, slots=True)
class RuleEntry:
    """A rule: its permanent ``code``, the worst ``severity`` that it comes to by its limits and their
    evidence, what it ``says``, its ``sources`` in full, the limits that it holds formulas to, each end
    with the severity that it can come to, and what it changes at altitude."""

    code: str
    family: str
    severity: str
    says: str
    measure: str | None
    sources: tuple[str, ...]
    limits: tuple[LimitRow, ...]
    altitude: tuple[AltitudeRow, ...]


@dataclass(frozen=True, slots=True)
class Rules:
    """Every rule, in the order of codes."""

    rules: tuple[RuleEntry, ...]


@dataclass(frozen=True, slots=True)
class MarketEntry:
    """A market with its law, and the allergens that the law lists."""

    code: str
    market: MarketRow
    allergens: tuple[MarketAllergenRow, ...]


@dataclass(frozen=True, slots=True)
class Markets:
    """Every market, in the order of codes."""

    markets: tuple[MarketEntry, ...]


def catalogue(name: str, make: Callable[[Kitchen], Any]) -> Response:
    """Answer a catalogue; it is made once for the tables at hand."""
    read_query()
    kitchen = desk().kitchen
    tag = tag_of(name, kitchen.knowledge)
    return made_once(tag, lambda: orjson.dumps(document_of(make(kitchen))))


@blueprint.get("/units")
@operation(Operation("List the units of the trade", answer=Units, problems=(422,), conditional=True))
def units() -> Response:
    """Every unit with its size."""
    return catalogue("units", _units)


def _units(kitchen: Kitchen) -> Units:
    rows = kitchen.cupboard.units
    return Units(tuple(_unit(kitchen, rows[code]) for code in sorted(rows)))


def _unit(kitchen: Kitchen, row: UnitRow) -> UnitEntry:
    unit = kitchen.measures.by_code[row.code]
    return UnitEntry(row.code, unit.size, unit.low, unit.high, _BASES.get(row.kind), row)


@blueprint.get("/classes")
@operation(Operation("List the product classes", answer=Classes, problems=(422,), conditional=True))
def classes() -> Response:
    """Every product class with its ranges."""
    return catalogue("classes", _classes)


def _classes(kitchen: Kitchen) -> Classes:
    rows = kitchen.cupboard.classes
    return Classes(tuple(_class(kitchen, rows[code]) for code in sorted(rows)))


def _class(kitchen: Kitchen, row: ClassRow) -> ClassEntry:
    every = kitchen.cupboard.tables["altitude"]
    altitude = tuple(each for each in every if row.code in each.classes)
    styles = tuple(each for each in kitchen.cupboard.styles.values() if each.product_class == row.code)
    return ClassEntry(row.code, row, styles, _ranges(kitchen, row.code), altitude)


def _ranges(kitchen: Kitchen, code: str) -> tuple[LimitRow, ...]:
    return tuple(
        as_listed(row, rule)
        for rule in all_rules()
        for row in kitchen.cupboard.limit_rows(rule.code, code)
    )


@blueprint.get("/rules")
@operation(
    Operation("List the rules with their limits", answer=Rules, problems=(422,), conditional=True)
)
def rules() -> Response:
    """Every rule with its limits and their sources."""
    return catalogue("rules", lambda kitchen: Rules(tuple(_rule(kitchen, one) for one in all_rules())))


def _rule(kitchen: Kitchen, one: Rule) -> RuleEntry:
    cupboard = kitchen.cupboard
    limits = listed_limits(one, cupboard)
    sources, altitude = sources_of(one, cupboard), cupboard.altitude.get(one.code, ())
    return RuleEntry(
        one.code, one.family, worst_of(one, cupboard), one.says, one.measure, sources, limits, altitude
    )


@blueprint.get("/markets")
@operation(
    Operation("List the markets with their law", answer=Markets, problems=(422,), conditional=True)
)
def markets() -> Response:
    """Every market with the allergens that its law lists."""
    return catalogue("markets", _markets)


def _markets(kitchen: Kitchen) -> Markets:
    cupboard = kitchen.cupboard
    return Markets(
        tuple(
            MarketEntry(code, cupboard.markets[code], cupboard.market_allergens.get(code, ()))
            for code in sorted(cupboard.markets)
        )
    )
