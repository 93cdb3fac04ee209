"""Lines that were lost: the method puts into the mix what no line brings.

"Sift flour, baking powder and salt together", and no line with baking powder: when the card was copied,
a line was probably passed over. What the words of a line bring beside its ingredient ("soda dissolved in
hot water") is brought, and so is what any other part of the formula brings. Where a line's ingredient is
not known, it may be the one that is looked for, and nothing is said.
"""

from __future__ import annotations

from collections.abc import Iterator
from functools import cached_property
from typing import cast

from service.domain.finding import Finding
from service.domain.weighed import WeighedLine
from service.rules.judged import BAKED, Judged
from service.rules.kinds import contents_of
from service.rules.mixing import Mixing, Put, mixings, needs_named, needs_that_may_be_named
from service.rules.registry import rule
from service.tables.rows import MixNeedRow

SOURCE = "Judged: what the method's own words put into the mix, beside what the lines bring"
#: Under what names is kept what the method of a group says.
_MENTIONED, _MIXINGS = "needs mentioned", "mixings"


class _Brought:
    """What all lines of a formula bring: ingredients, kinds, and what their words name."""

    def __init__(self, judged: Judged) -> None:
        self._judged = judged
        self._lines = (
            *judged.lines,
            *(line for line in judged.weighed.lines if line.group != judged.group),
        )
        contents, kinds = contents_of(judged.cupboard), set[str]()
        for line in self._lines:
            kinds |= contents.of(line).moves
        self._kinds = kinds

    @cached_property
    def codes(self) -> frozenset[str]:
        """The ingredients that the lines are or may be, by choice or by an ambiguous name."""
        return frozenset(code for line in self._lines for code in _codes(line))

    @cached_property
    def _kinds_by_choice(self) -> frozenset[str]:
        contents = contents_of(self._judged.cupboard)
        return frozenset(kind for code in self.codes for kind in contents.of_code(code).moves)

    @cached_property
    def _named(self) -> frozenset[str]:
        """What the words of the lines and notes name."""
        texts = [text for line in self._lines for text in (line.as_written, line.line.note or "")]
        return needs_named(" , ".join((*texts, *self._judged.formula.notes)), self._judged.cupboard)

    def meets(self, need: MixNeedRow) -> bool:
        """Tell whether a line meets a need, by its ingredient or by its words."""
        return self._meets_itself(need) or need.code in self._named

    def _meets_itself(self, need: MixNeedRow) -> bool:
        return (
            not self._kinds.isdisjoint(need.answered)
            or not self.codes.isdisjoint(need.answered_by)
            or not self._kinds_by_choice.isdisjoint(need.answered)
        )

    def lacks(self, mentioned: frozenset[str]) -> frozenset[str]:
        """Give what is mentioned, of needs by their codes, that no line's ingredient meets."""
        rows = self._judged.cupboard.tables["mix_needs"]
        return frozenset(
            row.code for row in rows if row.code in mentioned and not self._meets_itself(row)
        )

    def brings(self, put: Put) -> bool:
        """Tell whether a line brings a thing."""
        return put.code in self.codes or (bool(put.needs) and all(map(self.meets, put.needs)))


def _codes(line: WeighedLine) -> Iterator[str]:
    """Give the codes that a line brings or may bring."""
    for each in (line, *line.alternatives):
        yield from (code for code in (each.code, *each.otherwise, *each.text_says) if code)


def _texts(judged: Judged) -> Iterator[tuple[str, str]]:
    """Give the steps that say how a group is made, with their JSON Pointers. The formula's own are told
    once: of what is baked, else of the first group."""
    formula, lines = judged.formula, judged.weighed.lines
    for place in dict.fromkeys(line.component for line in judged.lines):
        method = formula.components[place].method
        yield from ((f"/components/{place}/method/{n}", text) for n, text in enumerate(method))
    groups = {line.group for line in lines}
    if judged.group == (BAKED if BAKED in groups else lines[0].group):
        yield from ((f"/method/{n}", text) for n, text in enumerate(formula.method))


def _root(judged: Judged) -> Judged:
    """Give the group of which this one is a trial: what its method says is read once."""
    while judged.base is not None:
        judged = judged.base
    return judged


def _mentioned(judged: Judged) -> frozenset[str]:
    """Give the codes of the needs that the method of a group may name; looked up once for its trials."""
    root = _root(judged)
    if _MENTIONED not in root.memo:
        root.memo[_MENTIONED] = needs_that_may_be_named(_texts(root), root.cupboard)
    return cast(frozenset[str], root.memo[_MENTIONED])


def _mixings(judged: Judged, lacking: frozenset[str]) -> tuple[Mixing, ...]:
    """Give what the method of a group puts into the mix; read once for its trials."""
    memo, key = _root(judged).memo, " ".join((_MIXINGS, *sorted(lacking)))
    if key not in memo:
        memo[key] = tuple(mixings(_texts(judged), lacking, judged.cupboard))
    return cast(tuple[Mixing, ...], memo[key])


def _finding(judged: Judged, mixing: Mixing, put: Put, need: MixNeedRow, joined: bool) -> Finding:
    return Finding(
        rule="SLIP-08",
        severity="warning" if joined else "note",
        message=(
            f"The method puts {put.words} into the mix, and no line brings any: "
            "perhaps a line was lost when the card was copied."
        ),
        measured=None,
        expected=None,
        certain=False,
        lines=(mixing.pointer,),
        source=SOURCE,
        evidence="J",
        settle="Look at the card again.",
        limit=need.code,
        group=judged.group,
    )


def _is_plainer(joined: bool, told: Finding | None) -> bool:
    """Tell whether a sentence says more than what was told before."""
    return told is None or (joined and told.severity == "note")


def _is_judged(judged: Judged) -> bool:
    """Tell whether there is a method in words that are known, and lines that are."""
    formula = judged.formula
    if not formula.method and not any(each.method for each in judged.components):
        return False
    english = (formula.language or "en").lower().startswith("en")
    return english and all(line.code is not None for line in judged.weighed.lines)


@rule("SLIP-08", severity="warning", source=SOURCE)
def nothing_is_missing(judged: Judged) -> Iterator[Finding]:
    """What the method puts into the mix is brought by a line."""
    if not _is_judged(judged):
        return
    brought, found = _Brought(judged), dict[str, Finding]()
    lacking = brought.lacks(_mentioned(judged))
    for mixing in _mixings(judged, lacking) if lacking else ():
        joined = mixing.of_mixture or any(map(brought.brings, mixing.puts))
        for put in mixing.puts:
            need = next((row for row in put.needs if not brought.meets(row)), None)
            if need is not None and _is_plainer(joined, found.get(need.code)):
                found[need.code] = _finding(judged, mixing, put, need, joined)
    yield from found.values()
