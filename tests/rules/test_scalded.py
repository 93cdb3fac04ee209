"""Yeast that meets boiling water, as the method or a line says.

Sources: a review of yeast data (loss begins at 46 to 54 degrees Celsius, 54 kills outright); a household
science note (dead at 140 F, 60 Celsius; bread texts 55 to 60); the US Armed Forces' sweet dough card
(dry yeast in water of at most 110 F). Degrees by arithmetic: (F - 32) / 1.8. What a method means is
read as a baker reads it: common practice, no source.
"""

from __future__ import annotations

import time

import pytest

from schemas.formula import load
from service.rules.judging import groups_of
from service.rules.registry import all_rules, run_rule
from tests.rules.printed import KITCHEN

DOUGH = ("500 g bread flour", "300 g water", "10 g salt", "10 g fresh yeast")
(RULE,) = (each for each in all_rules() if each.code == "YEAST-03")


def found(*method: str, lines=DOUGH):
    ingredients = [{"text": text} for text in lines]
    component = {"role": "dough", "ingredients": ingredients}
    document = {"name": "Loaf", "class": "lean-bread", "components": [component], "method": list(method)}
    weighed = KITCHEN.scales.weigh(load(document))
    ((judged, _),) = groups_of(weighed, KITCHEN.cupboard, KITCHEN.measures)
    return run_rule(RULE, judged)


@pytest.mark.parametrize(
    "method",
    [
        ("Dissolve the yeast in boiling water.",),
        ("Dissolve the yeast in boiling water, and let it stand ten minutes.",),
        ("Pour boiling milk over the yeast.",),
        ("Mix the yeast with water at 140 F.",),
        ("Dissolve yeast in warm water (140°F).",),
        ("Stir the yeast into water of 60 °C.",),
        ("Mix yeast and water at 150 degrees.",),
        ("Sprinkle the yeast over hot water (60C).",),
        ("Dissolve the yeast in water just off the boil.",),
    ],
)
def test_yeast_in_boiling_water_is_an_error(method):
    (finding,) = found(*method)
    assert (finding.severity, finding.certain) == ("error", True)
    assert finding.limit == "yeast-03/killed"
    assert finding.lines == ("/method/0", "/components/0/ingredients/3")


@pytest.mark.parametrize(
    "method",
    [
        ("Pour boiling water over oats and salt.", "Add the yeast and the flour."),
        ("Scald the milk, add butter and yeast.",),
        ("Heat the milk to 180 F.", "Stir in yeast and flour."),
        ("Mix flour, yeast and salt.", "Pour in the boiling water and beat."),
        ("Put the yeast in a bowl.", "Pour over the boiling water."),
        (
            "Dissolve yeast in warm water.",
            "Pour boiling water over oats.",
            "Add yeast mixture and flour.",
        ),
    ],
)
def test_what_may_have_cooled_in_silence_warns(method):
    (finding,) = found(*method)
    assert (finding.severity, finding.certain) == ("warning", False)
    assert finding.settle


@pytest.mark.parametrize(
    "method",
    [
        # Farmer, Boston Cooking-School Cook Book: Water Bread, Rolled Oats Bread and Entire Wheat Bread.
        ("Put butter in a bowl; pour on boiling water; when lukewarm, add dissolved yeast cake.",),
        ("Add boiling water to oats and let stand one hour; add molasses and dissolved yeast cake.",),
        ("Add salt to scalded milk; cool, and when lukewarm add dissolved yeast cake.",),
        ("Scald the milk.", "Cool.", "Add the yeast."),
        ("Heat the milk to 180 F. Cool to 110 F. Add the yeast.",),
        ("Dissolve yeast in warm water (105 to 115 F).",),
        ("Dissolve yeast in water at 41 C.",),
        ("Dissolve the yeast in boiling water that has cooled to lukewarm.",),
        ("Mix yeast and all else, knead and let rise.", "Bake over a pan of boiling water."),
        ("Mix yeast and all else.", "Poach the bagels in boiling water."),
        ("Mix yeast and water. Bake in an oven at 200 C.",),
        ("Dissolve yeast in warm water.", "Pour boiling water over oats.", "Cool.", "Add yeast."),
        (
            "Mix yeast and flour.",
            "Pour boiling water over the oats and cool them.",
            "Stir all together.",
        ),
        ("Dissolve the yeast in boiled water, cooled.",),
        ("Add 60 c flour to the yeast and water.",),
        ("Boil the raisins five minutes and drain.", "Dissolve the yeast in lukewarm water."),
        (),
    ],
)
def test_what_is_cooled_or_never_meets_the_yeast_is_not_told(method):
    assert found(*method) == []


def test_water_that_is_too_warm_is_a_note():
    (finding,) = found("Dissolve the yeast in water at 48 C.")
    assert (finding.severity, finding.limit) == ("note", "yeast-03/harmed")
    (rapid,) = found("Mix flour and instant yeast; pour in water of 120 to 130 F.")
    assert rapid.severity == "note"
    assert rapid.measured is not None
    assert rapid.measured.low == pytest.approx(48.89, abs=0.01)
    assert rapid.measured.high == pytest.approx(54.44, abs=0.01)


def test_on_the_limit_nothing_is_told():
    assert found("Dissolve the yeast in water at 46 C.") == []


def test_a_band_about_the_limit_is_not_certain():
    (finding,) = found("Dissolve the yeast in water at 53 to 60 C.")
    assert (finding.severity, finding.certain) == ("warning", False)


class TestLines:
    BOILING = ("500 g bread flour", "300 g boiling water", "10 g salt", "10 g fresh yeast")

    def test_the_only_liquid_boils(self):
        (finding,) = found("Dissolve the yeast in the water.", lines=self.BOILING)
        assert (finding.severity, finding.certain) == ("error", True)
        assert finding.lines == ("/components/0/ingredients/1", "/components/0/ingredients/3")

    def test_without_a_method_it_is_a_note(self):
        """Books leave the method out of their lines, and cool what they boil."""
        (finding,) = found(lines=self.BOILING)
        assert (finding.severity, finding.certain) == ("note", False)

    def test_a_word_of_cooling_is_enough(self):
        assert found("Cool the water, and add the yeast.", lines=self.BOILING) == []
        lukewarm = (
            "500 g bread flour",
            "200 g boiling water",
            "100 g lukewarm water",
            "10 g fresh yeast",
        )
        assert found(lines=lukewarm) == []

    def test_without_yeast_water_may_boil(self):
        assert found("Pour on boiling water.", lines=self.BOILING[:3]) == []


def test_hostile_methods_take_no_long_time():
    """Nothing in a step may cost its square: 180 steps of 1,900 letters."""
    steps = ["yeast in boil the water at 140 to " * 55, "9" * 1900, "boil a b c d e water " * 90] * 60
    started = time.perf_counter()
    found(*steps)
    assert time.perf_counter() - started < 5
