"""Food-safety cautions that a formula calls for: one rule over the rows of ``cautions``.

A row's trigger names a test: ``raw-egg``, ``raw-flour``, ``alcohol``, ``cold-filling``, ``ammonia``,
``ingredient:CODE`` or ``dose:CODE`` (more than the row's grams a portion). Rows for allergens are told
by the allergens view.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator

from service.domain.finding import Finding
from service.domain.weighed import WeighedLine
from service.rules.heat import is_heated, of_the_oven
from service.rules.judged import Judged
from service.rules.registry import rule
from service.tables.cupboard import Cupboard
from service.tables.once import once
from service.tables.rule_rows import CautionRow

#: How the rows write degrees (a UCUM code), which people write otherwise.
_CELSIUS = "Cel"
#: What names egg and flour in a method, and lines of them that are safe as they are.
_EGG = re.compile(r"\b(?:eggs?|yolks?|whites?|meringue|albumen)\b")
_FLOUR = re.compile(r"\b(?:\w*flour|meal|starch|cornstarch|crumbs?)\b")
_SAFE = re.compile(r"(?<!un)(?<!not )pasteuri[sz]ed|\bheat[- ]treated", re.IGNORECASE)

Lines = tuple[WeighedLine, ...]
Trigger = Callable[[Judged], Lines]


def _raw(words: re.Pattern[str], *kinds: str) -> Trigger:
    def lines(judged: Judged) -> Lines:
        found = judged.amounts.lines(*kinds)
        if not found or is_heated(judged, words):
            return ()
        return tuple(line for line in found if not _SAFE.search(line.as_written))

    return lines


def _cold(judged: Judged) -> Lines:
    return () if of_the_oven(judged) else judged.amounts.lines("milk", "egg", "cream", "milk_solids")


_TRIGGERS: dict[str, Trigger] = {
    "raw-egg": _raw(_EGG, "egg"),
    "raw-flour": _raw(_FLOUR, "meal"),
    "alcohol": lambda judged: judged.amounts.lines("alcohol"),
    "cold-filling": _cold,
    "ammonia": lambda judged: judged.amounts.lines("ammonia"),
}


def _of_ingredient(judged: Judged, code: str) -> Lines:
    """Give the lines of an ingredient, or of a kind of it (``honey`` has ``honey-clover``)."""
    kinds = f"{code}-"
    return tuple(
        [
            line
            for line in judged.lines
            if line.code is not None and (line.code == code or line.code.startswith(kinds))
        ]
    )


def _over_dose(judged: Judged, code: str, row: CautionRow) -> Lines:
    """Give the lines of an ingredient that brings more than the row's grams a portion."""
    made = judged.formula.yields
    portions = float(made.portions.middle) if made and made.portions else 1.0
    lines = _of_ingredient(judged, code)
    grams = sum(line.grams.value for line in lines if line.grams)
    return lines if grams / portions > float(row.value.split()[0]) else ()


def triggered(row: CautionRow, judged: Judged) -> Lines:
    """Give the lines for which a caution stands; empty where it does not, or is told elsewhere."""
    kind, _, code = row.trigger.partition(":")
    if kind == "ingredient":
        return _of_ingredient(judged, code)
    if kind == "dose":
        return _over_dose(judged, code, row)
    test = _TRIGGERS.get(row.trigger)
    return test(judged) if test else ()


@once
def _told_here(cupboard: Cupboard) -> tuple[CautionRow, ...]:
    """Give the cautions that lines raise: those of allergens are told elsewhere."""
    return tuple(
        row for row in cupboard.tables["cautions"] if ":" in row.trigger or row.trigger in _TRIGGERS
    )


@rule("CAUTION-01", severity="note", source="cautions")
def food_safety(judged: Judged) -> Iterator[Finding]:
    """What the trade warns of is said where a formula calls for it."""
    for row in _told_here(judged.cupboard):
        lines = triggered(row, judged)
        if lines:
            yield Finding(
                rule="CAUTION-01",
                severity="note",
                message=row.caution + (f" ({row.value.replace(_CELSIUS, '°C')})" if row.value else ""),
                measured=None,
                expected=None,
                certain=True,
                lines=tuple(dict.fromkeys(line.pointer for line in lines)),
                source=row.source,
                evidence=row.evidence,
                limit=row.key,
                group=judged.group,
            )
