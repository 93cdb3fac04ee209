"""What the views ``scaled`` and ``converted`` answer: the changed formula and what moved.

Floats are rounded here, once: masses as the view ``weights`` rounds them, percentages to four places.
"""

from __future__ import annotations

from dataclasses import dataclass

from service.domain.drift import Drift, LineDrift, RatioDrift
from service.domain.formula import Formula
from service.domain.reading import Problem
from service.domain.weighed import Assumption
from service.views.weights import rounded
from service.views.work import Work

_PLACES = 4


@dataclass(frozen=True, slots=True)
class ChangedFormula:
    """The answer. ``formula`` is a valid body for every endpoint that takes a formula; ``drift`` says
    what conversion and rounding moved; ``complete``: every line that states an amount weighs."""

    complete: bool
    formula: Formula
    drift: Drift
    assumptions: tuple[Assumption, ...]
    problems: tuple[Problem, ...]


def _shown(value: float | None) -> float | None:
    return None if value is None else rounded(value)


def _percent(value: float | None) -> float | None:
    return None if value is None else round(value, _PLACES) + 0.0


def drift_shown(drift: Drift) -> Drift:
    """Round a drift's figures."""
    lines = tuple(
        LineDrift(one.line, _shown(one.asked), _shown(one.got), _percent(one.percent))
        for one in drift.lines
    )
    ratios = tuple(
        RatioDrift(one.ratio, _percent(one.before), _percent(one.after)) for one in drift.ratios
    )
    return Drift(drift.factor, lines, ratios, drift.notes)


def _assumption(one: Assumption) -> Assumption:
    return Assumption(one.code, one.line, one.part, one.value, _shown(one.grams), one.detail)


def changed_formula(work: Work) -> ChangedFormula:
    """Give the changed formula with its drift. Raises: Invalid (parameters)."""
    return ChangedFormula(
        work.weighed.complete,
        work.changed.formula,
        drift_shown(work.changed.drift),
        tuple(_assumption(one) for one in work.assumptions),
        work.problems,
    )
