"""Batter that no pan holds: more than the pans' whole volume before it rises.

How full a class's pans are wanted is PAN-01, and rests on its rows; that a pan holds no more than its
volume is geometry, whatever the class.
"""

from __future__ import annotations

from collections.abc import Iterator

from service.domain.finding import Expected, Finding, Measured
from service.rules.judged import Judged
from service.rules.pans import filled, pan_pointers
from service.rules.ranges import plain
from service.rules.registry import rule

SOURCE = "Geometry: a pan holds no more than its volume, edge to edge; constants batter_density"


@rule("PAN-03", severity="error", source=SOURCE)
def runs_over(judged: Judged) -> Iterator[Finding]:
    """The pans hold the batter as it is mixed."""
    state = filled(judged)
    if state is None or state.fill.value <= 1:
        return
    certain = state.fill.low > 1 and judged.complete
    yield Finding(
        rule="PAN-03",
        severity="error" if certain else "warning",
        message=(
            f"{plain(state.batter.value)} mL of batter run over pans of {plain(state.volume.value)} mL "
            "before they rise."
        ),
        measured=Measured(state.fill.value, state.fill.low, state.fill.high, "times full"),
        expected=Expected(None, 1.0, "times full"),
        certain=certain,
        lines=(*(line.pointer for line in judged.lines if line.grams), *pan_pointers(judged)),
        source=SOURCE,
        evidence="R",
        settle=None if certain else "Measure the batter.",
        group=judged.group,
    )
