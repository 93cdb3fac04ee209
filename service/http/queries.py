"""A request's query, read by what the OpenAPI document says of its parameters: the two cannot differ.

Views read their own (``service.views.asking``); this is for all other resources.
"""

from __future__ import annotations

from collections.abc import Sequence

from flask import request

from service.domain.faults import (
    LONGEST,
    do_not_fit,
    given_twice,
    shown,
    too_long,
    unknown_parameter,
    unknown_value,
)
from service.errors import Fault
from service.http.desk import desk
from service.http.operations import Query
from service.kitchen import Kitchen
from service.tables.cupboard import Cupboard


def read_query(*queries: Query) -> dict[str, str]:
    """Give the values of a request's parameters, each given once at most, none but these.

    A ``pattern`` is for whoever takes the value to hold it to. Raises: Invalid, with one fault a spot.
    """
    if not request.query_string:
        return {}
    known = {query.name: query for query in queries}
    words: dict[str, str] = {}
    faults: list[Fault] = []
    for name, values in request.args.lists():
        fault = _misfit(known[name], values) if name in known else unknown_parameter(name, known)
        if fault is not None:
            faults.append(fault)
        words[name] = values[0]
    if faults:
        raise do_not_fit(faults)
    return words


def _misfit(query: Query, values: Sequence[str]) -> Fault | None:
    """Say what is wrong with what was given for a parameter, if anything is."""
    name, given = query.name, values[0]
    if len(values) > 1:
        return given_twice(name, len(values))
    if len(given) > LONGEST:
        return too_long(name, given)
    if query.kind == "integer":
        return _unwhole(query, given)
    known = query.values or values_of(query.table, desk().kitchen)
    return unknown_value(name, given, known) if known and given not in known else None


def _unwhole(query: Query, given: str) -> Fault | None:
    """Say why a value is no whole number within a parameter's bounds."""
    least, most = query.least, query.most
    if given.isascii() and given.isdigit() and least <= int(given) <= most:
        return None
    detail = f"{query.name} is {shown(given)}; it takes a whole number from {least} to {most}."
    return Fault("out-of-bounds", detail, parameter=query.name)


def values_of(table: str | None, kitchen: Kitchen) -> tuple[str, ...]:
    """Give the words that a table allows for a parameter; none where it names no table."""
    if table is None:
        return ()
    vocabulary = kitchen.vocabulary
    return {
        "roles": _roles(kitchen.cupboard),
        "allergens": vocabulary.allergens,
        "markets": tuple(sorted(kitchen.cupboard.markets)),
        "egg_grades": vocabulary.egg_grades,
    }[table]


def _roles(cupboard: Cupboard) -> tuple[str, ...]:
    """Give every role that an ingredient of the tables has."""
    return tuple(sorted({row.role for row in cupboard.ingredients.values()}))
