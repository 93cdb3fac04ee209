"""Batter that no pan holds, by geometry: a round pan's volume is pi d^2 h / 4."""

from __future__ import annotations

import math

import pytest

from service.rules.registry import run_rules
from tests.rules.test_pans import cake, pan


def told(grams: float, *pans):
    return [f for f in run_rules(cake(grams, *pans)) if f.rule == "PAN-03"]


def test_more_batter_than_the_pan_holds_is_an_error():
    """8 x 2 in: 1,647 mL (geometry); three kilograms of batter are no less than 2.5 litres at any
    density that batters have (0.6 to 1.2 g/mL, from memory)."""
    volume = math.pi * (8 * 25.4) ** 2 * 2 * 25.4 / 4 / 1000
    (finding,) = told(3000.0, pan("round", diameter="8 in", depth="2 in"))
    assert (finding.severity, finding.certain) == ("error", True)
    assert finding.measured.value * volume >= 2500


@pytest.mark.parametrize("grams", [300.0, 700.0])
def test_batter_that_the_pan_holds_is_not_told(grams):
    assert told(grams, pan("round", diameter="8 in", depth="2 in")) == []


def test_a_second_pan_takes_its_share():
    one = pan("round", diameter="8 in", depth="2 in")
    assert told(1800.0, one)
    assert told(1800.0, one, one) == []
