"""What is asked of every record, read from words: of a query, or of the command line."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any

from service.archive.pipeline import Asked
from service.changes.words import CATALOGUE, read_changes, suggest
from service.domain.formula import Component, Formula
from service.errors import Fault, Invalid
from service.kitchen import Kitchen
from service.views.parameters import names_of, read_params
from service.views.registry import View, all_views
from service.views.work import Work


def read_asked(views: str, words: Mapping[str, Sequence[str]], kitchen: Kitchen) -> Asked:
    """Read the views (names with commas between) and their parameters.

    Shape: ``words`` maps a parameter's name to its values in the order given; it holds nothing else.
    Raises: Invalid, with every fault.
    """
    names = tuple(dict.fromkeys(name.strip() for name in views.split(",") if name.strip()))
    faults = [_unknown_view(name) for name in names if name not in all_views()]
    found = [all_views()[name] for name in names if name in all_views()]
    own = {name for view in found for name in names_of(view)}
    known = (*CATALOGUE, *sorted(own))
    faults += [_unknown_parameter(name, known) for name in words if name not in known]
    params, refused = _params(found, words, kitchen)
    faults += refused
    try:
        changes = read_changes(words)
    except Invalid as refusal:
        faults += refusal.faults
    if faults:
        raise Invalid("Some parameters do not fit", faults=tuple(faults))
    return Asked(names, params, changes)


def _unknown_view(name: str) -> Fault:
    known = tuple(all_views())
    detail = f"{name[:40]!r} is no view; there are {', '.join(known)}{suggest(name, known)}"
    return Fault("unknown-view", detail, parameter="views")


def _unknown_parameter(name: str, known: Sequence[str]) -> Fault:
    detail = f"there is no such parameter{suggest(name, known)}"
    return Fault("unknown-parameter", detail, parameter=name)


def _params(
    views: Sequence[View], words: Mapping[str, Sequence[str]], kitchen: Kitchen
) -> tuple[dict[str, Any], list[Fault]]:
    """Read each view's own parameters, and try them on an empty formula: what a view refuses there
    it would refuse of every record."""
    params: dict[str, Any] = {}
    faults: list[Fault] = []
    for view in views:
        try:
            params[view.name] = read_params(view, words)
            view.run(Work(kitchen, Formula("trial", (Component(),))), params[view.name])
        except Invalid as refusal:
            faults += [fault for fault in refusal.faults if fault.parameter is not None]
    return params, faults
