"""What the checks look at: the formula as weighed, or, where every amount is in percent of flour and
nothing gives the flour a mass, the same at a gram for each percent: ratios need no mass.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, replace
from fractions import Fraction

from service.domain.finding import Finding
from service.domain.formula import Dimension, Formula, Yield
from service.domain.quantity import Quantity
from service.domain.weighed import Weighed, WeighedLine
from service.rules.judged import Judged
from service.views.work import Work

BATCH, PERCENT, UNKNOWN = "batch", "percent", "unknown"
_UNIT = "%"
_WITHOUT_FLOUR = "percent-without-flour"


@dataclass(frozen=True, slots=True)
class Rated:
    """A weighing for the checks. ``per``: batch (the formula's own masses) | percent (a gram for each
    percent) | unknown (lines in percent stand beside others, and nothing gives the flour a mass)."""

    weighed: Weighed
    per: str

    def remediable(self, findings: Iterable[Finding]) -> list[Finding]:
        """Give findings with the remedies that the formula takes: in percent, none in grams."""
        if self.per != PERCENT:
            return list(findings)
        return [replace(finding, remedy=None) for finding in findings]


def rated(work: Work) -> Rated:
    """Give what the checks look at. Pans are left out of what has no mass of its own."""
    weighed = work.weighed
    if not any(map(lacks_flour, weighed.lines)):
        return Rated(weighed, BATCH)
    if any(line.grams is not None for line in weighed.lines):
        return Rated(weighed, UNKNOWN)
    scales = work.kitchen.scales
    return Rated(scales.weigh(_a_gram_a_percent(weighed.formula, work.changed.formula)), PERCENT)


def lacks_flour(line: WeighedLine) -> bool:
    """Tell whether a line is in percent of a flour of which no mass is known."""
    return line.reason == _WITHOUT_FLOUR


def can_be_told(judged: Judged) -> bool:
    """Tell whether a group's sums are those of its lines: none lacks a mass for want of flour."""
    return not any(map(lacks_flour, judged.lines))


def _a_gram_a_percent(read: Formula, given: Formula) -> Formula:
    """Give a formula that makes as many grams as its percents add up to."""
    lines = (line for component in read.components for line in component.ingredients)
    percents = [line.quantity.middle for line in lines if line.unit == _UNIT and line.quantity]
    mass = Dimension(Quantity.of(sum(percents, Fraction(0))), "g")
    return replace(given, yields=Yield(mass=mass), pans=())
