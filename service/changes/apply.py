"""Apply changes to a formula, in the one order: choose, swap, scale, convert, round."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from functools import cached_property

from service.changes.bench import Bench
from service.changes.choosing import choose
from service.changes.converting import convert
from service.changes.moved import drift_of
from service.changes.rounding import round_amounts
from service.changes.scaling import scale
from service.changes.swapping import swap
from service.domain.changes import NO_CHANGES, Changes
from service.domain.drift import NO_DRIFT, Drift
from service.domain.formula import Formula
from service.domain.reading import Problem
from service.domain.weighed import Assumption
from service.weighing.scales import Scales


@dataclass(frozen=True)
class Changed:
    """A formula after its changes: what they assumed, and what could not be done as asked.

    ``drift`` is weighed when it is first looked at, since most views do not show it.
    """

    formula: Formula
    assumptions: tuple[Assumption, ...]
    problems: tuple[Problem, ...]
    measure: Callable[[], Drift]

    @cached_property
    def drift(self) -> Drift:
        """What swaps, conversion and rounding moved."""
        return self.measure()


def apply(formula: Formula, changes: Changes, scales: Scales) -> Changed:
    """Apply changes to a formula; with none it is the same object that comes back.

    Raises: Invalid, with the parameters that do not fit this formula.
    """
    if changes == NO_CHANGES:
        return Changed(formula, (), (), lambda: NO_DRIFT)
    bench = Bench(scales)
    if changes.altitude is not None:
        bench.notes.append("altitude moves no line by itself: the findings say what to adjust")
    bench.before = choose(formula, changes, bench)
    bench.asked = scale(swap(bench.before, changes, bench), changes, bench)
    done = round_amounts(convert(bench.asked, changes, bench), changes, bench)
    return Changed(done, tuple(bench.assumptions), tuple(bench.problems), lambda: drift_of(done, bench))
