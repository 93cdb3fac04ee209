"""Lines that a card may have lost: put back, as a trial, in the steps of the table ``left_out``.

A line is tried where the group has flour and none of the row's kinds: milk or water where no liquid
stands, a leavener where nothing raises; flour itself where none stands.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

from service.domain.band import Band
from service.domain.formula import Line
from service.domain.weighed import WeighedLine
from service.rules.judged import Judged

#: The kind of which shares of the table are percent; of all that stands, where there is none of it.
_FLOUR = "flour"
_PERCENT = 100.0


def lines_left_out(judged: Judged) -> Iterator[WeighedLine]:
    """Give the lines that may be left out, one for each step; their pointer is the end of the list of
    ingredients (RFC 6901, "-")."""
    flour = judged.amounts.of("flour").value
    of = flour if flour > 0 else judged.amounts.of("total").value
    for row in judged.cupboard.left_out:
        if (_FLOUR in row.without) == (flour > 0) or any(map(judged.amounts.has, row.without)):
            continue
        for share in row.shares:
            yield _line(judged, row.ingredient, of * float(share) / _PERCENT)


def _line(judged: Judged, ingredient: str, grams: float) -> WeighedLine:
    like = judged.lines[0]
    return replace(
        like,
        line=Line(ingredient=ingredient),
        code=ingredient,
        name=judged.cupboard.ingredients[ingredient].name,
        grams=Band.exact(grams),
        position=len(judged.lines),
        pointer=f"/components/{like.component}/ingredients/-",
        alternatives=(),
    )
