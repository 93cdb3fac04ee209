"""Facts that follow from the tables alone: worked out once a cupboard, and kept with it."""

from __future__ import annotations

from collections.abc import Callable
from typing import TypeVar, cast

from service.tables.cupboard import Cupboard

Fact = TypeVar("Fact")


def once(work: Callable[[Cupboard], Fact]) -> Callable[[Cupboard], Fact]:
    """Make a function of a cupboard give what it gave the first time."""

    def fact(cupboard: Cupboard) -> Fact:
        facts = cupboard.facts
        if work not in facts:
            facts[work] = work(cupboard)
        return cast(Fact, facts[work])

    return fact
