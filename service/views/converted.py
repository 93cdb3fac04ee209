"""The view ``converted``: the formula in other measures, as masses or volumes, for other eggs."""

from __future__ import annotations

from service.views.changed import ChangedFormula, changed_formula
from service.views.registry import NoParams, view
from service.views.work import Work


@view("converted", answer=ChangedFormula)
def converted(work: Work, params: NoParams) -> ChangedFormula:
    """Give the formula in the measures asked for, each line with its mass, and what moved.

    The conversions are changes that every view takes: ``measures``, ``as``, ``egg_grade``, ``swap``;
    without one the formula stays as it is.
    """
    return changed_formula(work)
