"""Pans: volume by geometry, batter by density, and how full the batter fills them.

Sizes are inside sizes, sides straight unless the constants ``taper/SHAPE`` say otherwise. Printed pan
volumes are often smaller than geometry: the constant ``pan_volume_as_printed`` is the low end of the
band. Batter densities stand in the constants ``batter_density/CLASS``, fills in ``limits``, PAN-01.
Where a pan states no depth, that of its shape is taken (``usual_depth/SHAPE``), with its band: every
pan's ``basis`` says so.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping
from dataclasses import dataclass

from service.domain.band import Band, total
from service.domain.formula import Dimension, Pan
from service.domain.record import sent
from service.rules.judged import BAKED, Judged, Sizes
from service.rules.outside import admits
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


def depth_of(pan: Pan, sizes: Sizes, constants: Mapping[str, ConstantRow]) -> Band | None:
    """Give the depth of a pan in metres: as stated, else the usual one of its shape, with its band;
    ``None`` where no depth is usual."""
    stated = metres(pan.depth, sizes)
    if stated is not None:
        return Band.exact(stated)
    usual = _usual_depth(pan, constants)
    return None if usual is None else _banded(usual)


def _usual_depth(pan: Pan, constants: Mapping[str, ConstantRow]) -> ConstantRow | None:
    return constants.get(f"usual_depth/{pan.shape}") if pan.depth is None else None


def _banded(row: ConstantRow) -> Band:
    return Band(row.value, row.low or row.value, row.high or row.value)


def volume_of(pan: Pan, sizes: Sizes, constants: Mapping[str, ConstantRow]) -> Band | None:
    """Give the volume to the rim of one pan in millilitres; ``None`` where it cannot be told.

    A measured volume goes before geometry. Source: geometry; taper and printed volumes by constants.
    """
    measured = millilitres(pan.volume, sizes)
    if measured is not None:
        return Band.exact(measured)
    depth, area = depth_of(pan, sizes, constants), area_of(pan, sizes, constants)
    if depth is None or area is None:
        return _banded(constants["muffin_cup"]) if pan.shape == "muffin" else None
    taper = constants.get(f"taper/{pan.shape}")
    whole = area * CUBIC_METRE * (taper.value if taper else 1.0)
    printed = constants["pan_volume_as_printed"].value
    return Band(whole * depth.value, whole * depth.low * printed, whole * depth.high)


@sent
class PanBasis:
    """What a pan's volume rests on besides its stated sizes. ``pan`` is its JSON Pointer."""

    pan: str
    says: str
    source: str


def basis_of(
    pan: Pan, pointer: str, sizes: Sizes, constants: Mapping[str, ConstantRow]
) -> Iterator[PanBasis]:
    """Say what the volume of a pan rests on that its caller did not state."""
    if volume_of(pan, sizes, constants) is None or millilitres(pan.volume, sizes) is not None:
        return
    depth, area = _usual_depth(pan, constants), area_of(pan, sizes, constants)
    if pan.shape == "muffin" and (area is None or pan.depth is None):
        cup = constants["muffin_cup"]
        yield PanBasis(pointer, f"A muffin cup holds {cup.value:g} {cup.unit}.", cup.source)
        return
    if depth is not None:
        low, usual, high = (100 * (end or depth.value) for end in (depth.low, depth.value, depth.high))
        says = f"No depth is stated: {usual:.3g} cm is usual of its shape, {low:.3g} to {high:.3g} cm."
        yield PanBasis(pointer, says, depth.source)
    taper = constants.get(f"taper/{pan.shape}")
    if taper is not None:
        says = f"Its volume is {taper.value:g} of its sizes multiplied: its sides slope."
        yield PanBasis(pointer, says, taper.source)
    if pan.shape == "tube" and pan.tube_diameter is None:
        tube = constants["tube_diameter"]
        yield PanBasis(
            pointer,
            f"The width of its tube is not stated: {100 * tube.value:.3g} cm is usual.",
            tube.source,
        )
    if pan.shape == "gastronorm":
        outer = constants[f"gastronorm_length/{pan.size}"]
        yield PanBasis(pointer, f"The sizes are those of gastronorm {pan.size}.", outer.source)
    printed = constants["pan_volume_as_printed"]
    says = f"Printed volumes are down to {printed.value:g} of geometry: the low end of the band."
    yield PanBasis(pointer, says, printed.source)


def _all_of(pan: Pan, sizes: Sizes, constants: Mapping[str, ConstantRow]) -> Band | None:
    """Give the volume of a pan as often as it is stated; ``None`` for muffin cups that nobody counts."""
    uncounted = pan.shape == "muffin" and pan.count is None and pan.volume is None
    volume = None if uncounted else volume_of(pan, sizes, constants)
    return None if volume is None else volume.times(pan.count or 1)


def pan_pointers(judged: Judged) -> tuple[str, ...]:
    """Give the JSON Pointers of the pans that a group is baked in."""
    count = len(judged.formula.pans) if judged.group == BAKED else 0
    return tuple(f"/pans/{place}" for place in range(count))


def pans_basis(judged: Judged) -> tuple[PanBasis, ...]:
    """Say what the volumes of the stated pans rest on besides their stated sizes."""
    sizes, constants = judged.sizes, judged.cupboard.constants
    if sizes is None:
        return ()
    pans = zip(pan_pointers(judged), judged.formula.pans, strict=False)
    return tuple(said for pointer, pan in pans for said in basis_of(pan, pointer, sizes, constants))


def untold(judged: Judged) -> tuple[str, ...]:
    """Give the JSON Pointers of the pans of which the volume cannot be told."""
    sizes, constants = judged.sizes, judged.cupboard.constants
    if sizes is None:
        return ()
    pans = zip(pan_pointers(judged), judged.formula.pans, strict=False)
    return tuple(pointer for pointer, pan in pans if _all_of(pan, sizes, constants) is None)


def too_thin(judged: Judged) -> ConstantRow | None:
    """Give the constant that calls a layer too thin to rise: even the most of it that the band allows
    fills less of the pans; ``None`` where it is none, and for sheets, which are meant to be thin."""
    thin = judged.cupboard.constants.get(f"thin_fill/{judged.product_class}")
    state = filled(judged) if thin is not None else None
    if thin is None or state is None or any(pan.shape == "sheet" for pan in judged.formula.pans):
        return None
    return thin if judged.complete and state.fill.high < thin.value else None


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
        volume = _all_of(pan, judged.sizes, judged.cupboard.constants)
        if volume is None:
            return None
        volumes.append(volume)
    return total(volumes)


def filled(judged: Judged) -> Filled | None:
    """Tell how full the stated pans are; ``None`` where pans, sizes or density are not known."""
    volume, batter = pans_volume(judged), batter_volume(judged)
    fill = None if volume is None or batter is None else batter.per(volume)
    if volume is None or batter is None or fill is None:
        return None
    return Filled(sum(pan.count or 1 for pan in judged.formula.pans), volume, batter, fill)


def pans_that_fit(judged: Judged, state: Filled) -> int | None:
    """Give how many of these pans the batter fills as its class wants: as many as are stated, where
    they are filled as a row of the class admits; ``None`` without a range."""
    rows = judged.cupboard.limit_rows("PAN-01", judged.product_class)
    if rows and admits(rows, state.fill.value):
        return state.pans
    wanted = next((row.typical for row in rows if row.typical), None)
    if wanted is None or state.pans == 0:
        return None
    one = state.volume.value / state.pans
    return max(1, round(state.batter.value / (one * wanted)))
