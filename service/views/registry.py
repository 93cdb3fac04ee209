"""Where views register: name, parameters and answer type beside the function.

Modules of this package are walked, so a new view needs no list. HTTP (three doors), archive,
OpenAPI document and command line all read this registry.
"""

from __future__ import annotations

import importlib
import pkgutil
from collections.abc import Callable
from dataclasses import dataclass
from functools import cache
from typing import Any

from service.views.work import Work


@dataclass(frozen=True, slots=True)
class NoParams:
    """A view that takes the common changes and nothing else."""


@dataclass(frozen=True, slots=True)
class View:
    """A registered view. ``params`` and ``answer`` are dataclasses; ``run`` is the function;
    ``texts`` maps further media types to functions that render an answer as text."""

    name: str
    params: type
    answer: type
    summary: str
    run: Callable[[Work, Any], Any]
    texts: dict[str, Callable[[Any], str]]


_VIEWS: dict[str, View] = {}


def view(
    name: str,
    *,
    answer: type,
    params: type = NoParams,
    texts: dict[str, Callable[[Any], str]] | None = None,
) -> Callable[[Callable[[Work, Any], Any]], Callable[[Work, Any], Any]]:
    """Register a view. The first line of its docstring is its summary."""

    def register(run: Callable[[Work, Any], Any]) -> Callable[[Work, Any], Any]:
        summary = (run.__doc__ or "").strip().split("\n")[0]
        if name in _VIEWS or not summary:
            raise ValueError(f"view {name} is registered twice or lacks a docstring")
        _VIEWS[name] = View(name, params, answer, summary, run, texts or {})
        return run

    return register


@cache
def all_views() -> dict[str, View]:
    """Walk this package and give every view by name, in the order of names."""
    package = importlib.import_module("service.views")
    for module in sorted(m.name for m in pkgutil.iter_modules(package.__path__)):
        importlib.import_module(f"service.views.{module}")
    return {name: _VIEWS[name] for name in sorted(_VIEWS)}
