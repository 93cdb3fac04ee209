"""Formulas of cookies, pastry and breads as books print them: hardly one is warned of, none unsound.

They were read for the ranges' sake and are named in the rows' sources; each stands with its book.
"""

from __future__ import annotations

import json
from collections import Counter
from functools import cache
from pathlib import Path

import pytest

from schemas.formula import load
from service.rules.judging import groups_of
from service.rules.styles import style_of
from tests.rules.printed import KITCHEN, look, printed

VECTORS = Path(__file__).parents[1] / "vectors" / "read_formulas_doughs.ndjson"
ENTRIES = [json.loads(line) for line in VECTORS.read_text("utf-8").splitlines() if line.strip()]
CLASSES = sorted({entry["class"] for entry in ENTRIES})


@cache
def verdicts() -> tuple[tuple[str, str], ...]:
    return tuple((entry["class"], look(load(entry["formula"]))[0]) for entry in ENTRIES)


def test_each_class_has_many():
    counts = Counter(entry["class"] for entry in ENTRIES)
    assert len(CLASSES) == 6
    assert min(counts.values()) >= 25
    assert len({entry["id"] for entry in ENTRIES}) == len(ENTRIES)


@pytest.mark.parametrize("product_class", CLASSES)
def test_hardly_one_is_warned_of(product_class):
    told = [verdict for of_class, verdict in verdicts() if of_class == product_class]
    assert told.count("check") + told.count("unsound") <= 0.15 * len(told)


def test_none_is_called_unsound():
    assert "unsound" not in {verdict for _, verdict in verdicts()}


def test_ginger_nuts_of_syrup_are_a_style_of_rolled_cookies():
    """What was read for the rows: without egg, and with syrup a quarter of the flour and more."""
    styled = []
    for entry in printed("read_formulas_nuts"):
        formula = load(entry["formula"])
        ((group, _),) = groups_of(KITCHEN.scales.weigh(formula), KITCHEN.cupboard, KITCHEN.measures)
        syrup, flour = group.amounts.of("syrup").value, group.amounts.of("flour").value
        if group.amounts.of("egg").value == 0 and syrup > flour / 4:
            styled.append((style_of(group), look(formula)[0]))
    assert len(styled) == 8
    assert set(styled) == {("syrup-nuts", "sound")}
