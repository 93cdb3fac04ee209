"""Changes of a group, and what is found of the group when it is judged with one.

A trial judges by what the change touches alone: range rules whose measure stays keep their finding,
and the search for slips comes last. Each change is judged once, whichever finding it is tried for.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass, replace
from functools import cache

from service.domain.band import Band
from service.domain.finding import SEVERITIES, Finding
from service.domain.formula import Line
from service.domain.weighed import WeighedLine
from service.rules.classes import with_class
from service.rules.judged import Judged
from service.rules.ranges import held
from service.rules.registry import Rule, all_rules, run_rule

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
        said = replace(move.line.line, text=None, quantity=None, unit="g", level=None, equivalent=None)
        return replace(move.line, line=said, grams=exact, code=move.ingredient)
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


@cache
def _rules() -> tuple[tuple[Rule, ...], tuple[Rule, ...], tuple[Rule, ...]]:
    """Give the rules of ranges, the others, and those that search for slips."""
    ranges = tuple(each for each in all_rules() if each.measure is not None)
    slips = tuple(each for each in all_rules() if each.family == "slip")
    return ranges, tuple(x for x in all_rules() if x not in ranges and x not in slips), slips


@dataclass(frozen=True, slots=True)
class After:
    """What is found after a change, slips left aside: the ``grades`` of what stays, the findings that
    are new or ``graver``, and the group ``judged`` with the change made."""

    judged: Judged
    grades: dict[Key, int]
    graver: tuple[Finding, ...]

    def silent(self, finding: Finding) -> bool:
        """Tell whether the finding's rule has nothing more to say."""
        return all(rule != finding.rule for rule, _ in self.grades)


#: A change that brings so many other findings is not looked at further.
_TOO_MANY = 2


class Trials:
    """Tries changes of a group of which the findings are known. ``good`` are those that were found to
    clear a finding: they may clear another as well."""

    def __init__(self, judged: Judged, findings: tuple[Finding, ...]) -> None:
        self.judged = judged
        self.good: list[Change] = []
        self._before = grades_of(findings)
        self._known: dict[ChangeKey, After] = {}
        self._slips: dict[ChangeKey, tuple[Finding, ...]] = {}

    @property
    def tried(self) -> int:
        """How many changes were judged so far."""
        return len(self._known)

    def after(self, change: Change) -> After:
        """Judge the group with a change made, once."""
        found = self._known.get(change.key)
        if found is None:
            found = self._known[change.key] = self._judge(changed(self.judged, change))
        return found

    def slips(self, change: Change) -> tuple[Finding, ...]:
        """Give the slips that are found with a change made, searched for once."""
        found = self._slips.get(change.key)
        if found is None:
            judged = self.after(change).judged
            found = self._slips[change.key] = tuple(_said(_rules()[2], judged))
        return found

    def brought(self, change: Change) -> tuple[Finding, ...]:
        """Give the findings that a change brings, or makes graver; slips where nothing else."""
        return self.after(change).graver or self._graver(self.slips(change))

    def clears(self, change: Change, finding: Finding) -> bool:
        """Tell whether a change clears the finding, adds no other and makes none graver, and leaves
        the group its class."""
        after = self.after(change)
        if after.graver or not after.silent(finding) or self.brought(change):
            return False
        if any(each.rule == finding.rule for each in self.slips(change)):
            return False
        if self.judged.class_stated:
            return True
        other = replace(after.judged, base=None)
        return with_class(other)[0].product_class == self.judged.product_class

    def _judge(self, other: Judged) -> After:
        ranges, others, _ = _rules()
        after: list[Finding] = []
        grades: dict[Key, int] = {}
        before, now = held(self.judged), held(other)
        for each in ranges:
            state = now.get((each.code, each.measure or ""))
            if state is None or state.found is None:
                continue
            if state is before.get((each.code, each.measure or "")):
                key = (each.code, state.found.row.code)
                grades[key] = self._before[key]
            else:
                after += run_rule(each, other)
        if len(self._graver(after)) < _TOO_MANY:
            after += _said(others, other)
        return After(other, grades | grades_of(after), self._graver(after))

    def _graver(self, after: Iterable[Finding]) -> tuple[Finding, ...]:
        """Give the findings that are new, or graver than before."""
        none = len(SEVERITIES)
        return tuple(
            each
            for each in after
            if SEVERITIES.index(each.severity) < self._before.get((each.rule, each.limit), none)
        )


def _said(rules: tuple[Rule, ...], judged: Judged) -> Iterator[Finding]:
    for each in rules:
        yield from run_rule(each, judged)
