"""What measures mean where a kind is missing, mashed or dried."""

from __future__ import annotations

import pytest

from service.domain.formula import Line
from service.rules.judging import Verdict, verdict_of
from service.rules.measures import MEASURES
from tests.rules.hand import a_formula, a_line, judged


def test_measure_without_flour_has_no_meaning():
    assert MEASURES["sugar_pct"].of(judged(a_formula({"granulated-sugar": 100.0}))) is None


def test_foam_sugar_is_that_of_the_foam_alone():
    """gisslen-chiffon-15: Gisslen, yellow chiffon cake: 5 oz of the 13 oz of sugar is beaten into 10 oz
    of whites."""
    weighed = a_formula(
        {"cake-flour": 100.0, "granulated-sugar": 80.0, "egg-yolk": 50.0, "vegetable-oil": 50.0},
        {"egg-white": 100.0, "granulated-sugar": 50.0},
        of_class="chiffon",
        roles=("batter", "foam"),
    )
    band = MEASURES["foam_sugar_to_white"].of(judged(weighed))
    assert band is not None
    assert band.value == pytest.approx(0.5)
    assert MEASURES["foam_sugar_to_white"].of(judged(a_formula({"egg-white": 100.0}))) is None


@pytest.mark.parametrize(
    ("state", "pulp"),
    [(("mashed",), 100.0), ((), 100.0), (("medium",), 100.0), (("sliced",), 0.0), (("chopped",), 0.0)],
    ids=["mashed", "3 ripe bananas", "3 medium bananas", "sliced", "chopped"],
)
def test_fruit_is_pulp_where_it_is_mashed(state, pulp):
    """Common practice, no source: ripe bananas go into a batter mashed, unless the line cuts them."""
    line = Line(ingredient="banana", state=state)
    weighed = a_formula([a_line("all-purpose-flour", 100.0), a_line("banana", 100.0, 1, line=line)])
    assert judged(weighed).amounts.of("puree").value == pulp
    water = judged(weighed).amounts.of("water").value
    assert water == pytest.approx(pulp * 0.7491, abs=0.01), "USDA SR28, NDB 09040: 74.91 percent"


# USDA SR28: percent of water of NDB 09003 apple with skin, 11124 carrots, 11477 zucchini, 11424 canned
# pumpkin. Common practice, no source: carrots and zucchini go into a batter grated, apples in pieces.
@pytest.mark.parametrize(
    ("code", "state", "water"),
    [
        ("apple", ("grated",), 85.56), ("apple", (), 0.0), ("carrot", (), 88.29),
        ("carrot", ("diced",), 0.0), ("courgette", (), 94.79), ("pumpkin-canned", (), 89.97),
    ],
)  # fmt: skip
def test_vegetables_and_fruit_bring_their_water_as_they_are_used(code, state, water):
    line = Line(ingredient=code, state=state)
    group = judged(a_formula([a_line("all-purpose-flour", 100.0), a_line(code, 100.0, 1, line=line)]))
    assert group.amounts.of("water").value == pytest.approx(water, abs=0.01)


def test_dried_egg_counts_as_the_egg_that_it_was():
    """Liquid egg from 1 g dried: 4.04 (USDA SR 26: 76.15 percent water liquid, 3.67 dried)."""
    weighed = a_formula({"egg-dried": 10.0})
    assert judged(weighed).amounts.of("egg").value == pytest.approx(40.4, rel=0.03)


def test_what_no_table_knows_leaves_a_verdict_open():
    """The contract, section 2: what is not known stays unknown."""
    known = a_formula({"all-purpose-flour": 250.0, "granulated-sugar": 50.0}, of_class="muffin")
    unknown = a_formula(
        {"all-purpose-flour": 250.0, "granulated-sugar": 50.0, "frobnitz": 90.0}, of_class="muffin"
    )
    assert judged(known).complete
    assert not judged(unknown).complete
    assert [line.name for line in judged(unknown).unknown] == ["frobnitz"]
    assert verdict_of([Verdict(judged(unknown), "stated", ())]) == "undetermined"


@pytest.mark.parametrize(
    ("state", "of_the_crumb"),
    [(("chips",), False), (("chips", "melted"), True), ((), True)],
    ids=["chips", "chips melted", "chocolate"],
)
def test_chocolate_left_in_pieces_is_not_of_the_crumb(state, of_the_crumb):
    """Common practice, no source: sugar and fat of a cookie are reckoned without its chips."""
    line = Line(ingredient="semisweet-chocolate", state=state)
    group = judged(a_formula([a_line("semisweet-chocolate", 100.0, line=line)]))
    assert group.amounts.has("sugar") is of_the_crumb
    assert group.amounts.has("fat") is of_the_crumb
    assert group.amounts.of("total").value == 100.0


@pytest.mark.parametrize(
    ("code", "kind", "liquid", "said", "solids", "source"),
    [
        ("egg-dried", "egg", 200.0, 50.0, (1 - 0.7615) / (1 - 0.0278), "egg-15: egg powder table 1 + 3"),
        ("egg-dried", "egg", 4.039, 1.0, (1 - 0.7615) / (1 - 0.0278), "egg-16: USDA SR 26, arithmetic"),
        (
            "egg-white-dried", "white", 198.0, 23.76, (1 - 0.8757) / (1 - 0.0548),
            "egg-13, egg-14: American Egg Board / AIB worksheet: 0.12 of white and 0.88 of water",
        ),
    ],
)  # fmt: skip
def test_liquid_egg_of_the_dried_by_its_solids(code, kind, liquid, said, solids, source):
    """We count by solids (USDA SR 28: water of egg 76.15 and 2.78 dried, of white 87.57 and 5.48
    dried); trade factors are rounder, by one part in ten at most."""
    one = judged(a_formula({code: 1.0})).amounts.of(kind).value
    assert liquid / one == pytest.approx(liquid * solids, rel=0.001)
    assert liquid / one == pytest.approx(said, rel=0.1), source


def test_solids_of_honey_are_its_sugar():
    """wat-05: USDA SR 26: 17.10 percent of water leave 82.9 g of 100, within 0.05."""
    sugar = judged(a_formula({"honey": 100.0})).amounts.of("sugar").value
    assert sugar == pytest.approx(82.9, abs=0.05)
