"""Slips: what goes wrong on cards, looked for where a formula is strained as a whole.

The search stands in ``strain``. A slip names the line and the value that would make the formula
sound; it rests on judgement, so that it warns and never gives an error.
"""

from __future__ import annotations

from collections.abc import Iterator
from fractions import Fraction

from service.domain.finding import Expected, Finding, Measured
from service.domain.quantity import write_fraction
from service.rules.handy import by_measure
from service.rules.judged import Judged
from service.rules.measures import MEASURES
from service.rules.ranges import plain
from service.rules.registry import Check, rule
from service.rules.strain import LEFT_OUT, SLASH, UNIT, Slip, likeliest_slip, strained_whole

#: A factor that undoes a lost slash has no finer denominator.
_FINEST = 100_000
SOURCE = "Judged by the class's ranges: the one change of one line that eases them most"


def _words(judged: Judged, slip: Slip) -> str:
    """Say what was probably meant."""
    line = slip.line
    if slip.kind == LEFT_OUT:
        rows = judged.cupboard.left_out
        says = next(row.says for row in rows if row.ingredient == slip.ingredient)
        return f"{says} looks left out"
    if slip.kind == "exchange":
        return f"{line.name} looks written where {slip.ingredient.replace('-', ' ')} was meant"
    if slip.kind == SLASH and line.line.quantity is not None:
        written = line.line.quantity.low
        meant = write_fraction(written * Fraction(slip.factor).limit_denominator(_FINEST))
        return f"{line.name} looks like {written} for {meant}, the slash lost"
    if slip.kind == UNIT:
        wrote, meant = ("grams", "cups") if slip.factor > 1 else ("cups", "grams")
        return f"{line.name} looks written in {wrote} where {meant} were meant"
    if slip.kind == "spoons":
        spoons = "tablespoons" if slip.factor > 1 else "teaspoons"
        return f"{line.name} looks measured by the wrong spoon: {spoons} would suit"
    if slip.factor >= 1:
        share = Fraction(1 / slip.factor).limit_denominator(100)
        return f"{line.name} looks like {share} of what was meant"
    return f"{line.name} looks like {plain(1 / slip.factor)} times what was meant"


def _suits(slip: Slip, grams: float, meant: float) -> str:
    """Say what would suit the rest of the formula."""
    if slip.kind == "exchange":
        return "that would suit the rest."
    if slip.kind == LEFT_OUT:
        return f"about {plain(meant)} g of {slip.line.name} would suit the rest."
    said = "" if slip.kind in ("spoons", UNIT) else by_measure(slip.line, meant)
    return f"{plain(meant)} g{said} instead of {plain(grams)} g would suit the rest."


def _finding(judged: Judged, code: str, slip: Slip) -> Finding:
    meant = slip.line.grams.value * slip.factor if slip.line.grams else 0.0
    grams = 0.0 if slip.kind == LEFT_OUT else meant / slip.factor
    words = f"{_words(judged, slip)}; {_suits(slip, grams, meant)}"
    return Finding(
        rule=code,
        severity="warning",
        message=words[0].upper() + words[1:],
        measured=Measured(grams, grams, grams, "g"),
        expected=Expected(meant, meant, "g"),
        certain=False,
        lines=(slip.line.pointer,),
        source=SOURCE,
        evidence="J",
        settle="Look at the card again.",
        group=judged.group,
    )


def _slip_of(code: str, *kinds: str) -> Check:
    def check(judged: Judged) -> Iterator[Finding]:
        slip = likeliest_slip(judged)
        if slip is not None and slip.kind in kinds:
            yield _finding(judged, code, slip)

    return check


_RULES = (
    ("SLIP-01", "warning", ("spoons",), "Teaspoon and tablespoon are not exchanged."),
    ("SLIP-02", "warning", ("exchange",), "Soda is not written for powder, nor powder for soda."),
    ("SLIP-03", "warning", ("decimal",), "No measure has its decimal moved."),
    ("SLIP-04", "warning", ("double", "triple"), "No measure or count is doubled, tripled or cut."),
    ("SLIP-05", "note", ("fraction",), "No fraction is lost or gained."),
    ("SLIP-10", "warning", (SLASH,), "No slash of a fraction is lost."),
    ("SLIP-11", "warning", (UNIT,), "No cups are written for grams, nor grams for cups."),
    ("SLIP-09", "warning", (LEFT_OUT,), "No line of liquid, leavener, egg, sugar or fat is left out."),
)

for _code, _severity, _kinds, _says in _RULES:
    _check = _slip_of(_code, *_kinds)
    _check.__doc__ = _says
    rule(_code, severity=_severity, source=SOURCE)(_check)


@rule("SLIP-07", severity="warning", source=SOURCE)
def strained_as_a_whole(judged: Judged) -> Iterator[Finding]:
    """Measures that are each a little outside do not strain a formula together."""
    strained = strained_whole(judged)
    if strained is None:
        return
    limit = judged.cupboard.constants["strained_whole"]
    names = ", ".join(MEASURES[name].says for name in dict.fromkeys(strained.measures))
    line = strained.easiest.line if strained.easiest else None
    asked = f" Look at the {line.name} first." if line else ""
    if strained.easiest and strained.easiest.kind == LEFT_OUT:
        asked = f" Perhaps a line is left out: see whether {line.name if line else 'one'} is missing."
    yield Finding(
        rule="SLIP-07",
        severity="warning",
        message=f"Several measures lie outside their class's ranges together: {names}.{asked}",
        measured=Measured(strained.strain, strained.strain, strained.strain, limit.unit),
        expected=Expected(None, limit.value, limit.unit),
        certain=False,
        lines=(line.pointer,) if line else (),
        source=limit.source,
        evidence=limit.evidence,
        settle="Look at the card again.",
        group=judged.group,
    )
