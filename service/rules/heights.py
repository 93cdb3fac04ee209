"""What altitude does to air, water and gas, and what authorities change for it.

Pressure is that of the U.S. Standard Atmosphere, 1976, below 11 km; the boiling point is where water's
saturation line (IAPWS R7-97, region 4, backward equation) meets that pressure. What is changed stands
in the table ``altitude``; gas takes more room by the ratio of pressures, so that leavening less by the
same share keeps its volume: that is one authority more beside those of the table.
"""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass

from service.domain.band import Band
from service.tables.cupboard import Cupboard
from service.tables.rule_rows import AltitudeRow, ConstantRow

Constants = Mapping[str, ConstantRow]
GROUNDED = frozenset("RGT")
#: The unit of a row that advises in words alone.
WORDS = "words"


@dataclass(frozen=True, slots=True)
class Air:
    """The standard atmosphere at a height. Units: metres, pascals, degrees Celsius (with what the
    weather moves it by); ``expansion``: how many times its room at sea level a gas takes."""

    metres: float
    pascals: float
    boiling: Band
    expansion: float


def pressure_at(metres: float, constants: Constants) -> float:
    """Give the pressure at a height above the sea. Units: metres (geometric), pascals.

    Source: U.S. Standard Atmosphere, 1976, geopotential height and pressure of the troposphere.
    """

    def of(name: str) -> float:
        return constants[f"atmosphere_{name}"].value

    radius = of("earth_radius")
    height = radius * metres / (radius + metres)
    exponent = of("gravity") * of("molar_mass") / 1000 / (of("gas_constant") * of("lapse"))
    return of("pressure") * math.pow(1 - of("lapse") * height / of("temperature"), exponent)


def boiling_kelvin(pascals: float, constants: Constants) -> float:
    """Give the temperature at which water boils under a pressure. Units: pascals, kelvin.

    Source: IAPWS R7-97(2012), equation 31 (saturation temperature from pressure).
    """
    n = {place: constants[f"saturation/{place}"].value for place in range(1, 11)}
    beta = math.pow(pascals / 1e6, 0.25)
    e = beta**2 + n[3] * beta + n[6]
    f = n[1] * beta**2 + n[4] * beta + n[7]
    g = n[2] * beta**2 + n[5] * beta + n[8]
    d = 2 * g / (-f - math.sqrt(f**2 - 4 * e * g))
    return (n[10] + d - math.sqrt((n[10] + d) ** 2 - 4 * (n[9] + n[10] * d))) / 2


def air_at(metres: float, constants: Constants) -> Air:
    """Give the air at a height. Units: metres."""
    pascals = pressure_at(metres, constants)
    celsius = boiling_kelvin(pascals, constants) - constants["celsius_zero"].value
    weather = constants["boiling_weather"].value
    return Air(
        metres,
        pascals,
        Band(celsius, celsius - weather, celsius + weather),
        constants["atmosphere_pressure"].value / pascals,
    )


@dataclass(frozen=True, slots=True)
class Adjusted:
    """What the authorities together change by one rule: the least and the most of what they say.

    ``rows`` are those that speak at the height; ``gas`` is the share by the gas law, for leavening.
    """

    low: float
    high: float
    rows: tuple[AltitudeRow, ...]
    gas: float | None = None

    @property
    def grounded(self) -> bool:
        """Whether any row rests on more than memory and judgement."""
        return any(GROUNDED & set(row.evidence) for row in self.rows)

    @property
    def source(self) -> str:
        """Give the rows' sources, each once."""
        law = () if self.gas is None else (f"gas law: {GAS_LAW}",)
        return "; ".join(dict.fromkeys((*(row.source for row in self.rows), *law)))

    @property
    def evidence(self) -> str:
        """Give the rows' letters, each once."""
        return "/".join(dict.fromkeys(row.evidence for row in self.rows))


#: The rule whose rows the gas law joins.
LEAVENING = "ALT-01"
GAS_LAW = "U.S. Standard Atmosphere, 1976, pressure against that at sea level"


def rows_at(
    rule: str, product_class: str | None, metres: float, cupboard: Cupboard
) -> list[AltitudeRow]:
    """Give the rows of a rule that speak for a class at a height: each authority's highest step."""
    if metres < cupboard.constants["altitude_least"].value:
        return []
    steps: dict[str, AltitudeRow] = {}
    for row in cupboard.altitude.get(rule, ()):
        if product_class not in row.classes or row.above > metres:
            continue
        authority = row.code if row.unit == WORDS else row.code.rpartition("/")[0]
        if authority not in steps or row.above > steps[authority].above:
            steps[authority] = row
    return list(steps.values())


def adjusted(
    rule: str, product_class: str | None, metres: float, cupboard: Cupboard, *, grounded: bool = False
) -> Adjusted | None:
    """Give what the authorities change by a rule for a class at a height; ``None`` where none speaks.

    ``grounded``: only those that rest on more than memory and judgement.
    """
    rows = [
        row
        for row in rows_at(rule, product_class, metres, cupboard)
        if row.low is not None and row.high is not None and row.unit != WORDS
    ]
    if grounded:
        rows = [row for row in rows if GROUNDED & set(row.evidence)]
    if not rows:
        return None
    lows = [row.low for row in rows if row.low is not None]
    highs = [row.high for row in rows if row.high is not None]
    gas = None
    if rule == LEAVENING:
        gas = 1 - 1 / air_at(metres, cupboard.constants).expansion
        lows, highs = [*lows, gas], [*highs, gas]
    return Adjusted(min(lows), max(highs), tuple(rows), gas)
