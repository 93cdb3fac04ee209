"""Pans by geometry; expected volumes are worked from the sizes (1 inch is 25.4 mm exactly)."""

from __future__ import annotations

import pytest

from service.domain.formula import Dimension, Pan
from service.domain.quantity import Quantity, read_fraction
from service.kitchen import open_kitchen
from service.rules.judging import groups_of
from service.rules.pans import area_of, filled, pans_basis, pans_that_fit, volume_of
from service.rules.registry import run_rules
from tests.rules.hand import a_formula, cupboard

KITCHEN = open_kitchen()
SIZES = KITCHEN.measures
CONSTANTS = cupboard().constants


def size(text: str) -> Dimension:
    amount, _, unit = text.partition(" ")
    value = read_fraction(amount)
    assert value is not None
    return Dimension(Quantity.of(value), unit)


def pan(shape: str, **sizes) -> Pan:
    plain = {k: v for k, v in sizes.items() if not isinstance(v, str) or k == "size"}
    lengths = {k: size(v) for k, v in sizes.items() if isinstance(v, str) and k != "size"}
    return Pan(shape, **lengths, **plain)


@pytest.mark.parametrize(
    ("given", "volume", "source"),
    [
        (pan("round", diameter="9 in", depth="2 in"), 2085, "pi/4 x 22.86 cm squared x 5.08 cm"),
        (pan("square", length="8 in", depth="2 in"), 2097.544, "20.32 cm squared x 5.08 cm"),
        (pan("rectangle", length="13 in", width="9 in", depth="2 in"), 3834.573, "13 x 9 x 2 cubic in"),
        (pan("sheet", length="40 cm", width="30 cm", depth="2 cm"), 2400, "40 x 30 x 2 cm"),
        (pan("loaf", length="8.5 in", width="4.5 in", depth="2.75 in"), 1723.714 * 0.9,
         "8.5 x 4.5 x 2.75 cubic in, sides sloped by a tenth (judged)"),
        (pan("tube", diameter="10 in", depth="4 in", tube_diameter="3 in"), 4684.815 * 0.9,
         "pi/4 x (10 squared - 3 squared) x 4 cubic in, sides sloped by a tenth (judged)"),
        (pan("gastronorm", size="1/1", depth="65 mm"), 53.0 * 32.5 * 6.5, "EN 631-1 outside sizes"),
        (pan("round", volume="1.5 L"), 1500, "a measured volume goes before geometry"),
    ],
)  # fmt: skip
def test_volume_of_a_pan(given, volume, source):
    found = volume_of(given, SIZES, CONSTANTS)
    assert found is not None
    assert found.value == pytest.approx(volume, rel=0.001), source


def test_oblong_pan_in_cups():
    """pan-07, geometry: 13 x 9 x 2 in holds 16.208 US cups of 236.588 mL, within 0.01."""
    oblong = volume_of(pan("rectangle", length="13 in", width="9 in", depth="2 in"), SIZES, CONSTANTS)
    cup = SIZES.find("cup", "us")
    assert oblong is not None
    assert cup is not None
    assert oblong.value / cup.size == pytest.approx(16.208, abs=0.01)


@pytest.mark.parametrize(
    ("one", "other", "ratio", "source"),
    [
        (pan("round", diameter="8 in"), pan("round", diameter="9 in"), 1.266, "81/64"),
        (pan("round", diameter="9 in"), pan("square", length="9 in"), 1.273, "4/pi"),
        (pan("round", diameter="20 cm"), pan("round", diameter="26 cm"), 1.69, "1.3 squared"),
        (pan("square", length="8 in"), pan("round", diameter="8 in"), 0.785, "pi/4"),
    ],
)
def test_areas_stand_as_their_figures(one, other, ratio, source):
    first, second = area_of(one, SIZES, CONSTANTS), area_of(other, SIZES, CONSTANTS)
    assert first is not None
    assert second is not None
    assert second / first == pytest.approx(ratio, abs=0.001), source


@pytest.mark.parametrize(
    "given",
    [
        pan("round", depth="2 in"),
        pan("round", diameter="9 in", depth="2 g"),
        pan("rectangle", length="13 in", depth="2 in"),
        pan("gastronorm", size="9/9", depth="65 mm"),
        pan("gastronorm", size="1/1"),
        pan("gastronorm"),
        pan("tube", depth="4 in"),
    ],
)
def test_pan_without_its_sizes_has_no_volume(given):
    assert volume_of(given, SIZES, CONSTANTS) is None


def cake(grams: float, *pans: Pan, of_class="butter-cake"):
    weighed = a_formula({"cake-flour": grams}, of_class=of_class, pans=pans)
    return groups_of(weighed, cupboard(), SIZES)[0][0]


NINE = pan("round", diameter="9 in", depth="2 in", count=2)


def fills(grams: float, *pans: Pan):
    return [f for f in run_rules(cake(grams, *pans)) if f.rule == "PAN-01"]


class TestFill:
    """Two 9 x 2 in rounds hold 4170 mL by geometry; butter cake batter weighs about 0.85 g/mL and
    fills a half to two thirds (baking-education page), 0.667 x 4170 x 0.85 = 2364 g."""

    def test_fill_that_suits(self):
        assert fills(2100.0, NINE) == []

    def test_fill_on_the_limit(self):
        state = filled(cake(2100.0, NINE))
        assert state is not None
        on = 2100.0 * 0.667 / state.fill.value
        assert fills(on, NINE) == []
        assert [f.limit for f in fills(on * 1.01, NINE)] == ["pan-01/butter-cake"]

    def test_band_that_straddles_is_uncertain(self):
        (finding,) = fills(2500.0, NINE)
        assert not finding.certain
        assert finding.severity == "note", "what the band leaves open weighs one step less"

    def test_overflow_is_an_error(self):
        (finding,) = fills(5000.0, NINE)
        assert (finding.severity, finding.certain) == ("error", True)

    def test_too_thin_to_rise_is_a_warning(self):
        (finding,) = fills(500.0, NINE)
        assert finding.severity == "warning"

    def test_how_many_would_fit(self):
        """4000 g at 0.85 g/mL is 4706 mL; one pan filled to 0.583 takes 1216 mL: four, rounded."""
        judged = cake(4000.0, NINE)
        state = filled(judged)
        assert state is not None
        assert pans_that_fit(judged, state) == 4

    @pytest.mark.parametrize(
        ("grams", "given", "source"),
        [
            (2.75 * 236.588 * 0.85 * 2, NINE,
             "Los Angeles Times, 21 May 1987: 2 3/4 cups of batter, 5/8 inch deep, to a round"),
            (4 * 236.588 * 0.85, NINE,
             "decorators' tables: a batch for two layers is 4 cups of batter and more"),
            (150.0, pan("rectangle", length="5 in", width="2.5 in", depth="2.5 in"),
             "Lowe, Experimental Cookery, Experiment 84: 150 g of batter"),
        ],
    )  # fmt: skip
    def test_layers_as_books_fill_them_are_not_too_thin(self, grams, given, source):
        assert fills(grams, given) == [], source

    def test_a_layer_a_quarter_of_an_inch_deep_is_told_what_is_usual(self):
        """As above: 0.22 to 0.5 of a tin two inches deep. 400 g in two rounds are 0.11 of them, a
        quarter of an inch."""
        (finding,) = fills(400.0, NINE)
        assert (finding.severity, finding.limit) == ("warning", "pan-01/butter-cake/layers")

    def test_fill_points_at_the_pans(self):
        (finding,) = fills(5000.0, NINE)
        assert finding.lines == ("/components/0/ingredients/0", "/pans/0")

    def test_pan_of_unknown_size_is_not_judged_and_says_so(self):
        judged = cake(5000.0, NINE, pan("round", depth="2 in"))
        told = [f for f in run_rules(judged) if f.rule.startswith("PAN-")]
        assert [(f.rule, f.severity, f.lines) for f in told] == [("PAN-04", "note", ("/pans/1",))]
        assert "diameter" in (told[0].settle or "")

    def test_muffin_cups_that_nobody_counts_are_not_taken_for_one(self):
        """Common practice: tins have 6, 12 or 24 cups."""
        told = [f for f in run_rules(cake(1000.0, pan("muffin"))) if f.rule.startswith("PAN-")]
        assert [(f.rule, f.lines) for f in told] == [("PAN-04", ("/pans/0",))]

    def test_depth_that_is_not_stated_is_assumed_and_said(self):
        """Newspaper and household pan tables: rounds of nine inches are 1 1/2 and 2 inches deep, and
        springforms 3: 1564 to 3127 mL by geometry (pi/4 x 22.86 cm squared)."""
        judged = cake(2100.0, pan("round", diameter="9 in", count=2))
        state = filled(judged)
        assert state is not None
        assert state.volume.value == pytest.approx(2 * 2085, rel=0.01)
        assert state.volume.high == pytest.approx(2 * 3127, rel=0.01)
        assert state.volume.low <= 2 * 1564
        (said, _) = pans_basis(judged)
        assert said.pan == "/pans/0"
        assert "5.1 cm" in said.says
        assert said.source

    def test_sides_that_slope_are_said(self):
        tube = pan("tube", diameter="10 in", depth="4 in")
        said = [each.says for each in pans_basis(cake(900.0, tube, of_class="angel"))]
        assert any("0.9" in each and "slope" in each for each in said), "judged, constants taper/tube"
        assert any("5.7 cm" in each for each in said), "judged, constants tube_diameter"

    def test_measured_volume_rests_on_nothing_else(self):
        assert pans_basis(cake(900.0, pan("round", volume="2 L"))) == ()


#: Household pan tables: foam sheets and rounds 0.4 to 0.75 full, loaf tins, muffin cups and tubes half
#: full at the least; layers as Lowe, the Los Angeles Times and decorators' tables fill them. Grams are
#: the fill of a litre by the batter's density (Pyler, from memory).
@pytest.mark.parametrize(
    ("of_class", "grams", "shape", "severities"),
    [
        ("butter-cake", 110.0, "round", ["warning"]),
        ("butter-cake", 110.0, "sheet", ["note"]),
        ("butter-cake", 290.0, "round", []),
        ("pound", 250.0, "loaf", ["warning"]),
        ("muffin", 250.0, "muffin", ["warning"]),
        ("angel", 60.0, "tube", ["warning"]),
        ("angel", 170.0, "tube", []),
        ("sponge", 80.0, "round", ["warning"]),
        ("sponge", 80.0, "sheet", ["note"]),
    ],
)
def test_layer_too_thin_to_rise(of_class, grams, shape, severities):
    one = pan(shape, volume="1 L")
    told = [f for f in run_rules(cake(grams, one, of_class=of_class)) if f.rule == "PAN-01"]
    assert [f.severity for f in told] == severities
    for finding in told:
        assert finding.message.startswith("Too thin to rise") is (finding.severity == "warning")


def test_layer_whose_pan_may_be_printed_smaller_is_told_all_the_same():
    """1080 mL of batter (Pyler: 0.75 to 1.0 g/mL) in 18 x 12 x 2 inches, 7079 mL by geometry and 0.8 of
    it as printed: at most 0.216, less than the least of layers, 0.22 (Lowe; Los Angeles Times, 1987)."""
    wide = pan("rectangle", length="18 in", width="12 in", depth="2 in")
    (finding,) = fills(918.0, wide)
    assert (finding.severity, finding.lines[-1]) == ("warning", "/pans/0")
    assert fills(1200.0, wide)[0].severity == "note"


def test_brownies_and_pancakes_may_lie_thin():
    """Common practice: brownies are an inch high, pancakes lie on a griddle."""
    for of_class in ("brownie", "pancake", "short-pastry"):
        judged = cake(150.0, pan("square", volume="1 L"), of_class=of_class)
        assert [f for f in run_rules(judged) if f.rule == "PAN-01" and f.severity != "note"] == []


@pytest.mark.parametrize(
    ("of_class", "grams", "one", "that_fit", "source"),
    [
        ("butter-cake", 1080.0, pan("round", diameter="9 in", depth="2 in", count=2), 2,
         "decorators' tables: 0.23 to 0.31 of two nine-inch rounds; 1271 mL to 4170"),
        ("butter-cake", 4000.0, pan("square", length="8 in", depth="2 in"), 4,
         "4706 mL at 0.583 of 2098 mL: 3.85"),
        ("chocolate-cake", 4000.0, pan("rectangle", length="13 in", width="9 in", depth="2 in"), 2,
         "4348 mL at 0.583 of 3835 mL: 1.94"),
        ("pound", 2000.0, pan("loaf", length="9 in", width="5 in", depth="3 in"), 2,
         "2353 mL at 0.675 of 1991 mL: 1.75"),
        ("angel", 2000.0, pan("tube", diameter="10 in", depth="4 in", tube_diameter="2.25 in"), 2,
         "6667 mL at 0.733 of 4399 mL: 2.07"),
        ("muffin", 1630.0, pan("muffin", count=12), 24, "1680 mL at 0.667 of 105 mL: 24.0"),
        ("sponge", 1000.0, pan("sheet", length="18 in", width="13 in", depth="1 in", count=2), 1,
         "2222 mL at 0.7 of 3835 mL: 0.83"),
    ],
)  # fmt: skip
def test_how_many_of_each_shape_fit(of_class, grams, one, that_fit, source):
    """Shares of the class's centre (limits, PAN-01), densities by Pyler from memory, geometry worked."""
    judged = cake(grams, one, of_class=of_class)
    state = filled(judged)
    assert state is not None
    assert pans_that_fit(judged, state) == that_fit, source


def test_loaf_in_a_tin_of_its_size():
    """Old US formulary: 5.5 cubic inches an ounce, 3.18 mL a gram."""
    tin = pan("loaf", volume="2 L")
    weighed = a_formula({"bread-flour": 1000.0}, of_class="lean-bread", pans=(tin,))
    judged = groups_of(weighed, cupboard(), SIZES)[0][0]
    assert [f.severity for f in run_rules(judged) if f.rule == "PAN-02"] == ["warning"]
    suits = a_formula({"bread-flour": 2000.0 / 3.18}, of_class="lean-bread", pans=(tin,))
    assert [f for f in run_rules(groups_of(suits, cupboard(), SIZES)[0][0]) if f.rule == "PAN-02"] == []


@pytest.mark.parametrize(
    ("of_class", "grams", "source"),
    [
        ("angel", {"egg-white": 366.0, "granulated-sugar": 300.0, "cake-flour": 96.0},
         "American household books: 1 1/2 cups of whites, 1 of cake flour for a 10 x 4 in tube"),
        ("chiffon", {"cake-flour": 216.0, "granulated-sugar": 300.0, "vegetable-oil": 109.0,
                     "egg-yolk": 90.0, "egg-white": 245.0, "water": 177.0, "baking-powder": 14.0},
         "American household books: 2 1/4 cups of cake flour, 1 cup of whites for a 10 x 4 in tube"),
    ],
)  # fmt: skip
def test_batch_for_a_tube_fills_it(of_class, grams, source):
    """Common practice, no one source; masses by USDA SR Legacy household weights."""
    tube = pan("tube", diameter="10 in", depth="4 in")
    weighed = a_formula(grams, of_class=of_class, pans=(tube,))
    told = run_rules(groups_of(weighed, cupboard(), SIZES)[0][0])
    assert [f for f in told if f.rule == "PAN-01"] == [], source
