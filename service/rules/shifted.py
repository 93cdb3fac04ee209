"""A class's limits as they are at altitude: the sea's, moved by what authorities change there.

One function over rows: which rule of the table ``altitude`` moves which measure stands in ``MOVED``.
Rows of memory or judgement alone move nothing, so that they can ground no warning.
"""

from __future__ import annotations

from dataclasses import dataclass, replace

from service.rules.heights import GROUNDED, Adjusted, adjusted
from service.tables.cupboard import Cupboard
from service.tables.rule_rows import LimitRow


@dataclass(frozen=True, slots=True)
class Move:
    """By which ``rule`` a measure moves, and ``how``: less | more (by a share) | up (by degrees) |
    down_to (its low end comes down to the authorities' own). ``of_liquids``: only the share of the
    measure that the liquids bring moves."""

    rule: str
    how: str
    of_liquids: bool = False


MOVED: dict[str, Move] = {
    "powder_equivalent_pct": Move("ALT-01", "less"),
    "gas_pct": Move("ALT-01", "less"),
    "powder_pct": Move("ALT-01", "less"),
    "soda_pct": Move("ALT-01", "less"),
    "sugar_pct": Move("ALT-02", "less"),
    "dry_sugar_pct": Move("ALT-02", "less"),
    "water_pct": Move("ALT-03", "more", of_liquids=True),
    "liquid_pct": Move("ALT-03", "more"),
    "oven_celsius": Move("ALT-04", "up"),
    "yeast_pct": Move("ALT-05", "less"),
    "pan_fill": Move("ALT-06", "down_to"),
    "egg_pct": Move("ALT-07", "more"),
    "fat_pct": Move("ALT-09", "less"),
}


def moved_end(end: float, by: float, how: str) -> float:
    """Give where an end of a range comes to lie."""
    return {"less": end * (1 - by), "more": end * (1 + by), "up": end + by}[how]


def at_height(
    rows: tuple[LimitRow, ...],
    product_class: str | None,
    metres: float,
    liquid_share: float,
    cupboard: Cupboard,
) -> tuple[LimitRow, ...]:
    """Give the limits of a class at a height. Units: metres; ``liquid_share`` is the share of the
    water of all lines that the liquids bring."""
    return tuple(_moved(row, product_class, metres, liquid_share, cupboard) for row in rows)


def _moved(
    row: LimitRow, product_class: str | None, metres: float, liquid_share: float, cupboard: Cupboard
) -> LimitRow:
    move = MOVED.get(row.measure)
    if move is None:
        return row
    said = adjusted(move.rule, product_class, metres, cupboard, grounded=True)
    if said is None:
        return row
    low, typical, high = _ends(row, move, said, liquid_share if move.of_liquids else 1.0)
    # A range from memory stays one, however well its move is grounded.
    letters = row.evidence.split("/")
    if GROUNDED & set(letters):
        letters += said.evidence.split("/")
    told = f"so at {metres:,.0f} m, by what authorities change there"
    return replace(
        row, low=low, typical=typical, high=high, source=f"{row.source}; {said.source}",
        evidence="/".join(dict.fromkeys(letters)),
        note=f"{row.note}; {told}" if row.note else told,
    )  # fmt: skip


def _ends(
    row: LimitRow, move: Move, said: Adjusted, share: float
) -> tuple[float | None, float | None, float | None]:
    """Give a row's low end, centre and high end, each moved by what reaches furthest for it."""
    if move.how == "down_to":
        return (None if row.low is None else min(row.low, said.low), row.typical, row.high)
    least, most = said.low * share, said.high * share
    low_by, high_by = (most, least) if move.how == "less" else (least, most)
    return (
        None if row.low is None else moved_end(row.low, low_by, move.how),
        None if row.typical is None else moved_end(row.typical, (least + most) / 2, move.how),
        None if row.high is None else moved_end(row.high, high_by, move.how),
    )
