"""What a change moved, beside what was asked."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class LineDrift:
    """A line before conversion and rounding (``asked``) and after them (``got``), in grams, and what
    it moved in ``percent`` of what was asked. ``line`` is the JSON Pointer of the line in the changed
    formula; ``None`` stands where a line does not weigh."""

    line: str
    asked: float | None
    got: float | None
    percent: float | None


@dataclass(frozen=True, slots=True)
class RatioDrift:
    """A balance ratio before swaps, conversion and rounding, and after them.

    ``ratio`` names it: ``water/flour``, ``fat/flour``, ``sugars/flour``, ``egg/flour``,
    ``salt/flour``, ``leavening/flour``; the same on ``total`` in a formula without flour. Each counts
    what all lines bring by their composition: fat that of milk and egg too, salt all sodium as salt,
    so that it lies above the salt that is weighed in. Units: percent (flour, or the whole mass, is
    100); ``None`` where a part is not known.
    """

    ratio: str
    before: float | None
    after: float | None


@dataclass(frozen=True, slots=True)
class Drift:
    """What swaps, conversions and rounding moved.

    ``factor`` is the scaling factor as an exact amount (``"3/2"``), ``None`` where nothing was
    scaled. ``lines`` has every line of the changed formula, in its order; ``notes`` say in plain
    words what could not be changed and which ratio moved.
    """

    factor: str | None
    lines: tuple[LineDrift, ...]
    ratios: tuple[RatioDrift, ...]
    notes: tuple[str, ...] = ()


NO_DRIFT = Drift(None, (), ())
