"""Structure, process and cautions."""

from __future__ import annotations

import pytest

from service.domain.formula import Bake, Pan, Range
from service.kitchen import open_kitchen
from service.rules.done import centre_celsius
from service.rules.judging import groups_of
from service.rules.oven import oven_celsius
from service.rules.registry import run_rules
from tests.rules.hand import a_formula, cupboard

SIZES = open_kitchen().measures
FOAM = {"egg-white": 244.0, "granulated-sugar": 250.0, "cake-flour": 100.0}


def held(weighed, rule, group=0):
    judged = groups_of(weighed, cupboard(), SIZES)[group][0]
    return [f for f in run_rules(judged) if f.rule == rule]


@pytest.mark.parametrize(
    ("of_class", "preparation", "shape", "severity", "source"),
    [
        ("angel", "greased", "tube", "error", "Lowe, Experiment 69; Rorer, angel food: ungreased"),
        ("angel", "lined", "tube", "error", "papered sides are as slippery as greased ones"),
        ("angel", "ungreased", "tube", None, "Lowe, Experiment 69"),
        ("angel", "greased", "sheet", "note", "common practice: a thin sheet stands it"),
        ("chiffon", "greased", "tube", "error", "General Mills, birthday cake basics: do not grease"),
        ("chiffon", "lined", "tube", "error", "papered sides are as slippery as greased ones"),
        ("chiffon", "floured", "round", "warning", "Life, 1956, two-egg chiffon: layers greased"),
        ("angel", "greased", "round", "error", "no angel cake was read in a greased tin"),
        ("chiffon", "lined-base", "tube", None, "common practice: paper on the base alone"),
        ("genoise", "floured", "round", None, "practice: greased and floured"),
        ("sponge", "greased", "tube", None, "other foams are exempt"),
    ],
)
def test_greased_sides_of_a_foam(of_class, preparation, shape, severity, source):
    weighed = a_formula(FOAM, of_class=of_class, pans=(Pan(shape, preparation=preparation),))
    found = held(weighed, "STRUCT-01")
    assert [f.severity for f in found] == ([] if severity is None else [severity]), source
    for finding in found:
        assert finding.lines == ("/pans/0",)


def test_greased_sides_say_why_the_cake_sinks():
    weighed = a_formula(FOAM, of_class="chiffon", pans=(Pan("tube", preparation="lined"),))
    (finding,) = held(weighed, "STRUCT-01")
    assert "sinks" in finding.message
    assert "cling" in finding.message


@pytest.mark.parametrize(
    ("of_class", "cooling", "shape", "severity"),
    [
        ("angel", "upright", "tube", "error"),
        ("angel", "inverted", "tube", None),
        ("angel", "upright", "sheet", "note"),
        ("chiffon", "turned-out", "tube", "error"),
        ("chiffon", "turned-out", "round", "warning"),
        ("sponge", "turned-out", "round", None),
    ],
)
def test_foam_cools_upside_down(of_class, cooling, shape, severity):
    """Lowe, Experimental Cookery, Experiment 69; Rorer, Philadelphia Cook Book, angel food."""
    weighed = a_formula(FOAM, of_class=of_class, pans=(Pan(shape, cooling=cooling),))
    assert [f.severity for f in held(weighed, "STRUCT-02")] == ([] if severity is None else [severity])


def test_papered_base_is_a_note():
    weighed = a_formula(FOAM, of_class="angel", pans=(Pan("tube", preparation="lined-base"),))
    assert [f.severity for f in held(weighed, "STRUCT-03")] == ["note"]


@pytest.mark.parametrize(
    ("water", "found"), [(250.0, []), (165.0, ["STRUCT-04"])], ids=["with water", "without"]
)
def test_cocoa_drinks_water(water, found):
    """Teaching sheet, cake balancing guidelines: 75 to 100 percent of the cocoa in extra water. Flour
    200, butter cake takes at least 65 percent of water (130 g), cocoa 60 wants 45 more: 175."""
    weighed = a_formula(
        {"cake-flour": 200.0, "cocoa-natural": 60.0, "water": water}, of_class="butter-cake"
    )
    assert [f.rule for f in held(weighed, "STRUCT-04")] == found


CHIFFON = {
    "cake-flour": 216.0, "granulated-sugar": 300.0, "vegetable-oil": 109.0, "egg-yolk": 90.0,
    "egg-white": 245.0, "water": 177.0, "baking-powder": 14.0,
}  # fmt: skip


@pytest.mark.parametrize(
    ("changes", "found", "source"),
    [
        ({}, [], "American household chiffon of 2 1/4 cups of cake flour; no cocoa"),
        ({"cocoa-natural": 43.0}, ["STRUCT-09"],
         "half a cup of cocoa beside all the flour: 437 g of water to 259 g of both, 1.7"),
        ({"cocoa-natural": 43.0, "cake-flour": 168.0}, [],
         "The Oklahoman, 3 February 1989: 1 3/4 cups of flour to half a cup of cocoa and 3/4 of water"),
        ({"cocoa-natural": 43.0, "water": 237.0}, [],
         "common practice: a quarter cup of water more for half a cup of cocoa"),
    ],
)  # fmt: skip
def test_cocoa_of_a_chiffon_drinks_water(changes, found, source):
    """Masses: USDA SR Legacy, cake flour sifted 96 g a cup, cocoa 86, white 243; water of white 87.6
    percent, of yolk 52.3."""
    weighed = a_formula({**CHIFFON, **changes}, of_class="chiffon")
    told = held(weighed, "STRUCT-09")
    assert [f.rule for f in told if f.severity == "warning"] == found, source
    assert len(told) == len(found)


@pytest.mark.parametrize(
    ("grams", "severity", "source"),
    [
        ({"egg": 200.0}, "error", "common practice: whole eggs make no meringue"),
        ({"egg-white": 120.0}, None, "Farmer and household meringues: whites alone"),
        ({"egg-white": 120.0, "egg-yolk": 0.5}, None, "Kitchen Myths, 20 April 2012: a speck"),
        ({"egg-white": 120.0, "almonds": 100.0}, None, "common practice: nuts are folded in"),
        ({"egg-white": 90.0, "egg": 50.0}, "error", "one egg of four that was not parted"),
    ],
)
def test_meringue_is_of_whites_alone(grams, severity, source):
    weighed = a_formula({**grams, "granulated-sugar": 220.0}, of_class="meringue")
    told = held(weighed, "STRUCT-07")
    assert [f.severity for f in told] == ([] if severity is None else [severity]), source


@pytest.mark.parametrize(
    ("bake", "celsius", "source"),
    [
        (Range(350.0, 350.0, "[degF]"), 176.667, "5/9 (350 - 32)"),
        (Range(180.0, 180.0, "Cel"), 180.0, "as stated"),
        (Range(0.25, 0.25, "gas"), (225 - 32) / 1.8, "gas mark rule: 1/4 is 225 degrees Fahrenheit"),
        (Range(0.5, 0.5, "gas"), (250 - 32) / 1.8, "gas mark rule: 1/2 is 250 degrees Fahrenheit"),
        (Range(1.0, 1.0, "gas"), (275 - 32) / 1.8, "gas mark rule: 1 is 275 degrees Fahrenheit"),
        (Range(4.0, 4.0, "gas"), (350 - 32) / 1.8, "gas mark rule: 4 is 350 degrees Fahrenheit"),
        (Range(6.0, 6.0, "gas"), (400 - 32) / 1.8, "gas mark rule: 6 is 400 degrees Fahrenheit"),
        (Range(9.0, 9.0, "gas"), (475 - 32) / 1.8, "gas mark rule: 9 is 475 degrees Fahrenheit"),
        (Range(350.0, 375.0, "[degF]"), 183.611, "the middle of NIST's moderate oven"),
    ],
)
def test_oven_in_celsius(bake, celsius, source):
    weighed = a_formula(FOAM, of_class="angel", bake=Bake(temperature=bake))
    judged = groups_of(weighed, cupboard(), SIZES)[0][0]
    band = oven_celsius(judged)
    assert band is not None
    assert band.value == pytest.approx(celsius, abs=0.01), source


@pytest.mark.parametrize(("fan", "still"), [(160.0, 180.0), (180.0, 200.0)])
def test_fan_oven_counts_as_a_hotter_still_one(fan, still):
    """New South Wales Health, cookery chart: a fan oven is set 20 degrees Celsius below."""
    bake = Bake(temperature=Range(fan, fan, "Cel"), oven="fan")
    judged = groups_of(a_formula(FOAM, of_class="angel", bake=bake), cupboard(), SIZES)[0][0]
    band = oven_celsius(judged)
    assert band is not None
    assert band.value == pytest.approx(still)


def test_gas_mark_nought_is_no_heat():
    bake = Bake(temperature=Range(0.0, 0.0, "gas"))
    assert oven_celsius(groups_of(a_formula(FOAM, bake=bake), cupboard(), SIZES)[0][0]) is None


@pytest.mark.parametrize(
    ("low", "high", "found", "certain"),
    [
        (175.0, 175.0, 0, None),
        (190.0, 190.0, 0, None),
        (195.0, 195.0, 1, True),
        (192.0, 192.0, 1, False),
        (185.0, 205.0, 1, False),
    ],
    ids=["inside", "on", "outside", "as rounded from Fahrenheit", "straddling"],
)
def test_oven_of_an_angel_cake(low, high, found, certain):
    """Lowe, Experimental Cookery, and household manuals: 150 to 190 degrees Celsius; household tables
    print 350 F (176.7) as 180, so heats are rounded by up to 3.3 degrees."""
    bake = Bake(temperature=Range(low, high, "Cel"))
    findings = held(a_formula(FOAM, of_class="angel", bake=bake), "STRUCT-05")
    assert len(findings) == found
    for finding in findings:
        assert finding.certain is certain


def test_minutes_are_a_note_only():
    bake = Bake(minutes=Range(300.0, 300.0))
    assert [f.severity for f in held(a_formula(FOAM, of_class="angel", bake=bake), "STRUCT-06")] == [
        "note"
    ]


@pytest.mark.parametrize(("yolk", "found"), [(0.0, 0), (6.0, 1)])
def test_whites_to_be_beaten_hold_no_yolk(yolk, found):
    """McGee, On Food and Cooking: a trace of yolk keeps whites from foaming (0.3 percent, memory)."""
    foam = {"egg-white": 200.0, "granulated-sugar": 100.0, **({"egg-yolk": yolk} if yolk else {})}
    weighed = a_formula(
        {"cake-flour": 200.0, "vegetable-oil": 100.0, "egg-yolk": 80.0},
        foam,
        of_class="chiffon",
        roles=("batter", "foam"),
    )
    assert len(held(weighed, "STRUCT-07")) == found


class TestCautions:
    def said(self, weighed, group=0):
        return {f.limit for f in held(weighed, "CAUTION-01", group)}

    def test_raw_egg_in_an_unbaked_part(self):
        """FDA and USDA: egg dishes to 71 degrees Celsius, or pasteurised egg."""
        icing = {"powdered-sugar": 200.0, "egg-white": 33.0}
        weighed = a_formula(FOAM, icing, of_class="angel", roles=("batter", "glaze"))
        assert "egg-undercooked" in self.said(weighed, 1)
        assert "egg-undercooked" not in self.said(weighed, 0)

    def test_cooked_part_is_not_raw(self):
        cream = {"whole-milk": 500.0, "egg-yolk": 90.0, "cornstarch": 40.0}
        weighed = a_formula(
            FOAM, cream, of_class="angel", roles=("batter", "filling"),
            methods=((), ("Boil two minutes, stirring.",)),
        )  # fmt: skip
        assert "egg-undercooked" not in self.said(weighed, 1)
        assert "cold-filling" in self.said(weighed, 1)

    def test_raw_flour_in_an_unbaked_part(self):
        dough = {"all-purpose-flour": 100.0, "granulated-sugar": 100.0}
        weighed = a_formula(FOAM, dough, of_class="angel", roles=("batter", "filling"))
        assert "flour-raw" in self.said(weighed, 1)

    def test_alcohol_and_honey_and_ammonia(self):
        weighed = a_formula(
            {"all-purpose-flour": 200.0, "brandy": 30.0, "honey": 50.0, "baking-ammonia": 1.0},
            of_class="rolled-cookie",
        )
        assert {"alcohol-stays", "honey-infant", "ammonia-escapes"} <= self.said(weighed)

    def test_much_nutmeg(self):
        assert "nutmeg-dose" in self.said(a_formula({"nutmeg": 12.0}, of_class="filling"))
        assert "nutmeg-dose" not in self.said(a_formula({"nutmeg": 2.0}, of_class="filling"))

    def test_every_caution_is_told_somewhere(self):
        """Every row's trigger is one that a test here raises, or an allergen answer tells it."""
        from service.rules.cautions import _TRIGGERS

        for row in cupboard().tables["cautions"]:
            kind, _, code = row.trigger.partition(":")
            assert (
                row.trigger == "allergens"
                or row.trigger in _TRIGGERS
                or (kind in ("ingredient", "dose") and code in cupboard().ingredients)
            ), row.key


@pytest.mark.parametrize(
    ("sentence", "celsius"),
    [
        ("Bake until the internal temperature is 200 to 210 F.", (93.33, 98.89)),
        ("It is done when the centre reaches 96 °C.", (96.0, 96.0)),
        ("Bake at 350 F until a straw comes out clean from the centre.", None),
        ("Bake 30 minutes.", None),
    ],
)
def test_centre_when_done_is_read_from_the_method(sentence, celsius):
    """Degrees by arithmetic: (F - 32) / 1.8."""
    formula = a_formula(FOAM, of_class="lean-bread", method=(sentence,))
    band = centre_celsius(groups_of(formula, cupboard(), SIZES)[0][0])
    assert celsius == (None if band is None else pytest.approx((band.low, band.high), abs=0.01))


def test_bread_taken_out_raw_is_noted():
    """Common practice, no source: a lean loaf is done at 200 to 210 F."""
    for sentence, told in (("The centre is 60 C.", True), ("The centre is 97 C.", False)):
        formula = a_formula(FOAM, of_class="lean-bread", method=(sentence,))
        assert bool(held(formula, "STRUCT-08")) is told
