"""What an archive's answers come to: the summary that closes them."""

from __future__ import annotations

from collections import Counter
from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Any

STATUSES = ("converted", "partial", "refused")


@dataclass(slots=True)
class Counts:
    """The tally of some answers; tallies add up.

    ``lines`` are ingredient lines, ``stating_an_amount`` those that say how much, ``weighed`` those of
    them that have a mass; ``reasons`` counts the others by why, ``refusals`` the refused
    records by the first of their problems.
    """

    records: int = 0
    statuses: Counter[str] = field(default_factory=Counter)
    lines: int = 0
    stating_an_amount: int = 0
    weighed: int = 0
    reasons: Counter[str] = field(default_factory=Counter)
    refusals: Counter[str] = field(default_factory=Counter)

    def add(self, other: Counts) -> None:
        """Take in another tally."""
        self.records += other.records
        self.lines += other.lines
        self.stating_an_amount += other.stating_an_amount
        self.weighed += other.weighed
        self.statuses.update(other.statuses)
        self.reasons.update(other.reasons)
        self.refusals.update(other.refusals)

    def document(self) -> dict[str, object]:
        """Give the tally as the members of the summary."""
        return {
            "records": self.records,
            **{status: self.statuses[status] for status in STATUSES},
            "refusals": dict(sorted(self.refusals.items())),
            "lines": {
                "all": self.lines,
                "stating_an_amount": self.stating_an_amount,
                "weighed": self.weighed,
                "unweighed": dict(sorted(self.reasons.items())),
            },
        }

    @staticmethod
    def of(document: Mapping[str, Any]) -> Counts:
        """Read a tally back from the members of a summary."""
        lines = document["lines"]
        return Counts(
            records=document["records"],
            statuses=Counter({status: document[status] for status in STATUSES}),
            lines=lines["all"],
            stating_an_amount=lines["stating_an_amount"],
            weighed=lines["weighed"],
            reasons=Counter(lines["unweighed"]),
            refusals=Counter(document["refusals"]),
        )
