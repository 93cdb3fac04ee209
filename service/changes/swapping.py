"""Put one ingredient in the place of another.

Every swap is one function, registered under the pair of codes that it exchanges.
"""

from __future__ import annotations

from collections.abc import Callable

from service.changes.bench import Bench
from service.domain.changes import Changes
from service.domain.faults import suggestion
from service.domain.formula import Formula
from service.errors import Fault, Invalid

#: Exchanges one ingredient for another in a whole formula and balances what that disturbs.
Swap = Callable[[Formula, Bench], Formula]

_SWAPS: dict[tuple[str, str], Swap] = {}


def swapper(before: str, after: str) -> Callable[[Swap], Swap]:
    """Register the swap of one ingredient's code for another's. Raises: ValueError on a second."""

    def register(run: Swap) -> Swap:
        if (before, after) in _SWAPS:
            raise ValueError(f"the swap {before}:{after} is registered twice")
        _SWAPS[before, after] = run
        return run

    return register


def swap(formula: Formula, changes: Changes, bench: Bench) -> Formula:
    """Make the swaps in the order given; without any the same formula comes back. Raises: Invalid."""
    known = [":".join(pair) for pair in sorted(_SWAPS)]
    faults = []
    for pair in changes.swap:
        if pair not in _SWAPS:
            hint = suggestion(":".join(pair), known)
            detail = f"No swap of {pair[0]!r} for {pair[1]!r} is known.{hint}"
            faults.append(Fault("unknown-swap", detail, parameter="swap"))
    if faults:
        raise Invalid("A swap is not known.", faults=tuple(faults))
    for pair in changes.swap:
        formula = _SWAPS[pair](formula, bench)
    return formula
