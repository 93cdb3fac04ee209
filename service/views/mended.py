"""The view ``mended``: the formula with the remedies of its findings applied, and what is found then.

Remedies are made one after the other: in the order of the findings where the caller names them, else
first those that clear the most, of equals those that undo a slip or move the fewest grams. One is kept
only where the formula as it is then written, read and judged anew, is without the finding and has none
that it did not have; else it is left out, and the answer says why.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, field

from service.changes.bench import Bench
from service.changes.mending import Mending
from service.changes.moved import ratio_drifts
from service.domain.drift import Drift, LineDrift
from service.domain.faults import do_not_fit, shown, suggestion
from service.domain.finding import SEVERITIES, Finding, Remedy
from service.domain.formula import MOST_LINES, Formula
from service.domain.reading import Problem
from service.domain.weighed import Assumption, Weighed
from service.errors import Fault
from service.rules.judging import groups_of, judge, verdict_of
from service.rules.registry import all_rules, run_rules
from service.rules.trials import Key, grades_of
from service.tables.rule_rows import AltitudeRow, LimitRow
from service.views.changed import drift_shown
from service.views.findings import findings_shown
from service.views.ratio import rated
from service.views.registry import view
from service.views.work import Work


@dataclass(frozen=True, slots=True)
class MendedParams:
    """The finding whose remedy is applied, by its rule (`BAL-01`) or its limit; it may be given several
    times. Without it all remedies that go together are applied."""

    remedy: tuple[str, ...] = field(default=(), metadata={"repeatable": True, "example": "BAL-01"})


@dataclass(frozen=True, slots=True)
class Applied:
    """A remedy that was applied: the finding's rule and limit, what was done, and the lines of the
    mended formula that it changed or added (JSON Pointers)."""

    rule: str
    limit: str | None
    group: str | None
    says: str
    lines: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class LeftOut:
    """A remedy that was not applied. ``reason``: no-remedy | not-found | cleared-already | same-line |
    brings-another | no-room; ``detail`` says it in words."""

    rule: str
    limit: str | None
    group: str | None
    reason: str
    detail: str


@dataclass(frozen=True, slots=True)
class MendedFormula:
    """The formula with remedies applied. ``formula`` is a valid body for every endpoint that takes a
    formula; ``drift`` says what the remedies moved: ``asked`` is a line's mass before them, ``got``
    after."""

    complete: bool
    formula: Formula
    verdict_before: str
    verdict_after: str
    applied: tuple[Applied, ...]
    left_out: tuple[LeftOut, ...]
    drift: Drift
    findings_before: tuple[Finding, ...]
    findings_after: tuple[Finding, ...]
    assumptions: tuple[Assumption, ...]
    problems: tuple[Problem, ...]


@dataclass(slots=True)
class _Bed:
    """The formula while it is mended: as it is ``now``, what is found of it, and which lines were
    changed, by which rule."""

    work: Work
    mending: Mending
    now: Formula
    found: dict[Key, int]
    changed: dict[str, str] = field(default_factory=dict)
    applied: list[Applied] = field(default_factory=list)
    left_out: list[LeftOut] = field(default_factory=list)

    def leave(self, finding: Finding, reason: str, detail: str) -> None:
        """Set down that a finding's remedy is left out."""
        self.left_out.append(LeftOut(finding.rule, finding.limit, finding.group, reason, detail))


@view("mended", answer=MendedFormula, params=MendedParams)
def mended(work: Work, params: MendedParams) -> MendedFormula:
    """Give the formula with the remedies of its findings applied, and what is found then."""
    kitchen = work.kitchen
    seen = rated(work)
    verdicts = judge(seen.weighed, kitchen.cupboard, kitchen.measures, work.altitude)
    before = seen.remediable(finding for each in verdicts for finding in each.findings)
    told = findings_shown(before)
    by_pointer = {line.pointer: line for line in work.weighed.lines}
    formula = work.changed.formula
    bed = _Bed(work, Mending(Bench(kitchen.scales), by_pointer), formula, dict(grades_of(before)))
    for finding in _wanted(told, params.remedy, bed):
        _mend(bed, finding)
    after = kitchen.scales.weigh(bed.now)
    then = verdicts
    if bed.applied:
        then = judge(after, kitchen.cupboard, kitchen.measures, work.altitude)
    return MendedFormula(
        after.complete,
        bed.now,
        verdict_of(verdicts),
        verdict_of(then),
        tuple(bed.applied),
        tuple(bed.left_out),
        drift_shown(_drift(work, after)),
        told,
        findings_shown(seen.remediable(finding for each in then for finding in each.findings)),
        after.assumptions,
        after.problems,
    )


def _wanted(findings: tuple[Finding, ...], names: tuple[str, ...], bed: _Bed) -> list[Finding]:
    """Give the findings whose remedies are asked for. Raises: Invalid, a fault for each name that is
    no rule's and no limit's."""
    if not names:
        told = [each for each in findings if each.remedy is not None or each.severity != "note"]
        return sorted(told, key=lambda finding: _turn(bed, finding))
    several = ((each.rule, each.limit or each.rule) for each in findings)
    by_fold = {name.casefold(): name for both in several for name in both}
    known = _rules_and_limits(bed.work)
    folded = {name: name.strip().casefold() for name in names}
    faults = [
        _names_nothing(name, sorted({each.rule for each in findings}), known)
        for name, fold in folded.items()
        if fold not in by_fold and fold not in known
    ]
    if faults:
        raise do_not_fit(faults)
    for fold in folded.values():
        if fold not in by_fold:
            rule, limit = known[fold]
            detail = f"{limit or rule} finds nothing here."
            bed.left_out.append(LeftOut(rule, limit, None, "not-found", detail))
    wanted = {by_fold[fold] for fold in folded.values() if fold in by_fold}
    return [each for each in findings if each.rule in wanted or each.limit in wanted]


def _rules_and_limits(work: Work) -> dict[str, tuple[str, str | None]]:
    """Give every rule, and every limit with its rule, by its code without case."""
    tables = work.kitchen.cupboard.tables
    rows: tuple[LimitRow | AltitudeRow, ...] = (*tables["limits"], *tables["altitude"])
    known: dict[str, tuple[str, str | None]] = {
        row.code.casefold(): (row.rule, row.code) for row in rows
    }
    return known | {each.code.casefold(): (each.code, None) for each in all_rules()}


def _names_nothing(name: str, here: list[str], known: dict[str, tuple[str, str | None]]) -> Fault:
    """Word the fault of a name that is no rule's and no limit's."""
    found = f" Found here: {', '.join(here)}." if here else ""
    hint = suggestion(name, (rule for rule, limit in known.values() if limit is None))
    detail = f"remedy is {shown(name)}; it takes the code of a rule or of a limit, such as BAL-01.{hint}"
    return Fault("unknown-value", f"{detail}{found}", parameter="remedy")


def _turn(bed: _Bed, finding: Finding) -> tuple[int, bool, float]:
    """Order findings by how many their remedies clear, the most first; of equals a slip undone comes
    before a balance restored, and what moves fewer grams before what moves more."""
    moved = 0.0
    for edit in finding.remedy.edits if finding.remedy else ():
        old = bed.mending.weighed.get(edit.pointer or "")
        moved += abs(edit.grams - (old.grams.value if old is not None and old.grams else 0.0))
    return -_cleared(bed, finding), not finding.rule.startswith("SLIP-"), moved


def _cleared(bed: _Bed, finding: Finding) -> int:
    """Count the errors and warnings that a finding's remedy clears alone."""
    if finding.remedy is None:
        return 0
    found = _found(bed.work, bed.mending.written(bed.now, finding.remedy.edits, own_measure=False))
    note = SEVERITIES.index("note")
    loud, left = (sum(grade < note for grade in grades.values()) for grades in (bed.found, found))
    return loud - left


def _mend(bed: _Bed, finding: Finding) -> None:
    """Apply one finding's remedy, or say why not."""
    remedy = finding.remedy
    if all(rule != finding.rule for rule, _ in bed.found):
        bed.leave(finding, "cleared-already", "What was applied before it clears it as well.")
    elif remedy is None:
        bed.leave(finding, "no-remedy", "No small change clears it without bringing another.")
    elif clash := [edit.pointer for edit in remedy.edits if edit.pointer in bed.changed]:
        by = bed.changed[clash[0] or ""]
        bed.leave(finding, "same-line", f"{by} changes the same line: {clash[0]}.")
    elif sum(len(each.ingredients) for each in bed.now.components) + len(remedy.edits) > MOST_LINES:
        bed.leave(finding, "no-room", f"A formula has at most {MOST_LINES} lines.")
    else:
        _try(bed, finding, remedy)


def _try(bed: _Bed, finding: Finding, remedy: Remedy) -> None:
    """Apply a remedy in the lines' own measures, else in grams, where that clears its finding."""
    brought: list[Key] = []
    for own_measure in (True, False):
        tried = bed.mending.written(bed.now, remedy.edits, own_measure=own_measure)
        found = _found(bed.work, tried)
        none = len(found) + 3
        brought = [key for key, grade in found.items() if grade < bed.found.get(key, none)]
        if not brought and all(rule != finding.rule for rule, _ in found):
            lines = tuple(_lines(bed.now, remedy))
            bed.now, bed.found = tried, found
            bed.changed.update((line, finding.rule) for line in lines)
            bed.applied.append(Applied(finding.rule, finding.limit, finding.group, remedy.says, lines))
            return
    others = ", ".join(sorted({rule for rule, _ in brought})) or finding.rule
    made = ", ".join(dict.fromkeys(each.rule for each in bed.applied)) or "nothing"
    bed.leave(finding, "brings-another", f"After {made} it would leave or bring {others}.")


def _found(work: Work, formula: Formula) -> dict[Key, int]:
    """Judge a formula without looking for remedies."""
    kitchen = work.kitchen
    weighed = kitchen.scales.weigh(formula)
    groups = groups_of(weighed, kitchen.cupboard, kitchen.measures, work.altitude)
    return grades_of(finding for judged, _ in groups for finding in run_rules(judged))


def _lines(formula: Formula, remedy: Remedy) -> Iterator[str]:
    """Give the lines that a remedy changes, and those that it adds."""
    added: dict[int, int] = {}
    for edit in remedy.edits:
        if edit.pointer is not None:
            yield edit.pointer
            continue
        place = len(formula.components[edit.component].ingredients) + added.get(edit.component, 0)
        added[edit.component] = added.get(edit.component, 0) + 1
        yield f"/components/{edit.component}/ingredients/{place}"


def _drift(work: Work, after: Weighed) -> Drift:
    """Set each line, and each ratio, beside itself before the remedies."""
    before: dict[str, list[float | None]] = {}
    for line in work.weighed.lines:
        before.setdefault(line.pointer, []).append(line.grams.value if line.grams else None)
    lines = []
    for line in after.lines:
        had = before.get(line.pointer)
        first = had.pop(0) if had else None
        second = line.grams.value if line.grams else None
        percent = None if not first or second is None else (second - first) / first * 100
        lines.append(LineDrift(line.pointer, first, second, percent))
    ratios = ratio_drifts(work.weighed, after, work.kitchen.cupboard)
    changed = work.changed.drift
    return Drift(changed.factor, tuple(lines), ratios, changed.notes)
