"""What leaves a verdict open, and what would settle it."""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from service.domain.record import sent
from service.domain.weighed import WeighedLine
from service.rules.judged import BAKED
from service.rules.judging import Verdict

_NO_CLASS = {
    "title": "Its title names a thing for which there is no class, so that no range is held to it.",
    "none": "Neither title nor method tells its class, so that no range is held to it.",
}
_SAY_CLASS = "Say the class it is to be held to (GET /v1/classes)."
_UNKNOWN = "no table knows this, so that what its mass does in the mix is not known."
_SAY_WHAT = "Say it by a name that the tables know, or give its values (PUT /v1/ingredients/{code})."
#: Why a line has no mass, by the reason of its weighing: what is told, and what settles it.
_NO_MASS = {
    "unknown-ingredient": ("no table knows this, and no mass is written.", _SAY_WHAT),
    "unknown-unit": ("no table knows the unit.", "Say what it weighs."),
    "no-weight-for-measure": ("no table says what such a measure weighs.", "Say what it weighs."),
    "percent-without-flour": (
        "in percent of a flour of which no mass is known.",
        "Say a mass of flour, a yield or a target.",
    ),
}
_OTHERWISE = ("not weighed.", "Say what it weighs.")


@sent
class LeftOpen:
    """One thing that leaves the verdict on a ``group`` undetermined: the ``lines`` (JSON Pointers; none
    where the class is not known), why, and what would settle it."""

    group: str
    lines: tuple[str, ...]
    why: str
    settle: str


def left_open(verdicts: Iterable[Verdict]) -> tuple[LeftOpen, ...]:
    """Give what leaves verdicts open, group by group: a class that is not known, then lines."""
    several = tuple(verdicts)
    if not several:
        return (LeftOpen(BAKED, (), "No line is there to judge.", "Say what goes in."),)
    return tuple(each for verdict in several for each in _of_group(verdict))


def _of_group(verdict: Verdict) -> Iterator[LeftOpen]:
    judged = verdict.judged
    if judged.product_class is None:
        why = _NO_CLASS.get(verdict.told_by, _NO_CLASS["none"])
        yield LeftOpen(judged.group, (), why, _SAY_CLASS)
    by_reason: dict[tuple[str, str], list[WeighedLine]] = {}
    for line in judged.amounts.unweighed:
        by_reason.setdefault(_NO_MASS.get(line.reason or "", _OTHERWISE), []).append(line)
    if judged.unknown:
        by_reason[_UNKNOWN, _SAY_WHAT] = list(judged.unknown)
    for (why, settle), lines in by_reason.items():
        names = ", ".join(dict.fromkeys(line.name for line in lines))
        pointers = tuple(dict.fromkeys(line.pointer for line in lines))
        yield LeftOpen(judged.group, pointers, f"{names}: {why}", settle)
