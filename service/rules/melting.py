"""Chocolate in pieces, or melted: what is folded in as it is neither sweetens nor shortens the crumb.

A line may say it ("chips", "melted"), or the method ("melt the chocolate with the butter"). Where none
does, doughs of the classes that fold it in (``folds_chocolate`` of table ``classes``) keep it in pieces,
and the answer says so; all others melt it, and so goes chocolate without sugar, which nobody eats in
pieces.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator
from dataclasses import replace

from service.domain.finding import Finding
from service.domain.weighed import WeighedLine
from service.domain.words import key_of
from service.rules.judged import Judged
from service.rules.registry import rule
from service.tables.cupboard import Cupboard

CHOCOLATE, MELTED, IN_PIECES = "chocolate", "melted", "chunks"
SOURCE = "Common practice, no source: chopped chocolate is folded into doughs and melted into batters"
#: States in which chocolate may be melted or not; any other says how it goes in.
_OPEN = frozenset(("", "chopped", "pieces", "cubes", "diced", "halves", "whole"))
_PARTS = re.compile(r"[.;!?\n]+")
#: How many words before a word for melting may name what it is said of: "the chocolate has melted".
_FURTHEST = 4


def with_forms(judged: Judged) -> Judged:
    """Give the group with the form of its chocolate, where the method or the class tells it."""
    if not any(_is_eaten(line, judged.cupboard) for line in judged.lines):
        return judged
    melted = _is_melted(judged.method, judged.cupboard)
    row = judged.cupboard.classes.get(judged.product_class or "")
    folds = row is not None and row.folds_chocolate
    form = MELTED if melted else IN_PIECES if folds else ""
    if not form:
        return judged
    if melted and not folds and not any(_may_be_melted(line, judged.cupboard) for line in judged.lines):
        return _with_chips_melted(judged)
    lines = tuple(_in_form(line, form) if _is_open(line, judged.cupboard) else line
                  for line in judged.lines)  # fmt: skip
    return judged if lines == judged.lines else judged.with_lines(lines)


def _with_chips_melted(judged: Judged) -> Judged:
    """Give the group with its chips melted, where the method melts chocolate and there is no other."""
    lines = tuple(
        _in_form(line, MELTED) if _is_eaten(line, judged.cupboard) else line for line in judged.lines
    )
    return judged.with_lines(lines)


def _may_be_melted(line: WeighedLine, cupboard: Cupboard) -> bool:
    """Tell whether it is chocolate that is not in chips: it is then what a method melts."""
    row = cupboard.ingredients.get(line.code or "")
    bitter = row is not None and row.role == CHOCOLATE and not _is_eaten(line, cupboard)
    return bitter or _is_open(line, cupboard) or MELTED in line.line.state


def _is_eaten(line: WeighedLine, cupboard: Cupboard) -> bool:
    """Tell whether it is chocolate with sugar in it."""
    row, made_of = cupboard.ingredients.get(line.code or ""), cupboard.composition.get(line.code or "")
    if row is None or made_of is None or row.role != CHOCOLATE:
        return False
    return (made_of.sugars or 0.0) / 100 >= cupboard.constants["eating_chocolate_sugar"].value


def _is_open(line: WeighedLine, cupboard: Cupboard) -> bool:
    """Tell whether a line leaves open in what form its chocolate goes in."""
    if not _is_eaten(line, cupboard):
        return False
    states = line.line.state or (cupboard.ingredients[line.code or ""].usual_state,)
    return all(word in _OPEN for state in states for word in state.split("+"))


def _in_form(line: WeighedLine, form: str) -> WeighedLine:
    stated = replace(line.line, state=(*line.line.state, form))
    return line if line.grams is None else line.with_grams(line.grams, line=stated)


def _is_melted(method: Iterable[str], cupboard: Cupboard) -> bool:
    """Tell whether a method melts chocolate."""
    return any(_melts(key_of(part).split(), cupboard) for step in method for part in _PARTS.split(step))


def _melts(words: list[str], cupboard: Cupboard) -> bool:
    """Tell whether a part of a sentence names chocolate behind a word for melting, before another thing
    is done, or right before one."""
    for at, word in enumerate(words):
        pair = " ".join(words[at : at + 2])
        if not (_is(word, "melts", cupboard) or _is(pair, "melts", cupboard)):
            continue
        before = words[max(0, at - _FURTHEST) : at]
        if CHOCOLATE in before or CHOCOLATE in _until_done(words[at + 1 :], cupboard):
            return True
    return False


def _until_done(words: list[str], cupboard: Cupboard) -> Iterator[str]:
    """Give the words up to the next one that does something else."""
    for word in words:
        if not _is(word, "melts", cupboard) and (
            _is(word, "mixes", cupboard) or _is(word, "spares", cupboard)
        ):
            return
        yield word


def _is(word: str, kind: str, cupboard: Cupboard) -> bool:
    return any(row.kind == kind for row in cupboard.card_words.get(word, ()))


@rule("MIX-01", severity="note", source=SOURCE)
def chocolate_stays_in_pieces(judged: Judged) -> Iterator[Finding]:
    """Chocolate that nobody melts is taken as pieces, where the class folds it in."""
    stated = {line.pointer: line.line.state for line in judged.weighed.lines}
    taken = [
        line
        for line in judged.lines
        if IN_PIECES in line.line.state and IN_PIECES not in stated.get(line.pointer, (IN_PIECES,))
    ]
    if not taken:
        return
    yield Finding(
        rule="MIX-01",
        severity="note",
        message=(
            f"Neither a line nor the method melts the {taken[0].name}: it is taken as pieces that are "
            "folded in, and its sugar and fat are not counted in the crumb."
        ),
        measured=None,
        expected=None,
        certain=False,
        lines=tuple(line.pointer for line in taken),
        source=SOURCE,
        evidence="J",
        settle="Write “melted” or “chunks” beside it.",
        group=judged.group,
    )
