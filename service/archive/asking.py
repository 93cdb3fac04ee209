"""What is asked of every record, read from words: of a query, or of the command line."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from service.archive.pipeline import Asked
from service.domain.faults import do_not_fit, faults_in, merged, unknown_value
from service.errors import Fault
from service.kitchen import Kitchen
from service.views.asking import read_words, refused
from service.views.parameters import names_of
from service.views.registry import all_views


def read_asked(views: str, words: Mapping[str, Sequence[str]], kitchen: Kitchen) -> Asked:
    """Read the views (names with commas between) and their parameters.

    Shape: ``words`` maps a parameter's name to its values in the order given; it holds nothing else.
    Raises: Invalid, with every fault.
    """
    every = all_views()
    names = tuple(dict.fromkeys(name.strip() for name in views.split(",") if name.strip()))
    found = [every[name] for name in names if name in every]
    unknown = [_unknown_view(name) for name in names if name not in every]
    # A parameter may belong to the view whose name was mistaken: it is no fault of its own.
    also = [name for view in every.values() for name in names_of(view)] if unknown else []
    faults = faults_in(lambda: read_words(found, words, kitchen, also))
    # What a view refuses on an empty formula it would refuse of every record.
    own = (refused(view, words, kitchen) for view in found)
    if every_fault := merged(unknown, faults, *own):
        raise do_not_fit(every_fault)
    asked = read_words(found, words, kitchen)
    return Asked(names, asked.params, asked.changes)


def _unknown_view(name: str) -> Fault:
    return unknown_value("views", name, all_views(), code="unknown-view")
