"""What is asked of views, read from words: each view's own parameters, and the changes that all take."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from contextlib import suppress
from dataclasses import dataclass
from typing import Any

from service.changes.words import CATALOGUE, read_changes
from service.domain.changes import Changes
from service.domain.faults import do_not_fit, faults_in, merged, unknown_parameter
from service.domain.formula import Component, Formula
from service.errors import Fault, Invalid
from service.kitchen import Kitchen
from service.views.parameters import names_of, read_params
from service.views.registry import View
from service.views.work import Work

#: A formula of no lines, on which parameters can be tried.
_EMPTY = Formula("trial", (Component(),))


@dataclass(frozen=True, slots=True)
class Asked:
    """What is asked of views: ``params`` holds those of each view, by its name."""

    params: Mapping[str, Any]
    changes: Changes


def read_words(
    views: Sequence[View], words: Mapping[str, Sequence[str]], kitchen: Kitchen, also: Sequence[str] = ()
) -> Asked:
    """Read what is asked of some views.

    Shape: ``words`` maps a parameter's name to its values in the order given; ``also`` names
    parameters that are the caller's own to read. Raises: Invalid, with one fault a spot.
    """
    known = (*CATALOGUE, *dict.fromkeys(name for view in views for name in names_of(view)), *also)
    unknown = [unknown_parameter(name, known) for name in words if name not in known]
    asked = None
    with suppress(Invalid):
        asked = Asked({view.name: read_params(view, words) for view in views}, read_changes(words))
    if asked is not None and not unknown:
        return asked
    own = (refused(view, words, kitchen) for view in views)
    raise do_not_fit(merged(unknown, faults_in(lambda: read_changes(words)), *own))


def refused(view: View, words: Mapping[str, Sequence[str]], kitchen: Kitchen) -> tuple[Fault, ...]:
    """Give what a view refuses of its own parameters whatever the formula: it is run on an empty one."""

    def run() -> None:
        view.run(Work(kitchen, _EMPTY), read_params(view, words))

    return tuple(fault for fault in faults_in(run) if fault.parameter is not None)
