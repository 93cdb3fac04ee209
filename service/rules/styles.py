"""The style of its class by which a group is judged: the one whose rows it strains least.

Good books print several cakes under one class: of equal weights or plain, with oil or creamed. Each
style has its own rows where it differs; for the rest the class's rows hold. A style is taken whole,
so that a formula cannot borrow the sugar of one and the flour of another; where the title names a style
(table ``style_words``) the formula is held to that. A measure strains by how
far it lies outside its rows, counted in the width between the row's end and its centre.
"""

from __future__ import annotations

import math

from service.domain.band import Band
from service.domain.record import record
from service.domain.words import key_of
from service.rules.judged import BAKED, Judged
from service.rules.measures import MEASURES, measure_of
from service.rules.outside import SLACK, Outside, outside_rows
from service.tables.cupboard import Cupboard
from service.tables.once import once
from service.tables.rule_rows import LimitRow

#: Kinds that a liquid brings.
_MOIST = frozenset(("water", "liquid", "liquid_water"))
#: No single measure counts for more than so many widths.
MOST = 3.0
#: Rules of ovens, pans and public targets: what they measure does not lie in the mix.
_NOT_OF_THE_MIX = ("STRUCT", "PAN", "SALT-04")
_PERCENT = 100.0
#: The need of a style that only a title tells: nothing of a mix is called so.
_TITLE = "title"
#: How many sets of kinds are kept with the rows that they move.
_MOST_KEPT = 4096

#: A rule with the measure that it holds.
Key = tuple[str, str]
ClassRows = tuple[tuple[str, str, tuple[LimitRow, ...]], ...]


def styles_of(product_class: str | None, cupboard: Cupboard) -> tuple[str | None, ...]:
    """Give a class's styles; ``None``, the first, is the class at large."""
    return _styles(cupboard).get(product_class, (None,))


@once
def _styles(cupboard: Cupboard) -> dict[str | None, tuple[str | None, ...]]:
    styles: dict[str | None, tuple[str | None, ...]] = {}
    for code, row in cupboard.styles.items():
        styles[row.product_class] = (*styles.get(row.product_class, (None,)), code)
    return styles


def styles_here(judged: Judged) -> tuple[str | None, ...]:
    """Give the styles that a group may be of: those that its title names, else all of its class of which
    it has what they need."""
    if "styles" not in judged.memo:
        every = styles_of(judged.product_class, judged.cupboard)
        named = _styles_named_once(judged, every)
        judged.memo["styles"] = named or tuple(s for s in every if _has_needs(judged, s))
    return judged.memo["styles"]  # type: ignore[return-value]


def _styles_named_once(judged: Judged, styles: tuple[str | None, ...]) -> tuple[str | None, ...]:
    """Give those of some styles that the title names; a trial's title is its base's."""
    if judged.base is not None:
        return _styles_named_once(judged.base, styles)
    if "styles named" not in judged.memo:
        judged.memo["styles named"] = _styles_named(judged, styles)
    return judged.memo["styles named"]  # type: ignore[return-value]


@record
class Need:
    """What a formula of a style has of a kind. Units: percent of the whole."""

    kind: str
    least: float
    most: float


def need_of(written: str) -> Need:
    """Read a need as the table ``styles`` writes it. Raises: ValueError.

    >>> need_of("nut>=20")
    Need(kind='nut', least=20.0, most=inf)
    """
    kind, least, value = written.partition(">=")
    if kind == _TITLE:
        return Need(_TITLE, math.inf, math.inf)
    if least:
        return Need(kind, float(value), math.inf)
    kind, _, value = written.partition("<=")
    return Need(kind, 0.0, float(value))


@once
def _needs(cupboard: Cupboard) -> dict[str, tuple[Need, ...]]:
    styles = cupboard.styles.items()
    return {code: tuple(map(need_of, row.needs)) for code, row in styles if row.needs}


def _has_needs(judged: Judged, style: str | None) -> bool:
    """Tell whether a group has what a formula of a style needs."""
    needs = _needs(judged.cupboard).get(style or "")
    if not needs:
        return True
    amounts = judged.amounts
    shares = [(each, amounts.share((each.kind,), ("total",), _PERCENT)) for each in needs]
    return all(each.least <= (of.value if of else 0.0) <= each.most for each, of in shares)


def _styles_named(judged: Judged, styles: tuple[str | None, ...]) -> tuple[str | None, ...]:
    """Give those of some styles that the title of a baked group names."""
    title = f" {key_of(judged.formula.name or '')} " if judged.group == BAKED else ""
    rows = [row for row in judged.cupboard.style_words if row.style in styles]
    return tuple(dict.fromkeys(row.style for row in rows if f" {row.word} " in title))


def class_rows(product_class: str | None, style: str | None, cupboard: Cupboard) -> ClassRows:
    """Give the rows that a style of a class is held to: rule, measure, rows; worked out once a
    cupboard. Where the style has rows of its own for a measure, the class's do not hold; where it has
    none, its rows are the class's, the same tuple."""
    known = _known_rows(cupboard)
    if (product_class, style) not in known:
        known[product_class, style] = tuple(_rows_of(product_class, style, cupboard))
    return known[product_class, style]


@once
def _known_rows(cupboard: Cupboard) -> dict[tuple[str | None, str | None], ClassRows]:
    return {}


def _rows_of(
    product_class: str | None, style: str | None, cupboard: Cupboard
) -> list[tuple[str, str, tuple[LimitRow, ...]]]:
    at_large = class_rows(product_class, None, cupboard) if style is not None else ()
    shared = {each[:2]: each[2] for each in at_large}
    by_measure: dict[Key, list[LimitRow]] = {}
    for rule in cupboard.limits:
        for row in cupboard.limit_rows(rule, product_class):
            if row.measure in MEASURES and row.style in ("", style):
                by_measure.setdefault((rule, row.measure), []).append(row)
    return [
        (*key, tuple(row for row in rows if row.style) or shared.get(key, tuple(rows)))
        for key, rows in by_measure.items()
    ]


def rows_moved(
    product_class: str | None, style: str | None, kinds: frozenset[str], cupboard: Cupboard
) -> ClassRows:
    """Give the rows of those measures of a style that a change of some kinds moves."""
    known, key = _known_moves(cupboard), (product_class, style, kinds)
    found = known.get(key)
    if found is None:
        if len(known) >= _MOST_KEPT:
            known.clear()
        rows = class_rows(product_class, style, cupboard)
        found = known[key] = tuple(e for e in rows if not MEASURES[e[1]].rests_on.isdisjoint(kinds))
    return found


@once
def _known_moves(
    cupboard: Cupboard,
) -> dict[tuple[str | None, str | None, frozenset[str]], ClassRows]:
    return {}


def _own_rows(product_class: str | None, style: str, cupboard: Cupboard) -> ClassRows:
    """Give the rows of a style that are not its class's."""
    known = _known_own(cupboard)
    if style not in known:
        at_large = {each[:2]: each[2] for each in class_rows(product_class, None, cupboard)}
        rows = class_rows(product_class, style, cupboard)
        known[style] = tuple(each for each in rows if at_large.get(each[:2]) is not each[2])
    return known[style]


@once
def _known_own(cupboard: Cupboard) -> dict[str, ClassRows]:
    return {}


@record
class Held:
    """A measure of a group held to its rows: ``found`` is ``None`` where they admit it. ``strain``:
    that of a measure of the mix. Units: widths."""

    rule: str
    measure: str
    band: Band
    rows: tuple[LimitRow, ...]
    found: Outside | None
    strain: float = 0.0


def of_the_mix(rule: str) -> bool:
    """Tell whether what a rule measures lies in the mix, so that a line's slip shows in it."""
    return not rule.startswith(_NOT_OF_THE_MIX)


def held_by(judged: Judged, style: str | None) -> dict[Key, Held]:
    """Hold every measure of a group to a style's rows, once; by rule and measure. Of a trial only
    what its change moves is held again, of a style only what has other rows than its class."""
    memo, key = judged.memo, f"held/{style}"
    if key not in memo:
        memo[key] = (
            _held_at_large(judged)
            if style is None
            else held_by(judged, None) | _held_by_own(judged, style)
        )
    return memo[key]  # type: ignore[return-value]


def _held_at_large(judged: Judged) -> dict[Key, Held]:
    product_class, cupboard, base = judged.product_class, judged.cupboard, judged.base
    every: dict[Key, Held] = {}
    rows = class_rows(product_class, None, cupboard)
    if base is not None:
        every = dict(held_by(base, None))
        rows = rows_moved(product_class, None, judged.touched, cupboard)
    for rule, name, limits in rows:
        held = _held(judged, rule, name, limits)
        if held is not None:
            every[rule, name] = held
        elif base is not None:
            every.pop((rule, name), None)
    return every


def _held_by_own(judged: Judged, style: str) -> dict[Key, Held]:
    """Hold the measures of which a style has rows of its own, once."""
    memo, key = judged.memo, f"own/{style}"
    if key not in memo:
        base = {} if judged.base is None else _held_by_own(judged.base, style)
        every: dict[Key, Held] = {}
        for rule, name, limits in _own_rows(judged.product_class, style, judged.cupboard):
            stays = judged.base is not None and MEASURES[name].rests_on.isdisjoint(judged.touched)
            held = base.get((rule, name)) if stays else _held(judged, rule, name, limits)
            if held is not None:
                every[rule, name] = held
        memo[key] = every
    return memo[key]  # type: ignore[return-value]


def _held(judged: Judged, rule: str, name: str, limits: tuple[LimitRow, ...]) -> Held | None:
    """Hold a measure to its rows; ``None`` where it has no meaning in the group."""
    band = measure_of(judged, name)
    if band is None:
        return None
    found = found_outside(judged, name, limits, band)
    strain = strain_of(found) if found is not None and of_the_mix(rule) else 0.0
    return Held(rule, name, band, limits, found, strain)


def found_outside(judged: Judged, name: str, rows: tuple[LimitRow, ...], band: Band) -> Outside | None:
    """Tell how a measure lies outside its rows. Where a line of liquid states no amount, nothing is
    too dry: the cook takes what the dough asks."""
    found = outside_rows(rows, band)
    if found is None or not judged.liquid_left_open:
        return found
    measure = MEASURES[name]
    kinds = measure.over if found.side == "low" else measure.under
    return found if _MOIST.isdisjoint(kinds) else None


def strain_of(found: Outside) -> float:
    """Give the strain of a measure outside its rows; a row that only notes strains nothing. Units:
    widths."""
    if found.stated == "note":
        return 0.0
    end, row = found.limit, found.row
    width = abs(end) if row.typical is None else abs(end - row.typical)
    return min(MOST, max(0.0, found.least) / width) if width else MOST


def unease_of(rows: tuple[LimitRow, ...], found: Outside | None, band: Band) -> float:
    """Give how far a measure lies from the centre of the row that speaks. Units: widths."""
    row = found.row if found else rows[0]
    end = found.limit if found else row.high
    if end is None or row.typical is None or end == row.typical:
        return 0.0
    return min(MOST, abs(band.value - row.typical) / abs(end - row.typical))


def strains_by(judged: Judged, style: str | None) -> dict[Key, float]:
    """Give the strain of each measure of the mix that is strained by a style's rows, once."""
    memo, key = judged.memo, f"strains/{style}"
    if key not in memo:
        if style is None:
            memo[key] = _strains(held_by(judged, None))
        else:
            own = _held_by_own(judged, style)
            at_large = strains_by(judged, None)
            memo[key] = {key: at_large[key] for key in at_large if key not in own} | _strains(own)
    return memo[key]  # type: ignore[return-value]


def _strains(measures: dict[Key, Held]) -> dict[Key, float]:
    return {key: each.strain for key, each in measures.items() if each.strain > 0}


def style_of(judged: Judged) -> str | None:
    """Give the style that a group is judged by, worked out once; ``None`` is the class at large,
    which is taken where no style strains less."""
    if "style" not in judged.memo:
        judged.memo["style"] = _least_strained(judged)
    return judged.memo["style"]  # type: ignore[return-value]


def _least_strained(judged: Judged) -> str | None:
    best: str | None = None
    least = (math.inf, math.inf)
    at_large = strains_by(judged, None)
    for style in styles_here(judged):
        if style is not None and _strain_left(judged, style, at_large) > least[0]:
            continue
        strain = round(sum(strains_by(judged, style).values()), 1)
        if strain <= least[0]:
            fit = (strain, round(_misfit(judged, style), 1))
            if fit < least:
                best, least = style, fit
        if least == (0.0, 0.0):
            break
    return best


def _misfit(judged: Judged, style: str | None) -> float:
    """Give how far the measures of the mix lie outside a style's rows by their values, whatever their
    bands leave open, those that are only noted too. Units: widths."""
    misfit = 0.0
    for each in held_by(judged, style).values():
        found = each.found
        if found is not None and of_the_mix(each.rule):
            typical = found.row.typical
            width = abs(found.limit if typical is None else found.limit - typical)
            misfit += min(MOST, found.gap / width) if width else MOST
    return misfit


def _strain_left(judged: Judged, style: str, at_large: dict[Key, float]) -> float:
    """Give the strain by those rows that a style shares with its class: it strains no less."""
    own = {each[:2] for each in _own_rows(judged.product_class, style, judged.cupboard)}
    return round(sum([at_large[key] for key in at_large if key not in own]) - SLACK, 1)
