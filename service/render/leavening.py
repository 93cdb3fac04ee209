"""Draw the leavening: base and acid as two bars of one scale, what is left over, the gas by route, for
each group that rises.

Each bar is parted by the lines that bring it, numbered as the list beneath it; the thin line at a bar's
end is the band of the whole.
"""

from __future__ import annotations

from service.domain.band import Band
from service.render.figures import banded, figure, span
from service.render.registry import SVG, renders
from service.render.sheet import LEFT, RIGHT, Bar, Shape, Sheet, Words
from service.render.svg import write_svg
from service.views.findings import MeasureAnswer
from service.views.leavening import GasRoute, LeaveningAnswer, LedgerEntry, LeftOver
from service.views.leavening_svg import LeaveningBeside, LeaveningChart
from service.views.ratio import BATCH, PERCENT, UNKNOWN

#: The gap between parts of a bar, and the narrowest part that carries its number. Units: percent.
GAP, ROOMY = 0.35, 6.0
#: Half the height of a bar. Units: pixels.
HALF = 10.0
ROUTES = {
    "acid-base": "Soda with acid",
    "thermal": "Soda by heat alone",
    "powder": "Baking powder",
    "ammonia": "Baking ammonia",
    "yeast": "Yeast, in its time",
}
MEANS = {
    "gas": "gas", "yeast": "yeast", "foam": "air beaten into egg", "cream": "air beaten into fat",
    "steam": "steam",
}  # fmt: skip
#: A mark at nothing stands inside its bar by so many pixels.
INSET = 6.0
#: Shape and kind of what lies inside its range, outside it, or with an end of it in its band.
MARKS = {True: ("dot", "good"), False: ("square", "bad"), None: ("diamond", "doubt")}
#: Means that raise a cake without standing in the ledger.
UNRECKONED = ("foam", "cream", "steam")
NONE_BESIDE_POWDER = "None beside the baking powder, whose soda meets its own acid: it stands under gas."

#: What the masses are, where they are not the batch's.
PER = {
    PERCENT: "Every line is in percent of flour: drawn at a gram for each percent.",
    UNKNOWN: "Lines in percent of flour have no mass, for nothing gives the flour one.",
}


class Across:
    """Places amounts from nothing, at the left margin, to the most, at the right."""

    def __init__(self, most: float) -> None:
        self.most = most if most > 0 else 1.0

    def at(self, value: float) -> float:
        """Give an amount's place. Units: percent."""
        return LEFT + min(max(value / self.most, 0.0), 1.0) * (RIGHT - LEFT)


def _band(sheet: Sheet, across: Across, band: Band) -> None:
    """Draw a band as a thin line with caps."""
    if band.high > band.low:
        start, end = across.at(band.low), across.at(band.high)
        sheet.put(Bar(start, end, sheet.y - 1, 2, "band"))
        sheet.put(Shape(start, sheet.y, "cap", "band"), Shape(end, sheet.y, "cap", "band"))


def _side(
    sheet: Sheet, across: Across, title: str, whole: Band, entries: list[LedgerEntry],
    names: dict[str, str], kind: str, none: str,
) -> None:  # fmt: skip
    """Draw one side of the ledger: its bar in parts, its band, and the lines that bring it; ``none``
    says that no line does."""
    sheet.write_beside(title, f"{figure(whole.value)} meq", "heading")
    sheet.told.append(f"{title}: {banded(whole)} milliequivalents.")
    sheet.down(8 + HALF)
    sheet.put(Bar(LEFT, RIGHT, sheet.y - HALF, 2 * HALF, "track", 3))
    done = 0.0
    for number, entry in enumerate(entries, start=1):
        start, end = across.at(done), across.at(done + entry.milliequivalents.value)
        done += entry.milliequivalents.value
        if end > start:
            sheet.put(Bar(start, max(end - GAP, start + 0.2), sheet.y - HALF, 2 * HALF, kind, 2))
        if end - start >= ROOMY:
            sheet.put(Words((start + end) / 2, sheet.y + 4, str(number), "numeral", "middle"))
    sheet.down(HALF + 9)
    _band(sheet, across, whole)
    sheet.down(8 if whole.high > whole.low else -4)
    if not entries:
        sheet.write(none, "caption")
    for number, entry in enumerate(entries, start=1):
        name = names.get(entry.line) or names.get(entry.ingredient) or entry.ingredient
        amount = banded(entry.milliequivalents)
        sheet.write_beside(f"{number}  {name}", f"{amount} meq", "caption", "caption")
        sheet.told.append(f"{name}: {amount}.")
    sheet.down(14)


def _left(
    sheet: Sheet, across: Across, title: str, left: LeftOver, beside: MeasureAnswer | None
) -> None:
    """Draw what is left over on one side, in the scale of the two bars, and how it stands to the
    class's range."""
    meq = left.milliequivalents
    sheet.write_beside(title, f"{figure(meq.value)} meq")
    sheet.down(14)
    sheet.put(Bar(LEFT, RIGHT, sheet.y - 4, 8, "track", 4))
    _band(sheet, across, meq)
    inset = INSET if meq.value <= 0 else 0.0
    sheet.put(Shape(across.at(meq.value), sheet.y, *_mark_of(meq, beside), inset))
    sheet.down(8)
    said = f"{span(meq.low, meq.high)} meq, as soda {banded(left.grams_of_soda)} g"
    sheet.write(said, "caption")
    usual = ""
    if beside is not None and beside.high is not None:
        usual = f"{figure(beside.measured.value)} {beside.unit}; at most {figure(beside.high)} is usual"
        sheet.write(usual, "caption")
        usual = f" {usual}."
    sheet.down(10)
    grams = banded(left.grams_of_soda)
    sheet.told.append(f"{title}: {banded(meq)} milliequivalents, as soda {grams} g.{usual}")


def _mark_of(meq: Band, beside: MeasureAnswer | None) -> tuple[str, str]:
    """Give the shape and the kind that tell whether more is left over than is usual; than nothing,
    where the class has no range."""
    if beside is not None:
        return MARKS[beside.inside]
    if meq.high <= 0:
        return MARKS[True]
    return MARKS[None] if meq.low <= 0 else MARKS[False]


def _gas(sheet: Sheet, routes: tuple[GasRoute, ...]) -> None:
    """Draw the gas of each route, all in one scale."""
    across = Across(max((route.mmol.high for route in routes), default=0.0))
    for route in routes:
        title = ROUTES.get(route.route, route.route)
        sheet.write_beside(title, f"{figure(route.mmol.value)} mmol")
        sheet.down(12)
        sheet.put(Bar(LEFT, RIGHT, sheet.y - 4, 8, "track", 4))
        sheet.put(Bar(LEFT, max(across.at(route.mmol.value), LEFT + 0.4), sheet.y - 4, 8, "edge", 4))
        sheet.down(11)
        _band(sheet, across, route.mmol)
        sheet.down(6)
        said = f"{banded(route.mmol)} mmol"
        if route.millilitres_per_100g is not None:
            said = f"{banded(route.millilitres_per_100g)} mL in 100 g of batter"
        sheet.write(said, "caption")
        sheet.down(10)
        sheet.told.append(f"{title}: {banded(route.mmol)} mmol of carbon dioxide, {said}.")


def _heading(sheet: Sheet, text: str) -> None:
    sheet.down(4)
    sheet.put(Bar(LEFT, RIGHT, sheet.y, 1, "rule"))
    sheet.down(8)
    sheet.write(text, "heading")
    sheet.down(6)
    sheet.told.append(f"{text}:")


def _note(sheet: Sheet, text: str) -> None:
    sheet.write(text, "caption")
    sheet.down(6)
    sheet.told.append(text)


def _notes(sheet: Sheet, answer: LeaveningAnswer, names: dict[str, str]) -> None:
    """Write what the bars do not show: practice, other cocoas, air and steam."""
    beside = answer.ammonia_gas
    if beside is not None:
        volume = beside.millilitres_per_100g
        said = f", {banded(volume)} mL in 100 g of batter" if volume is not None else ""
        _note(
            sheet,
            f"Beside its carbon dioxide the baking ammonia gives {banded(beside.mmol)} mmol of ammonia"
            f"{said}: it must be able to escape.",
        )
    made = answer.powder_equivalent
    if made.grams.high > 0:
        per = f", {banded(made.per_100g_flour)} g on 100 g of flour" if made.per_100g_flour else ""
        _note(
            sheet,
            f"Without yeast, as much carbon dioxide as {banded(made.grams)} g of a powder with"
            f" {figure(made.reference_co2_percent)} percent of it{per}.",
        )
    for cocoa in answer.by_cocoa:
        name = names.get(cocoa.ingredient, cocoa.ingredient)
        _note(
            sheet,
            f"With {name}: soda left over {banded(cocoa.soda_left.grams_of_soda)} g, acid left over, as"
            f" soda, {banded(cocoa.acid_left.grams_of_soda)} g.",
        )
    if answer.practice:
        _note(sheet, answer.practice)
    others = [MEANS[means] for means in answer.raised_by if means in UNRECKONED]
    if others:
        _note(sheet, f"It rises by {' and '.join(others)} too, which is not reckoned.")
    if answer.entries or answer.routes:
        _note(sheet, "A thin line with ends is a band: how far the figure beside it may lie.")
    if not answer.complete:
        _note(sheet, "Not every line weighs: what is drawn is what is known.")


def _ledger(
    sheet: Sheet, answer: LeaveningAnswer, left: dict[str, MeasureAnswer], names: dict[str, str]
) -> None:
    """Draw both sides and what is left over. What a baking powder holds meets within it."""
    powder = any(route.route == "powder" for route in answer.routes)
    none = NONE_BESIDE_POWDER if powder else "No line brings any."
    bases = [each for each in answer.entries if each.kind in ("carbonate", "food-alkali")]
    acids = [each for each in answer.entries if each.kind in ("acid", "food-acid")]
    base = answer.carbonate.milliequivalents.plus(answer.food_alkali.milliequivalents)
    acid = answer.acid.milliequivalents
    across = Across(max(base.high, acid.high))
    _side(sheet, across, "Base", base, _by_weight(bases), names, "one", none)
    _side(sheet, across, "Acid", acid, _by_weight(acids), names, "other", none)
    _heading(sheet, "Left over")
    _left(sheet, across, "Soda", answer.soda_left, left.get("soda_left_pct"))
    _left(sheet, across, "Acid", answer.acid_left, left.get("acid_left_pct"))


def _by_weight(entries: list[LedgerEntry]) -> list[LedgerEntry]:
    return sorted(entries, key=lambda each: -each.milliequivalents.value)


def _group(
    sheet: Sheet, answer: LeaveningAnswer, left: dict[str, MeasureAnswer], names: dict[str, str]
) -> None:
    """Draw the ledger, the gas and the notes of one group."""
    if answer.entries:
        _ledger(sheet, answer, left, names)
    else:
        _note(sheet, "No line brings soda or acid.")
    if answer.routes:
        _heading(sheet, "Gas")
        _gas(sheet, answer.routes)
    else:
        _note(sheet, "No line gives gas.")
    _notes(sheet, answer, names)


def _beside(sheet: Sheet, group: LeaveningBeside, names: dict[str, str]) -> None:
    """Draw a group that stands beside what is baked together, under its own name."""
    title = " · ".join(dict.fromkeys(each for each in (group.name, group.class_name) if each))
    sheet.down(10)
    sheet.put(Bar(LEFT, RIGHT, sheet.y, 2, "rule"))
    sheet.down(12)
    sheet.write(title or "Another part", "heading")
    sheet.told.append(f"Beside it, {title or 'another part'}:")
    sheet.down(10)
    _group(sheet, group.leavening, group.left, names)


@renders("leavening.svg", SVG, first=True)
def draw_leavening(chart: LeaveningChart) -> bytes:
    """Draw the leavening of each group that rises as SVG."""
    sheet = Sheet("leavening", f"Leavening of {chart.name}")
    sheet.write(chart.name, "title")
    sheet.down(2)
    sheet.write(" · ".join(["Leavening", *([chart.class_name] if chart.class_name else [])]), "subtitle")
    sheet.told.append(f"{chart.class_name}." if chart.class_name else "Its class is not known.")
    sheet.down(14)
    if chart.per != BATCH:
        _note(sheet, PER[chart.per])
    if chart.leavening is not None:
        _group(sheet, chart.leavening, chart.left, chart.names)
    elif chart.per == BATCH:
        _note(sheet, "The formula has no lines.")
    for group in chart.beside:
        _beside(sheet, group, chart.names)
    return write_svg(sheet)
