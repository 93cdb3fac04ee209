"""The findings on a formula: what is wrong with it, how surely, why, and what would put it right.

The checks stand in ``service.rules``; this view puts them beside the figures that they rest on. The
figures are rounded here, once.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, field, replace

from service.domain.band import Band
from service.domain.faults import do_not_fit, unknown_value
from service.domain.finding import SEVERITIES, Expected, Finding, Measured
from service.domain.record import sent
from service.rules.judged import Judged
from service.rules.judging import Verdict, judge, verdict_of
from service.rules.meant import meant_style
from service.rules.measures import MEASURES, measure_of
from service.rules.outside import admits
from service.rules.pans import PanBasis, filled, pans_basis, pans_that_fit, pans_volume
from service.rules.ranges import held
from service.rules.styles import Held
from service.tables.cupboard import Cupboard
from service.views.altitude import AltitudeAnswer, altitude_of
from service.views.figures import PER_HUNDRED, banded, share_of, shown
from service.views.leavening import LeaveningAnswer, leavening_beside, leavening_of
from service.views.left_open import LeftOpen, left_open
from service.views.ratio import can_be_told, rated
from service.views.registry import view
from service.views.work import Work


@dataclass(frozen=True, slots=True)
class FindingsParams:
    """``market``: the market whose public targets of salt are told; without it those of the market
    whose own measures the formula is written in, if there is one."""

    market: str | None = field(default=None, metadata={"table": "markets", "example": "gb"})


@sent
class SaltAnswer:
    """A group's salt. ``grams`` is salt itself and the salt of fats; ``alone`` salt itself;
    ``sodium_per_100g`` milligrams in 100 g as mixed, of all lines; ``complete``: whether every line
    weighs, and none leaves salt to the cook."""

    group: str
    grams: Band
    alone: Band
    percent_of_flour: Band | None
    sodium_milligrams: Band
    sodium_per_100g: Band | None
    complete: bool


@sent
class MeasureAnswer:
    """One measure of a group beside the range that its class is held to. ``inside`` is ``None``
    where the band straddles an end."""

    group: str
    rule: str
    measure: str
    says: str
    measured: Band
    low: float | None
    typical: float | None
    high: float | None
    unit: str
    inside: bool | None
    source: str
    evidence: str


@sent
class PansAnswer:
    """The stated pans with the batter in them. Units: millilitres, a share of the pans for ``fill``;
    ``wanted`` is the range of the class, ``that_fit`` how many of these pans it would fill;
    ``basis``: what their volumes rest on besides stated sizes (a usual depth, sides that slope)."""

    pans: int
    volume: Band
    batter: Band | None
    fill: Band | None
    wanted_low: float | None
    wanted_high: float | None
    that_fit: int | None
    basis: tuple[PanBasis, ...]


@sent
class StructureAnswer:
    """What carries a group: its class's means of rising, the chief first, and the measures of its
    tougheners against tenderisers, driers against moisteners and acid against whites, as far as they
    mean anything here; ``done_celsius``: how hot the centre of its class is when done."""

    group: str
    raised_by: tuple[str, ...]
    tough_to_tender: Band | None
    dry_to_moist: Band | None
    tartar_to_white: Band | None
    oven_celsius: Band | None
    done_celsius: Expected | None


@sent
class GroupAnswer:
    """A group that was judged by itself: its class, what told the class (stated | title | method |
    role | none), the style of the class by whose rows it was judged (none: the class at large), and
    whether all its lines weigh."""

    group: str
    components: tuple[int, ...]
    of_class: str | None
    class_told_by: str
    style: str | None
    complete: bool
    verdict: str


@sent
class FindingsAnswer:
    """What the checks say of a formula. ``left_open`` says what leaves the verdict ``undetermined``
    (or would, were nothing certainly wrong), and what would settle it. ``per`` tells of what the grams
    and millimoles are: batch (the formula's own masses) | percent (every line is in percent of flour,
    and nothing gives the flour a mass: a gram for each percent, no pans, no remedies) | unknown (lines
    in percent stand beside others and have no mass: ``leavening`` and ``salt`` of their group are
    null). ``product_class``, ``leavening`` and ``salt`` are those of what is baked together;
    ``leavening_beside`` and ``salt_beside`` those of each other group that rises (a dough of another
    class, a batter under a paste) or has salt in it; ``balance``, ``structure`` and ``findings`` cover
    every group; ``altitude`` is there where the caller says a height."""

    verdict: str
    left_open: tuple[LeftOpen, ...]
    per: str
    product_class: str | None = field(metadata={"name": "class"})
    class_told_by: str
    groups: tuple[GroupAnswer, ...]
    findings: tuple[Finding, ...]
    leavening: LeaveningAnswer | None
    leavening_beside: tuple[LeaveningAnswer, ...]
    salt: SaltAnswer | None
    salt_beside: tuple[SaltAnswer, ...]
    balance: tuple[MeasureAnswer, ...]
    structure: tuple[StructureAnswer, ...]
    pans: PansAnswer | None
    altitude: AltitudeAnswer | None


def salt_of(judged: Judged) -> SaltAnswer:
    """Give a group's salt as the answer tells it."""
    amounts = judged.amounts
    of_flour = measure_of(judged, "salt_pct")
    sodium = amounts.of("sodium")
    share = sodium.per(amounts.of("total"))
    return SaltAnswer(
        judged.group,
        banded(amounts.of("salt")),
        banded(amounts.of("salt_alone")),
        share_of(of_flour, 1.0),
        banded(sodium),
        share_of(share, PER_HUNDRED),
        judged.complete and not judged.left_open("salt"),
    )


def measures_of(judged: Judged) -> tuple[MeasureAnswer, ...]:
    """Give every measure of a group for which its class has a range, in the order of the rules."""
    answers = []
    for each in held(judged).values() if judged.product_class else ():
        row = each.found.row if each.found else each.rows[0]
        answers.append(
            MeasureAnswer(
                judged.group, each.rule, each.measure, MEASURES[each.measure].says,
                banded(each.band), row.low, row.typical, row.high, row.unit,
                _inside(each), row.source, row.evidence,
            )
        )  # fmt: skip
    return tuple(sorted(answers, key=lambda answer: answer.rule))


def _inside(each: Held) -> bool | None:
    """Tell whether a measure lies inside its rows; ``None`` where its band straddles an end."""
    rows, band, found = each.rows, each.band, each.found
    if found is None:
        return True if admits(rows, band.low) and admits(rows, band.high) else None
    outside = found.certain and not (admits(rows, band.low) or admits(rows, band.high))
    return False if outside else None


def structure_of(judged: Judged) -> StructureAnswer:
    """Give what carries a group."""
    row = judged.cupboard.classes.get(judged.product_class or "")
    names = ("tough_to_tender", "dry_to_moist", "tartar_to_white", "oven_celsius")
    tough, dry, tartar, oven = (share_of(measure_of(judged, name), 1.0) for name in names)
    done = next(iter(judged.cupboard.limit_rows("STRUCT-08", judged.product_class)), None)
    return StructureAnswer(
        judged.group,
        row.raised_by if row else (),
        tough,
        dry,
        tartar,
        oven,
        Expected(done.low, done.high, done.unit) if done else None,
    )


def pans_of(judged: Judged) -> PansAnswer | None:
    """Give the stated pans with the batter in them; ``None`` where their volume cannot be told."""
    volume = pans_volume(judged)
    if volume is None:
        return None
    state = filled(judged)
    rows = judged.cupboard.limit_rows("PAN-01", judged.product_class)
    ends = [row.low for row in rows if row.low is not None], [row.high for row in rows if row.high]
    return PansAnswer(
        sum(pan.count or 1 for pan in judged.formula.pans),
        banded(volume),
        banded(state.batter) if state else None,
        banded(state.fill) if state else None,
        min(ends[0], default=None),
        max(ends[1], default=None),
        pans_that_fit(judged, state) if state else None,
        pans_basis(judged),
    )


def _group(verdict: Verdict) -> GroupAnswer:
    judged = verdict.judged
    return GroupAnswer(
        judged.group,
        tuple(dict.fromkeys(line.component for line in judged.lines)),
        judged.product_class,
        verdict.told_by,
        meant_style(judged),
        judged.complete,
        verdict_of((verdict,)),
    )


def _shown_finding(finding: Finding) -> Finding:
    """Round a finding's figures."""
    measured, expected = finding.measured, finding.expected
    if measured is None:
        return finding
    return replace(
        finding,
        measured=Measured(
            shown(measured.value), shown(measured.low), shown(measured.high), measured.unit
        ),
        expected=None
        if expected is None
        else Expected(
            None if expected.low is None else shown(expected.low),
            None if expected.high is None else shown(expected.high),
            expected.unit,
        ),
    )


#: Of findings equally grave, the rules (or families of rules) that are told before and after the rest:
#: what may hurt somebody, what fails outright and what was probably meant, before the measures that
#: follow from it; a public target of salt last.
_FIRST = (
    "CAUTION-", "LEAVEN-05", "YEAST-03", "STRUCT-01", "STRUCT-02",
    "SLIP-01", "SLIP-02", "SLIP-03", "SLIP-04",
)  # fmt: skip
_LAST = ("SALT-04",)


def _place(finding: Finding) -> tuple[int, int, str]:
    """Give a finding's place among the others."""
    rule = finding.rule
    first = next((at for at, code in enumerate(_FIRST) if rule.startswith(code)), len(_FIRST))
    return SEVERITIES.index(finding.severity), first + (rule in _LAST), rule


def findings_shown(findings: Iterable[Finding]) -> tuple[Finding, ...]:
    """Give findings as the answer tells them: the gravest first, their figures rounded."""
    ordered = sorted(findings, key=_place)
    return tuple(_shown_finding(each) for each in ordered)


def market_asked(name: str | None, cupboard: Cupboard) -> str | None:
    """Give the market that a caller asks for. Raises: Invalid, pointing at the parameter."""
    if name is not None and name not in cupboard.markets:
        known = sorted(cupboard.markets)
        raise do_not_fit((unknown_value("market", name, known, code="unknown-market"),))
    return name


@view("findings", answer=FindingsAnswer, params=FindingsParams)
def findings(work: Work, params: FindingsParams) -> FindingsAnswer:
    """Say what is wrong with a formula, how surely, why, and what would put it right."""
    kitchen = work.kitchen
    market = market_asked(params.market, kitchen.cupboard)
    seen = rated(work)
    verdicts = judge(seen.weighed, kitchen.cupboard, kitchen.measures, work.altitude, market)
    first = verdicts[0] if verdicts else None
    main = first.judged if first and can_be_told(first.judged) else None
    others = [each.judged for each in verdicts[1:] if can_be_told(each.judged)]
    found = (finding for each in verdicts for finding in each.findings)
    return FindingsAnswer(
        verdict=verdict_of(verdicts),
        left_open=left_open(verdicts),
        per=seen.per,
        product_class=first.judged.product_class if first else None,
        class_told_by=first.told_by if first else "none",
        groups=tuple(_group(each) for each in verdicts),
        findings=findings_shown(seen.remediable(found)),
        leavening=leavening_of(main) if main else None,
        leavening_beside=leavening_beside(others),
        salt=salt_of(main) if main else None,
        salt_beside=tuple(salt_of(judged) for judged in others if judged.amounts.has("sodium")),
        balance=tuple(m for each in verdicts for m in measures_of(each.judged)),
        structure=tuple(structure_of(each.judged) for each in verdicts),
        pans=pans_of(first.judged) if first else None,
        altitude=altitude_of((each.judged for each in verdicts), work.altitude),
    )
