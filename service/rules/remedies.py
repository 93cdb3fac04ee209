"""Remedies: what would put a finding right, tried before it is offered.

A remedy changes the mass of one line, or what it is, or adds one line. It is offered only where the
group, judged again with it, is without the finding, has no finding that it did not have before, and
none that became graver. Of several the one that moves the fewest grams is taken.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace

from service.domain.band import Band
from service.domain.finding import SEVERITIES, Edit, Finding, Remedy
from service.domain.formula import Line
from service.domain.weighed import WeighedLine
from service.rules.judged import Judged
from service.rules.measures import MEASURES, measure_of
from service.rules.ranges import limits_here, plain
from service.rules.registry import all_rules, run_rule
from service.rules.strain import likeliest_slip
from service.tables.rows import LimitRow

#: How far inside a range a remedy aims, from the end that was passed toward the centre.
AIMS = (0.1, 0.5, 1.0)
#: A remedy of a slip may round it off by so much.
NEAR = (1.0, 0.85, 1.2, 0.7, 1.4)
#: What is added where nothing stands for a kind: the kind, and the leavener's kind or role it is.
ADDED = {"powder": "powder", "yeast": "yeast", "liquid": "water"}


@dataclass(frozen=True, slots=True)
class Change:
    """One change of a group: the ``line`` and the ``grams`` and ``ingredient`` that it becomes; a
    new line where ``line`` is ``None``. ``moved`` is how many grams it moves."""

    line: WeighedLine | None
    grams: float
    ingredient: str
    moved: float


def _handy(grams: float) -> float:
    """Round a mass to three figures, as scales show it."""
    return float(f"{grams:.3g}")


def _grades(findings: Iterator[Finding] | tuple[Finding, ...]) -> dict[tuple[str, str | None], int]:
    """Give the gravest severity of each rule and row, as its place among the severities."""
    grades: dict[tuple[str, str | None], int] = {}
    for finding in findings:
        key, grade = (finding.rule, finding.limit), SEVERITIES.index(finding.severity)
        grades[key] = min(grade, grades.get(key, grade))
    return grades


def clears(judged: Judged, change: Change, finding: Finding, before: tuple[Finding, ...]) -> bool:
    """Tell whether a change clears the finding, adds no other and makes none graver."""
    return _is_clear(changed(judged, change), finding, before)


def _is_clear(other: Judged, finding: Finding, before: tuple[Finding, ...]) -> bool:
    """Tell whether a changed group is without a finding, and has none that is new or graver."""
    grades = _grades(before)
    own = [rule for rule in all_rules() if rule.code == finding.rule]
    for rule in own + [rule for rule in all_rules() if rule.code != finding.rule]:
        for after in run_rule(rule, other):
            if after.rule == finding.rule:
                return False
            grade = grades.get((after.rule, after.limit))
            if grade is None or SEVERITIES.index(after.severity) < grade:
                return False
    return True


def changed(judged: Judged, change: Change) -> Judged:
    """Give the group with a change made: what is changed is weighed out, without a band."""
    exact = Band.exact(change.grams)
    if change.line is None:
        like = judged.lines[0]
        line = replace(
            like,
            line=Line(ingredient=change.ingredient),
            code=change.ingredient,
            name=judged.cupboard.ingredients[change.ingredient].name,
            grams=exact,
            position=len(judged.lines),
            pointer=f"/components/{like.component}/ingredients/-",
            alternatives=(),
        )
        return judged.with_lines((*judged.lines, line))
    lines = tuple(
        replace(each, grams=exact, code=change.ingredient) if each is change.line else each
        for each in judged.lines
    )
    return judged.with_lines(lines)


def _targets(judged: Judged, finding: Finding, row: LimitRow) -> Iterator[float]:
    """Give the values that a remedy may aim at: inside the end that was passed."""
    value = finding.measured.value if finding.measured else 0.0
    low_side = row.low is not None and value < row.low
    end, other = (row.low, row.high) if low_side else (row.high, row.low)
    if end is None:
        return
    centre = row.typical
    if centre is None:
        centre = end * (1.3 if low_side else 0.7) if other is None else (end + other) / 2
    for aim in AIMS:
        yield end + aim * (centre - end)


def _reaching(judged: Judged, line: WeighedLine, name: str, target: float) -> float | None:
    """Give the factor of a line that brings a measure to a target; ``None`` where none does.

    A measure is a ratio of sums, so that it runs as (a + b x) / (1 + d x) with the factor x: three
    points tell it.
    """
    points = []
    for x in (0.5, 1.0, 2.0):
        band = measure_of(judged.with_line_times(line, x), name)
        if band is None:
            return None
        points.append((x, band.value))
    (x1, y1), (x2, y2), (x3, y3) = points
    left2, right2, rise2 = x2 - x1, x2 * y2 - x1 * y1, y2 - y1
    left3, right3, rise3 = x3 - x1, x3 * y3 - x1 * y1, y3 - y1
    divisor = left3 * right2 - left2 * right3
    d = 0.0 if abs(divisor) < 1e-12 else (left2 * rise3 - left3 * rise2) / divisor
    b = (rise2 + d * right2) / left2
    a = y1 - b * x1 + d * x1 * y1
    slope = b - target * d
    factor = (target - a) / slope if slope else 0.0
    return factor if factor > 0 else None


def _row_of(judged: Judged, finding: Finding) -> LimitRow | None:
    rows = judged.cupboard.limits.get(finding.rule, ())
    row = next((row for row in rows if row.code == finding.limit), None)
    return None if row is None else limits_here(judged, (row,))[0]


def _measured_changes(judged: Judged, finding: Finding) -> Iterator[Change]:
    """Give the changes of one line that bring a finding's measure back into its range."""
    row = _row_of(judged, finding)
    if row is None or row.measure not in MEASURES:
        return
    measure = MEASURES[row.measure]
    lines = judged.amounts.lines(*measure.over, *measure.under)
    for target in _targets(judged, finding, row):
        for line in lines:
            factor = _reaching(judged, line, row.measure, target)
            if factor is not None and line.grams is not None and line.code is not None:
                grams = _handy(line.grams.value * factor)
                yield Change(line, grams, line.code, abs(grams - line.grams.value))


def _slip_changes(judged: Judged) -> Iterator[Change]:
    """Give the likeliest slip undone, and undone about."""
    slip = likeliest_slip(judged)
    if slip is None or slip.line.grams is None:
        return
    for near in NEAR:
        grams = _handy(slip.line.grams.value * slip.factor * near)
        yield Change(slip.line, grams, slip.ingredient, abs(grams - slip.line.grams.value))


def _added(judged: Judged) -> Iterator[Change]:
    """Give a line more of what nothing stands for: powder or yeast to the class's centre, or water."""
    flour = judged.amounts.of("flour").value
    for kind, of in ADDED.items():
        if judged.amounts.of(kind).value > 0:
            continue
        code = next(
            (row.ingredient for row in judged.cupboard.leaveners.values() if row.kind == of),
            of if of in judged.cupboard.ingredients else None,
        )
        centre = _centre(judged, f"{kind}_pct")
        if code is not None and centre:
            grams = _handy(flour * centre / 100)
            yield Change(None, grams, code, grams)


def _centre(judged: Judged, measure: str) -> float | None:
    """Give the centre of a measure's range for the class: water for an added liquid."""
    wanted = {"liquid_pct": "water_pct", "powder_pct": "powder_equivalent_pct"}.get(measure, measure)
    for rule in judged.cupboard.limits:
        for row in judged.cupboard.limit_rows(rule, judged.product_class):
            if row.measure == wanted and row.typical:
                have = measure_of(judged, wanted)
                return max(0.0, row.typical - (have.value if have else 0.0))
    return None


def remedy_for(judged: Judged, finding: Finding, before: tuple[Finding, ...]) -> Remedy | None:
    """Give the change that clears a finding and adds no other, of several the one that moves the
    fewest grams; ``None`` where no one line's change does."""
    changes = [*_measured_changes(judged, finding), *_slip_changes(judged), *_added(judged)]
    for change in sorted(changes, key=lambda each: each.moved):
        if change.grams > 0 and _alone(judged, change.line) and clears(judged, change, finding, before):
            return _written(judged, change)
    return None


def _alone(judged: Judged, line: WeighedLine | None) -> bool:
    """Tell whether a line names one item alone, so that its pointer tells what to change."""
    return line is None or sum(each.pointer == line.pointer for each in judged.lines) == 1


def _written(judged: Judged, change: Change) -> Remedy:
    name = judged.cupboard.ingredients[change.ingredient].name
    if change.line is None:
        component = judged.lines[0].component
        edit = Edit(None, change.grams, change.ingredient, component)
        return Remedy(f"Add {plain(change.grams)} g of {name}.", (edit,))
    edit = Edit(change.line.pointer, change.grams, change.ingredient, change.line.component)
    return Remedy(f"Take {plain(change.grams)} g of {name}.", (edit,))


def _tried(judged: Judged, finding: Finding, before: tuple[Finding, ...]) -> Finding:
    """Keep the remedy that a rule itself proposed where it clears the finding and adds no other."""
    edits = {edit.pointer: edit for edit in finding.remedy.edits} if finding.remedy else {}
    lines = tuple(
        replace(line, grams=Band.exact(edits[line.pointer].grams)) if line.pointer in edits else line
        for line in judged.lines
    )
    if _is_clear(judged.with_lines(lines), finding, before):
        return finding
    return replace(finding, remedy=None)


def with_remedies(judged: Judged, findings: tuple[Finding, ...]) -> tuple[Finding, ...]:
    """Give the findings with a remedy for each error and warning that one change clears, and with
    those that rules propose themselves, tried."""
    return tuple(_with_remedy(judged, finding, findings) for finding in findings)


def _with_remedy(judged: Judged, finding: Finding, findings: tuple[Finding, ...]) -> Finding:
    if not judged.complete or not judged.lines:
        return replace(finding, remedy=None)
    if finding.remedy is not None:
        return _tried(judged, finding, findings)
    if finding.severity == "note":
        return finding
    return replace(finding, remedy=remedy_for(judged, finding, findings))
