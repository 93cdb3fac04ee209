"""Choose: which alternative of a line is taken, and whether an optional line is in or out."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Sequence
from dataclasses import replace

from service.changes.bench import Bench
from service.changes.wording import Wording
from service.domain.changes import Changes, Choice
from service.domain.formula import Component, Formula, Line, pointer_of
from service.domain.weighed import WeighedLine
from service.errors import Fault, Invalid


def choose(formula: Formula, changes: Changes, bench: Bench) -> Formula:
    """Take the choices; without any the same formula comes back.

    Lines that are left out go, so that later lines move up; all pointers are into the formula as
    given. Raises: Invalid, with a fault for each choice that this formula does not offer.
    """
    if not changes.choose:
        return formula
    items = _items(formula, bench)
    faults = [fault for choice in changes.choose if (fault := _unoffered(choice, items)) is not None]
    if faults:
        raise Invalid("Some choices are not offered by this formula.", faults=tuple(faults))
    takes: dict[str, list[str]] = defaultdict(list)
    for choice in changes.choose:
        takes[choice.line].append(choice.take)
    wording = Wording(bench, formula, formula)
    chosen = tuple(
        _chosen_component(place, component, takes, items, wording)
        for place, component in enumerate(formula.components)
    )
    if not any(component.ingredients for component in chosen):
        detail = "Nothing would be left of the formula."
        raise Invalid(detail, faults=(Fault("nothing-left", detail, parameter="choose"),))
    return replace(formula, components=chosen)


def _items(formula: Formula, bench: Bench) -> dict[str, list[WeighedLine]]:
    """Give the items of every line of the formula as given, by the line's pointer."""
    found: dict[str, list[WeighedLine]] = defaultdict(list)
    for line in bench.weigh(formula).lines:
        found[pointer_of(line.component, line.position)].append(line)
    return found


def _unoffered(choice: Choice, items: dict[str, list[WeighedLine]]) -> Fault | None:
    """Say why a choice cannot be taken."""
    lines = items.get(choice.line)
    if lines is None:
        return Fault("no-such-line", f"The formula has no line {choice.line}.", parameter="choose")
    said = f"{choice.line} ({lines[0].as_written})"
    if not choice.take.isdigit():
        if any(line.line.optional for line in lines):
            return None
        return Fault("not-optional", f"{said} is not optional.", parameter="choose")
    most = max(len(line.line.alternatives) for line in lines)
    if int(choice.take) <= most:
        return None
    offered = f"alternatives 1 to {most}, and 0 for its own" if most else "no alternative"
    detail = f"{said} offers {offered}."
    return Fault("no-such-alternative", detail, parameter="choose")


def _chosen_component(
    place: int,
    component: Component,
    takes: dict[str, list[str]],
    items: dict[str, list[WeighedLine]],
    wording: Wording,
) -> Component:
    lines: list[Line] = []
    for position, line in enumerate(component.ingredients):
        asked = takes.get(pointer_of(place, position))
        if asked is None:
            lines.append(line)
        else:
            lines.extend(_chosen(items[pointer_of(place, position)], asked, wording))
    return replace(component, ingredients=tuple(lines))


def _chosen(items: Sequence[WeighedLine], asked: list[str], wording: Wording) -> list[Line]:
    """Give what is left of a line's items after its choices."""
    kept = []
    for item in items:
        line = item.line
        if line.optional and "without" in asked:
            continue
        new = replace(line, optional=None) if line.optional and "with" in asked else line
        index = next((int(take) for take in asked if take.isdigit()), None)
        if index is None or not line.alternatives:
            kept.append(wording.reworded(line, new))
        elif index == 0:
            kept.append(wording.reworded(line, replace(new, alternatives=())))
        elif index <= len(line.alternatives):
            taken = _alternative(item, index - 1)
            kept.append(wording.anew(replace(taken, optional=new.optional)))
        else:
            kept.append(line)
    return kept


def _alternative(item: WeighedLine, index: int) -> Line:
    """Give an alternative as a line of its own; one without an amount takes that of the line."""
    if len(item.alternatives) == len(item.line.alternatives):
        return replace(item.alternatives[index].line, alternatives=())
    line, own = item.line.alternatives[index], item.line
    if line.quantity is None:
        line = replace(line, quantity=own.quantity, unit=own.unit, level=own.level)
    return replace(line, alternatives=())
