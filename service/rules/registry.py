"""Where rules register, and how they are run.

A rule is a generator over findings with a permanent code. Modules of this package are walked, so a
new rule needs no list; rules run in the order of their codes.
"""

from __future__ import annotations

import importlib
import pkgutil
from collections.abc import Callable, Iterator
from dataclasses import dataclass, replace
from functools import cache

from service.domain.finding import SEVERITIES, Finding
from service.rules.judged import Judged
from service.rules.ranges import GROUNDED, held, judge_measure
from service.tables.cupboard import Cupboard
from service.tables.rule_rows import LimitRow

__all__ = ["Check", "Judged", "Rule", "all_rules", "range_rule", "rule", "run_rules"]

Check = Callable[[Judged], Iterator[Finding]]
Told = Callable[[Judged, Finding], Finding]


@dataclass(frozen=True, slots=True)
class Rule:
    """A registered rule: permanent ``code``, ``family``, the worst ``severity`` that it gives, its
    ``source`` (``limits:CODE`` means the rows of the table ``limits`` with this rule's code), and
    what it ``says`` (the first line of its docstring). ``measure``: the measure of a range rule."""

    code: str
    family: str
    severity: str
    source: str
    says: str
    check: Check
    measure: str | None = None


_RULES: dict[str, Rule] = {}


def _register(found: Rule) -> None:
    if found.code in _RULES:
        raise ValueError(f"rule {found.code} is registered twice")
    if not found.says or not found.source or found.severity not in SEVERITIES:
        raise ValueError(f"rule {found.code} needs a docstring, a source and a severity")
    _RULES[found.code] = found


def rule(code: str, *, severity: str, source: str) -> Callable[[Check], Check]:
    """Register a rule. Refuses a code used before, a missing docstring, source or severity."""

    def register(check: Check) -> Check:
        says = (check.__doc__ or "").strip().split("\n")[0]
        _register(Rule(code, code.split("-")[0].lower(), severity, source, says, check))
        return check

    return register


def range_rule(
    code: str, measure: str, says: str, *, severity: str = "error", told: Told | None = None
) -> None:
    """Register a rule that holds a measure to the rows of ``limits`` with the rule's code. ``told``
    puts what else the rule knows into its finding."""

    def check(judged: Judged) -> Iterator[Finding]:
        for finding in judge_measure(judged, code, measure):
            yield finding if told is None else told(judged, finding)

    family = code.split("-")[0].lower()
    _register(Rule(code, family, severity, f"limits:{code}", says, check, measure))


@cache
def all_rules() -> tuple[Rule, ...]:
    """Walk this package and give every rule in the order of its code."""
    package = importlib.import_module("service.rules")
    for module in sorted(m.name for m in pkgutil.iter_modules(package.__path__)):
        importlib.import_module(f"service.rules.{module}")
    return tuple(_RULES[code] for code in sorted(_RULES))


def capped(severity: str, evidence: str, worst: str) -> str:
    """Bring a finding's severity down to what its evidence and its rule can carry.

    Memory and judgement (M, J) are never the only ground of an error.
    """
    allowed = SEVERITIES.index(worst)
    if not allowed and not GROUNDED & set(evidence):
        allowed = SEVERITIES.index("warning")
    return SEVERITIES[max(allowed, SEVERITIES.index(severity))]


def run_rule(each: Rule, judged: Judged) -> list[Finding]:
    """Run one rule over one group."""
    return [_as_grave(finding, each) for finding in each.check(judged)]


def _as_grave(finding: Finding, each: Rule) -> Finding:
    """Give a finding no graver than its evidence and its rule can carry."""
    severity = capped(finding.severity, finding.evidence, each.severity)
    return finding if severity == finding.severity else replace(finding, severity=severity)


def run_rules(judged: Judged) -> tuple[Finding, ...]:
    """Run every rule over one group, in the order of their codes."""
    outside = {each.rule for each in held(judged).values() if each.found is not None}
    found: list[Finding] = []
    for each in all_rules():
        if each.measure is None or each.code in outside:
            found.extend(run_rule(each, judged))
    return tuple(found)


def listed_limits(found: Rule, cupboard: Cupboard) -> tuple[LimitRow, ...]:
    """Give a rule's limits, each end with the severity that it can come to: no graver than its row's
    evidence and its rule carry."""
    return tuple(as_listed(row, found) for row in cupboard.limits.get(found.code, ()))


def as_listed(row: LimitRow, found: Rule) -> LimitRow:
    """Give a limit with the severities that it can come to."""
    low, high = (
        capped(severity, row.evidence, found.severity) if severity in SEVERITIES else severity
        for severity in (row.severity_low, row.severity_high)
    )
    return replace(row, severity_low=low, severity_high=high)


def worst_of(found: Rule, cupboard: Cupboard) -> str:
    """Give the worst severity that a rule comes to: of its limits the gravest end, where it has any,
    else its own."""
    ends = [
        severity
        for row in listed_limits(found, cupboard)
        for end, severity in ((row.low, row.severity_low), (row.high, row.severity_high))
        if end is not None and severity in SEVERITIES
    ]
    return min(ends, key=SEVERITIES.index, default=found.severity)


def sources_of(found: Rule, cupboard: Cupboard) -> tuple[str, ...]:
    """Give a rule's sources in full: those of its limits' rows, else the one it names."""
    table, _, code = found.source.partition(":")
    if table == "usual_amounts":
        return tuple(dict.fromkeys(row.source for row in cupboard.usual_amounts.values()))
    if table == "altitude":
        return tuple(dict.fromkeys(row.source for row in cupboard.altitude.get(code, ())))
    if table == "public_targets":
        targets = cupboard.tables["public_targets"]
        return tuple(dict.fromkeys(row.source for row in targets))
    if table != "limits":
        return (found.source,)
    return tuple(dict.fromkeys(row.source for row in cupboard.limits.get(code, ())))
