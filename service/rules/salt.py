"""Salt: by class on flour, in fillings and meringues, and against public targets.

Counted as salt: salt itself, and what salted fats bring by their sodium; against public targets all
sodium. Sources: rows of ``limits`` with the codes SALT-01 to SALT-03, rows of ``public_targets``.
"""

from __future__ import annotations

from collections.abc import Iterator

from service.domain.finding import Expected, Finding, Measured
from service.rules.judged import Judged
from service.rules.measures import MEASURES, measure_of
from service.rules.ranges import plain
from service.rules.registry import range_rule, rule
from service.tables.law_rows import PublicTargetRow

_MEASURE = "salt_in_product"

range_rule("SALT-01", "salt_pct", "Salt stays inside its class's range, as a percentage of flour.")
range_rule("SALT-02", "salt_of_whole", "Salt of a filling stays inside its range.")
range_rule("SALT-03", "salt_on_white", "Salt on egg white stays inside its range.")


def targets_of(judged: Judged) -> tuple[PublicTargetRow, ...]:
    """Give the public targets that concern a group: of the market that is asked for, else of the one
    whose measures the formula is written in; none where neither tells a market."""
    rows = judged.cupboard.public_targets.get(judged.product_class or "", ())
    if judged.market is not None:
        return tuple(row for row in rows if row.market == judged.market)
    return tuple(row for row in rows if judged.formula.measures in row.measures)


@rule("SALT-04", severity="note", source="public_targets")
def above_a_public_target(judged: Judged) -> Iterator[Finding]:
    """Salt by all sodium stays within what the public body of a market asks for."""
    rows, band = targets_of(judged), measure_of(judged, _MEASURE)
    for row in rows if band is not None else ():
        if band is None or band.value <= row.high:
            continue
        certain = band.low > row.high and judged.complete
        lines = judged.amounts.lines(*MEASURES[_MEASURE].over)
        market = judged.cupboard.markets[row.market].name
        yield Finding(
            rule="SALT-04",
            severity="note",
            message=(
                f"Salt by all sodium is {plain(band.value)} g in 100 g as mixed: more than the "
                f"{plain(row.high)} g {row.note}. A public target of {market}; not a law."
            ),
            measured=Measured(band.value, band.low, band.high, row.unit),
            expected=Expected(None, row.high, row.unit),
            certain=certain,
            lines=tuple(dict.fromkeys(line.pointer for line in lines)),
            source=row.source,
            evidence=row.evidence,
            settle=None if certain else "Weigh what was measured by the cup.",
            limit=row.code,
            group=judged.group,
        )
