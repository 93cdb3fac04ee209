"""A formula at work: as given, changed once, weighed once, for all the views that look at it."""

from __future__ import annotations

from functools import cached_property

from service.changes.apply import Changed, apply
from service.domain.changes import NO_CHANGES, Changes
from service.domain.formula import Formula
from service.domain.weighed import Weighed
from service.kitchen import Kitchen


class Work:
    """A formula with the changes that the caller asked for. Views of one formula share it."""

    def __init__(self, kitchen: Kitchen, formula: Formula, changes: Changes = NO_CHANGES) -> None:
        self.kitchen = kitchen
        self.given = formula
        self.changes = changes

    @cached_property
    def changed(self) -> Changed:
        """The formula after the changes, with its drift. Raises: Invalid (parameters)."""
        return apply(self.given, self.changes, self.kitchen.scales)

    @cached_property
    def weighed(self) -> Weighed:
        """The changed formula, weighed."""
        return self.kitchen.scales.weigh(self.changed.formula)
