"""Structure and process: foams and their pans, cocoa and its water, the oven's heat and time, fill.

Sources: rows of ``limits`` with the codes STRUCT-01 to STRUCT-09, PAN-01 and PAN-02; what is
too thin to rise by the constants ``thin_fill/CLASS``.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import replace

from service.domain.finding import Finding
from service.domain.formula import Pan
from service.rules.handled import handled_pans
from service.rules.judged import BAKED, Judged
from service.rules.pans import pan_pointers, too_thin, untold
from service.rules.registry import range_rule, rule
from service.tables.rule_rows import LimitRow

#: How a pan's sides are where a foam must cling: greased, floured or papered.
_SLIPPERY = frozenset({"greased", "floured", "lined"})
#: Tins for layers, and how a measure ends that is theirs.
_SHALLOW, _LAYERS = frozenset({"round", "square", "rectangle", "muffin"}), "/layers"
_UPRIGHT = frozenset({"upright", "turned-out"})


#: What a finding comes to where no word tells the pan's shape.
EASED = {"error": "warning", "warning": "note", "note": "note"}


def _rows(judged: Judged, code: str) -> tuple[LimitRow, ...]:
    return judged.cupboard.limit_rows(code, judged.product_class)


def _pan_finding(
    judged: Judged, code: str, holds: Callable[[Pan], bool], why: str, eased: str
) -> Iterator[Finding]:
    """Yield one finding for the first pan for which it ``holds``, by its fields or by the words of the
    method; a sheet is a note, and for layer tins a class may have a row of its own."""
    rows = _rows(judged, code)
    if judged.group != BAKED or not rows:
        return
    for handled in handled_pans(judged):
        pan = handled.pan
        if not holds(pan):
            continue
        sheet, row = pan.shape == "sheet", _row_for(pan, rows)
        severity, shaped = "note" if sheet else row.severity_high, bool(pan.shape)
        yield Finding(
            rule=code,
            severity=severity if shaped else EASED[severity],
            message=eased if sheet else why,
            measured=None,
            expected=None,
            certain=shaped or severity == "note",
            lines=handled.pointers,
            source=row.source,
            evidence=row.evidence,
            settle=None
            if shaped or severity == "note"
            else "Say the pan and its shape: thin layers and sheets stand it.",
            limit=row.code,
            group=judged.group,
        )
        return


def _row_for(pan: Pan, rows: tuple[LimitRow, ...]) -> LimitRow:
    """Give the row that speaks of a pan: that of layers for a shallow one, where there is one."""
    layers = [row for row in rows if row.measure.endswith(_LAYERS)]
    others = [row for row in rows if row not in layers]
    return layers[0] if layers and pan.shape in _SHALLOW else others[0]


@rule("STRUCT-01", severity="error", source="limits:STRUCT-01")
def greased_sides(judged: Judged) -> Iterator[Finding]:
    """A foam that climbs its pan finds bare sides to cling to."""
    yield from _pan_finding(
        judged,
        "STRUCT-01",
        lambda pan: pan.preparation in _SLIPPERY,
        "Greased or papered sides: the foam cannot cling to them while it rises and hangs, "
        "so that it slips down and the cake sinks. Leave the sides bare.",
        "A greased or papered sheet: a thin foam sheet stands it, a deep cake would sink.",
    )


@rule("STRUCT-02", severity="error", source="limits:STRUCT-02")
def cooled_upright(judged: Judged) -> Iterator[Finding]:
    """A foam that hangs from its pan cools upside down."""
    yield from _pan_finding(
        judged,
        "STRUCT-02",
        lambda pan: pan.cooling in _UPRIGHT,
        "Cooled the right way up, the crumb is pressed together before it has set: turn the pan "
        "over until the cake is cold.",
        "A sheet may cool upright; a deep foam cake would sink.",
    )


@rule("STRUCT-03", severity="warning", source="limits:STRUCT-03")
def lined_base(judged: Judged) -> Iterator[Finding]:
    """A papered base under a foam is harmless where its sides are bare."""
    yield from _pan_finding(
        judged,
        "STRUCT-03",
        lambda pan: pan.preparation == "lined-base",
        "The base is papered: harmless, so long as the sides stay bare.",
        "The base of the sheet is papered: harmless.",
    )


range_rule("STRUCT-04", "water_for_cocoa", "Cocoa is given the water that it drinks.")
range_rule("STRUCT-05", "oven_celsius", "The oven is as hot as the class wants.")
range_rule("STRUCT-06", "bake_minutes", "The time in the oven suits the class.", severity="note")
range_rule(
    "STRUCT-08", "centre_celsius", "The centre is as hot as the class is when done.", severity="warning"
)
range_rule(
    "STRUCT-09", "water_to_flour_and_cocoa", "A foam is given the water that flour and cocoa drink.",
    severity="warning",
)  # fmt: skip
range_rule("STRUCT-07", "fat_in_foam", "Whites that are beaten are free of fat and yolk.")


def _of_pans(judged: Judged, finding: Finding) -> Finding:
    """Point at the pans, too."""
    return replace(finding, lines=(*finding.lines, *pan_pointers(judged)))


def _of_fill(judged: Judged, finding: Finding) -> Finding:
    """Point at the pans, too; a layer that is too thin to rise is a warning, a thin sheet a note."""
    finding = _of_pans(judged, finding)
    measured, expected = finding.measured, finding.expected
    if measured is None or expected is None or measured.value >= (expected.low or 0.0):
        return finding
    if any(pan.shape == "sheet" for pan in judged.formula.pans):
        return replace(finding, severity="note")
    thin = too_thin(judged)
    if thin is None:
        return finding
    return replace(
        finding,
        severity="warning",
        message=f"Too thin to rise. {finding.message}",
        source="; ".join(dict.fromkeys((finding.source, thin.source))),
    )


range_rule("PAN-01", "pan_fill", "The batter fills its pans as its class wants.", told=_of_fill)
range_rule("PAN-02", "pan_per_gram", "A loaf's tin suits its dough.", told=_of_pans)


@rule("PAN-04", severity="note", source="The sizes that geometry needs, as the formula states them")
def pans_without_sizes(judged: Judged) -> Iterator[Finding]:
    """The pans state the sizes by which their fill is judged."""
    open_ones = untold(judged)
    if open_ones:
        yield Finding(
            rule="PAN-04",
            severity="note",
            message="How full the pans are is not judged: their sizes do not tell what they hold.",
            measured=None,
            expected=None,
            certain=True,
            lines=open_ones,
            source="Geometry: a volume is an area by a depth",
            evidence="R",
            settle="Say the pan's diameter, or length and width, and its depth, or what water fills it; "
            "of muffin cups say how many.",
            group=judged.group,
        )
