"""A view's own parameters, read from a query's words by the type hints of its dataclass.

A field's name (or its ``name`` in the field's metadata) is the parameter's; ``str | None`` takes a
word, ``int``, ``float`` and ``bool`` one of theirs, ``tuple[str, ...]`` every word given. What the
words must be beyond that is the view's own to say.
"""

from __future__ import annotations

import types
from collections.abc import Callable, Mapping, Sequence
from dataclasses import MISSING, fields
from functools import cache
from typing import Any, Union, get_args, get_origin, get_type_hints

from service.domain.faults import do_not_fit, given_twice, shown
from service.errors import Fault
from service.views.registry import View


def _flag(word: str) -> bool:
    if word not in ("true", "false"):
        raise ValueError(word)
    return word == "true"


_READERS: dict[Any, tuple[Callable[[str], Any], str]] = {
    str: (str, "a word"),
    int: (int, "a whole number"),
    float: (float, "a number"),
    bool: (_flag, "true or false"),
}


def names_of(view: View) -> tuple[str, ...]:
    """Give the names of a view's own parameters."""
    return tuple(name for _, name, _, _, _ in _plan(view.params))


@cache
def _plan(params: type) -> tuple[tuple[str, str, Any, bool, bool], ...]:
    """Say of each field: its name, the parameter's, its plain type, whether it repeats, whether it
    must be there."""
    hints = get_type_hints(params)
    plan = []
    for each in fields(params):
        hint = hints[each.name]
        if get_origin(hint) in (Union, types.UnionType):
            (hint,) = [one for one in get_args(hint) if one is not type(None)]
        repeats = get_origin(hint) is tuple
        plain = get_args(hint)[0] if repeats else hint
        needed = each.default is MISSING and each.default_factory is MISSING
        plan.append((each.name, str(each.metadata.get("name", each.name)), plain, repeats, needed))
    return tuple(plan)


def read_params(view: View, words: Mapping[str, Sequence[str]]) -> Any:
    """Read a view's own parameters. Names that are not its own are left alone.

    Raises: Invalid, with one fault a parameter.
    """
    faults: list[Fault] = []
    read: dict[str, Any] = {}
    for field, name, plain, repeats, needed in _plan(view.params):
        given = words.get(name, ())
        if not given:
            if needed:
                faults.append(Fault("required", f"{name} is needed.", parameter=name))
            continue
        if len(given) > 1 and not repeats:
            faults.append(given_twice(name, len(given)))
            continue
        reader, says = _READERS[plain]
        try:
            values = tuple(reader(word) for word in given)
        except ValueError:
            said = ", ".join(shown(word) for word in given)
            faults.append(Fault("type", f"{name} is {said}; it takes {says}.", parameter=name))
            continue
        read[field] = values if repeats else values[0]
    if faults:
        raise do_not_fit(faults)
    return view.params(**read)
