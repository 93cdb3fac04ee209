"""How strained a formula is as a whole, and which one change of one line would ease it most.

A formula strains by the sum of its measures' strains (see ``styles``), by the style of its class that
it strains least. Each line is tried with each factor of the constants ``slip_factor/…``, and powder is
tried for soda: the change that leaves the least strain, by whichever style, is the likeliest slip.
Nothing here knows a class or an ingredient by name.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass, replace

from service.domain.weighed import WeighedLine
from service.rules.judged import Judged
from service.rules.measures import MEASURES, measure_of
from service.rules.styles import mix_rows, pull_of, style_of, styles_of
from service.tables.rule_rows import LimitRow

_FACTORS = "slip_factor/"
_LEAST = "slip_least_strain"
_WHOLE = "strained_whole"
#: So many measures and more are several.
_SEVERAL = 2
_LEFT_OVER = "slip_left_over"
#: A slip that leaves so much more strain than another is not as good as that.
_AS_GOOD = 0.1
#: Kinds of amounts of which one is written for the other, and the leavener's kind that is meant.
EXCHANGED = (("soda", "powder"), ("powder", "carbonate"))


@dataclass(frozen=True, slots=True)
class Slip:
    """One change that would ease a formula: the ``line``, its ``kind`` (spoons | decimal | double |
    triple | fraction | exchange), the ``factor`` by which its mass changes, the ``ingredient`` that
    it should be, the strain before and after, and the ``unease`` after (see ``strain_of``)."""

    line: WeighedLine
    kind: str
    factor: float
    ingredient: str
    before: float
    after: float
    unease: float


@dataclass(frozen=True, slots=True)
class Strained:
    """A group strained as a whole: the ``strain`` in widths, the ``measures`` that share it by name,
    and the change of one line that would ease it most, where any does."""

    strain: float
    measures: tuple[str, ...]
    easiest: Slip | None


def strain_of(judged: Judged) -> tuple[float, float]:
    """Give how strained a group is, and how far it lies from the centres of its class's ranges.

    Units: widths, summed over the class's measures.
    """
    return _sum(_pulls(judged, style_of(judged)).values())


def _sum(pulls: Iterable[tuple[float, float]]) -> tuple[float, float]:
    strain = unease = 0.0
    for one_strain, one_unease in pulls:
        strain, unease = strain + one_strain, unease + one_unease
    return strain, unease


def _pulls(judged: Judged, style: str | None) -> dict[tuple[str, str], tuple[float, float]]:
    """Give each measure's strain and unease by a style's rows, once."""
    key = f"pulls/{style}"
    found = judged.memo.get(key)
    if isinstance(found, dict):
        return found
    pulls = {}
    for rule, name, rows in mix_rows(judged.product_class, style, judged.cupboard):
        band = measure_of(judged, name)
        pulls[rule, name] = (0.0, 0.0) if band is None else pull_of(rows, band)
    judged.memo[key] = pulls
    return pulls


@dataclass(frozen=True, slots=True)
class _Reach:
    """What a change of some kinds can move by one style's rows: the measures with their rows, the
    most strained first, and the strain and unease of all others."""

    measures: tuple[tuple[str, tuple[LimitRow, ...]], ...]
    strain: float
    unease: float


def _reaches(judged: Judged, touched: frozenset[str]) -> tuple[_Reach, ...]:
    """Give the reach of a change by each style of the class."""
    styles = styles_of(judged.product_class, judged.cupboard)
    return tuple(_reach(judged, touched, style) for style in styles)


def _reach(judged: Judged, touched: frozenset[str], style: str | None) -> _Reach:
    """Part a group's measures by whether a change of some kinds moves them."""
    pulls = _pulls(judged, style)
    moved: list[tuple[float, str, tuple[LimitRow, ...]]] = []
    strain = unease = 0.0
    for rule, name, rows in mix_rows(judged.product_class, style, judged.cupboard):
        pull = pulls[rule, name]
        if MEASURES[name].rests_on.isdisjoint(touched):
            strain, unease = strain + pull[0], unease + pull[1]
        else:
            moved.append((pull[0], name, rows))
    moved.sort(key=lambda each: -each[0])
    return _Reach(tuple((name, rows) for _, name, rows in moved), strain, unease)


def _eased(trial: Judged, reaches: Iterable[_Reach], most: float) -> tuple[float, float] | None:
    """Give a trial's strain and unease by the style that it strains least; ``None`` where its strain
    is more than ``most`` by every style."""
    eased = (_eased_by(trial, reach, most) for reach in reaches)
    return min((each for each in eased if each is not None), default=None)


def _eased_by(trial: Judged, reach: _Reach, most: float) -> tuple[float, float] | None:
    """Give a trial's strain and unease by one style's rows; ``None`` as soon as its strain is more
    than ``most``."""
    strain, unease = reach.strain, reach.unease
    for name, rows in reach.measures:
        if strain > most:
            return None
        band = measure_of(trial, name)
        if band is not None:
            one_strain, one_unease = pull_of(rows, band)
            strain, unease = strain + one_strain, unease + one_unease
    return None if strain > most else (strain, unease)


def _slips(judged: Judged, before: float, most: float) -> Iterator[Slip]:
    """Try every change of one line; those that leave too much strain to be the likeliest are left
    out."""
    factors = [
        (code.removeprefix(_FACTORS), row.value)
        for code, row in judged.cupboard.constants.items()
        if code.startswith(_FACTORS)
    ]
    for line in judged.lines:
        if line.grams is None or line.code is None or line.grams.value <= 0:
            continue
        reaches = _reaches(judged, judged.amounts.contents.of(line).moves)
        within = any(reach.strain <= most for reach in reaches)
        for kind, factor in factors if within else ():
            for times in (factor, 1 / factor):
                if kind == "spoons" and not _by_the_other_spoon(line, times):
                    continue
                eased = _eased(judged.with_line_times(line, times), reaches, most)
                if eased is not None:
                    most = min(most, eased[0] + _AS_GOOD)
                    yield Slip(line, kind, times, line.code, before, *eased)
        yield from _exchanges(judged, line, before, most)


def _by_the_other_spoon(line: WeighedLine, times: float) -> bool:
    """Tell whether the line is measured by the spoon that the factor would undo."""
    return line.line.unit == ("tsp" if times > 1 else "tbsp")


def _exchanges(judged: Judged, line: WeighedLine, before: float, most: float) -> Iterator[Slip]:
    """Try soda for powder and powder for soda."""
    amounts = judged.amounts
    for written, meant in EXCHANGED:
        if line not in amounts.lines(written):
            continue
        code = next(row.ingredient for row in judged.cupboard.leaveners.values() if row.kind == meant)
        trial = judged.with_exchanged((line, replace(line, code=code)))
        eased = _eased(trial, _reaches(judged, trial.touched), most)
        if eased is not None:
            yield Slip(line, "exchange", 1.0, code, before, *eased)


def likeliest_slip(judged: Judged) -> Slip | None:
    """Give the change of one line that eases a strained group most, worked out once.

    ``None`` where the group is not strained (constant ``slip_least_strain``), a line does not weigh,
    or no one change takes away most of the strain (constant ``slip_left_over``).
    """
    if "slip" not in judged.memo:
        judged.memo["slip"] = _likeliest(judged)
    return judged.memo["slip"]  # type: ignore[return-value]


def _likeliest(judged: Judged) -> Slip | None:
    if judged.product_class is None or not judged.complete or judged.flour_left_open:
        return None
    constants = judged.cupboard.constants
    usual = constants[_LEAST].value
    least = {
        code.removeprefix(f"{_LEAST}/"): row.value for code, row in constants.items() if _LEAST in code
    }
    before, _ = strain_of(judged)
    if before < min(least.values()):
        return None
    most = before * constants[_LEFT_OVER].value
    best = min(_slips(judged, before, most), key=_rank, default=None)
    if best is None or before < least.get(best.kind, usual):
        return None
    return best if best.after <= most else None


def strained_whole(judged: Judged) -> Strained | None:
    """Tell that several measures strain together, where no one change takes most of it away.

    ``None`` where a slip is told, a line does not weigh, or the strain is slight (constant
    ``strained_whole``) or stands in one measure alone.
    """
    if (
        judged.product_class is None
        or not judged.complete
        or judged.flour_left_open
        or likeliest_slip(judged) is not None
    ):
        return None
    before, _ = strain_of(judged)
    names = tuple(name for (_, name), pull in _pulls(judged, style_of(judged)).items() if pull[0] > 0)
    least = judged.cupboard.constants[_WHOLE].value
    if before < least or len(names) < _SEVERAL:
        return None
    return Strained(before, names, min(_slips(judged, before, before), key=_rank, default=None))


def _rank(slip: Slip) -> tuple[float, float]:
    """Order slips by the strain that they leave, to a tenth; of equals the one nearest the centres."""
    return round(slip.after, 1), slip.unease
