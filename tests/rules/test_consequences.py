"""What a reader is told: what a measure outside its range does, in the trade's words and measures."""

from __future__ import annotations

from fractions import Fraction
from typing import Any

import pytest

from schemas.formula import load
from service.domain.finding import Finding
from service.rules.consequences import consequence, side_word, stated
from service.rules.handy import spoken
from service.rules.judging import judge
from service.rules.measures import MEASURES
from service.views.findings import findings_shown
from tests.rules.printed import KITCHEN

#: Measures by whose both sides something is wrong, and one alone: words for the other would be idle.
ONE_SIDED = {
    "fat_on_white", "fat_in_foam", "soda_left_pct", "acid_left_pct", "sour_without_soda_pct",
}  # fmt: skip


#: A public target, of which nothing is tasted or seen.
TARGET = "salt_in_product"


@pytest.mark.parametrize("name", sorted(set(MEASURES) - {TARGET}))
def test_every_measure_has_its_consequence(name: str) -> None:
    """Common practice, no source: a baker is told what comes of it, whichever side it lies on."""
    assert consequence(name, "high", None)
    assert bool(consequence(name, "low", None)) is (name not in ONE_SIDED)


def test_words_of_a_class_stand_before_those_of_the_measure() -> None:
    """Common practice, no source: sugar makes a cake fall and a cookie spread."""
    assert "falls" in consequence("sugar_pct", "high", "butter-cake")
    assert "spreads" in consequence("sugar_pct", "high", "drop-cookie")
    assert "yeast" in consequence("sugar_pct", "high", "enriched-bread")


def test_ovens_are_hot_and_times_long() -> None:
    assert side_word("oven_celsius", "high") == "hot"
    assert side_word("bake_minutes", "low") == "short"
    assert side_word("sugar_pct", "high") == "much"


@pytest.mark.parametrize(
    ("says", "unit", "words"),
    [
        ("sugar on flour", "percent of flour", "Sugar is 5 percent of flour,"),
        ("yeast on flour, as fresh yeast", "percent of flour, as fresh yeast",
         "Yeast is 5 percent of flour, as fresh yeast,"),
        ("gas, as baking powder on flour", "percent of flour",
         "Gas, as baking powder, is 5 percent of flour,"),
        ("soda left over, on flour", "percent of flour", "Soda left over is 5 percent of flour,"),
        ("egg and liquid to flour", "g per g", "5 g of egg and liquid to each gram of flour is"),
        ("sugar to egg, where egg alone raises it", "g per g",
         "5 g of sugar to each gram of egg, where egg alone raises it, is"),
    ],
)  # fmt: skip
def test_nothing_is_said_twice(says: str, unit: str, words: str) -> None:
    assert stated(says, "5", unit) == words


@pytest.mark.parametrize(
    ("number", "words"), [(Fraction(3, 2), "1 1/2"), (Fraction(1, 4), "1/4"), (Fraction(2), "2")]
)
def test_numbers_are_spoken_as_cooks_do(number: Fraction, words: str) -> None:
    assert spoken(number) == words


LAYER = (
    "2 1/4 cups sifted cake flour", "1 1/2 cups sugar", "3 tsp baking powder", "1 tsp salt",
    "1/2 cup butter", "1 cup milk", "2 eggs", "1 tsp vanilla",
)  # fmt: skip


def _findings(product_class: str, lines: tuple[str, ...], *method: str) -> tuple[Finding, ...]:
    ingredients: list[Any] = [{"text": each} for each in lines]
    body: dict[str, Any] = {"name": "Kitchen Trial", "class": product_class, "method": list(method)}
    weighed = KITCHEN.scales.weigh(load({**body, "components": [{"ingredients": ingredients}]}))
    verdicts = judge(weighed, KITCHEN.cupboard, KITCHEN.measures)
    return findings_shown(finding for each in verdicts for finding in each.findings)


def _layer(at: int, line: str) -> tuple[Finding, ...]:
    return _findings("butter-cake", (*LAYER[:at], line, *LAYER[at + 1 :]))


def test_what_was_probably_meant_is_told_before_what_follows_from_it() -> None:
    """From memory: a layer cake of household books, its flour halved; the flour is what is wrong."""
    assert _layer(0, "1 1/8 cups sifted cake flour")[0].rule.startswith("SLIP-")


def test_a_slip_is_undone_as_its_own_message_says() -> None:
    """From memory, as above: the amount in the message is the amount of the remedy."""
    slip = next(each for each in _layer(3, "10 tsp salt") if each.rule == "SLIP-03")
    assert slip.remedy is not None
    assert slip.expected is not None
    assert slip.remedy.edits[0].grams == pytest.approx(slip.expected.high, rel=0.01)
    assert "about 1 tsp" in slip.message
    assert "about 1 tsp" in slip.remedy.says


def test_no_remedy_leaves_a_trace_of_a_line() -> None:
    """Common practice, no source: yolk in angel cake is left out, not weighed to half a gram."""
    whites = ("1 1/2 cups egg whites", "1 1/2 cups sugar", "1 cup sifted cake flour")
    told = _findings("angel", (*whites, "3 egg yolks", "1 1/2 tsp cream of tartar"))
    yolk = next(each for each in told if each.rule == "BAL-05")
    assert yolk.remedy is None
    assert "keeps whites from foaming" in yolk.message


MOUSSE = ("200 g dark chocolate", "6 eggs", "50 g sugar")


@pytest.mark.parametrize(
    ("method", "raw"),
    [
        ("Melt the chocolate, stir in the yolks, fold in the beaten whites. Chill.", True),
        ("Fold in brown sugar and whites. Do not bake.", True),
        ("Fold together; sprinkle with baking powder biscuits.", True),
        ("Cook over simmering water until it thickens.", False),
        ("Bake for 20 minutes.", False),
    ],
)
def test_raw_egg_of_a_filling_alone_is_told(method: str, raw: bool) -> None:
    """FDA consumer advice: egg that is not cooked is to be pasteurised. A mousse stands alone."""
    limits = {each.limit for each in _findings("filling", MOUSSE, method)}
    assert ("egg-undercooked" in limits) is raw
    assert "cold-filling" in limits


@pytest.mark.parametrize(
    ("method", "raw"), [("Eat with a spoon; do not bake.", True), ("Drop and bake.", False), ("", False)]
)
def test_raw_flour_of_a_dough_that_is_not_baked_is_told(method: str, raw: bool) -> None:
    """FDA consumer advice: raw flour is not ready to eat."""
    dough = ("1 cup butter", "1 cup brown sugar", "2 cups flour", "2 tbsp milk")
    limits = {each.limit for each in _findings("drop-cookie", dough, *filter(None, (method,)))}
    assert ("flour-raw" in limits) is raw


def test_a_lost_liquid_is_added_again() -> None:
    """From memory: the layer cake without its milk; nobody takes away two thirds of the sugar for it."""
    told = _findings("butter-cake", (*LAYER[:5], *LAYER[6:]))
    dry = [each.remedy for each in told if each.rule in ("BAL-21", "BAL-27") and each.remedy]
    assert all("milk" in each.says for each in dry)


def test_a_cheese_filling_is_kept_cold() -> None:
    """US Food Code 3-501.16: time and temperature control of fillings of fresh cheese."""
    told = _findings("filling", ("8 oz cream cheese", "1/2 cup butter", "4 cups powdered sugar"))
    assert "cold-filling" in {each.limit for each in told}


def test_what_only_may_be_so_is_not_threatened() -> None:
    """From memory: the layer cake of household books, two eggs to it, is sound; its notes say so."""
    ranged = [each for each in _findings("butter-cake", LAYER) if each.rule.startswith("BAL-")]
    assert {each.severity for each in ranged} <= {"note"}
    assert all("Further out:" in each.message for each in ranged)


def test_people_read_degrees_and_no_codes() -> None:
    told = _findings("filling", MOUSSE)
    assert any("71 °C" in each.message for each in told)
    assert not any(" Cel" in each.message for each in told)
