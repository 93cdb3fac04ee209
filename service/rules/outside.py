"""How a value lies outside the rows of a limit. Where several rows stand, any of them admits it."""

from __future__ import annotations

from dataclasses import dataclass

from service.domain.band import Band
from service.tables.rule_rows import LimitRow

#: What floats may be off by on a limit, as a share of it.
SLACK = 1e-9


@dataclass(frozen=True, slots=True)
class Outside:
    """That a value lies outside a row: on which ``side`` (low | high), how far the value lies
    (``gap``) and how far at least, by the favourable end of its band (``least``)."""

    row: LimitRow
    side: str
    gap: float
    least: float

    @property
    def limit(self) -> float:
        """Give the end that was passed."""
        end = self.row.low if self.side == "low" else self.row.high
        return 0.0 if end is None else end

    @property
    def stated(self) -> str:
        """Give the severity that the row names for this side."""
        return self.row.severity_low if self.side == "low" else self.row.severity_high

    @property
    def certain(self) -> bool:
        """Whether the whole band lies outside."""
        return self.least > SLACK * abs(self.limit)


def outside_row(row: LimitRow, band: Band) -> Outside | None:
    """Tell how a value lies outside a row; ``None`` where it lies inside or on an end."""
    if row.low is not None and row.low - band.value > SLACK * abs(row.low):
        return Outside(row, "low", row.low - band.value, row.low - band.high)
    if row.high is not None and band.value - row.high > SLACK * abs(row.high):
        return Outside(row, "high", band.value - row.high, band.low - row.high)
    return None


def _speaks_before(one: Outside, other: Outside) -> bool:
    """Tell whether one row speaks rather than another."""
    return (one.stated == "note", one.gap) < (other.stated == "note", other.gap)


def outside_rows(rows: tuple[LimitRow, ...], band: Band) -> Outside | None:
    """Tell how a value lies outside every row; ``None`` where any row admits it. The nearest row
    speaks, one that warns before one that only notes."""
    nearest: Outside | None = None
    for row in rows:
        found = outside_row(row, band)
        if found is None:
            return None
        if nearest is None or _speaks_before(found, nearest):
            nearest = found
    return nearest


def admits(rows: tuple[LimitRow, ...], value: float) -> bool:
    """Tell whether any row admits a value."""
    for row in rows:
        if (row.low is None or value >= row.low - SLACK * abs(row.low)) and (
            row.high is None or value <= row.high + SLACK * abs(row.high)
        ):
            return True
    return False
