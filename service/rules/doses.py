"""Doses of what a formula needs little of: spices, extracts and salt, on the whole group's mass.

Sources: rows of ``limits`` with the code DOSE-01, one an ingredient.
"""

from __future__ import annotations

from collections.abc import Iterator

from service.domain.finding import Expected, Finding, Measured
from service.rules.judged import Judged
from service.rules.outside import outside_row
from service.rules.ranges import plain
from service.rules.registry import rule
from service.tables.cupboard import Cupboard
from service.tables.once import once
from service.tables.rule_rows import LimitRow

_PER_INGREDIENT = "dose_per_kilogram/"
_GRAMS = 1000.0


@once
def _doses(cupboard: Cupboard) -> tuple[tuple[str, LimitRow], ...]:
    rows = cupboard.limits.get("DOSE-01", ())
    return tuple((row.measure.removeprefix(_PER_INGREDIENT), row) for row in rows)


@rule("DOSE-01", severity="warning", source="limits:DOSE-01")
def unusual_dose(judged: Judged) -> Iterator[Finding]:
    """A spice, an extract or salt stands in a dose that can be tasted and borne."""
    whole = judged.amounts.of("total")
    codes = {line.code for line in judged.lines}
    for code, row in _doses(judged.cupboard):
        for line in judged.lines if code in codes else ():
            if line.code != code or line.grams is None or line.grams.value <= 0:
                continue
            share = line.grams.per(whole)
            if share is None:
                continue
            dose = share.times(_GRAMS)
            found = outside_row(row, dose)
            if found is None:
                continue
            certain = found.certain and judged.complete
            yield Finding(
                rule="DOSE-01",
                severity=found.stated if certain else "note",
                message=(
                    f"{line.name.capitalize()} is {plain(dose.value)} {row.unit}, an unusual dose: "
                    f"{plain(row.low or 0.0)} to {plain(row.high or 0.0)} is usual."
                ),
                measured=Measured(dose.value, dose.low, dose.high, row.unit),
                expected=Expected(row.low, row.high, row.unit),
                certain=certain,
                lines=(line.pointer,),
                source=row.source,
                evidence=row.evidence,
                settle=None if found.certain else f"Weigh the {line.name}.",
                limit=row.code,
                group=judged.group,
            )
