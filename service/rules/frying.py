"""Fat to fry in: it is weighed, and is none of the dough that is fried in it."""

from __future__ import annotations

import re
from collections.abc import Iterator

from service.domain.finding import Finding
from service.domain.weighed import WeighedLine
from service.rules.judged import Judged
from service.rules.registry import rule

SOURCE = "Common practice, no source: a card lists the oil of the pot beside what goes into the dough"
_FAT = "fat"
_FOR_FRYING = re.compile(
    r"\b(?:for|to) (?:deep[ -]|shallow[ -])?fry(?:ing)?\b|\b(?:deep[ -])?frying (?:oil|fat|lard)\b",
    re.IGNORECASE,
)


def without_frying_fat(judged: Judged) -> Judged:
    """Give the group without the fat that its lines set aside to fry in, if anything else is left."""
    lines = tuple(line for line in judged.lines if not _is_for_frying(judged, line))
    return judged if lines == judged.lines or not lines else judged.with_lines(lines)


def _is_for_frying(judged: Judged, line: WeighedLine) -> bool:
    """Tell whether a line is of fat and says that it is to fry in."""
    if line.grams is None or not _FOR_FRYING.search(line.line.text or ""):
        return False
    return line.code is not None and _FAT in judged.amounts.contents.of_code(line.code).moves


@rule("MIX-02", severity="note", source=SOURCE)
def frying_fat_is_no_dough(judged: Judged) -> Iterator[Finding]:
    """Fat to fry in is not counted in the dough."""
    kept = {id(line) for line in judged.lines}
    taken = [
        line
        for line in judged.weighed.lines
        if line.group == judged.group and id(line) not in kept and _is_for_frying(judged, line)
    ]
    if not taken or judged.base is not None:
        return
    yield Finding(
        rule="MIX-02",
        severity="note",
        message=f"The {taken[0].name} is to fry in: it is weighed, and not counted in what is fried.",
        measured=None,
        expected=None,
        certain=True,
        lines=tuple(line.pointer for line in taken),
        source=SOURCE,
        evidence="M",
        group=judged.group,
    )
