"""Where rules register, and how they are run.

A rule is a generator over findings with a permanent code. Modules of this package are walked, so a
new rule needs no list; rules run in the order of their codes.
"""

from __future__ import annotations

import importlib
import pkgutil
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from functools import cache

from service.domain.band import Band
from service.domain.finding import SEVERITIES, Finding
from service.domain.formula import Component, Formula
from service.domain.weighed import Weighed, WeighedLine
from service.tables.cupboard import Cupboard


@dataclass(frozen=True, slots=True)
class Judged:
    """What is judged together: one baked group of a weighed formula.

    ``group`` is its name (``baked`` for batter, dough, foam, preferment and swirl; else the
    component's own); ``lines`` are its weighed lines, ``totals`` its totals; ``product_class`` the
    stated class, else the one proposed, and ``class_stated`` tells which.
    """

    weighed: Weighed
    formula: Formula
    group: str
    components: tuple[Component, ...]
    lines: tuple[WeighedLine, ...]
    totals: dict[str, Band | None]
    product_class: str | None
    class_stated: bool
    cupboard: Cupboard


Check = Callable[[Judged], Iterator[Finding]]


@dataclass(frozen=True, slots=True)
class Rule:
    """A registered rule: permanent ``code``, ``family``, the worst ``severity`` that it gives, its
    ``source``, and what it ``says`` (the first line of its docstring)."""

    code: str
    family: str
    severity: str
    source: str
    says: str
    check: Check


_RULES: dict[str, Rule] = {}


def rule(code: str, *, severity: str, source: str) -> Callable[[Check], Check]:
    """Register a rule. Refuses a code used before, a missing docstring, source or severity."""

    def register(check: Check) -> Check:
        says = (check.__doc__ or "").strip().split("\n")[0]
        if code in _RULES:
            raise ValueError(f"rule {code} is registered twice")
        if not says or not source or severity not in SEVERITIES:
            raise ValueError(f"rule {code} needs a docstring, a source and a severity")
        _RULES[code] = Rule(code, code.split("-")[0].lower(), severity, source, says, check)
        return check

    return register


@cache
def all_rules() -> tuple[Rule, ...]:
    """Walk this package and give every rule in the order of its code."""
    package = importlib.import_module("service.rules")
    for module in sorted(m.name for m in pkgutil.iter_modules(package.__path__)):
        importlib.import_module(f"service.rules.{module}")
    return tuple(_RULES[code] for code in sorted(_RULES))


def run_rules(judged: Judged) -> tuple[Finding, ...]:
    """Run every rule over one group."""
    return tuple(finding for each in all_rules() for finding in each.check(judged))
