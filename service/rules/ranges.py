"""Hold a measure to the rows of a limit: the one function behind every rule of ranges.

Where several rows of one class and measure stand (two authorities, two kinds of one class), either
admits. Outside all of them the nearest row that warns is the one that speaks, else the nearest that
notes. How loudly it speaks:

* a row that rests on memory or judgement alone (M, J) is a note outside its ends, and a warning
  where the value lies beyond twice the width (constant ``error_width``), never an error;
* a row whose centre was read, but whose ends were judged, is a note outside its ends, a warning when
  even the favourable end of the band lies beyond ``warning_width`` times the width or the value beyond
  ``error_width`` times, and, where it names an error, an error when the favourable end lies beyond that;
* what the acids and carbonates bring is banded by the foods, not by the hand: its rows were read by
  value, and by value it warns beyond ``warning_width`` times the width;
* a row without a centre is a limit as it stands, and gives the severity that it names, a warning at
  most where it rests on memory or judgement;
* where the limit lies inside the value's band, or a line was not weighed, the finding is one step
  less grave: what weighing may clear is no more than a note where it would be a warning, unless it
  warns by its value;
* where a line is of nothing that a table knows, or was not weighed, it may bring what there is too
  little of: too little is no more than a note;
* where a slip turned the style, the group is held to the style that was meant (see ``meant``), and
  what would be no error by the style as it stands is none;
* where a line of flour states no amount, nothing that is measured on flour is more than a note.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping

from service.domain.band import Band
from service.domain.finding import Expected, Finding, Measured
from service.domain.weighed import WeighedLine
from service.rules.consequences import consequence, side_word, stated
from service.rules.judged import Judged
from service.rules.meant import meant_style
from service.rules.measures import MEASURES, Measure
from service.rules.outside import Outside
from service.rules.shifted import at_height
from service.rules.styles import Held, Key, found_outside, held_by, style_of
from service.tables.rule_rows import ConstantRow, LimitRow

GROUNDED = frozenset("RGT")
#: One step less grave, for what the band leaves open.
_LESS = {"error": "warning", "warning": "note", "note": "note"}
#: Measures of the ledger: as banded in the printed formulas behind the rows as in the one judged.
_READ_BY_VALUE = frozenset(("powder_equivalent_pct", "soda_left_pct"))


def severity_of(found: Outside, constants: Mapping[str, ConstantRow]) -> str:
    """Give the severity that a row's evidence can carry (see the module)."""
    row = found.row
    stated = found.stated
    if stated == "note":
        return "note"
    grounded = bool(GROUNDED & set(row.evidence))
    if row.typical is None:
        return stated if grounded else "warning"
    far = _room(found, constants["error_width"])
    if not grounded:
        return "warning" if found.gap > far else "note"
    if stated == "error" and found.least > far:
        return "error"
    near = _room(found, constants["warning_width"])
    return "warning" if found.least > near or _warns_by_value(found, constants) else "note"


def _warns_by_value(found: Outside, constants: Mapping[str, ConstantRow]) -> bool:
    """Tell whether a value lies so far outside a read row that it warns whatever its band leaves
    open."""
    row = found.row
    if found.stated == "note" or row.typical is None or not GROUNDED & set(row.evidence):
        return False
    width = "warning_width" if row.measure in _READ_BY_VALUE else "error_width"
    return found.gap > _room(found, constants[width])


def _room(found: Outside, times: ConstantRow) -> float:
    """Give how far outside an end so many ``times`` the row's width ends; nothing without a centre."""
    typical = found.row.typical
    return 0.0 if typical is None else (times.value - 1) * abs(found.limit - typical)


def finding_severity(judged: Judged, found: Outside) -> str:
    """Give the severity of what lies outside a row, one step less where the band, or a line that was
    not weighed, leaves it open; where it warns by its value it stays a warning."""
    constants = judged.cupboard.constants
    severity = severity_of(found, constants)
    if not judged.complete and found.side == "low":
        return "note"
    if found.certain and judged.complete:
        return severity
    return "warning" if judged.complete and _warns_by_value(found, constants) else _LESS[severity]


def widest(lines: tuple[WeighedLine, ...]) -> WeighedLine | None:
    """Give the line whose band is the widest in grams: the one to weigh."""
    banded = [line for line in lines if line.grams and line.grams.high > line.grams.low]
    return max(
        banded, key=lambda line: line.grams.high - line.grams.low if line.grams else 0, default=None
    )


def settles(judged: Judged, measure: Measure) -> str:
    """Say what would settle an uncertain finding."""
    if judged.flour_left_open:
        return f"Say how much {judged.flour_left_open[0].name} is meant."
    if judged.amounts.unweighed:
        names = ", ".join(line.name for line in judged.amounts.unweighed)
        return f"Say what {names} weighs."
    if judged.unknown:
        return f"Say what {', '.join(line.name for line in judged.unknown)} is."
    if not (measure.over or measure.under):
        return f"Measure {measure.says}."
    line = widest(judged.amounts.lines(*measure.over, *measure.under))
    return f"Weigh the {line.name}." if line else "Weigh what was measured by the cup."


def plain(value: float) -> str:
    """Write a measured number for people: three figures, no needless zeros.

    >>> plain(254.96), plain(1.3333), plain(0.5)
    ('255', '1.33', '0.5')
    """
    return f"{value:.3g}" if abs(value) < 1000 else f"{value:.0f}"


def range_words(row: LimitRow) -> str:
    """Say a row's range in words."""
    if row.low is None:
        return f"at most {plain(row.high or 0.0)}"
    if row.high is None:
        return f"at least {plain(row.low)}"
    return f"{plain(row.low)} to {plain(row.high)}"


def limits_here(judged: Judged, rows: tuple[LimitRow, ...]) -> tuple[LimitRow, ...]:
    """Give limits as they are at the height at which a group is baked."""
    if judged.altitude is None:
        return rows
    return at_height(rows, judged.product_class, judged.altitude, judged.liquid_share, judged.cupboard)


def held(judged: Judged) -> dict[Key, Held]:
    """Hold every measure of a group to the rows of its style, once; by rule and measure."""
    if judged.altitude is None:
        return held_by(judged, meant_style(judged))
    found = judged.memo.get("held")
    if not isinstance(found, dict):
        found = judged.memo["held"] = {
            key: _held_here(judged, each) for key, each in held_by(judged, meant_style(judged)).items()
        }
    return found


def _held_here(judged: Judged, each: Held) -> Held:
    """Hold a measure to its rows as they are at the height at which the group is baked."""
    rows = limits_here(judged, each.rows)
    found = found_outside(judged, each.measure, rows, each.band)
    return Held(each.rule, each.measure, each.band, rows, found)


def judge_measure(judged: Judged, rule: str, name: str) -> Iterator[Finding]:
    """Hold a group's measure to the rule's rows for its class; yields one finding at most."""
    measured = held(judged).get((rule, name)) if judged.product_class is not None else None
    if measured is not None and measured.found is not None:
        yield finding_of(judged, rule, MEASURES[name], measured.band, measured.found)


def _judged_as(judged: Judged) -> str:
    """Name the class and style that a group is held to."""
    if judged.product_class is None:
        return "this"
    style = judged.cupboard.styles.get(meant_style(judged) or "")
    name = judged.cupboard.classes[judged.product_class].name
    if style is None or name in style.name:
        return style.name if style else name
    return f"{style.name}, the nearest kind of {name}"


def _sentence(words: str) -> str:
    return f"{words[:1].upper()}{words[1:]}."


def _on_open_flour(judged: Judged, measure: Measure) -> bool:
    """Tell whether a measure rests on flour of which a line states no amount."""
    return "flour" in measure.rests_on and bool(judged.flour_left_open)


def measured_severity(judged: Judged, measure: Measure, found: Outside) -> str:
    """Give the severity of a measure outside its row."""
    if _on_open_flour(judged, measure):
        return "note"
    severity = finding_severity(judged, found)
    return "warning" if severity == "error" and not _error_as_it_stands(judged, found) else severity


def _error_as_it_stands(judged: Judged, found: Outside) -> bool:
    """Tell whether what lies outside a row would be an error by the style that the group has as it
    stands, too: a style that is only meant calls none of its own."""
    style = style_of(judged)
    if style == meant_style(judged):
        return True
    here = held_by(judged, style).get((found.row.rule, found.row.measure))
    own = here.found if here is not None else None
    return own is not None and finding_severity(judged, own) == "error"


def finding_of(judged: Judged, rule: str, measure: Measure, band: Band, found: Outside) -> Finding:
    """Put an outside value into a finding."""
    row = found.row
    severity = measured_severity(judged, measure, found)
    comes_of_it = consequence(measure.name, found.side, judged.product_class)
    if severity == "note" and comes_of_it:
        comes_of_it = f"further out: {comes_of_it}"
    told = (comes_of_it, row.note)
    certain = found.certain and judged.complete and not _on_open_flour(judged, measure)
    kinds = (
        measure.over if found.side == "high" or judged.amounts.lines(*measure.over) else measure.under
    )
    return Finding(
        rule=rule,
        severity=severity,
        message=(
            f"{stated(measure.says, plain(band.value), row.unit)} too "
            f"{side_word(measure.name, found.side)} for {_judged_as(judged)}: "
            f"{range_words(row)} is usual." + "".join(f" {_sentence(each)}" for each in told if each)
        ),
        measured=Measured(band.value, band.low, band.high, row.unit),
        expected=Expected(row.low, row.high, row.unit),
        certain=certain,
        lines=tuple(dict.fromkeys(line.pointer for line in judged.amounts.lines(*kinds))),
        source=row.source,
        evidence=row.evidence,
        settle=None if certain else settles(judged, measure),
        limit=row.code,
        group=judged.group,
    )
