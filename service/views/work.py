"""A formula at work: as given, changed once, weighed once, for all the views that look at it."""

from __future__ import annotations

from functools import cached_property

from service.changes.apply import Changed, apply
from service.domain.changes import NO_CHANGES, Changes
from service.domain.formula import Formula
from service.domain.reading import Problem
from service.domain.weighed import Assumption, Weighed
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

    @property
    def assumptions(self) -> tuple[Assumption, ...]:
        """What the changes assumed, then what weighing the changed formula assumed."""
        changed = self.changed.assumptions
        if not changed:
            return self.weighed.assumptions
        return (*changed, *(one for one in self.weighed.assumptions if one not in changed))

    @property
    def problems(self) -> tuple[Problem, ...]:
        """What was not understood by the changes, then by the weighing."""
        changed = self.changed.problems
        if not changed:
            return self.weighed.problems
        return (*changed, *(one for one in self.weighed.problems if one not in changed))

    @property
    def altitude(self) -> float | None:
        """The height at which it is baked, where the caller said one. Units: metres."""
        height = self.changes.altitude
        if height is None:
            return None
        foot = self.kitchen.cupboard.constants["metres_per_foot"].value
        return float(height.quantity) * (foot if height.unit == "ft" else 1.0)

    @cached_property
    def weighed(self) -> Weighed:
        """The changed formula, weighed."""
        return self.kitchen.scales.weigh(self.changed.formula)
