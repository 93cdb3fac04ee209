"""The style that was meant, where a slip turns it: that of the formula as printed.

Each formula's source stands in its row of the fixed set; a slip is injected, so that what was meant is
known.
"""

from __future__ import annotations

import pytest

from schemas.formula import load
from service.rules.judging import groups_of
from service.rules.meant import meant_style
from service.rules.styles import style_of
from tests.rules.printed import KITCHEN, look, printed
from tests.rules.slips import inject


def group_of(document):
    weighed = KITCHEN.scales.weigh(load(document))
    return groups_of(weighed, KITCHEN.cupboard, KITCHEN.measures)[0][0]


def test_where_a_slip_turns_the_style_the_printed_one_is_meant():
    turned, right = 0, 0
    for entry in printed("sound_formulas"):
        style = style_of(group_of(entry["formula"]))
        for slip in inject(entry):
            group = group_of(slip.document)
            if meant_style(group) != style_of(group):
                turned += 1
                right += meant_style(group) == style
    assert turned >= 20
    assert right >= 0.9 * turned


@pytest.mark.parametrize(
    ("formula_id", "kind", "was", "never", "told"),
    [
        ("lowe-muffin", "liquid doubled", "244 g milk", {"BAL-01", "BAL-31"}, "BAL-06"),
        ("farmer-orange-cake", "sugar a third", "1 cup sugar", {"BAL-03", "BAL-16"}, "BAL-01"),
        ("greer-waffle", "liquid doubled", "1 1/2 cups milk", {"BAL-02"}, "BAL-06"),
    ],
)
def test_what_is_told_bears_on_the_slip(formula_id, kind, was, never, told):
    """Twice the milk is told as too wet, not as too little sugar of a bran muffin."""
    entry = next(each for each in printed("sound_formulas") if each["id"] == formula_id)
    document = next(s.document for s in inject(entry) if (s.kind, s.was) == (kind, was))
    findings = look(load(document))[1]
    loud = {finding.rule for finding in findings if finding.severity != "note"}
    assert not never & loud
    assert told in {finding.rule for finding in findings}
    assert any(rule.startswith("SLIP-") for rule in loud)


def test_a_sound_formula_is_told_by_the_style_that_it_has():
    for entry in printed("sound_formulas"):
        group = group_of(entry["formula"])
        if look(load(entry["formula"]))[0] == "sound":
            assert meant_style(group) == style_of(group)
