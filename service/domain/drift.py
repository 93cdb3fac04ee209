"""What a change moved, beside what was asked."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class LineDrift:
    """A line before rounding (``asked``) and after it (``got``), in grams and percent."""

    line: str
    asked: float | None
    got: float | None
    percent: float | None


@dataclass(frozen=True, slots=True)
class RatioDrift:
    """A balance ratio before and after: water on flour, sugar on flour, and so on."""

    ratio: str
    before: float | None
    after: float | None


@dataclass(frozen=True, slots=True)
class Drift:
    """What rounding, swaps and conversions moved."""

    factor: str | None
    lines: tuple[LineDrift, ...]
    ratios: tuple[RatioDrift, ...]
    notes: tuple[str, ...] = ()
