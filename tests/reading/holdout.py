"""A hold-out of hand-labelled lines: its labels, and whether a reading agrees with them.

The labels in ``tests/vectors/holdout_lines.csv`` were written by reading the text alone, before the
reader was run on any of it. A cell ``items`` holds what is to be weighed, joined by `` & ``, each
``quantity|unit|level|ingredient|state|part``; `` // `` stands between readings that are equally good,
``~`` between equally good units or ingredients, ``?`` before a name that no table need know, and a
state in brackets may be read or left. ``remark`` holds ``heading`` or ``remark`` (no ingredient),
``optional``, ``doubt`` (no reader can be sure: saying so is right), ``eq:`` an equal measure beside
the first, ``alt:`` the alternatives.
"""

from __future__ import annotations

import csv
from collections.abc import Iterator
from dataclasses import dataclass
from fractions import Fraction
from pathlib import Path

from service.domain.formula import Component, Formula, Line
from service.domain.quantity import Quantity
from service.domain.weighed import WeighedLine
from service.kitchen import Kitchen

VECTORS = Path(__file__).parents[1] / "vectors" / "holdout_lines.csv"

#: Plain names of the labels that are no ingredient's own name in the tables.
#: Source: common practice of English-language cookery, no single source.
PLAIN: dict[str, tuple[str, ...]] = {
    "flour": ("all-purpose-flour",),
    "sugar": ("granulated-sugar",),
    "butter": ("butter-unsalted",),
    "milk": ("whole-milk",),
    "cocoa": ("cocoa-natural",),
    "vanilla": ("vanilla-extract",),
    "ginger": ("ginger-ground",),
    "yogurt": ("yogurt",),
    "cream": ("light-cream", "heavy-cream", "double-cream"),
    "whipping cream": ("heavy-cream", "light-whipping-cream"),
    "vinegar": ("distilled-vinegar", "cider-vinegar"),
    "kosher salt": ("kosher-salt-light", "kosher-salt-dense"),
    "canned pineapple": ("pineapple-canned", "pineapple-canned-syrup"),
}
#: What a part of an ingredient is. Source: common practice, no source.
PARTS = {
    ("egg", "white"): "egg-white", ("egg", "yolk"): "egg-yolk",
    ("lemon", "rind"): "lemon-rind", ("lemon", "juice"): "lemon-juice",
    ("orange", "rind"): "orange-rind", ("orange", "juice"): "orange-juice",
    ("lime", "rind"): "lime-rind", ("lime", "juice"): "lime-juice",
}  # fmt: skip
#: How many of the second unit one of the first is: US customary measures (NIST Handbook 44,
#: appendix C), the avoirdupois pound of 16 oz, the dozen; four eggs weigh four times what one does.
SAME = {
    "cup": (48, "tsp"), "tbsp": (3, "tsp"), "pint": (96, "tsp"), "quart": (192, "tsp"),
    "lb": (16, "oz"), "kg": (1000, "g"), "L": (1000, "mL"), "dL": (100, "mL"),
    "dozen": (12, "each"), "half-dozen": (6, "each"), "weight-of-4-eggs": (4, "weight-of-an-egg"),
}  # fmt: skip
MASSES = ("g", "kg", "oz", "lb", "%")
#: States that move no mass in the measures of these lines.
HARMLESS = frozenset((
    "softened", "cold", "cool", "warm", "hot", "boiling", "lukewarm", "tepid", "chilled", "cooled",
    "warmed", "luke-warm", "milk-warm", "blood-warm", "slightly-warmed", "pitted", "peeled", "whole",
))  # fmt: skip


@dataclass(frozen=True)
class Label:
    """One row of the table."""

    text: str
    measures: str
    items: str
    remark: str
    source: str


@dataclass(frozen=True)
class Outcome:
    """What the service made of a line: ``right`` agrees with the label; ``told`` says that the
    answer owns to a doubt (a problem, an unweighed item, or the right name among the assumed)."""

    label: Label
    right: bool
    told: bool
    kind: str
    made: tuple[WeighedLine, ...]
    problems: tuple[str, ...]


def labels() -> list[Label]:
    """Read the table."""
    with VECTORS.open(encoding="utf-8", newline="") as lines:
        return [Label(**row) for row in csv.DictReader(lines)]


def read(kitchen: Kitchen, label: Label) -> Outcome:
    """Read and weigh one line and hold it against its label."""
    formula = Formula(
        name="one line",
        measures=label.measures,
        components=(Component(ingredients=(Line(text=label.text),)),),
    )
    reading = kitchen.reader.read_line(label.text, label.measures, "en")
    weighed = kitchen.scales.weigh(formula)
    made = weighed.lines if reading.kind == "ingredient" else ()
    problems = tuple(problem.code for problem in (*reading.problems, *weighed.problems))
    remark = {word.strip() for word in label.remark.split(";")}
    if remark & {"heading", "remark"}:
        right = reading.kind in remark
    else:
        right = reading.kind == "ingredient" and _agrees(kitchen, label, made)
        right = right or (
            "doubt" in remark and bool(problems) and _weighs_no_other(kitchen, label, made)
        )
    missing = any(line.grams is None and line.line.quantity is not None for line in made)
    rivals = {code for item in reading.items for said in item.assumed for code in said.instead}
    named = _wanted(kitchen, label)
    told = bool(problems) or missing or bool(rivals & named or (rivals and not named))
    return Outcome(label, right, told, reading.kind, made, problems)


def codes_of(kitchen: Kitchen, word: str) -> tuple[str, ...]:
    """Give the codes that a label's word may stand for; none where no table need know it."""
    if word.startswith("?"):
        return ()
    if word in PLAIN:
        return PLAIN[word]
    slug = word.replace(" ", "-")
    if slug in kitchen.cupboard.ingredients:
        return (slug,)
    named = [row.code for row in kitchen.cupboard.ingredients.values() if row.name == word]
    return tuple(named)


def words_of(label: Label) -> Iterator[str]:
    """Give every ingredient word of a label."""
    alternatives = label.remark[5:] if label.remark.startswith("alt: ") else ""
    for cell in (label.items, alternatives):
        for choice in cell.split(" // "):
            for item in filter(None, choice.split(" & ")):
                yield from item.split("|")[3].split("~")


def amount_of(text: str) -> Quantity | None:
    """Read a label's exact amount: "2 1/4", "2..3", empty for left to the cook."""
    if not text:
        return None
    low, _, high = text.partition("..")
    ends = [sum(map(Fraction, end.split()), Fraction()) for end in (low, high or low)]
    return Quantity(*ends)


def _wanted(kitchen: Kitchen, label: Label) -> set[str]:
    return {code for word in words_of(label) for code in codes_of(kitchen, word)}


def _weighs_no_other(kitchen: Kitchen, label: Label, made: tuple[WeighedLine, ...]) -> bool:
    wanted = _wanted(kitchen, label)
    return all(line.grams is None or line.code in wanted for line in made)


def _agrees(kitchen: Kitchen, label: Label, made: tuple[WeighedLine, ...]) -> bool:
    if not any(_same_items(kitchen, choice, made) for choice in label.items.split(" // ")):
        return False
    remark = label.remark
    if remark.startswith("eq: "):
        return _says_equal(remark[4:], made[0].line)
    if remark.startswith("alt: "):
        return _same_alternatives(kitchen, remark[5:], made[0])
    if any(line.alternatives for line in made):
        return False
    return ("optional" in remark) == any(line.line.optional for line in made)


def _same_items(kitchen: Kitchen, choice: str, made: tuple[WeighedLine, ...]) -> bool:
    items = choice.split(" & ")
    return len(items) == len(made) and all(
        _same_item(kitchen, item.split("|"), line)
        for item, line in zip(items, made, strict=True)
    )  # fmt: skip


def _same_alternatives(kitchen: Kitchen, cell: str, made: WeighedLine) -> bool:
    items = [item.split("|") for item in cell.split(" & ")]
    return len(items) == len(made.alternatives) and all(
        _same_item(kitchen, item, line)
        for item, line in zip(items, made.alternatives, strict=True)
    )  # fmt: skip


def _same_item(kitchen: Kitchen, item: list[str], made: WeighedLine) -> bool:
    quantity, unit, level, words, state, part = item
    return (
        _same_measure(amount_of(quantity), unit.split("~"), made.line)
        and (made.line.level or "").replace("level", "") == level
        and _same_ingredient(kitchen, words, part, made)
        and (unit in MASSES or not quantity or _same_state(state, made.line.state))
    )


def _same_ingredient(kitchen: Kitchen, words: str, part: str, made: WeighedLine) -> bool:
    for word in words.split("~"):
        codes = codes_of(kitchen, word)
        if word.startswith("?") and made.code is None:
            return True
        if made.code is not None and made.code in {PARTS.get((code, part), code) for code in codes}:
            return True
    return False


def _same_state(told: str, made: tuple[str, ...]) -> bool:
    wanted = set(filter(None, told.split("+")))
    may = {state[1:-1] for state in wanted if state.startswith("(")}
    must = {state for state in wanted if not state.startswith("(")}
    return must - HARMLESS <= set(made) <= must | may | HARMLESS


def _same_measure(quantity: Quantity | None, units: list[str], line: Line) -> bool:
    """A mass beside a pack ("1 8-oz. package") is as good a first measure as the pack."""
    if quantity is None:
        return line.quantity is None and (line.unit or "") in units
    asked = [_in_smallest(quantity, unit) for unit in units]
    if line.quantity is not None and _in_smallest(line.quantity, line.unit or "each") in asked:
        return True
    beside = line.equivalent
    return (
        beside is not None
        and units[0] in MASSES
        and line.unit not in MASSES
        and _in_smallest(beside.quantity, beside.unit) in asked
    )


def _says_equal(cell: str, line: Line) -> bool:
    number, _, unit = cell.rpartition(" ")
    quantity = amount_of(number)
    beside = line.equivalent
    assert quantity is not None
    return beside is not None and _in_smallest(beside.quantity, beside.unit) == _in_smallest(
        quantity, unit
    )


def _in_smallest(quantity: Quantity, unit: str) -> tuple[Quantity, str]:
    factor, smallest = SAME.get(unit, (1, unit))
    return quantity.times(Fraction(factor)), smallest
