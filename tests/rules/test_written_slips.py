"""Slips of the pen that a card's amounts really have, injected into the fixed set of sound formulas.

Beside the kinds of ``slips``: a lost slash ("1 1/2" as "112"), a lost fraction ("1 1/2" as "1"), cups
written for grams and grams for cups, a doubled count of eggs. The shares are the project's own aims; a
lost half and one egg more often leave what another good book prints, so that only some can be told.
"""

from __future__ import annotations

import copy
import re
from collections.abc import Iterator
from fractions import Fraction
from functools import cache

import pytest

from schemas.formula import load
from service.rules import registry
from service.rules.judging import Verdict, groups_of, verdict_of
from service.rules.registry import all_rules, run_rules
from service.rules.slash import amount_meant, without_slash
from tests.rules.alone import ENTRIES, KITCHEN

#: kind of slip: how a line that it befalls looks, and what becomes of it.
WRITTEN = {
    "slash lost": (r"^(\d+) ?(?:½|1/2)(?= )", r"\g<1>12"),
    "fraction lost": (r"^(\d+) ?(?:½|1/2)(?= )", r"\1"),
    "cups for grams": (r"^([\d.]+) g ", r"\1 cups "),
    "grams for cups": (r"^(.{1,5}?) cups? ", r"\1 g "),
    "eggs doubled": (r"^1 egg", "2 eggs"),
}
#: kind: which share is flagged at the least, and which names the line.
LEAST = {
    "slash lost": (1.0, 0.95),
    "cups for grams": (1.0, 0.95),
    "grams for cups": (0.95, 0.9),
    "fraction lost": (0.07, 0.05),
    "eggs doubled": (0.05, 0.05),
}
#: kind, the formula and line that it befalls, and the rules that see it there.
SEEN = (
    ("slash lost", "armed-forces-biscuit", "1 1/2 oz salt", "DOSE-01 SALT-01 SLIP-10"),
    ("fraction lost", "greer-waffle", "1 1/2 cups milk", "BAL-06 BAL-21 BAL-27"),
    ("cups for grams", "lowe-angel", "3.6 g cream of tartar", "BAL-28 SLIP-07 SLIP-11"),
    ("grams for cups", "farmer-third-bread", "2 cups lukewarm water", "BAL-06 SLIP-06 SLIP-11"),
    ("eggs doubled", "farmer-one-egg-cake", "1 egg", "BAL-22"),
)


def texts(formula_id: str) -> list[str]:
    return [line["text"] for line in ENTRIES[formula_id]["formula"]["components"][0]["ingredients"]]


def judged(formula_id: str, line: int | None = None, becomes: str = ""):
    document = copy.deepcopy(ENTRIES[formula_id]["formula"])
    if line is not None:
        document["components"][0]["ingredients"][line] = {"text": becomes}
    groups = groups_of(KITCHEN.scales.weigh(load(document)), KITCHEN.cupboard, KITCHEN.measures)
    verdicts = [Verdict(each, told_by, run_rules(each)) for each, told_by in groups]
    return verdict_of(verdicts), [finding for each in verdicts for finding in each.findings]


def injected(kind: str) -> Iterator[tuple[str, int, str]]:
    looks, becomes = WRITTEN[kind]
    for formula_id in ENTRIES:
        for line, text in enumerate(texts(formula_id)):
            if re.search(looks, text):
                yield formula_id, line, re.sub(looks, becomes, text)


@cache
def looked_at(kind: str):
    return tuple((line, *judged(formula_id, line, text)) for formula_id, line, text in injected(kind))


@pytest.mark.parametrize("kind", WRITTEN)
def test_written_slips_are_flagged_and_named(kind):
    slips = looked_at(kind)
    flagged, named = LEAST[kind]
    assert len(slips) >= 10
    assert sum(verdict != "sound" for _, verdict, _ in slips) >= flagged * len(slips)
    pointers = [
        f"/components/0/ingredients/{line}"
        in {pointer for finding in findings if finding.severity != "note" for pointer in finding.lines}
        for line, _, findings in slips
    ]
    assert sum(pointers) >= named * len(slips)


@pytest.mark.parametrize(("kind", "formula_id", "text", "codes"), SEEN)
def test_written_slip_is_missed_once_its_rules_are_gone(kind, formula_id, text, codes, monkeypatch):
    line = texts(formula_id).index(text)
    becomes = re.sub(*WRITTEN[kind], text)
    assert judged(formula_id)[0] == "sound"
    assert judged(formula_id, line, becomes)[0] != "sound"
    left = tuple(each for each in all_rules() if each.code not in codes.split())
    monkeypatch.setattr(registry, "all_rules", lambda: left)
    assert judged(formula_id, line, becomes)[0] == "sound"


@pytest.mark.parametrize(
    ("written", "meant"),
    [
        ("112", Fraction(3, 2)), ("12", Fraction(1, 2)), ("34", Fraction(3, 4)), ("213", Fraction(7, 3)),
        ("1014", Fraction(41, 4)), ("225", None), ("100", None), ("2", None), ("11112", None),
        ("012", None),
    ],
)  # fmt: skip
def test_digits_of_a_fraction_without_its_slash(written, meant):
    """Fractions of sets of measures (NIST SP 1038, household measures), a whole number before."""
    assert amount_meant(written) == meant


def test_grams_have_no_slash_to_lose():
    """SI usage: parts of a metric unit are written as decimals (from memory)."""
    for text, lost in (("112 cups sugar", True), ("112 g sugar", False), ("458 g sugar", False)):
        document = {"name": "x", "components": [{"ingredients": [{"text": text}]}]}
        (line,) = KITCHEN.scales.weigh(load(document)).lines
        assert (without_slash(line) is not None) is lost, text


def test_lost_slashes_are_named_as_such():
    slips = looked_at("slash lost")
    named = [f for _, _, findings in slips for f in findings if f.rule == "SLIP-10"]
    assert len(named) >= 0.5 * len(slips)
    assert all("the slash lost" in finding.message for finding in named)


@pytest.mark.parametrize(
    ("formula_id", "text", "becomes", "says"),
    [
        ("farmer-cup-cakes", "3¼ cups flour", "3¼ g flour", "written in grams where cups were meant"),
        ("farmer-golden-corn-cake", "¾ cup corn meal", "¾ g corn meal", "written in grams"),
        ("lowe-plain-cake", "244 g milk", "244 cups milk", "written in cups where grams were meant"),
        ("gisslen-yellow-butter", "390 g sugar", "390 cups sugar", "written in cups"),
    ],
)
def test_the_unit_is_named_where_cups_stand_for_grams(formula_id, text, becomes, says):
    """What was meant is the line as printed: its source stands in the row of the set."""
    line = next((i for i, each in enumerate(texts(formula_id)) if each == text), None)
    assert line is not None, texts(formula_id)
    _, findings = judged(formula_id, line, becomes)
    (told,) = (f for f in findings if f.rule == "SLIP-11")
    assert says in told.message
    assert told.lines == (f"/components/0/ingredients/{line}",)


def test_most_units_written_for_another_are_named():
    slips = looked_at("cups for grams") + looked_at("grams for cups")
    named = [f for _, _, findings in slips for f in findings if f.rule == "SLIP-11"]
    assert len(named) >= 0.65 * len(slips)


def test_every_kind_is_tried_alone():
    assert {kind for kind, *_ in SEEN} == set(WRITTEN) == set(LEAST)
