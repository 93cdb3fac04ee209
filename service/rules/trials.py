"""Changes of a group, and what is found of the group when it is judged with one.

A trial is judged by what the change touches, and no further than is asked: measures that stay keep
their finding, and the search for slips comes last. Each change is judged once, whichever finding it is
tried for.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass, replace
from functools import cache, cached_property
from itertools import chain

from service.domain.band import Band
from service.domain.finding import SEVERITIES, Finding
from service.domain.formula import Line
from service.domain.weighed import WeighedLine
from service.rules.classes import with_class
from service.rules.judged import Judged
from service.rules.measures import MEASURES
from service.rules.ranges import held, measured_severity
from service.rules.registry import Rule, all_rules, capped, run_rule, run_rules

#: A rule with the limit that spoke.
Key = tuple[str, str | None]
#: Each line's id with the grams and the ingredient that it becomes.
ChangeKey = tuple[tuple[int, float, str], ...]


@dataclass(frozen=True, slots=True)
class Move:
    """One line of a change: the ``grams`` and ``ingredient`` that ``line`` becomes; a new line where
    ``line`` is ``None``."""

    line: WeighedLine | None
    grams: float
    ingredient: str


@dataclass(frozen=True, slots=True)
class Change:
    """A change of a group by one line or several."""

    moves: tuple[Move, ...]

    @property
    def moved(self) -> float:
        """Give how many grams it moves."""
        return sum(abs(each.grams - _grams(each.line)) for each in self.moves)

    @property
    def key(self) -> ChangeKey:
        """Give what tells it from another change of the same group."""
        return tuple((id(each.line), each.grams, each.ingredient) for each in self.moves)

    def lines(self) -> set[int]:
        """Give the lines that it changes, as ids."""
        return {id(each.line) for each in self.moves if each.line is not None}


def _grams(line: WeighedLine | None) -> float:
    return line.grams.value if line is not None and line.grams is not None else 0.0


def changed(judged: Judged, change: Change) -> Judged:
    """Give the group with a change made: what is changed is weighed out, without a band."""
    return judged.with_exchanged(*((move.line, _moved(judged, move)) for move in change.moves))


def _moved(judged: Judged, move: Move) -> WeighedLine:
    exact = Band.exact(move.grams)
    if move.line is not None:
        return move.line.with_grams(exact, move.ingredient, move.line.line.weighed_out())
    like = judged.lines[0]
    return replace(
        like,
        line=Line(ingredient=move.ingredient),
        code=move.ingredient,
        name=judged.cupboard.ingredients[move.ingredient].name,
        grams=exact,
        position=len(judged.lines),
        pointer=f"/components/{like.component}/ingredients/-",
        alternatives=(),
    )


def grades_of(findings: Iterable[Finding]) -> dict[Key, int]:
    """Give the gravest severity of each rule and row, as its place among the severities."""
    grades: dict[Key, int] = {}
    for finding in findings:
        key, grade = (finding.rule, finding.limit), SEVERITIES.index(finding.severity)
        grades[key] = min(grade, grades.get(key, grade))
    return grades


@dataclass(frozen=True, slots=True)
class _Rules:
    """The rules that hold a measure to its ranges, by code; the others; those that search for slips."""

    ranges: dict[str, Rule]
    others: tuple[Rule, ...]
    slips: tuple[Rule, ...]


@cache
def _rules() -> _Rules:
    ranges = {each.code: each for each in all_rules() if each.measure is not None}
    rest = tuple(each for each in all_rules() if each.measure is None)
    slips = tuple(each for each in rest if each.family == "slip")
    return _Rules(ranges, tuple(each for each in rest if each not in slips), slips)


class Trial:
    """A group ``judged`` with a change made, no further than is asked: ``base`` is the group without
    it, ``grades`` those of what is found there."""

    def __init__(self, base: Judged, grades: dict[Key, int], change: Change) -> None:
        self.judged = changed(base, change)
        self._base = base
        self._grades = grades
        self._brought: list[Finding] = []
        self._rest = self._look()

    def silences(self, finding: Finding) -> bool:
        """Tell whether the finding's rule, where it is none of slips, has nothing more to say."""
        rule = _rules().ranges.get(finding.rule)
        if rule is not None:
            measured = held(self.judged).get((rule.code, rule.measure or ""))
            return measured is None or measured.found is None
        own = (each for each in _rules().others if each.code == finding.rule)
        return not any(True for _ in _said(own, self.judged))

    def brings(self, most: int) -> list[Finding]:
        """Give the findings that the change brings, or makes graver, ``most`` of them at most; slips
        where there is nothing else."""
        while len(self._brought) < most:
            found = next(self._rest, None)
            if found is None:
                break
            self._brought.append(found)
        return self._brought[:most]

    @cached_property
    def slips(self) -> tuple[Finding, ...]:
        """The slips that are found with the change made."""
        return tuple(_said(_rules().slips, self.judged))

    def _look(self) -> Iterator[Finding]:
        brought = False
        for finding in chain(self._outside(), _said(_rules().others, self.judged)):
            if self._is_graver(finding.rule, finding.limit, finding.severity):
                brought = True
                yield finding
        if not brought:
            for finding in self.slips:
                if self._is_graver(finding.rule, finding.limit, finding.severity):
                    yield finding

    def _outside(self) -> Iterator[Finding]:
        """Give what is found of the measures that moved and are graver than before."""
        judged, before, ranges = self.judged, held(self._base), _rules().ranges
        for key, each in held(judged).items():
            rule = ranges.get(each.rule)
            if each.found is None or rule is None or each is before.get(key):
                continue
            severity = measured_severity(judged, MEASURES[each.measure], each.found)
            row = each.found.row
            if self._is_graver(rule.code, row.code, capped(severity, row.evidence, rule.severity)):
                yield from run_rule(rule, judged)

    def _is_graver(self, rule: str, limit: str | None, severity: str) -> bool:
        """Tell whether a finding is new, or graver than before."""
        return SEVERITIES.index(severity) < self._grades.get((rule, limit), len(SEVERITIES))


class Trials:
    """Tries changes of a group of which the findings are known, each once. ``good`` are those that
    were found to clear a finding: they may clear another as well."""

    def __init__(self, judged: Judged, findings: tuple[Finding, ...]) -> None:
        self.judged = judged
        self.good: list[Change] = []
        self._findings = findings
        self._grades = grades_of(findings)
        self._known: dict[ChangeKey, Trial] = {}

    @property
    def tried(self) -> int:
        """How many changes were tried so far."""
        return len(self._known)

    def doubted_elsewhere(self, finding: Finding) -> bool:
        """Tell whether another error or warning stands on the line of a finding."""
        return any(
            each.rule != finding.rule
            and each.severity != "note"
            and set(each.lines) & set(finding.lines)
            for each in self._findings
        )

    def trial(self, change: Change) -> Trial:
        """Give the group with a change made."""
        found = self._known.get(change.key)
        if found is None:
            found = self._known[change.key] = Trial(self.judged, self._grades, change)
        return found

    def moves(self, change: Change, finding: Finding) -> bool:
        """Tell whether a change moves what the finding measures: one that only turns the style puts
        nothing right."""
        rule = _rules().ranges.get(finding.rule)
        if rule is None or rule.measure is None:
            return True
        return not MEASURES[rule.measure].rests_on.isdisjoint(self.trial(change).judged.touched)

    def clears(self, change: Change, finding: Finding) -> bool:
        """Tell whether a change clears the finding, adds no other and makes none graver, and leaves
        the group its class."""
        trial = self.trial(change)
        if not trial.silences(finding) or trial.brings(1):
            return False
        had = {each.lines for each in self._findings if each.rule == finding.rule} - {finding.lines}
        if any(each.rule == finding.rule and each.lines not in had for each in trial.slips):
            return False
        if trial.slips and not self._clears_anew(trial.judged, finding):
            return False
        if self.judged.class_stated:
            return True
        other = replace(trial.judged, base=None)
        return with_class(other)[0].product_class == self.judged.product_class

    def _clears_anew(self, changed: Judged, finding: Finding) -> bool:
        """Tell whether a change clears the finding where a slip still stands with it, which may turn
        the style that the group is told by: it is judged anew."""
        grades = grades_of(run_rules(replace(changed, base=None)))
        key = (finding.rule, finding.limit)
        most = len(SEVERITIES)
        return (finding.limit is None or key not in grades) and all(
            grade >= self._grades.get(other, most) for other, grade in grades.items()
        )


def _said(rules: Iterable[Rule], judged: Judged) -> Iterator[Finding]:
    for each in rules:
        yield from run_rule(each, judged)
