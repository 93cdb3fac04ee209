"""Altitude: what is found of a formula at a height, how its limits move there, and the answer of it.

Feet are turned to metres by the international foot (0.3048 m, exact).
"""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import pytest
from flask.testing import FlaskClient

from schemas.formula import load
from service.domain.band import Band
from service.domain.finding import Finding
from service.domain.formula import Bake, Dimension, Pan, Range
from service.domain.quantity import Quantity
from service.domain.weighed import Weighed
from service.kitchen import open_kitchen
from service.rules.altitude import TOLD
from service.rules.heights import rows_at
from service.rules.judged import Judged
from service.rules.judging import groups_of, judge
from service.rules.ranges import limits_here
from service.rules.registry import run_rules
from service.rules.trials import Change, Move, changed, grades_of
from service.views.work import Work
from tests.rules.hand import a_formula, cupboard
from tests.rules.printed import printed
from tests.rules.test_heights import FOOT, SATURATION, STANDARD, WYOMING

KITCHEN = open_kitchen()
SIZES = KITCHEN.measures
DENVER, HIGH, HIGHER = 5280 * FOOT, 7500 * FOOT, 10000 * FOOT

#: A plain butter cake as the class's rows have it: sugar 95, water about 98, powder 4.5 percent of
#: flour. By hand, in grams; whole milk 88 and egg 76 percent of water (USDA FoodData Central).
CAKE = {
    "cake-flour": 200.0, "granulated-sugar": 200.0, "butter-unsalted": 100.0, "egg": 100.0,
    "whole-milk": 130.0, "baking-powder": 9.5, "table-salt": 2.0,
}  # fmt: skip


def at(weighed: Weighed, metres: float | None, group: int = 0) -> Judged:
    return groups_of(weighed, cupboard(), SIZES, metres)[group][0]


def told(weighed: Weighed, metres: float | None, rule: str) -> list[Finding]:
    return [finding for finding in run_rules(at(weighed, metres)) if finding.rule == rule]


def cake(**grams: float) -> Weighed:
    named = {name.replace("_", "-"): mass for name, mass in grams.items()}
    return a_formula({**CAKE, **named}, of_class="butter-cake")


@pytest.mark.parametrize("metres", [None, 0.0, 900.0])
def test_near_the_sea_nothing_is_told(metres: float | None) -> None:
    findings = run_rules(at(cake(), metres))
    assert [f for f in findings if f.rule in TOLD] == []


def test_leavening_of_a_usual_cake_is_too_much_in_denver() -> None:
    (finding,) = told(cake(), DENVER, "ALT-01")
    assert finding.severity == "note"
    assert finding.expected is not None
    assert finding.expected.low is None
    # Class centre 4.5 percent (limits, LEAVEN-01) less an eighth (Wyoming): 3.94.
    assert finding.expected.high == pytest.approx(3.9375)
    assert "1.21 times" in finding.message, "gas expansion at 5,280 ft; computed outside"
    assert "12.5 to 40 percent less leavening" in finding.message
    assert finding.lines == ("/components/0/ingredients/5",)
    assert "Wyoming" in finding.source
    assert "gas law" in finding.source


def test_leavening_that_was_cut_is_left_alone() -> None:
    """7.6 g is what Wyoming's fifth less leaves of 9.5 g (12.5 to 25 percent at 5,000 ft)."""
    assert told(cake(baking_powder=7.6), DENVER, "ALT-01") == []


def test_band_over_the_usual_amount_is_not_certain() -> None:
    loose = a_formula({**CAKE, "baking-powder": (9.5, 6.0, 11.0)}, of_class="butter-cake")
    (finding,) = told(loose, DENVER, "ALT-01")
    assert not finding.certain
    assert finding.settle


def test_remedy_is_the_least_that_serves_and_holds() -> None:
    (verdict,) = judge(cake(), cupboard(), SIZES, DENVER)
    (finding,) = [f for f in verdict.findings if f.rule == "ALT-01"]
    assert finding.remedy is not None
    (edit,) = finding.remedy.edits
    # Wyoming, Colorado State and Gisslen span 12.5 to 40 percent less of 9.5 g.
    assert 9.5 * 0.6 <= edit.grams <= 9.5 * 0.875
    assert told(cake(baking_powder=edit.grams), DENVER, "ALT-01") == []
    assert told(cake(baking_powder=edit.grams * 1.05), DENVER, "ALT-01") != []


@pytest.mark.parametrize("metres", [1000.0, DENVER, HIGH, HIGHER])
def test_every_remedy_clears_its_finding_and_adds_none(metres: float) -> None:
    rich = cake()
    (verdict,) = judge(rich, cupboard(), SIZES, metres)
    before = {(f.rule, f.limit) for f in verdict.findings}
    remedied = [f for f in verdict.findings if f.remedy is not None]
    assert remedied
    for finding in remedied:
        edits = {edit.pointer: edit.grams for edit in finding.remedy.edits} if finding.remedy else {}
        lines = tuple(
            replace(line, grams=Band.exact(edits[line.pointer])) if line.pointer in edits else line
            for line in rich.lines
        )
        (then,) = judge(replace(rich, lines=lines), cupboard(), SIZES, metres)
        after = {(f.rule, f.limit) for f in then.findings}
        assert finding.rule not in {code for code, _ in after}
        assert after <= before


#: Heights at which each authority of the table has a step behind it: 1,500 m is Gisslen's 5,000 ft.
TRIED = [
    pytest.param(entry, metres, id=f"{entry['id']}-{metres:.0f}m")
    for entry in list(printed("sound_formulas"))[::4]
    for metres in (1500.0, 2400.0)
]


@pytest.mark.parametrize(("entry", "metres"), TRIED)
def test_remedies_of_printed_formulas_clear_and_add_none(entry: dict[str, Any], metres: float) -> None:
    """The contract: a remedy, applied, clears its finding and adds no other; at the same height."""
    weighed = Work(KITCHEN, load(entry["formula"])).weighed
    for verdict in judge(weighed, cupboard(), SIZES, metres):
        before = grades_of(verdict.findings)
        by_pointer = {line.pointer: line for line in verdict.judged.lines}
        for finding in verdict.findings:
            if finding.rule not in TOLD or finding.remedy is None:
                continue
            moves = (
                Move(by_pointer[e.pointer or ""], e.grams, e.ingredient) for e in finding.remedy.edits
            )
            then = changed(verdict.judged, Change(tuple(moves)))
            after = grades_of(run_rules(replace(then, base=None)))
            assert (finding.rule, finding.limit) not in after
            assert all(grade >= before[key] for key, grade in after.items()), "none added, none graver"


def test_every_adjustment_has_a_remedy_where_one_step_serves() -> None:
    """Each formula lies just beyond its class's usual amount, moved by the authorities (table altitude);
    the oven alone has none: no line of a formula changes."""
    with_remedy = {
        "ALT-01": cake(), "ALT-02": cake(granulated_sugar=208), "ALT-03": cake(whole_milk=124),
        "ALT-05": a_dough(11), "ALT-07": cake(egg=99), "ALT-08": cake(),
        "ALT-09": cake(butter_unsalted=88),
    }  # fmt: skip
    for code, weighed in with_remedy.items():
        metres = {"ALT-07": HIGH, "ALT-09": HIGHER}.get(code, DENVER)
        (verdict,) = judge(weighed, cupboard(), SIZES, metres)
        (finding,) = [f for f in verdict.findings if f.rule == code]
        assert finding.remedy is not None, code


def test_oven_says_what_to_set_it_to() -> None:
    """350 F is 176.7 C; 15 to 25 F more (Wyoming) are 8.3 to 13.9 C: 185 to 191."""
    (finding,) = told(*TOLD_OF["ALT-04"], "ALT-04")
    assert "Set a still oven to 185 to 191 degrees Celsius" in finding.message
    assert finding.remedy is None


def test_sugar_that_one_authority_leaves_is_cut_up_to_the_others_share() -> None:
    """Wyoming 0 to 2 tablespoons a cup at 5,000 ft, 0 to 12.5 percent; Gisslen 6: 210 g become 184."""
    (finding,) = told(*TOLD_OF["ALT-02"], "ALT-02")
    assert "up to 12.5 percent less sugar: 210 g of granulated sugar becomes 184 g at the least" in (
        finding.message
    )


def test_a_cake_far_richer_than_its_class_is_told_that_no_step_serves() -> None:
    """260 g of sugar on 200 of flour are 130 percent; an eighth less (Wyoming) are 114, above the
    class's centre (limits, BAL-01)."""
    (finding,) = told(cake(granulated_sugar=260), DENVER, "ALT-02")
    assert finding.remedy is None
    assert "None of this alone" in finding.message


def test_acid_that_steadies_a_foam_is_spared() -> None:
    chiffon = a_formula(
        {"cake-flour": 200, "vegetable-oil": 100, "egg-yolk": 80, "water": 150, "baking-powder": 10.5},
        {"egg-white": 200, "granulated-sugar": 200, "cream-of-tartar": 1.5},
        of_class="chiffon",
        roles=("batter", "foam"),
    )
    (finding,) = told(chiffon, DENVER, "ALT-01")
    assert finding.lines == ("/components/0/ingredients/4",)


def test_acid_that_soda_takes_up_goes_with_it() -> None:
    soda = a_formula(
        {**CAKE, "baking-powder": 6, "baking-soda": 2, "cream-of-tartar": 4}, of_class="butter-cake"
    )
    (finding,) = told(soda, DENVER, "ALT-01")
    assert set(finding.lines) == {f"/components/0/ingredients/{place}" for place in (5, 7, 8)}


def a_pan(inches: int) -> Pan:
    across, deep = (Dimension(Quantity.of(size), "in") for size in (inches, 2))
    return Pan("round", diameter=across, depth=deep)


def a_dough(yeast: float) -> Weighed:
    grams = {"bread-flour": 500, "water": 310, "table-salt": 9, "fresh-yeast": yeast}
    return a_formula(grams, of_class="lean-bread")


TOLD_OF: dict[str, tuple[Weighed, float]] = {
    "ALT-01": (cake(), DENVER),
    "ALT-02": (cake(granulated_sugar=210), DENVER),
    "ALT-03": (cake(whole_milk=100), DENVER),
    "ALT-04": (
        a_formula(CAKE, of_class="butter-cake", bake=Bake(Range(350, 350, "[degF]"))), DENVER
    ),
    "ALT-05": (
        a_dough(14), DENVER,
    ),
    "ALT-06": (a_formula(CAKE, of_class="butter-cake", pans=(a_pan(8),)), DENVER),
    "ALT-07": (cake(egg=85), HIGH),
    "ALT-08": (cake(), DENVER),
    "ALT-09": (cake(butter_unsalted=130), HIGHER),
    "ALT-10": (cake(), DENVER),
}  # fmt: skip


@pytest.mark.parametrize("rule", sorted(TOLD))
def test_every_rule_is_told_at_its_height_and_not_at_the_sea(rule: str) -> None:
    weighed, metres = TOLD_OF[rule]
    assert told(weighed, metres, rule)
    assert told(weighed, None, rule) == []


def test_pans_are_filled_less() -> None:
    """A third to a half (popular altitude notes); 741.5 g of batter at 0.85 g/mL in 1,647 mL."""
    (finding,) = told(*TOLD_OF["ALT-06"], "ALT-06")
    assert finding.severity == "warning"
    assert finding.expected is not None
    assert (finding.expected.low, finding.expected.high) == (0.333, 0.5)
    small = a_formula(CAKE, of_class="butter-cake", pans=(a_pan(10),))
    assert told(small, DENVER, "ALT-06") == []


# -- limits --


def the_row(judged: Judged, code: str, measure: str):
    rows = judged.cupboard.limit_rows(code, judged.product_class)
    row = next(row for row in rows if row.measure == measure)
    return row, limits_here(judged, (row,))[0]


def test_limits_move_by_what_reaches_furthest() -> None:
    """At 5,280 ft leavening falls by 12.5 (Wyoming) to 40 percent (Gisslen), sugar by 0 to 12.5."""
    judged = at(cake(), DENVER)
    sea, here = the_row(judged, "LEAVEN-01", "powder_equivalent_pct")
    assert here.low == pytest.approx(sea.low * 0.6)
    sea, here = the_row(judged, "BAL-01", "sugar_pct")
    assert (here.low, here.high) == (pytest.approx(sea.low * 0.875), sea.high)
    assert "Wyoming" in here.source
    assert "1,609 m" in here.note


def test_water_moves_by_the_share_of_liquids() -> None:
    """Liquid rises by 12.5 percent at least (Wyoming), and milk brings 114 of 206 g of water."""
    judged = at(cake(), DENVER)
    sea, here = the_row(judged, "BAL-06", "water_pct")
    share = judged.liquid_share
    assert 0.5 < share < 0.62
    assert here.low == pytest.approx(sea.low * (1 + 0.125 * share))


def test_the_oven_may_be_hotter() -> None:
    """15 to 25 degrees Fahrenheit (Wyoming): 8.3 to 13.9 degrees Celsius."""
    sea, here = the_row(at(cake(), DENVER), "STRUCT-05", "oven_celsius")
    assert (here.low, here.high) == (sea.low + 8.3, sea.high + 13.9)


def test_what_rests_on_memory_moves_no_limit() -> None:
    angel = a_formula(
        {"egg-white": 360, "granulated-sugar": 330, "cake-flour": 115, "cream-of-tartar": 3},
        of_class="angel",
    )
    judged = at(angel, HIGH)
    assert rows_at("ALT-02", "angel", HIGH, cupboard())[0].evidence == "M"
    sea, here = the_row(judged, "BAL-01", "sugar_pct")
    assert here == sea


def test_too_much_gas_is_found_up_there_alone() -> None:
    """1 percent of carbon dioxide on flour is the sea's limit; Wyoming's least cut makes it 0.875."""
    much = cake(baking_powder=15.5)
    assert told(much, None, "LEAVEN-02") == []
    (finding,) = told(much, DENVER, "LEAVEN-02")
    assert finding.expected is not None
    assert finding.expected.high == pytest.approx(0.875)
    assert "at 1,609 m" in finding.message


def test_a_range_from_memory_stays_one_when_it_moves() -> None:
    sea, here = the_row(at(cake(), DENVER), "LEAVEN-02", "gas_pct")
    assert here.high != sea.high
    assert here.evidence == sea.evidence == "M"


# -- over HTTP --


def test_the_answer_tells_of_the_height(book: FlaskClient) -> None:
    answer = book.get("/v1/formulas/up-and-down-line-cake/findings?altitude=5280ft").get_json()
    height = answer["altitude"]
    assert height["metres"] == pytest.approx(1609.344)
    assert height["pressure_kilopascals"] == pytest.approx(83.43, abs=0.05), STANDARD
    assert height["boiling_celsius"]["value"] == pytest.approx(94.6, abs=0.1), SATURATION
    assert height["gas_expansion"] == pytest.approx(1.215, abs=0.002), STANDARD
    leavening = next(each for each in height["adjustments"] if each["rule"] == "ALT-01")
    assert (leavening["low"], leavening["high"]) == (0.125, 0.4)
    assert len(leavening["authorities"]) == 3
    assert any(finding["rule"] == "ALT-01" for finding in answer["findings"])


def test_without_a_height_there_is_nothing_of_it(book: FlaskClient) -> None:
    answer = book.get("/v1/formulas/up-and-down-line-cake/findings").get_json()
    assert answer["altitude"] is None
    assert not any(finding["rule"] in TOLD for finding in answer["findings"])


def test_metres_and_feet_are_one_height(book: FlaskClient) -> None:
    at_feet, at_metres = (
        book.get(f"/v1/formulas/up-and-down-line-cake/findings?altitude={height}").get_json()
        for height in ("5000ft", "1524 m")
    )
    assert at_feet == at_metres


@pytest.mark.parametrize("said", ["-5m", "1600", "30000ft", "10000m", "high", "1,600m"])
def test_a_height_that_is_none_is_refused(book: FlaskClient, said: str) -> None:
    response = book.get(f"/v1/formulas/up-and-down-line-cake/findings?altitude={said}")
    assert response.status_code == 422
    assert [error["parameter"] for error in response.get_json()["errors"]] == ["altitude"]


@pytest.mark.parametrize("view", ["weights", "scaled", "converted", "allergens?market=eu"])
def test_a_height_moves_no_line(book: FlaskClient, view: str) -> None:
    joint = "&" if "?" in view else "?"
    path = f"/v1/formulas/up-and-down-line-cake/{view}"
    here, there = book.get(path).get_json(), book.get(f"{path}{joint}altitude=2000m").get_json()
    assert here["formula"] == there["formula"]


@pytest.mark.parametrize(
    ("said", "least", "source"),
    [
        ("2999ft", None, f"{WYOMING}: begins at 3,000 ft"),
        ("3000ft", 0.125, f"{WYOMING}: 1/8 teaspoon a teaspoon"),
        ("6999ft", 0.125, f"{WYOMING}: 1/8 to 1/4 teaspoon from 5,000 ft on"),
        ("7000ft", 0.25, f"{WYOMING}: 1/4 teaspoon a teaspoon"),
    ],
)
def test_a_step_in_feet_is_reached_by_its_own_feet(
    book: FlaskClient, said: str, least: float | None, source: str
) -> None:
    path = f"/v1/formulas/up-and-down-line-cake/findings?altitude={said}"
    adjustments = book.get(path).get_json()["altitude"]["adjustments"]
    by_wyoming = [
        authority["low"]
        for each in adjustments
        for authority in each["authorities"]
        if each["rule"] == "ALT-01" and authority["source"].startswith("University of Wyoming")
    ]
    assert by_wyoming == ([] if least is None else [least]), source
