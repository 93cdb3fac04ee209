"""Yeast that meets liquid hotter than it bears, as the method or a line says.

A method is read clause by clause, in its order. What is scalded or boiled, or brought to a stated heat,
stays hot until a word of cooling; yeast that comes to it before then is told of. Where only a line says
that a liquid boils, it is told of as far as no word of the method or of another line cools it. Limits:
rows of ``limits`` with the code YEAST-03.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass

from service.domain.band import Band
from service.domain.finding import SEVERITIES, Expected, Finding, Measured
from service.domain.weighed import WeighedLine
from service.rules.judged import BAKED, Judged
from service.rules.outside import outside_row
from service.rules.oven import celsius_of
from service.rules.ranges import plain
from service.rules.registry import rule
from service.tables.rule_rows import LimitRow

_LIQUID = r"(?:water|milk|buttermilk|whey|cream|liquid|cider|beer|ale|broth|juice|coffee)"
_YEAST = re.compile(r"\byeasts?\b")
_WET = re.compile(rf"\b{_LIQUID}\b|{_YEAST.pattern}")
#: A liquid that boils, or is brought to the boil.
_BOILING = re.compile(
    rf"\bboiling(?:[- ]hot)?(?: [\w-]+)? {_LIQUID}\b|\b{_LIQUID}(?: that is| is|,)? (?:still )?boiling\b"
    rf"|\bboils?(?: \w+){{0,3}}? {_LIQUID}\b|\b{_LIQUID}(?: \w+){{0,6}}? (?:to (?:a|the)|off the) boil\b"
    rf"|\bkettle[- ]hot {_LIQUID}\b"
)
_SCALDED = re.compile(rf"\bscald(?:s|ing)?(?: \w+){{0,2}}? {_LIQUID}\b")
#: Liquid that boils under the dough, or beside it.
_APART = re.compile(
    r"(?<!pour )\bover (?:the |some )?(?:boiling|simmering) water|\b(?:not|un) ?boil"
    r"|\b(?:pan|pot|kettle|bath|dish|tray|bowl) of boiling"
    r"|\b(?:ice|icing|glaz\w*|brush\w*|drain\w*|poach\w*|steam\w*|bagels?|pretzels?)\b"
)
#: A stated heat, with its unit; a bare letter c may mean cups.
_STATED = re.compile(
    r"\b(\d{2,3})(?: ?(?:to|-|–) ?(\d{2,3}))?"
    r" ?(?:(?:°|º|degrees?\b|deg\b\.?) ?(?:(c|f|celsius|fahrenheit|centigrade)\b)?"
    r"|(f|celsius|fahrenheit)\b|(?<=(?:at|to) \d\d )(c)\b|(?<=\d)(c)\b)"
)
_OF_OVEN = re.compile(r"\b(?:oven|bak(?:e|es|ed|ing)|fr(?:y|ied|ying)|internal|cent(?:re|er)|fat)\b")
#: Words of cooling; beside a stated heat, warm tells nothing.
_COOLED = re.compile(
    r"\bcool(?:s|ed|ing)?\b|\btepid\b|\bblood[- ](?:heat|warm)|\b(?:hand|milk)[- ](?:hot|warm)"
    r"|\broom temperature\b|\bcold\b|\bwrist\b|\b(?:until|till|when|to|just|only) (?:luke-?)?warm\b"
)
_WARM = re.compile(r"\b(?:luke-?)?warm\b(?! place)")
_WAITED = re.compile(r"\b(?:stand|stands|soak|soaks|rest|rests|an hour|overnight)\b")
#: From here on there is a dough, on whose yeast no liquid is poured.
_MADE = re.compile(
    r"\b(?:knead\w*|let rise|rises?|risen|shape[sd]?|bak(?:e|es|ed|ing)|roll(?:s|ed)? out)\b"
)
_INTO = re.compile(r"\b(?:in|into|with|to|over|on|onto|upon|at|and)\b")
#: Hot liquid that goes to the yeast which stands in flour or alone in its bowl, and to no other thing.
_POURED = re.compile(r"\b(?:add|pour|stir|mix|beat|work)(?:s|ed|ing)?\b")
_ELSEWHERE = re.compile(r"\b(?:over|on|onto|upon) (?!the boiling|boiling|it\b|them\b|this\b|all\b|\W)")
_DRY = re.compile(r"\b(?:flour|meal|bowl|dry)\b")
_CLAUSE = re.compile(r"[;!?]|\.(?!\d)|\bthen\b")
_UNITS = {"c": "Cel", "f": "[degF]"}
#: A degree without its scale is one of Fahrenheit from here on: liquid of so many Celsius boils away.
_SURELY_FAHRENHEIT = 101
_RULE = "YEAST-03"
#: How many letters of a clause a message repeats.
_LONGEST = 80


@dataclass(frozen=True, slots=True)
class Meeting:
    """That yeast meets a liquid: how hot it is (degrees Celsius), the words that say so with the JSON
    Pointer of where they stand, and the ``doubt`` that it was cooled in silence: 0 none | 1 some | 2
    much. A finding weighs so many steps less."""

    celsius: Band
    words: str
    pointer: str
    doubt: int


@rule(_RULE, severity="error", source=f"limits:{_RULE}")
def yeast_is_scalded(judged: Judged) -> Iterator[Finding]:
    """No liquid that meets the yeast is hotter than yeast bears."""
    if not judged.amounts.has("yeast"):
        return
    meeting = next(_meetings(judged), None) or _line_that_boils(judged)
    if meeting is None:
        return
    rows = sorted(judged.cupboard.limits.get(_RULE, ()), key=lambda row: -(row.high or 0.0))
    for row in rows:
        found = outside_row(row, meeting.celsius)
        if found is not None:
            doubt = meeting.doubt or int(not found.certain)
            yield _told(judged, meeting, row, doubt)
            return


def _told(judged: Judged, meeting: Meeting, row: LimitRow, doubt: int) -> Finding:
    weight = min(SEVERITIES.index(row.severity_high) + doubt, len(SEVERITIES) - 1)
    heat = meeting.celsius
    pointers = (meeting.pointer, *(line.pointer for line in judged.amounts.lines("yeast")))
    return Finding(
        rule=_RULE,
        severity=SEVERITIES[weight],
        message=(
            f"The yeast {'may meet' if doubt else 'meets'} a liquid of {plain(heat.value)} °C"
            f" ({_shortened(meeting.words)!r}): from {plain(row.high or 0.0)} °C on {row.note}."
        ),
        measured=Measured(heat.value, heat.low, heat.high, row.unit),
        expected=Expected(None, row.high, row.unit),
        certain=not doubt,
        lines=tuple(dict.fromkeys(pointers)),
        source=row.source,
        evidence=row.evidence,
        settle=None if not doubt else "Say how warm the liquid is when the yeast goes in.",
        limit=row.code,
        group=judged.group,
    )


def _shortened(words: str) -> str:
    return words if len(words) <= _LONGEST else f"{words[: _LONGEST - 1].rstrip()}…"


def _steps(judged: Judged) -> Iterator[tuple[str, str]]:
    """Give the steps that say how a group is made, with their JSON Pointers: its components', and of
    what is baked together the formula's."""
    formula = judged.formula
    for place in dict.fromkeys(line.component for line in judged.lines):
        method = formula.components[place].method
        yield from ((f"/components/{place}/method/{n}", text) for n, text in enumerate(method))
    if judged.group == BAKED:
        yield from ((f"/method/{n}", text) for n, text in enumerate(formula.method))


def _clauses(judged: Judged) -> Iterator[tuple[str, str]]:
    for pointer, text in _steps(judged):
        yield from ((pointer, clause.strip()) for clause in _CLAUSE.split(text.lower()))


def _meetings(judged: Judged) -> Iterator[Meeting]:
    """Give where the method brings yeast and a hot liquid together, in its order."""
    hot: Band | None = None
    yeast = dry = False
    for pointer, clause in _clauses(judged):
        heat, named = _heat_of(clause, judged), _YEAST.search(clause) is not None
        cooled = _is_cooled(clause)
        met = None if cooled else heat or hot
        if named and met is not None:
            yield Meeting(met, clause, pointer, int(heat is None or not _is_direct(clause)))
        elif heat is not None and dry and not cooled and _is_poured_there(clause):
            yield Meeting(heat, clause, pointer, 1)
        yeast, dry = yeast or named, dry or (named and not cooled and bool(_DRY.search(clause)))
        hot = None if cooled or _WAITED.search(clause) else heat or hot
        if yeast and _MADE.search(clause):
            return


def _is_poured_there(clause: str) -> bool:
    return _POURED.search(clause) is not None and _ELSEWHERE.search(clause) is None


def _is_cooled(clause: str) -> bool:
    warm = _WARM.search(clause) is not None and _STATED.search(clause) is None
    return warm or _COOLED.search(clause) is not None


def _is_direct(clause: str) -> bool:
    """Tell whether one part of a clause puts yeast into the hot liquid, or the liquid on yeast."""
    for part in clause.split(","):
        yeasts = [found.start() for found in _YEAST.finditer(part)]
        heats = [
            found.start() for each in (_BOILING, _SCALDED, _STATED) for found in each.finditer(part)
        ]
        if not yeasts or not heats:
            continue
        ends = sorted((yeasts[0], max(heats)) if yeasts[0] < max(heats) else (min(heats), yeasts[-1]))
        if _INTO.search(part, *ends):
            return True
    return False


def _heat_of(clause: str, judged: Judged) -> Band | None:
    """Give how hot a clause says that a liquid or the yeast is, the coolest where it states several;
    ``None`` where it says nothing of it. Units: degrees Celsius."""
    if not _WET.search(clause):
        return None
    stated = [heat for each in _STATED.finditer(clause) if (heat := _stated(each, judged)) is not None]
    if stated:
        return None if _OF_OVEN.search(clause) else min(stated, key=lambda heat: heat.value)
    if _APART.search(clause):
        return None
    for name, words in (("boiling_liquid", _BOILING), ("scalded_milk", _SCALDED)):
        if words.search(clause):
            row = judged.cupboard.constants[name]
            return Band(row.value, row.low or row.value, row.high or row.value)
    return None


def _stated(found: re.Match[str], judged: Judged) -> Band | None:
    """Give a stated heat. Units: degrees Celsius."""
    first, last = float(found[1]), float(found[2] or found[1])
    scales = [each for each in found.groups()[2:] if each]
    if not scales and last < _SURELY_FAHRENHEIT:
        return None
    unit = _UNITS[scales[0][0] if scales else "f"]
    low, high = celsius_of(first, unit, judged), celsius_of(last, unit, judged)
    return None if low is None or high is None else Band((low + high) / 2, low, high)


def _line_that_boils(judged: Judged) -> Meeting | None:
    """Give the line that brings a hot liquid, where nothing said cools it."""
    liquids = judged.amounts.lines("liquid")
    words = [clause for _, clause in _clauses(judged)]
    texts = [_text(line) for line in judged.lines]
    if any(_is_cooled(each) or _WAITED.search(each) for each in (*words, *texts)):
        return None
    for line in liquids:
        heat = _heat_of(_text(line), judged)
        if heat is not None:
            return Meeting(heat, line.as_written, line.pointer, _doubt(words, len(liquids)))
    return None


def _doubt(clauses: list[str], liquids: int) -> int:
    """Tell how much doubt a method leaves that yeast meets the hot liquid of a line."""
    told = [each for each in clauses if _YEAST.search(each)]
    if not told:
        return 2
    return int(liquids > 1 or not any(re.search(rf"\b{_LIQUID}\b", each) for each in told))


def _text(line: WeighedLine) -> str:
    return f"{line.as_written} {line.line.note or ''}".lower()
