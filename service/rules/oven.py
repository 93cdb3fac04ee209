"""The oven's heat as a still oven's, in degrees Celsius.

Units come from the units room; gas marks follow the rule in the constants ``gas_mark_zero`` and
``gas_mark_step`` (degrees Fahrenheit): a step a mark, and below the first a step a halving.
"""

from __future__ import annotations

import math
from collections.abc import Mapping

from service.domain.band import Band
from service.rules.judged import BAKED, Judged
from service.tables.rule_rows import ConstantRow


def oven_celsius(judged: Judged) -> Band | None:
    """Give the oven's heat as a still oven's, in degrees Celsius; ``None`` where it is not stated.

    A fan oven is counted up by the constant ``fan_offset``. The band is as wide as heats are rounded
    when they are turned from one scale to another (``oven_rounding``).
    """
    bake = judged.formula.bake
    if judged.group != BAKED or bake is None or bake.temperature is None or judged.sizes is None:
        return None
    ends = [
        celsius_of(end, bake.temperature.unit, judged)
        for end in (bake.temperature.low, bake.temperature.high)
    ]
    if ends[0] is None or ends[1] is None:
        return None
    rounded = judged.cupboard.constants["oven_rounding"].value
    low, high = ends[0] - rounded, ends[1] + rounded
    if bake.oven == "fan":
        offset = judged.cupboard.constants["fan_offset"]
        return Band(
            (low + high) / 2 + offset.value, low + (offset.low or 0.0), high + (offset.high or 0.0)
        )
    return Band((low + high) / 2, low, high)


def celsius_of(value: float, unit: str | None, judged: Judged) -> float | None:
    """Give a temperature in degrees Celsius; ``None`` for a unit that is none of temperature."""
    constants = judged.cupboard.constants
    zero = constants["celsius_zero"].value
    if unit == "gas":
        return _of_gas_mark(value, constants)
    found = judged.sizes.find(unit or "Cel", "us") if judged.sizes else None
    if found is None or found.kind != "temperature":
        return None
    return value * found.size + found.offset - zero


def _of_gas_mark(mark: float, constants: Mapping[str, ConstantRow]) -> float | None:
    """Give a gas mark in degrees Celsius; ``None`` for none at all."""
    if mark <= 0:
        return None
    steps = mark if mark >= 1 else 1 + math.log2(mark)
    fahrenheit = constants["gas_mark_zero"].value + constants["gas_mark_step"].value * steps
    return (fahrenheit - 32) / 1.8
