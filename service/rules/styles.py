"""The style of its class by which a group is judged: the one whose rows it strains least.

Good books print several cakes under one class: of equal weights or plain, with oil or creamed. Each
style has its own rows where it differs; for the rest the class's rows hold. A style is taken whole,
so that a formula cannot borrow the sugar of one and the flour of another. A measure strains by how
far it lies outside its rows, counted in the width between the row's end and its centre.
"""

from __future__ import annotations

from weakref import WeakKeyDictionary

from service.domain.band import Band
from service.rules.judged import Judged
from service.rules.measures import MEASURES, measure_of
from service.rules.outside import outside_rows
from service.tables.cupboard import Cupboard
from service.tables.rule_rows import LimitRow

#: No single measure counts for more than so many widths.
MOST = 3.0
#: Rules of ovens, pans and public targets: what they measure does not lie in the mix.
_NOT_OF_THE_MIX = ("STRUCT", "PAN", "SALT-04")

ClassRows = tuple[tuple[str, str, tuple[LimitRow, ...]], ...]


def styles_of(product_class: str | None, cupboard: Cupboard) -> tuple[str | None, ...]:
    """Give a class's styles; ``None``, the first, is the class at large."""
    return (
        None,
        *(code for code, row in cupboard.styles.items() if row.product_class == product_class),
    )


def class_rows(product_class: str | None, style: str | None, cupboard: Cupboard) -> ClassRows:
    """Give the rows that a style of a class is held to: rule, measure, rows; worked out once a
    cupboard. Where the style has rows of its own for a measure, the class's do not hold."""
    known = _CLASS_ROWS.setdefault(cupboard, {})
    if (product_class, style) not in known:
        known[product_class, style] = tuple(_rows_of(product_class, style, cupboard))
    return known[product_class, style]


_CLASS_ROWS: WeakKeyDictionary[Cupboard, dict[tuple[str | None, str | None], ClassRows]] = (
    WeakKeyDictionary()
)


def _rows_of(
    product_class: str | None, style: str | None, cupboard: Cupboard
) -> list[tuple[str, str, tuple[LimitRow, ...]]]:
    by_measure: dict[tuple[str, str], list[LimitRow]] = {}
    for rule in cupboard.limits:
        for row in cupboard.limit_rows(rule, product_class):
            if row.measure in MEASURES and row.style in ("", style):
                by_measure.setdefault((rule, row.measure), []).append(row)
    return [
        (*key, tuple(row for row in rows if row.style) or tuple(rows))
        for key, rows in by_measure.items()
    ]


def mix_rows(product_class: str | None, style: str | None, cupboard: Cupboard) -> ClassRows:
    """Give the rows of what lies in the mix: those by which a formula is strained."""
    return tuple(
        each
        for each in class_rows(product_class, style, cupboard)
        if not each[0].startswith(_NOT_OF_THE_MIX)
    )


def pull_of(rows: tuple[LimitRow, ...], band: Band) -> tuple[float, float]:
    """Give the strain of one measure, and its unease: how far it lies from the centre. Units: widths."""
    found = outside_rows(rows, band)
    row = found.row if found else rows[0]
    end = found.limit if found else row.high
    if end is None:
        return 0.0, 0.0
    width = abs(end) if row.typical is None else abs(end - row.typical)
    strain = unease = 0.0
    if found is not None and found.stated != "note":
        strain = min(MOST, max(0.0, found.least) / width) if width else MOST
    if row.typical is not None and width:
        unease = min(MOST, abs(band.value - row.typical) / width)
    return strain, unease


def style_of(judged: Judged) -> str | None:
    """Give the style that a group is judged by, worked out once; ``None`` is the class at large,
    which is taken where no style strains less."""
    if "style" not in judged.memo:
        judged.memo["style"] = _least_strained(judged)
    return judged.memo["style"]  # type: ignore[return-value]


def _least_strained(judged: Judged) -> str | None:
    styles = styles_of(judged.product_class, judged.cupboard)
    return min(styles, key=lambda style: _strain(judged, style)) if len(styles) > 1 else None


def _strain(judged: Judged, style: str | None) -> float:
    """Give how strained a group is by a style's rows, to a tenth."""
    strain = 0.0
    for _, name, rows in mix_rows(judged.product_class, style, judged.cupboard):
        band = measure_of(judged, name)
        if band is not None:
            strain += pull_of(rows, band)[0]
    return round(strain, 1)
