"""The style that a group was meant to be of: the one that it has with its likeliest slip undone.

A slip may turn the style: six eggs for two make of a drop cookie one of eggs and nuts, which has far
less butter. What is said of the other lines would then be said by the rows of a cake that nobody
meant.
"""

from __future__ import annotations

from dataclasses import replace

from service.rules.judged import Judged
from service.rules.measures import MEASURES
from service.rules.strain import LEFT_OUT, Slip, likeliest_slip
from service.rules.styles import strains_by, style_of


def meant_style(judged: Judged) -> str | None:
    """Give the style that a group is told by, worked out once; ``None`` is the class at large. It is
    the one that the group has as it stands, unless nothing that strains by that has to do with the slip
    that is told. A trial is told by its own."""
    if judged.base is not None:
        return style_of(judged)
    if "meant" not in judged.memo:
        slip = likeliest_slip(judged)
        turned = slip is not None and _strained_elsewhere(judged, slip)
        judged.memo["meant"] = style_of(undone(judged, slip) if slip and turned else judged)
    return judged.memo["meant"]  # type: ignore[return-value]


def _strained_elsewhere(judged: Judged, slip: Slip) -> bool:
    """Tell whether measures strain, and none of them moves with the line of a slip."""
    strained = {name for _, name in strains_by(judged, style_of(judged))}
    moves = judged.amounts.contents.of(slip.line).moves
    return bool(strained) and all(MEASURES[name].rests_on.isdisjoint(moves) for name in strained)


def undone(judged: Judged, slip: Slip) -> Judged:
    """Give a group with a slip undone."""
    if slip.kind == LEFT_OUT:
        return judged.with_exchanged((None, slip.line))
    if slip.ingredient != slip.line.code:
        return judged.with_exchanged((slip.line, replace(slip.line, code=slip.ingredient)))
    return judged.with_line_times(slip.line, slip.factor)
