"""Remedies: what would put a finding right, tried before it is offered.

A remedy changes the mass of lines, or what one is, or adds a line. It is offered only where the
group, judged again with it, is without the finding, has no finding that it did not have before, and
none that became graver. Of several the one that moves the fewest grams is taken; where no one change
does, two together are tried.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import replace

from service.domain.finding import Edit, Finding, Remedy
from service.domain.weighed import WeighedLine
from service.rules.candidates import (
    added_changes,
    dose_changes,
    grams_of,
    handy,
    measured_changes,
    restated,
    slip_changes,
)
from service.rules.handy import by_measure
from service.rules.judged import Judged
from service.rules.ranges import plain
from service.rules.strain import MISPRINTS, likeliest_slip
from service.rules.trials import Change, Move, Trial, Trials

#: How many changes that clear a finding and bring another are followed by a second change, and how
#: many second changes are tried for each.
FIRST, SECOND = 3, 4
#: When so many changes of a group were judged, two together are tried no longer.
ENOUGH = 40
#: No line is cut to less than this share of itself: who needs so little of it leaves it out.
LEAST = 0.04
_SLIP = "SLIP-"
#: One leavener written for another is put right by the other alone, not by more or less of itself.
_ITSELF = ("SLIP-02", "SLIP-09")
#: Lines that are multiplied alike, but for the rounding of their grams.
EVEN = 1.03
#: A second change aims at the middle between the end that was passed and the centre.
HALFWAY = (0.5,)


def with_remedies(judged: Judged, findings: tuple[Finding, ...]) -> tuple[Finding, ...]:
    """Give the findings with a remedy for each error and warning that a change clears, and with
    those that rules propose themselves, tried."""
    if not judged.complete or not judged.lines:
        return tuple(each if each.remedy is None else replace(each, remedy=None) for each in findings)
    if all(each.severity == "note" and each.remedy is None for each in findings):
        return findings
    trials = Trials(judged, findings)
    return tuple(_with_remedy(trials, finding) for finding in findings)


def _with_remedy(trials: Trials, finding: Finding) -> Finding:
    if finding.remedy is not None:
        return finding if _holds(trials, finding, finding.remedy) else replace(finding, remedy=None)
    if finding.severity == "note":
        return finding
    change = change_for(trials, finding)
    if change is None:
        return finding
    trials.good.append(change)
    return replace(finding, remedy=_written(trials.judged, change))


def _holds(trials: Trials, finding: Finding, remedy: Remedy) -> bool:
    """Tell whether the remedy that a rule itself proposed clears the finding and adds no other."""
    by_pointer = {line.pointer: line for line in trials.judged.lines}
    moves = (Move(by_pointer[e.pointer], e.grams, e.ingredient) for e in remedy.edits if e.pointer)
    return trials.clears(Change(tuple(moves)), finding)


def change_for(trials: Trials, finding: Finding) -> Change | None:
    """Give the change that clears a finding and adds no other, of several the one that moves the
    fewest grams; ``None`` where neither one change nor two together do."""
    judged = trials.judged
    slips = tuple(slip_changes(judged))
    for change in _undone(judged, finding, slips):
        if trials.clears(change, finding):
            return change
    if finding.rule in _ITSELF:
        return None
    every = (
        *measured_changes(judged, finding), *dose_changes(judged, finding),
        *slips, *added_changes(judged),
        *(() if trials.doubted_elsewhere(finding) else restated(judged, finding)),
    )  # fmt: skip
    changes = _of_misprint(judged, _fit(judged, every))
    undoing = {change.key for change in slips}
    for change in (*changes, *sorted(trials.good, key=lambda each: each.moved)):
        if (change.key in undoing or trials.moves(change, finding)) and trials.clears(change, finding):
            return change
    firsts = _promising(trials, finding, [each for each in changes if trials.moves(each, finding)])
    pairs = (two for one in firsts for two in _with_another(trials, finding, one))
    return min(pairs, key=lambda change: change.moved, default=None)


def _undone(judged: Judged, finding: Finding, slips: tuple[Change, ...]) -> tuple[Change, ...]:
    """Give the slip undone, where its own finding asks, or it is one of the pen: tried before what moves
    fewer grams."""
    own = finding.rule.startswith(_SLIP) and finding.expected is not None
    return slips if own or _misprinted(judged) is not None else ()


def _misprinted(judged: Judged) -> WeighedLine | None:
    """Give the line of which a slash or the unit is told to be written wrong: no other line is bent to
    such an amount."""
    slip = likeliest_slip(judged)
    return slip.line if slip is not None and slip.kind in MISPRINTS else None


def _of_misprint(judged: Judged, changes: list[Change]) -> list[Change]:
    """Give those of some changes that change the line of a misprint, where there is one."""
    line = _misprinted(judged)
    return changes if line is None else [each for each in changes if id(line) in each.lines()]


def _fit(judged: Judged, changes: Iterable[Change]) -> list[Change]:
    """Give the changes that can be made, each once, those that move the fewest grams first. What moves
    more than all that the formula holds is another formula, and no remedy of this one."""
    by_key = {each.key: each for each in changes}
    whole = judged.amounts.of("total").value
    fit = (
        each
        for each in by_key.values()
        if each.moved <= whole and all(_can(judged, move) for move in each.moves)
    )
    return sorted(fit, key=lambda change: change.moved)


def _can(judged: Judged, move: Move) -> bool:
    """Tell whether a line can be told to change: its pointer names it alone, and where lines are
    percentages of the flour, the flour stays."""
    if move.grams <= 0 or (move.line is not None and move.grams < grams_of(move.line) * LEAST):
        return False
    by_flour = any(line.line.unit == "%" for line in judged.lines)
    if by_flour and (move.line is None or move.line in judged.amounts.lines("flour")):
        return False
    return move.line is None or sum(each.pointer == move.line.pointer for each in judged.lines) == 1


def _promising(trials: Trials, finding: Finding, changes: list[Change]) -> Iterator[Change]:
    """Give the changes that clear a finding, but bring one other."""
    count = 0
    for change in changes:
        trial = trials.trial(change)
        if trial.silences(finding) and len(trial.brings(2)) == 1:
            yield change
            count += 1
        if count == FIRST or trials.tried > ENOUGH:
            return


def _seconds(first: Trial) -> list[Change]:
    """Give the changes that may clear what a first one brings, worked out once."""
    memo = first.judged.memo
    if "seconds" not in memo:
        (brought,) = first.brings(2)
        changes = (*measured_changes(first.judged, brought, HALFWAY), *slip_changes(first.judged))
        memo["seconds"] = _fit(first.judged, changes)
    return memo["seconds"]  # type: ignore[return-value]


def _with_another(trials: Trials, finding: Finding, one: Change) -> Iterator[Change]:
    """Give a change with a second one that clears what the first brings; yields one at most."""
    lines = {id(line) for line in trials.judged.lines} - one.lines()
    tried = 0
    for second in _seconds(trials.trial(one)):
        if not second.lines() <= lines or (not second.lines() and _adds(one)):
            continue
        both = Change((*one.moves, *second.moves))
        if trials.clears(both, finding):
            yield both
            return
        tried += 1
        if tried == SECOND:
            return


def _adds(change: Change) -> bool:
    return any(move.line is None for move in change.moves)


def _written(judged: Judged, change: Change) -> Remedy:
    """Put a change into words and edits."""
    component = judged.lines[0].component
    share = _share_of_whole(judged, change)
    by_verb: dict[str, list[str]] = {"Take": [], "Write": [], "Add": []}
    for move in change.moves:
        verb, said = _said(judged, move)
        by_verb[verb].append(said)
    says = " ".join(f"{verb} {_listed(each)}." for verb, each in by_verb.items() if each)
    if share is not None:
        says = f"Make {plain(share)} times as much of it: every line by as much."
    return Remedy(says, tuple(_edit(move, component) for move in change.moves))


def _said(judged: Judged, move: Move) -> tuple[str, str]:
    """Give the verb and the words of one line of a change."""
    said = f"{plain(move.grams)} g of {judged.cupboard.ingredients[move.ingredient].name}"
    if move.line is None:
        return "Add", said
    if move.line.code == move.ingredient and grams_of(move.line) != move.grams:
        said += by_measure(move.line, move.grams)
    if move.line.code != move.ingredient:
        return "Take", f"{said} instead of the {move.line.name}"
    return ("Write" if handy(grams_of(move.line)) == move.grams else "Take"), said


def _share_of_whole(judged: Judged, change: Change) -> float | None:
    """Give the one factor by which a change multiplies every line; ``None`` where it is another."""
    before = {id(line): grams_of(line) for line in judged.lines if grams_of(line) > 0}
    if len(before) < 2 or change.lines() != set(before):
        return None
    factors = [move.grams / before[id(move.line)] for move in change.moves]
    even = max(factors) < min(factors) * EVEN
    return sum(move.grams for move in change.moves) / sum(before.values()) if even else None


def _edit(move: Move, component: int) -> Edit:
    if move.line is None:
        return Edit(None, move.grams, move.ingredient, component)
    return Edit(move.line.pointer, move.grams, move.ingredient, move.line.component)


def _listed(words: list[str]) -> str:
    return words[0] if len(words) == 1 else f"{', '.join(words[:-1])} and {words[-1]}"
