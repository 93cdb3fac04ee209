"""Which of a line's measures decides, and which row of the tables, with what is said of it."""

from __future__ import annotations

import pytest

from service.domain.formula import Equivalent, Line
from service.domain.quantity import Quantity
from service.kitchen import Kitchen
from tests.weighing.lines import amount, grams, line, one, said, weigh

HERE = "/components/0/ingredients/0"


def same(quantity: str, unit: str) -> Equivalent:
    found = amount(quantity)
    assert found is not None
    return Equivalent(found, unit)


# -- a mass goes first (contract, section 3) -------------------------------------------------------


def test_of_two_masses_the_first_counts(kitchen: Kitchen) -> None:
    found = one(kitchen, "1 lb. (450 g) raisins", measures="us")
    assert found.grams is not None
    assert found.grams.value == pytest.approx(453.59237), "UCUM 2.2 [lb_av]"
    assert found.grams.low == found.grams.high == found.grams.value
    assert found.basis is not None
    assert (found.basis.kind, found.basis.row) == ("written-mass", "units:lb")


def test_a_mass_beats_the_volume_beside_it(kitchen: Kitchen) -> None:
    found = one(kitchen, line(1, "cup", "raisins", equivalent=same("150", "g")), measures="us")
    assert found.grams is not None
    assert found.grams.value == 150
    assert found.basis is not None
    assert found.basis.kind == "equivalent"


@pytest.mark.parametrize(
    ("first", "second", "problem"),
    [("100", "104", False), ("100", "105", False), ("100", "106", True), ("100", "94", True)],
)
def test_measures_that_differ_by_over_5_percent_are_a_problem(
    kitchen: Kitchen, first: str, second: str, problem: bool
) -> None:
    """Source: the contract, section 3: over 5% apart is a problem; the first counts."""
    found = weigh(kitchen, line(first, "g", "raisins", equivalent=same(second, "g")), measures="us")
    assert found.lines[0].grams is not None
    assert found.lines[0].grams.value == float(first)
    codes = [(p.code, p.line) for p in found.problems]
    assert codes == ([("measures-disagree", HERE)] if problem else [])
    for text in (first, second) if problem else ():
        assert f"{text} g" in found.problems[0].detail


def test_a_mass_that_its_volume_cannot_weigh_is_a_problem(kitchen: Kitchen) -> None:
    wrong = line(1, "cup", "granulated-sugar", equivalent=same("100", "g"))
    right = line(1, "cup", "granulated-sugar", equivalent=same("200", "g"))
    assert [p.code for p in weigh(kitchen, wrong, measures="us").problems] == ["measures-disagree"]
    assert weigh(kitchen, right, measures="us").problems == (), "USDA SR NDB 19335: 200 g a cup"


def test_an_equivalent_serves_where_the_first_measure_does_not(kitchen: Kitchen) -> None:
    found = one(kitchen, line(2, "gribbles", "raisins", equivalent=same("1/2", "lb")), measures="us")
    assert found.grams is not None
    assert found.grams.value == pytest.approx(226.796185), "half of UCUM 2.2 [lb_av]"


# -- ranges and levels ----------------------------------------------------------------------------


def test_a_range_weighs_its_middle_between_its_ends(kitchen: Kitchen) -> None:
    found = grams(kitchen, line("2 to 3", "tbsp", "whole-milk"), measures="us")
    assert found.value == pytest.approx(37.5), "USDA SR NDB 01077: tbsp 15 g; two and a half of them"
    assert found.low <= 30
    assert found.high >= 45


@pytest.mark.parametrize(
    ("level", "tablespoons", "source"),
    [
        ("scant", 14, "Cocroft: a level cup with two tablespoonfuls taken out"),
        ("level", 16, "UCUM 2.2: 16 tablespoons to the cup"),
        ("heaped", 18, "Cocroft: a level cup with two tablespoonfuls added"),
    ],
)
def test_levels_of_a_cup(kitchen: Kitchen, level: str, tablespoons: int, source: str) -> None:
    flat = grams(kitchen, line(1, "cup", "granulated-sugar"), measures="us")
    found = grams(kitchen, line(1, "cup", "granulated-sugar", level=level), measures="us")
    assert found.value == pytest.approx(flat.value * tablespoons / 16), source
    assert found.low <= found.value <= found.high


# -- handling -------------------------------------------------------------------------------------


def test_the_lines_handling_goes_before_the_formulas(kitchen: Kitchen) -> None:
    plain = line(1, "cup", "all-purpose-flour")
    sifted = line(1, "cup", "all-purpose-flour", state=("sifted",))
    dipped = grams(kitchen, plain, measures="us", handling="dipped")
    assert grams(kitchen, sifted, measures="us", handling="dipped").value < dipped.value
    found = weigh(kitchen, sifted, plain, measures="us", handling="dipped")
    assert said(found, "handling-not-said") == []


def test_handling_that_nobody_said_is_spooned_and_wide(kitchen: Kitchen) -> None:
    """Source: the contract, section 3: absent is spooned, an assumption whose band spans sifted to
    dipped."""
    plain = line(2, "cup", "all-purpose-flour")
    found = weigh(kitchen, plain, measures="us")
    taken = found.lines[0].grams
    assert taken is not None
    by = {h: grams(kitchen, plain, measures="us", handling=h) for h in ("sifted", "spooned", "dipped")}
    assert taken.value == by["spooned"].value == pytest.approx(250), "USDA SR NDB 20081: cup 125 g"
    assert taken.low <= by["sifted"].value
    assert taken.high >= by["dipped"].value
    worth = by["dipped"].value - by["spooned"].value
    assert said(found, "handling-not-said") == [(HERE, "spooned", pytest.approx(worth))]


def test_sifted_cake_flour_against_sifted_plain(kitchen: Kitchen) -> None:
    """Common practice: 2 1/4 cups of cake flour stand for 2 of all-purpose, both sifted first."""
    cake = grams(kitchen, "2 1/4 cups sifted cake flour", measures="us")
    plain = grams(kitchen, "2 cups sifted all-purpose flour", measures="us")
    assert cake.value == pytest.approx(plain.value, rel=0.07)


def test_sifting_after_measuring_changes_no_mass(kitchen: Kitchen) -> None:
    """Common practice: `1 cup flour, sifted` was measured before it was sifted."""
    after = grams(kitchen, "1 cup all-purpose flour, sifted", measures="us", handling="spooned")
    before = grams(kitchen, "1 cup sifted all-purpose flour", measures="us", handling="spooned")
    plain = grams(kitchen, "1 cup all-purpose flour", measures="us", handling="spooned")
    assert before.value < after.value == plain.value


def test_brown_sugar_is_packed_unless_said(kitchen: Kitchen) -> None:
    found = weigh(kitchen, line(1, "cup", "brown-sugar"), measures="us")
    taken = found.lines[0].grams
    assert taken is not None
    assert taken.value == pytest.approx(220), "USDA SR NDB 19334: cup packed 220 g"
    ((where, value, worth),) = said(found, "usual-state")
    assert (where, value, worth) == (HERE, "packed", pytest.approx(145 - 220)), "unpacked 145 g"


# -- which row ------------------------------------------------------------------------------------


def test_spoons_go_by_spoon_rows_and_cups_by_cup_rows(kitchen: Kitchen) -> None:
    """Source: USDA SR NDB 01056, sour cream: tbsp 12 g, cup 230 g, a fifth apart by volume."""
    assert grams(kitchen, line(1, "tbsp", "sour-cream"), measures="us").value == 12
    assert grams(kitchen, line(1, "cup", "sour-cream"), measures="us").value == 230


@pytest.mark.parametrize(
    ("quantity", "unit", "measures", "expected", "source"),
    [
        (1, "tbsp", "au", 12 / 14.78676 * 20, "the tablespoon's density for 20 mL (AS 1325)"),
        (1, "tbsp", "metric", 12 / 14.78676 * 15, "the tablespoon's density for 15 mL"),
        (1, "cup", "metric", 230 / 236.588 * 250, "the cup's density for 250 mL"),
        (200, "mL", "metric", 230 / 236.588 * 200, "millilitres go by the largest measure"),
        (20, "mL", "metric", 230 / 236.588 * 20, "whatever the amount, so that scaling is exact"),
    ],
)
def test_other_volumes_go_by_the_row_nearest_in_size(
    kitchen: Kitchen, quantity: int, unit: str, measures: str, expected: float, source: str
) -> None:
    found = one(kitchen, line(quantity, unit, "sour-cream"), measures=measures)
    assert found.grams is not None
    assert found.grams.value == pytest.approx(expected, rel=1e-4), f"USDA SR NDB 01056; {source}"
    assert found.basis is not None
    assert found.basis.kind == "density"


def test_a_contested_spoon_widens_the_band(kitchen: Kitchen) -> None:
    found = grams(kitchen, line(1, "tbsp", "water"), measures="imperial")
    assert found.low <= 14.3, "half a fluid ounce: UCUM 2.2 [foz_br] / 2 = 14.21 mL"
    assert found.high >= 17.7, "5/8 of a fluid ounce, 17.76 mL"


def test_a_dash_tells_no_density(kitchen: Kitchen) -> None:
    """Source: Cocroft's table: four saltspoons make a teaspoon; USDA SR NDB 02047: salt, tsp 6 g. The
    same entry's dash of 0.4 g is a nominal figure, half of what an eighth of its teaspoon weighs."""
    assert grams(kitchen, "1 saltspoon salt", measures="us").value == pytest.approx(1.5, abs=0.01)
    assert grams(kitchen, "1 dash salt", measures="us").value == pytest.approx(0.4, abs=0.01)


def test_a_form_without_a_row_goes_by_its_kin_and_says_so(kitchen: Kitchen) -> None:
    found = weigh(kitchen, line(1, "cup", "walnuts", state=("sliced",)), measures="us")
    taken = found.lines[0].grams
    assert taken is not None
    assert taken.value == pytest.approx(117), "USDA SR NDB 12155: chopped 117 g a cup"
    assert taken.low <= 80, "the ground row, 80 g, bounds what a form may weigh"
    ((where, value, _),) = said(found, "state-without-row")
    assert (where, value) == (HERE, "chopped")


def test_a_piece_without_a_size_is_medium_between_small_and_large(kitchen: Kitchen) -> None:
    """Source: USDA SR NDB 09040: banana small 101 g, medium 118 g, large 136 g."""
    found = weigh(kitchen, line(2, None, "banana"))
    taken = found.lines[0].grams
    assert taken is not None
    assert taken.value == 236
    assert taken.low <= 202
    assert taken.high >= 272
    assert said(found, "size-not-said") == [(HERE, "medium", pytest.approx(36))]
    sized = weigh(kitchen, line(2, None, "banana", state=("large",)))
    assert sized.lines[0].grams is not None
    assert sized.lines[0].grams.value == 272
    assert said(sized, "size-not-said") == []


def test_a_dozen_is_twelve(kitchen: Kitchen) -> None:
    dozen = grams(kitchen, line(1, "dozen", "banana", state=("medium",)))
    assert dozen.value == pytest.approx(12 * 118), "USDA SR NDB 09040"


def test_parts_are_weighed_as_what_they_are(kitchen: Kitchen) -> None:
    """Source: USDA SR NDB 09152: the juice of one lemon 48 g."""
    found = one(kitchen, line(1, None, "lemon", part="juice"))
    assert found.code == "lemon-juice"
    assert found.grams is not None
    assert found.grams.low <= 48 <= found.grams.high


# -- fields and text ------------------------------------------------------------------------------


def test_fields_decide_and_the_text_fills_what_they_leave_out(kitchen: Kitchen) -> None:
    both = Line(text="1 cup granulated sugar", quantity=Quantity.of(2))
    found = one(kitchen, both, measures="us")
    assert found.grams is not None
    assert found.grams.value == pytest.approx(400), "USDA SR NDB 19335: cup 200 g, twice"
    assert found.line.unit == "cup"
    assert found.as_written == "1 cup granulated sugar"


def test_a_named_ingredient_ends_the_texts_doubt(kitchen: Kitchen) -> None:
    text = "2 cups Mehl"
    unknown = weigh(kitchen, text, measures="us")
    assert unknown.lines[0].reason == "unknown-ingredient"
    assert [p.code for p in unknown.problems] == ["unknown-ingredient"]
    known = weigh(kitchen, Line(text=text, ingredient="all-purpose-flour"), measures="us")
    assert known.lines[0].grams is not None
    assert known.problems == ()


def test_an_ambiguous_name_is_an_assumption_with_its_worth(kitchen: Kitchen) -> None:
    for only in ("1 cup butter", line(1, "cup", "butter")):
        found = weigh(kitchen, only, measures="us")
        assert found.lines[0].code == "butter-unsalted"
        ((where, value, worth),) = said(found, "ambiguous-name")
        assert (where, value) == (HERE, "butter-unsalted")
        assert worth == pytest.approx(0, abs=0.5), "USDA SR NDB 01001 and 01145: both 227 g a cup"


def test_a_line_may_name_several_things(kitchen: Kitchen) -> None:
    found = weigh(kitchen, "1 cup each sugar and milk", measures="us")
    assert [w.code for w in found.lines] == ["granulated-sugar", "whole-milk"]
    assert {w.pointer for w in found.lines} == {HERE}
    assert [w.grams.value for w in found.lines if w.grams] == [200, 244], "USDA SR 19335, 01077"
    assert len(found.formula.components[0].ingredients) == 2


# -- alternatives, options, measures ---------------------------------------------------------------


def test_alternatives_are_weighed_and_not_counted(kitchen: Kitchen) -> None:
    found = weigh(kitchen, "1/2 cup lard or 1/2 cup shortening", measures="us")
    (only,) = found.lines
    assert only.code == "lard"
    (other,) = only.alternatives
    assert other.pointer == f"{HERE}/alternatives/0"
    assert other.grams is not None
    assert other.grams.value == pytest.approx(102.5), "USDA SR NDB 04615: cup 205 g"
    total = found.totals["grams"]
    assert total is not None
    assert total.value == pytest.approx(102.5), "USDA SR NDB 04002: lard, cup 205 g, alone"
    assert len(said(found, "first-alternative")) == 1


def test_an_alternative_without_an_amount_takes_the_lines(kitchen: Kitchen) -> None:
    with_fields = line(1, "cup", "lard", alternatives=(line(None, None, "butter-unsalted"),))
    (only,) = weigh(kitchen, with_fields, measures="us").lines
    assert only.alternatives[0].grams is not None
    assert only.alternatives[0].grams.value == pytest.approx(227), "USDA SR NDB 01145"


def test_an_option_counts_and_says_so(kitchen: Kitchen) -> None:
    found = weigh(kitchen, line(1, "cup", "walnuts", state=("chopped",), optional=True), measures="us")
    assert said(found, "optional-counted") == [(HERE, "with", pytest.approx(-117))], "USDA SR 12155"


def test_measures_that_nobody_said_are_us_and_tell_their_worth(kitchen: Kitchen) -> None:
    found = weigh(
        kitchen, line(1, "cup", "whole-milk"), line(1, "lb", "lard"), line(1, "dash", "table-salt")
    )
    worth = 244 * (250 / 236.5882365 - 1)
    assert said(found, "measures-not-said") == [(None, "us", pytest.approx(worth))]
    assert said(weigh(kitchen, line(1, "cup", "whole-milk"), measures="us"), "measures-not-said") == []
    assert said(weigh(kitchen, line(1, "lb", "lard")), "measures-not-said") == []


# -- what does not weigh ---------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("only", "reason", "complete"),
    [
        (line(None, None, "table-salt"), "no-amount", True),
        (line(1, "cup", "unobtainium"), "unknown-ingredient", False),
        (line(1, "gribble", "table-salt"), "unknown-unit", False),
        (line(2, None, "table-salt"), "no-weight-for-measure", False),
        (line(2, "in", "cinnamon"), "no-weight-for-measure", False),
        (line(2, "%", "table-salt"), "percent-without-flour", False),
        ("For the glaze:", "not-an-ingredient", True),
    ],
)
def test_every_line_without_a_mass_has_its_reason(
    kitchen: Kitchen, only: Line | str, reason: str, complete: bool
) -> None:
    found = weigh(kitchen, only, measures="us")
    assert [w.reason for w in found.lines] == [reason]
    assert found.lines[0].grams is None
    assert found.complete is complete


def test_an_unknown_ingredient_with_a_written_mass_weighs(kitchen: Kitchen) -> None:
    found = weigh(kitchen, line(30, "g", "unobtainium"))
    assert found.lines[0].code is None
    assert found.lines[0].grams is not None
    assert found.lines[0].grams.value == 30
    assert found.complete


def test_an_unknown_name_in_a_field_is_a_problem_as_in_a_text(kitchen: Kitchen) -> None:
    for only in (line(1, "cup", "granulatd sugr"), "1 cup granulatd sugr"):
        found = weigh(kitchen, only, measures="us")
        assert found.lines[0].reason == "unknown-ingredient"
        assert [(p.code, p.line) for p in found.problems] == [("unknown-ingredient", HERE)]
        assert "sugar" in found.problems[0].detail, "the nearest known name is offered, and not taken"
