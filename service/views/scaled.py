"""The view ``scaled``: the formula for so many portions, pieces, grams, or for what is at hand."""

from __future__ import annotations

from service.views.changed import ChangedFormula, changed_formula
from service.views.registry import NoParams, view
from service.views.work import Work


@view("scaled", answer=ChangedFormula)
def scaled(work: Work, params: NoParams) -> ChangedFormula:
    """Give the formula scaled to one target, rounded as asked, with what rounding moved.

    The targets are changes that every view takes: ``factor``, ``portions``, ``pieces``, ``mass``,
    ``flour``, ``have``; without one the formula stays as large as it is.
    """
    return changed_formula(work)
