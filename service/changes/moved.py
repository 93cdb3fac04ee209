"""What changes moved: each line and each balance ratio, before and after."""

from __future__ import annotations

from service.changes.bench import Bench
from service.changes.steps import rounding_value
from service.domain.band import Band
from service.domain.drift import Drift, LineDrift, RatioDrift
from service.domain.formula import Formula
from service.domain.quantity import write_fraction
from service.domain.weighed import Weighed
from service.tables.cupboard import Cupboard

#: Each balance ratio with the totals that it adds up; leavening is told by the ingredients' role.
RATIOS: dict[str, tuple[str, ...]] = {
    "water": ("water",),
    "fat": ("fat",),
    "sugars": ("sugars",),
    "egg": ("whole_egg", "egg_white", "egg_yolk"),
    "salt": ("salt",),
    "leavening": (),
}
#: Numbers that lie closer are the same one, added up in another order.
NOISE = 1e-12
LEAVENING_ROLES = frozenset(("leavener", "yeast"))


def _sum(weighed: Weighed, names: tuple[str, ...]) -> float | None:
    if any(weighed.unknown.get(name) for name in names):
        return None
    totals: list[Band | None] = [weighed.totals.get(name) for name in names]
    known = [band.value for band in totals if band is not None]
    return sum(known) if len(known) == len(totals) else None


def _leavening(weighed: Weighed, cupboard: Cupboard) -> float | None:
    grams = 0.0
    for line in weighed.lines:
        row = cupboard.ingredients.get(line.code or "")
        if row is not None and row.role in LEAVENING_ROLES and not line.left_to_cook:
            if line.grams is None:
                return None
            grams += line.grams.value
    return grams


def ratios_of(weighed: Weighed, cupboard: Cupboard) -> dict[str, float | None]:
    """Give the balance ratios of a weighed formula: on its flour, else on its whole mass.

    Units: percent. ``None`` where a part is not known.
    """
    flour, grams = weighed.totals.get("flour"), weighed.totals.get("grams")
    band, name = (flour, "flour") if flour is not None and flour.value > 0 else (grams, "total")
    base = band.value if band is not None else 0.0
    found: dict[str, float | None] = {}
    for ratio, parts in RATIOS.items():
        part = _sum(weighed, parts) if parts else _leavening(weighed, cupboard)
        found[f"{ratio}/{name}"] = part / base * 100 if part is not None and base > 0 else None
    return found


def ratio_drifts(before: Weighed, after: Weighed, cupboard: Cupboard) -> tuple[RatioDrift, ...]:
    """Set every balance ratio of a formula before changes beside itself after them."""
    first, second = ratios_of(before, cupboard), ratios_of(after, cupboard)
    names = [*first, *(name for name in second if name not in first)]
    return tuple(_ratio(name, first.get(name), second.get(name)) for name in names)


def _ratio(name: str, before: float | None, after: float | None) -> RatioDrift:
    """Set a ratio beside itself; what only the order of a float's sums moved has not moved."""
    if before is not None and after is not None and abs(after - before) <= NOISE * before:
        after = before
    return RatioDrift(name, before, after)


def _lines(asked: Weighed, got: Weighed) -> tuple[LineDrift, ...]:
    """Set each line beside what was asked of it; conversions and rounding keep the order."""
    drifts = []
    for before, after in zip(asked.lines, got.lines, strict=True):
        first = before.grams.value if before.grams else None
        second = after.grams.value if after.grams else None
        if first is not None and second is not None and abs(second - first) <= NOISE * first:
            second = first
        percent = (second - first) / first * 100 if first and second is not None else None
        drifts.append(LineDrift(after.pointer, first, second, percent))
    return tuple(drifts)


def _ratio_notes(ratios: tuple[RatioDrift, ...], most: float) -> list[str]:
    """Say which balance ratios moved by more than the table's bound."""
    notes = []
    for each in ratios:
        if each.before is None or each.after is None:
            continue
        moved = each.after - each.before
        if abs(moved) > most / 100 * each.before and abs(moved) > 1e-9:
            share = f" ({moved / each.before * 100:+.1f}%)" if each.before else ""
            notes.append(f"{each.ratio} moved from {each.before:.2f}% to {each.after:.2f}%{share}")
    return notes


def drift_of(done: Formula, bench: Bench) -> Drift:
    """Weigh a formula before and after its changes and give what moved."""
    before, asked = bench.before or done, bench.asked or done
    got = bench.scales.weigh(done)
    weighed_asked = got if asked is done else bench.scales.weigh(asked)
    weighed_before = weighed_asked if before is asked else bench.scales.weigh(before)
    cupboard = bench.scales.cupboard
    ratios = ratio_drifts(weighed_before, got, cupboard)
    most = float(rounding_value(cupboard, "ratio-moved"))
    notes = (*bench.notes, *_ratio_notes(ratios, most))
    factor = None if bench.factor is None else write_fraction(bench.factor)
    return Drift(factor, _lines(weighed_asked, got), ratios, tuple(notes))
