"""How strained a formula is as a whole, and which one change of one line would ease it most.

A formula strains by the sum of its measures' strains (see ``styles``), by the style of its class that
it strains least. Each line is tried with each factor of the constants ``slip_factor/…``, powder for
soda, a fraction's lost slash (see ``slash``), cups for grams (see ``otherunit``) and a lost line (see
``leftout``): the change that leaves the least strain, by whichever style, is the likeliest slip.
Nothing here knows a class or an ingredient by name.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass, replace
from typing import NamedTuple

from service.domain.band import ZERO, Band
from service.domain.weighed import WeighedLine
from service.rules.judged import Judged
from service.rules.leftout import lines_left_out
from service.rules.measures import MEASURES, measure_of
from service.rules.nearness import nearest_undoing
from service.rules.otherunit import in_other_unit
from service.rules.outside import Outside, outside_rows
from service.rules.slash import without_slash
from service.rules.styles import (
    held_by,
    of_the_mix,
    rows_moved,
    strain_of,
    strains_by,
    style_of,
    styles_here,
    unease_of,
)
from service.tables.cupboard import Cupboard
from service.tables.once import once
from service.tables.rule_rows import LimitRow

_WHOLE = "strained_whole"
#: So many measures and more are several.
_SEVERAL = 2
#: A slip that leaves so much more strain than another is not as good as that.
_AS_GOOD = 0.1
#: The kind of slip that leaves a line out.
LEFT_OUT = "left out"
#: The kind of slip that loses the slash of a fraction: "112" for "1 1/2".
SLASH = "slash"
#: The kind of slip that writes cups for grams, or grams for cups.
UNIT = "unit"
#: Kinds of slips that the way of writing tells: nobody means such an amount.
MISPRINTS = (SLASH, UNIT)
#: Kinds of amounts of which one is written for the other, and the leavener's kind that is meant.
EXCHANGED = (("soda", "powder"), ("powder", "carbonate"))


@dataclass(frozen=True, slots=True)
class Slip:
    """One change that would ease a formula: the ``line``, its ``kind`` (spoons | decimal | double |
    triple | fraction | exchange | slash | unit | left out), the ``factor`` by which its mass changes,
    the ``ingredient`` that it should be, the strain before and after, and the ``unease`` after (see
    ``styles``)."""

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


@dataclass(frozen=True, slots=True)
class _Terms:
    """What the constants say of slips: the ``factors`` by kind, the ``least`` strain that tells one,
    by kind and ``usual``; by how much a kind is ``likelier`` than another; and what share of the strain
    undoing one may leave over."""

    factors: dict[str, float]
    least: dict[str, float]
    likelier: dict[str, float]
    usual: float
    left_over: float


@once
def _terms(cupboard: Cupboard) -> _Terms:
    constants = cupboard.constants

    def by_kind(code: str) -> dict[str, float]:
        return {c.removeprefix(code): row.value for c, row in constants.items() if c.startswith(code)}

    return _Terms(
        by_kind("slip_factor/"),
        by_kind("slip_least_strain/"),
        by_kind("slip_likelier/"),
        constants["slip_least_strain"].value,
        constants["slip_left_over"].value,
    )


def whole_strain(judged: Judged) -> float:
    """Give how strained a group is: the sum over its measures. Units: widths."""
    return sum(strains_by(judged, style_of(judged)).values())


@dataclass(frozen=True, slots=True)
class _Reach:
    """What a change of some kinds can move of a group by one style's rows: the measures with their
    rows, the most strained first; and the ``strain`` of all others."""

    style: str | None
    measures: tuple[tuple[str, str, tuple[LimitRow, ...]], ...]
    strain: float

    def unease(self, judged: Judged) -> float:
        """Give the unease of what cannot be moved."""
        moved = {(rule, name) for rule, name, _ in self.measures}
        return sum(
            unease_of(each.rows, each.found, each.band)
            for key, each in held_by(judged, self.style).items()
            if key not in moved and of_the_mix(each.rule)
        )


def _reaches(judged: Judged, touched: frozenset[str], most: float) -> tuple[_Reach, ...]:
    """Give the reach of a change by each style of the class that leaves no more strain than
    ``most`` out of reach."""
    reaches = []
    for style in styles_here(judged):
        strains = strains_by(judged, style)
        stays = [key for key in strains if MEASURES[key[1]].rests_on.isdisjoint(touched)]
        strain = sum(strains[key] for key in stays)
        if strain <= most:
            rows = rows_moved(judged.product_class, style, touched, judged.cupboard)
            mix = [each for each in rows if of_the_mix(each[0])]
            worst = sorted(
                [each for each in mix if each[:2] in strains], key=lambda each: -strains[each[:2]]
            )
            rest = [each for each in mix if each[:2] not in strains]
            reaches.append(_Reach(style, (*worst, *rest), strain))
    return tuple(reaches)


def _eased(
    judged: Judged, trial: Judged, reaches: Iterable[_Reach], most: float
) -> tuple[float, float] | None:
    """Give a trial's strain and unease by the style that it strains least; ``None`` where its strain
    is more than ``most`` by every style."""
    known: dict[int, _Pull] = {}
    eased = [_eased_by(judged, trial, reach, most, known) for reach in reaches]
    return min([each for each in eased if each is not None], default=None)


class _Pull(NamedTuple):
    """How a trial's measure stands to some rows, and its strain."""

    strain: float
    rows: tuple[LimitRow, ...]
    found: Outside | None
    band: Band


#: A measure that has no meaning strains nothing.
_NONE = _Pull(0.0, (), None, ZERO)


def _pull(trial: Judged, name: str, rows: tuple[LimitRow, ...]) -> _Pull:
    band = measure_of(trial, name)
    if band is None:
        return _NONE
    found = outside_rows(rows, band)
    return _Pull(strain_of(found) if found else 0.0, rows, found, band)


def _eased_by(
    judged: Judged, trial: Judged, reach: _Reach, most: float, known: dict[int, _Pull]
) -> tuple[float, float] | None:
    """Give a trial's strain and unease by one style's rows; ``None`` as soon as its strain is more
    than ``most``. ``known``: the pulls by rows that styles share."""
    strain = reach.strain
    pulls = []
    for _, name, rows in reach.measures:
        if strain > most:
            return None
        pull = known.get(id(rows))
        if pull is None:
            pull = known[id(rows)] = _pull(trial, name, rows)
        strain += pull.strain
        pulls.append(pull)
    if strain > most:
        return None
    unease = sum((unease_of(p.rows, p.found, p.band) for p in pulls if p.rows), reach.unease(judged))
    return strain, unease


def _slips(judged: Judged, before: float, most: float) -> Iterator[Slip]:
    """Try every change of one line, and every line that may be left out; those that leave too much
    strain to be the likeliest are passed over."""
    for line in lines_left_out(judged):
        trial = judged.with_exchanged((None, line))
        eased = _eased(judged, trial, _reaches(judged, trial.touched, most), most)
        if eased is not None and line.code is not None:
            most = min(most, eased[0] + _AS_GOOD)
            yield Slip(line, LEFT_OUT, 1.0, line.code, before, *eased)
    factors = _terms(judged.cupboard).factors
    for line in judged.lines:
        if line.grams is None or line.code is None or line.grams.value <= 0:
            continue
        reaches = _reaches(judged, judged.moved(judged.amounts.contents.of(line).moves), most)
        for kind, factor in factors.items() if reaches else ():
            for times in (factor, 1 / factor):
                if kind == "spoons" and not _by_the_other_spoon(line, times):
                    continue
                eased = _eased(judged, judged.with_line_times(line, times), reaches, most)
                if eased is not None:
                    most = min(most, eased[0] + _AS_GOOD)
                    yield Slip(line, kind, times, line.code, before, *eased)
        yield from _rewritten(judged, line, before, most)
        yield from _exchanges(judged, line, before, most)


def _by_the_other_spoon(line: WeighedLine, times: float) -> bool:
    """Tell whether the line is measured by the spoon that the factor would undo."""
    return line.line.unit == ("tsp" if times > 1 else "tbsp")


def _rewritten(judged: Judged, line: WeighedLine, before: float, most: float) -> Iterator[Slip]:
    """Try the amount that is meant if a slash was lost, or cups were written for grams."""
    meant = {SLASH: without_slash(line), UNIT: in_other_unit(line, judged.cupboard)}
    for kind, times in meant.items():
        if times is None or line.code is None:
            continue
        trial = judged.with_line_times(line, times)
        eased = _eased(judged, trial, _reaches(judged, trial.touched, most), most)
        if eased is not None:
            yield Slip(line, kind, times, line.code, before, *eased)


def _exchanges(judged: Judged, line: WeighedLine, before: float, most: float) -> Iterator[Slip]:
    """Try soda for powder and powder for soda."""
    amounts = judged.amounts
    for written, meant in EXCHANGED:
        if written not in amounts.contents.of(line).moves:
            continue
        code = next(row.ingredient for row in judged.cupboard.leaveners.values() if row.kind == meant)
        trial = judged.with_exchanged((line, replace(line, code=code)))
        eased = _eased(judged, trial, _reaches(judged, trial.touched, most), most)
        if eased is not None:
            yield Slip(line, "exchange", 1.0, code, before, *eased)


def likeliest_slip(judged: Judged) -> Slip | None:
    """Give the change of one line that eases a strained group most, worked out once.

    Where the group is hardly strained (constant ``slip_least_strain``) it is the one that shows in the
    whole (see ``nearness``). ``None`` where a line does not weigh, or no one change takes away most of
    the strain (constant ``slip_left_over``).
    """
    if "slip" not in judged.memo:
        judged.memo["slip"] = _likeliest(judged)
    return judged.memo["slip"]  # type: ignore[return-value]


def _likeliest(judged: Judged) -> Slip | None:
    if judged.product_class is None or not judged.complete or judged.flour_left_open:
        return None
    terms, before = _terms(judged.cupboard), whole_strain(judged)
    if before < min(terms.usual, *terms.least.values()):
        return _unstrained(judged, before)
    most = before * terms.left_over
    best = min(_slips(judged, before, most), key=_rank(judged), default=None)
    if best is None or before < terms.least.get(best.kind, terms.usual):
        return None
    return best if best.after <= most else None


def _unstrained(judged: Judged, before: float) -> Slip | None:
    """Give the slip that shows in the whole alone."""
    found = nearest_undoing(judged)
    if found is None:
        return None
    line, row, unease = found
    meant = row.ingredient or line.code
    return Slip(line, row.slip, row.factor, meant, before, before, unease) if meant else None


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
    before = whole_strain(judged)
    names = tuple(name for _, name in strains_by(judged, style_of(judged)))
    least = judged.cupboard.constants[_WHOLE].value
    if before < least or len(names) < _SEVERAL:
        return None
    return Strained(before, names, min(_slips(judged, before, before), key=_rank(judged), default=None))


def _rank(judged: Judged) -> Callable[[Slip], tuple[float, float]]:
    """Order slips by the strain that they leave, to a tenth; of equals the one nearest the centres, a
    wrong spoon before another change that is hardly nearer."""
    likelier = _terms(judged.cupboard).likelier

    def rank(slip: Slip) -> tuple[float, float]:
        return round(slip.after, 1), slip.unease - likelier.get(slip.kind, 0.0)

    return rank
