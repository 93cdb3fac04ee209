"""Draw the balance: every measure a row, its class's range at the same place in each.

The range always lies between the same two places, so that a reader sees at one glance which marks have
left it: a dot lies inside, a diamond's band reaches over an end, a triangle points out, two triangles
lie off the scale. The thin line through a mark is its band, the tick the class's centre. Where a range
has no low end it begins at nothing, at the left: there is no room below it to be drawn.
"""

from __future__ import annotations

from dataclasses import dataclass

from service.render.figures import banded, figure, span
from service.render.registry import SVG, renders
from service.render.sheet import LEFT, RIGHT, Bar, Mark, Shape, Sheet, Words
from service.render.svg import write_svg
from service.views.balance_svg import BalanceChart, BalanceGroup
from service.views.findings import MeasureAnswer

#: Where the ends of every range lie, and the last places at which a mark is drawn. Units: percent of
#: the plot.
LOW_AT, HIGH_AT = 26.0, 74.0
FIRST, LAST = 4.0, 96.0
#: How far a plot lies below its name, and its range in words below the plot. Units: pixels.
ABOVE, BELOW = 15.0, 5.0


@dataclass(frozen=True, slots=True)
class Scale:
    """Places values across the sheet: ``low`` and ``high`` come to the ends of the range, ``low`` at
    ``low_at``. Units: percent for the latter."""

    low: float
    high: float
    low_at: float = LOW_AT

    def at(self, value: float) -> float:
        """Give a value's place, kept on the sheet. Units: percent."""
        place = self.low_at + (value - self.low) / (self.high - self.low) * (HIGH_AT - self.low_at)
        return min(max(place, FIRST), LAST)

    def holds(self, value: float) -> bool:
        """Tell whether a value has its own place on the sheet."""
        return FIRST < self.at(value) < LAST


def scale_of(measure: MeasureAnswer) -> Scale:
    """Give the scale on which a measure's range lies; an open end is put where it leaves room."""
    low, high, typical = measure.low, measure.high, measure.typical
    low_at = LOW_AT
    if low is None:
        low, low_at = 0.0 if high is None or high > 0 else high - 1.0, FIRST
    if high is None:
        high = 2 * typical - low if typical is not None and typical > low else 2 * low or 1.0
    return Scale(low, high if high > low else low + (abs(low) or 1.0), low_at)


def state_of(measure: MeasureAnswer) -> str:
    """Say how a measure lies to its range: inside | below | above | not certain."""
    if measure.inside is None:
        return "not certain"
    if measure.inside:
        return "inside"
    below = measure.low is not None and measure.measured.value < measure.low
    return "below" if below else "above"


_KINDS = {"inside": "good", "not certain": "doubt", "below": "bad", "above": "bad"}


def _mark_of(state: str, measure: MeasureAnswer, scale: Scale, y: float) -> Shape:
    value = measure.measured.value
    name = {"inside": "dot", "not certain": "diamond", "below": "left", "above": "right"}[state]
    if state in ("below", "above") and not scale.holds(value):
        name = f"far-{name}"
    return Shape(scale.at(value), y, name, _KINDS[state])


def range_of(measure: MeasureAnswer) -> str:
    """Write a measure's range with its unit."""
    if measure.low is None:
        words = f"at most {figure(measure.high or 0.0)}"
    elif measure.high is None:
        words = f"at least {figure(measure.low)}"
    else:
        words = span(measure.low, measure.high)
    return f"{words} {measure.unit}"


def _draw_row(sheet: Sheet, measure: MeasureAnswer) -> None:
    """Draw one measure: its name and value, its range with the mark in it, its range in words."""
    state = state_of(measure)
    says = measure.says[:1].upper() + measure.says[1:]
    top, lift = sheet.y, sheet.lift
    sheet.write_beside(says, figure(measure.measured.value), column=True)
    sheet.down(ABOVE)
    _draw_plot(sheet, measure, state, (sheet.y - sheet.lift) - (top - lift) - ABOVE)
    sheet.down(BELOW)
    sheet.lift += ABOVE + BELOW - 1
    said = "" if state == "inside" else state
    sheet.write_beside(range_of(measure), said, "caption", f"told-{_KINDS[state]}", column=True)
    sheet.down(14)
    sheet.told.append(
        f"{says}: {banded(measure.measured)} {measure.unit}, usual {range_of(measure)}: {state}."
    )


def _draw_plot(sheet: Sheet, measure: MeasureAnswer, state: str, more: float) -> None:
    """Draw a measure's range with its mark; ``more``: pixels that a wide sheet lifts it by."""
    scale, y = scale_of(measure), sheet.y
    band = measure.measured
    left = 0.0 if measure.low is None else LOW_AT
    right = 100.0 if measure.high is None else HIGH_AT
    marks: list[Mark] = [Bar(0, 100, y - 5, 10, "track", 5), Bar(left, right, y - 5, 10, "range")]
    ends = ((measure.low, "cap"), (measure.high, "cap"), (measure.typical, "tick"))
    marks += [Shape(scale.at(end), y, name, "edge") for end, name in ends if end is not None]
    if band.high > band.low:
        start, end = scale.at(band.low), scale.at(band.high)
        marks += [Bar(start, end, y - 1, 2, "band")]
        marks += [Shape(start, y, "cap", "band"), Shape(end, y, "cap", "band")]
    sheet.put(*marks, _mark_of(state, measure, scale, y), more=more, plot=True)


_LEGEND = (
    ("dot", "good", "inside"), ("diamond", "doubt", "band reaches over an end"),
    ("right", "bad", "outside"), ("far-right", "bad", "outside, off the scale"),
    ("tick", "edge", "centre of the range"), ("cap", "band", "ends of the band"),
)  # fmt: skip


def _draw_legend(sheet: Sheet) -> None:
    sheet.down(4)
    sheet.put(Bar(LEFT, RIGHT, sheet.y, 1, "rule"))
    sheet.down(6)
    for shape, kind, says in _LEGEND:
        sheet.down(20)
        sheet.put(Shape(LEFT, sheet.y - 4, shape, kind, 13))
        sheet.put(Words(LEFT, sheet.y, says, "caption", beside=34))


def held_as(group: BalanceGroup) -> str:
    """Name the class that a group is held to, and its style: "drop cookie, as brandy snap"; a style
    that names its class stands alone: "rich butter cake"."""
    if group.class_name is None:
        return "class not known"
    if group.style_name is None or group.class_name in group.style_name:
        return group.style_name or group.class_name
    return f"{group.class_name}, as {group.style_name}"


def _draw_group(sheet: Sheet, group: BalanceGroup, several: bool) -> None:
    if several:
        sheet.down(6)
        named = f"{group.title}: {held_as(group)}" if group.class_name else group.title
        sheet.write(named, "heading")
        sheet.down(8)
        sheet.told.append(f"{named}.")
    if not group.measures:
        said = (
            "No range is set for it."
            if group.of_class
            else "Its class is not known, so that no range is held to it: say its class."
        )
        sheet.write(said, "caption")
        sheet.down(10)
        sheet.told.append(said)
    if not group.complete:
        said = "Not every line weighs: what is drawn is what is known."
        sheet.write(said, "caption")
        sheet.down(10)
        sheet.told.append(said)
    for measure in group.measures:
        _draw_row(sheet, measure)


def _summary(chart: BalanceChart) -> str:
    """Say in a line how the measures lie."""
    parts = [held_as(chart.groups[0]) if chart.groups else "class not known"]
    if chart.altitude is not None:
        parts.append(f"at {chart.altitude:,.0f} m")
    parts += [f"{chart.inside} inside"] if any(group.measures for group in chart.groups) else []
    parts += [f"{chart.outside} outside"] if chart.outside else []
    parts += [f"{chart.uncertain} not certain"] if chart.uncertain else []
    return " · ".join(parts)


@renders("balance.svg", SVG, first=True)
def draw_balance(chart: BalanceChart) -> bytes:
    """Draw the balance of a formula as SVG."""
    sheet = Sheet("balance", f"Balance of {chart.name}")
    sheet.write(chart.name, "title")
    sheet.down(2)
    summary = _summary(chart)
    sheet.write(f"Balance · {summary}", "subtitle")
    sheet.told.append(f"{summary.replace(' · ', ', ')}.")
    sheet.down(12)
    for group in chart.groups:
        _draw_group(sheet, group, len(chart.groups) > 1)
    _draw_legend(sheet)
    return write_svg(sheet)
