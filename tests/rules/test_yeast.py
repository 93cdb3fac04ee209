"""Yeast: what slows it, its kinds in each other, and the water for a wished dough temperature."""

from __future__ import annotations

import pytest

from service.domain.formula import Line
from service.rules.dough import Heat, celsius, fahrenheit, kelvins
from service.rules.ledger import gas_grams
from service.rules.measures import MEASURES
from service.rules.yeast import forms_of, slowing
from tests.rules.hand import a_formula, a_line, cupboard, found, judged

LOAF = {"bread-flour": 1000.0, "water": 650.0, "table-salt": 18.0, "fresh-yeast": 20.0}


def dough(**more: float):
    grams = {**LOAF, **{code.replace("_", "-"): mass for code, mass in more.items()}}
    return a_formula(grams, of_class="enriched-bread")


def slowed_by(weighed) -> set[str]:
    return {f.limit.removeprefix("yeast-02/") for f in found(weighed, "YEAST-02") if f.limit}


def test_an_ordinary_dough_is_slowed_by_nothing():
    assert slowed_by(dough()) == set()


@pytest.mark.parametrize(
    ("code", "grams", "what"),
    [
        # Bread texts: gas falls off above 2 to 3 percent of salt (from memory).
        ("table_salt", 35.0, "salt"),
        # Encyclopedia of food science, baking yeast: beyond 5 to 10 percent sugar ordinary yeast slows.
        ("granulated_sugar", 200.0, "sugar"),
        # A US flour miller's notes: at most a teaspoon (2.6 g) of cinnamon to three cups of flour.
        ("cinnamon", 15.0, "cinnamon"),
        # Wright, Bice and Fogelberg, Cereal Chemistry 31 (1954), as tabled: 0.25 g of mustard in 30 mL.
        ("mustard_ground", 5.0, "mustard"),
        # As cinnamon; from memory.
        ("clove", 10.0, "clove"),
    ],
)
def test_what_slows_yeast_is_told_as_a_note(code, grams, what):
    weighed = dough(**{code: grams})
    assert slowed_by(weighed) == {what}
    assert {f.severity for f in found(weighed, "YEAST-02")} == {"note"}


@pytest.mark.parametrize(
    ("code", "grams"), [("table_salt", 20.0), ("granulated_sugar", 50.0), ("cinnamon", 5.0)]
)
def test_little_of_it_is_not_told(code, grams):
    """The same sources: 2 percent of salt, 5 of sugar, half a percent of cinnamon."""
    assert slowed_by(dough(**{code: grams})) == set()


def test_without_yeast_nothing_is_slowed():
    grams = {"bread-flour": 1000.0, "water": 600.0, "table-salt": 40.0}
    assert found(a_formula(grams, of_class="flatbread"), "YEAST-02") == []


def test_cinnamon_rolled_in_does_not_meet_the_yeast():
    weighed = a_formula(LOAF, {"cinnamon": 20.0}, of_class="enriched-bread", roles=("dough", "swirl"))
    assert slowed_by(weighed) == set()


def test_the_finding_names_the_lines():
    (finding,) = found(dough(cinnamon=15.0), "YEAST-02")
    assert finding.lines == ("/components/0/ingredients/4",)
    assert finding.measured is not None
    assert finding.measured.value == pytest.approx(1.5)


def test_what_slows_is_told_with_its_share():
    shares = {each.name: each.share.value for each in slowing(judged(dough()))}
    assert shares == {"salt": pytest.approx(1.8)}


def test_kinds_of_yeast_stand_for_each_other():
    """A professional bread text: 0.4 g of active dry or 0.33 g of instant yeast for 1 g of fresh."""
    forms = {code: grams for code, grams, _ in forms_of(judged(dough()))}
    assert forms == {
        "fresh-yeast": 20.0,
        "active-dry-yeast": pytest.approx(8.0, rel=0.01),
        "instant-yeast": pytest.approx(6.6, rel=0.01),
    }


@pytest.mark.parametrize(
    ("wished", "room", "flour", "preferment", "friction", "water"),
    [
        # A test kitchen's page: flour, room and starter 71 F, friction 20, for 75 F: water of 67 F.
        (75, 71, 71, 71, 20, 67),
        # A household page told in a bakers' forum: flour 60 F, room 70 F, friction 16, for 78 F: 88 F.
        (78, 70, 60, None, 16, 88),
        # A trade magazine for pizza bakers, 2018: flour 65 F, room 75 F, friction 35, for 80 F: 65 F.
        (80, 75, 65, None, 35, 65),
        # A baking institute's course of 2009: flour and room 65 F, friction 8, for 75 F: 87 F.
        (75, 65, 65, None, 8, 87),
    ],
)
def test_water_for_a_wished_dough_temperature(wished, room, flour, preferment, friction, water):
    heat = Heat(
        celsius(wished, "F"),
        celsius(room, "F"),
        celsius(flour, "F"),
        kelvins(friction, "F"),
        None if preferment is None else celsius(preferment, "F"),
    )
    assert fahrenheit(heat.water) == pytest.approx(water)


def test_temperatures_are_turned_by_definition():
    """The Fahrenheit scale: water freezes at 32 and boils at 212 degrees, 100 kelvin apart."""
    assert celsius(212, "F") == pytest.approx(100)
    assert fahrenheit(0) == 32
    assert kelvins(180, "F") == pytest.approx(100)
    assert celsius(24, "C") == kelvins(24, "C") == 24


SOUR = {"bread-flour": 500.0, "water": 350.0, "table-salt": 10.0, "sourdough-starter": 100.0}


def test_leaven_counts_as_its_flour_and_its_water():
    """bp-10, arithmetic: flour 500, water 350, starter 100 at 100 percent: 400/550 is 72.73 percent."""
    band = MEASURES["water_pct"].of(judged(a_formula(SOUR, of_class="lean-bread")))
    assert band is not None
    assert band.value == pytest.approx(72.73, abs=0.02)


def test_leaven_whose_water_is_stated_counts_by_that():
    """Arithmetic: 150 g at 50 percent hydration are 100 g of flour and 50 of water: 300/500."""
    stiff = Line(text="150 g sourdough starter (50% hydration)", ingredient="sourdough-starter")
    lines = [a_line("bread-flour", 400.0), a_line("water", 250.0, 1)]
    weighed = a_formula([*lines, a_line("sourdough-starter", 150.0, 2, line=stiff)])
    assert judged(weighed).amounts.of("flour").value == pytest.approx(500.0)
    assert judged(weighed).amounts.of("water").value == pytest.approx(300.0)


def test_leaven_raises_a_bread_and_nobody_weighs_its_yeast():
    """Common practice: a sourdough is raised by its starter alone."""
    weighed = a_formula(SOUR, of_class="lean-bread")
    assert found(weighed, "LEAVEN-05") == []
    assert found(weighed, "YEAST-01") == []
    unraised = {code: grams for code, grams in SOUR.items() if code != "sourdough-starter"}
    assert found(a_formula(unraised, of_class="lean-bread"), "LEAVEN-05")


def test_leaven_gives_the_gas_of_the_sugars_that_ferment():
    """As yeast does: 2 percent of 550 g of flour (cereal texts, from memory) x 2 x 44.009/180.156."""
    gas = gas_grams(judged(a_formula(SOUR)).ledger.gas["yeast"], cupboard().constants)
    assert gas.value == pytest.approx(550 * 0.02 * 0.4886, rel=0.001)


def test_leaven_is_not_asked_for_powder():
    rich = {"all-purpose-flour": 250.0, "sourdough-starter": 100.0}
    assert found(a_formula(rich, of_class="doughnut"), "LEAVEN-01") == []
    assert found(a_formula({"all-purpose-flour": 250.0}, of_class="doughnut"), "LEAVEN-01")


def test_yeast_beside_a_leaven_is_held_to_its_range():
    weighed = a_formula({**SOUR, "fresh-yeast": 60.0}, of_class="lean-bread")
    assert [finding.rule for finding in found(weighed, "YEAST-01")] == ["YEAST-01"]


@pytest.mark.parametrize(
    ("given", "grams", "wanted", "expected", "within", "source"),
    [
        ("fresh-yeast", 30.0, "active-dry-yeast", 12.0, 0.05, "yst-01: a professional bread text, 0.4"),
        ("fresh-yeast", 30.0, "instant-yeast", 9.9, 0.05, "yst-02: the same, 0.33"),
        ("instant-yeast", 7.0, "fresh-yeast", 21.21, 0.05, "yst-03: the same, 7/0.33"),
    ],
)
def test_worked_exchanges_of_yeast(given, grams, wanted, expected, within, source):
    group = judged(a_formula({"bread-flour": 1000.0, given: grams}))
    forms = {code: mass for code, mass, _ in forms_of(group)}
    assert forms[wanted] == pytest.approx(expected, abs=within), source


def test_yeasts_stand_to_each_other_nearly_as_their_solids():
    """yst-05: USDA SR 26: compressed 69.00 percent of water, active dry 5.08: 0.327 g for one; bakers
    take 0.4, since drying kills some."""
    made_of = cupboard().composition
    fresh, dry = made_of["fresh-yeast"].water, made_of["active-dry-yeast"].water
    assert fresh is not None
    assert dry is not None
    solids = (100 - fresh) / (100 - dry)
    assert solids == pytest.approx(0.327, abs=0.001)
    worth = cupboard().leaveners["active-dry-yeast"].fresh_yeast
    assert worth is not None
    assert solids < 1 / worth


def gas_of(**more: float):
    return judged(a_formula({**LOAF, **{code.replace("_", "-"): each for code, each in more.items()}},
                            of_class="enriched-bread")).ledger.gas["yeast"]  # fmt: skip


def fermented(grams: float) -> float:
    """Stoichiometry: glucose of 180.156 g/mol gives two moles of carbon dioxide. Units: mmol."""
    return grams / 180.156 * 2 * 1000


class TestPotential:
    """What yeast can give hangs on its dose, until there is no more to ferment. Cereal texts and bread
    texts (from memory): 2 percent of flour ferments in a straight dough of 2 percent of fresh yeast;
    flour offers about 3.5 percent (2 to 5); gas of 35 to 130 mL a gram and hour, order of magnitude."""

    def test_usual_dough(self):
        assert gas_of().value == pytest.approx(fermented(20), rel=0.001), "20 g of yeast on 1000 g"

    def test_half_the_yeast_gives_half_in_the_same_time(self):
        assert gas_of(fresh_yeast=10.0).value == pytest.approx(fermented(10), rel=0.001)
        assert gas_of(fresh_yeast=10.0).high >= fermented(20), "given time, as much as ever"

    def test_a_night_s_yeast_has_a_wide_band(self):
        little = gas_of(fresh_yeast=1.0)
        assert little.low < little.value == pytest.approx(fermented(1), rel=0.001)
        assert little.high == pytest.approx(fermented(30), rel=0.001), (
            "3 percent of flour: the texts' most"
        )

    def test_more_yeast_than_flour_feeds(self):
        much = gas_of(fresh_yeast=80.0)
        assert much.value == pytest.approx(fermented(35), rel=0.001)
        assert much.high == pytest.approx(fermented(50), rel=0.001)

    def test_sugar_feeds_it(self):
        fed = gas_of(fresh_yeast=80.0, granulated_sugar=30.0)
        assert fed.value == pytest.approx(fermented(65), rel=0.001)

    def test_dry_yeast_counts_as_the_fresh_that_it_stands_for(self):
        """A professional bread text: 0.4 g of active dry for 1 g of fresh."""
        dry = a_formula({"bread-flour": 1000.0, "water": 650.0, "active-dry-yeast": 8.0})
        assert judged(dry).ledger.gas["yeast"].value == pytest.approx(fermented(20), rel=0.001)
