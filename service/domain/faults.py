"""How the fault of a query's parameter is worded: alike for every parameter, wherever it is read.

Each sentence names the parameter, shows what was given, and says what is taken.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from difflib import SequenceMatcher, get_close_matches

from service.errors import Fault, Invalid

#: Characters of a parameter's value that are taken, and that a sentence shows of it.
LONGEST = 200
_MOST_SHOWN = 60
#: Near words among which the nearest is looked for.
_MOST_NEAR = 8


def shown(given: str) -> str:
    """Quote what was given, cut where it is long."""
    return repr(given if len(given) <= _MOST_SHOWN else f"{given[:_MOST_SHOWN]}…")


def suggestion(given: str, known: Iterable[str]) -> str:
    """Give a sentence that names the nearest known word (of several as near the first by alphabet), or
    nothing where none is near.

    >>> suggestion("Metrics", ("metric", "us")), suggestion("x", ("metric", "us"))
    (' Did you mean metric?', '')
    >>> suggestion("SALT-1", ("SALT-01", "SALT-11"))
    ' Did you mean SALT-01?'
    """
    by_fold = {word.casefold(): word for word in known}
    word = given.strip().casefold()
    near = sorted(get_close_matches(word, by_fold, n=_MOST_NEAR, cutoff=0.6))
    if not near:
        return ""
    nearest = max(near, key=lambda each: SequenceMatcher(None, each, word).ratio())
    return f" Did you mean {by_fold[nearest]}?"


def unknown_parameter(name: str, known: Iterable[str]) -> Fault:
    """Word the fault of a parameter that is not known: the nearest that is, else all."""
    several = tuple(known)
    every = f" Those known are {', '.join(several)}." if several else " None is known."
    detail = f"There is no parameter {shown(name)} here.{suggestion(name, several) or every}"
    return Fault("unknown-parameter", detail, parameter=name)


def given_twice(name: str, times: int) -> Fault:
    """Word the fault of a parameter that is taken once and given several times."""
    return Fault("given-twice", f"{name} is given {times} times; it is taken once.", parameter=name)


def too_long(name: str, given: str) -> Fault:
    """Word the fault of a value beyond the bound on its length."""
    detail = f"{name} has {len(given)} characters; it takes at most {LONGEST}."
    return Fault("too-long", detail, parameter=name)


def not_understood(name: str, given: str, takes: str, example: str) -> Fault:
    """Word the fault of a value that has not its parameter's form, which ``takes`` describes.

    >>> not_understood("portions", "-3", "an amount above 0", "24").detail
    "portions is '-3'; it takes an amount above 0, such as 24."
    """
    detail = f"{name} is {shown(given)}; it takes {takes}, such as {example}."
    return Fault("not-understood", detail, parameter=name)


def unknown_value(name: str, given: str, known: Iterable[str], *, code: str = "unknown-value") -> Fault:
    """Word the fault of a value that is none of the few that are known.

    >>> unknown_value("as", "grams", ("mass", "volume")).detail
    "as is 'grams'; it takes mass or volume."
    """
    *others, last = known
    either = f"{', '.join(others)} or {last}" if others else last
    detail = f"{name} is {shown(given)}; it takes {either}.{suggestion(given, (*others, last))}"
    return Fault(code, detail, parameter=name)


def several_targets(names: Sequence[str]) -> tuple[Fault, ...]:
    """Word the faults of targets of scaling of which one alone is taken: one fault each."""
    detail = f"{', '.join(names)} are given; one target of scaling is taken."
    return tuple(Fault("several-targets", detail, parameter=name) for name in names)


def faults_in(*reads: Callable[[], object]) -> tuple[Fault, ...]:
    """Run several readings of one request and give all that they refuse, each fault once."""
    found: dict[Fault, None] = {}
    for read in reads:
        try:
            read()
        except Invalid as refusal:
            found.update(dict.fromkeys(refusal.faults))
    return tuple(found)


def merged(*several: Iterable[Fault]) -> tuple[Fault, ...]:
    """Join faults that were found in turn: of a spot that one found, a later one says no more."""
    found: list[Fault] = []
    for faults in several:
        told = {fault.parameter or fault.pointer for fault in found}
        found += [fault for fault in faults if (fault.parameter or fault.pointer) not in told]
    return tuple(found)


def do_not_fit(faults: Iterable[Fault]) -> Invalid:
    """Make the refusal of a query's parameters, with every fault."""
    return Invalid(faults=tuple(faults))
