"""Pans: volume by geometry, batter by density, and how full the batter fills them.

Sizes are inside sizes, sides straight unless the constants ``taper/SHAPE`` say otherwise. Printed pan
volumes are often smaller than geometry: the constant ``pan_volume_as_printed`` is the low end of the
band. Batter densities stand in the constants ``batter_density/CLASS``, fills in ``limits``, PAN-01.
"""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass

from service.domain.band import Band, total
from service.domain.formula import Dimension, Pan
from service.rules.judged import BAKED, Judged, Sizes
from service.tables.rule_rows import ConstantRow

CUBIC_METRE = 1e6


def metres(dimension: Dimension | None, sizes: Sizes) -> float | None:
    """Give a length in metres; ``None`` where there is none or its unit is no length."""
    if dimension is None:
        return None
    unit = sizes.find(dimension.unit, "us")
    return None if unit is None or unit.kind != "length" else float(dimension.value.middle) * unit.size


def millilitres(dimension: Dimension | None, sizes: Sizes) -> float | None:
    """Give a volume in millilitres; ``None`` where there is none or its unit is no volume."""
    if dimension is None:
        return None
    unit = sizes.find(dimension.unit, "us")
    return None if unit is None or unit.kind != "volume" else float(dimension.value.middle) * unit.size


def _gastronorm(size: str | None, constants: Mapping[str, ConstantRow]) -> tuple[float, float] | None:
    length = constants.get(f"gastronorm_length/{size}")
    width = constants.get(f"gastronorm_width/{size}")
    return None if length is None or width is None else (length.value, width.value)


def area_of(pan: Pan, sizes: Sizes, constants: Mapping[str, ConstantRow]) -> float | None:
    """Give the area of a pan's floor in square metres, a tube's taken off; ``None`` where its sizes
    do not say."""
    across, long, wide = (metres(d, sizes) for d in (pan.diameter, pan.length, pan.width))
    if pan.shape == "gastronorm":
        both = _gastronorm(pan.size, constants)
        return None if both is None else both[0] * both[1]
    if pan.shape in ("round", "muffin", "tube"):
        if across is None:
            return None
        tube = 0.0
        if pan.shape == "tube":
            given = metres(pan.tube_diameter, sizes)
            tube = constants["tube_diameter"].value if given is None else given
        return math.pi / 4 * (across**2 - tube**2)
    if pan.shape == "square":
        side = long if long is not None else across
        return None if side is None else side**2
    return None if long is None or wide is None else long * wide


def volume_of(pan: Pan, sizes: Sizes, constants: Mapping[str, ConstantRow]) -> Band | None:
    """Give the volume to the rim of one pan in millilitres; ``None`` where it cannot be told.

    A measured volume goes before geometry. Source: geometry; taper and printed volumes by constants.
    """
    measured = millilitres(pan.volume, sizes)
    if measured is not None:
        return Band.exact(measured)
    depth, area = metres(pan.depth, sizes), area_of(pan, sizes, constants)
    if pan.shape == "muffin" and (depth is None or area is None):
        cup = constants["muffin_cup"]
        return Band(cup.value, cup.low or cup.value, cup.high or cup.value)
    if depth is None or area is None:
        return None
    taper = constants.get(f"taper/{pan.shape}")
    value = area * depth * CUBIC_METRE * (taper.value if taper else 1.0)
    return Band(value, value * constants["pan_volume_as_printed"].value, value)


@dataclass(frozen=True, slots=True)
class Filled:
    """Pans with a batter in them. Units: millilitres; ``volume`` is that of all pans together,
    ``fill`` a share of it."""

    pans: int
    volume: Band
    batter: Band
    fill: Band


def batter_volume(judged: Judged) -> Band | None:
    """Give the volume of a group's batter in millilitres; ``None`` where its class has no density."""
    density = judged.cupboard.constants.get(f"batter_density/{judged.product_class}")
    if density is None:
        return None
    return judged.amounts.of("total").per(
        Band(density.value, density.low or density.value, density.high or density.value)
    )


def pans_volume(judged: Judged) -> Band | None:
    """Give the volume of all stated pans in millilitres; ``None`` where one cannot be told."""
    if judged.group != BAKED or judged.sizes is None or not judged.formula.pans:
        return None
    volumes = []
    for pan in judged.formula.pans:
        volume = volume_of(pan, judged.sizes, judged.cupboard.constants)
        if volume is None:
            return None
        volumes.append(volume.times(pan.count or 1))
    return total(volumes)


def filled(judged: Judged) -> Filled | None:
    """Tell how full the stated pans are; ``None`` where pans, sizes or density are not known."""
    volume, batter = pans_volume(judged), batter_volume(judged)
    fill = None if volume is None or batter is None else batter.per(volume)
    if volume is None or batter is None or fill is None:
        return None
    return Filled(sum(pan.count or 1 for pan in judged.formula.pans), volume, batter, fill)


def pans_that_fit(judged: Judged, state: Filled) -> int | None:
    """Give how many of these pans the batter fills as its class wants; ``None`` without a range."""
    rows = judged.cupboard.limit_rows("PAN-01", judged.product_class)
    wanted = next((row.typical for row in rows if row.typical), None)
    if wanted is None or state.pans == 0:
        return None
    one = state.volume.value / state.pans
    return max(1, round(state.batter.value / (one * wanted)))
