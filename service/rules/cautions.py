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
from service.rules.judged import BAKED, Judged
from service.rules.registry import rule
from service.tables.cupboard import Cupboard
from service.tables.once import once
from service.tables.rule_rows import CautionRow

#: How the rows write degrees (a UCUM code), which people write otherwise.
_CELSIUS = "Cel"
#: Words of a method that tell of heat, and words that hold them and do not.
_HEATED = re.compile(
    r"\b(?:(?:cook|boil|scald|simmer|heat|toast)(?:s|ed|ing)?|bak(?:e|es|ed|ing)|fr(?:y|ies|ied|ying)"
    r"|brown(?:s|ed|ing)?|double boiler)\b"
)
_NOT_HEATED = re.compile(
    r"\b(?:not|never|without|no|un)[ -]?(?:to be )?(?:cook|bak|heat|boil)\w*"
    r"|\bbaking (?:powder|soda|sheet|paper|tin|tray|parchment)|\bcooking (?:oil|chocolate)"
    r"|\bbrown sugar|\bboiling water|\bheat ?proof"
)
_UNBAKED = re.compile(
    r"\b(?:not|never|without|no|un)[ -]?(?:to be )?(?:cook|bak)(?:e|ed|ing)?\b(?! powder)"
)
#: The class that is not baked as a rule, though nothing else stands in the formula.
_UNBAKED_CLASS = "filling"

Lines = tuple[WeighedLine, ...]
Trigger = Callable[[Judged], Lines]


def _is_heated(judged: Judged) -> bool:
    """Tell whether a group is baked, or its method speaks of heat.

    What stands alone in a formula is taken as baked, unless it is a filling or its method says that
    it is not baked.
    """
    own = [step for component in judged.components for step in component.method]
    steps = " ".join((*own, *judged.formula.method) if judged.group == BAKED else own).lower()
    told = _NOT_HEATED.sub(" ", steps)
    if judged.group != BAKED or judged.product_class == _UNBAKED_CLASS:
        return bool(_HEATED.search(told)) or (judged.group == BAKED and judged.formula.bake is not None)
    return not _UNBAKED.search(steps) or bool(_HEATED.search(told))


def _raw(*kinds: str) -> Trigger:
    return lambda judged: () if _is_heated(judged) else judged.amounts.lines(*kinds)


def _cold(judged: Judged) -> Lines:
    baked = judged.group == BAKED and judged.product_class != _UNBAKED_CLASS
    return () if baked else judged.amounts.lines("milk", "egg", "cream", "milk_solids")


_TRIGGERS: dict[str, Trigger] = {
    "raw-egg": _raw("egg"),
    "raw-flour": _raw("meal"),
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
