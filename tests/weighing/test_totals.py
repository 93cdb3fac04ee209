"""Totals against worked examples, and what they do with the unknown."""

from __future__ import annotations

import csv
from pathlib import Path

import pytest

from service.domain.formula import Component, Formula
from service.domain.weighed import TOTALS
from service.kitchen import Kitchen
from tests.weighing.lines import line, said, weigh

VECTORS = Path(__file__).parent.parent / "vectors"


def rows() -> list[dict[str, str]]:
    lines = (VECTORS / "worked_totals.csv").read_text("utf-8").splitlines()
    return list(csv.DictReader(one for one in lines if not one.startswith("#")))


@pytest.mark.parametrize("row", rows(), ids=lambda r: f"{r['total']} of {r['text']}")
def test_brings_what_was_worked_out(kitchen: Kitchen, row: dict[str, str]) -> None:
    found = weigh(kitchen, row["text"], measures="us", handling="spooned").totals[row["total"]]
    assert found is not None
    assert found.value == pytest.approx(float(row["amount"]), abs=float(row["within"]) + 1e-9), row[
        "source"
    ]


def test_water_of_a_batter(kitchen: Kitchen) -> None:
    """Source: arithmetic on USDA SR 26 water figures: flour 300 g, water 120 g, egg 100 g, butter 60 g
    (15.87 percent), milk 50 g (88.13): 249.74 g from all but the flour (salted butter)."""
    wet = weigh(kitchen, "120 g water", "100 g egg", "60 g salted butter", "50 g whole milk").totals[
        "water"
    ]
    whole = weigh(
        kitchen, "300 g all-purpose flour", "120 g water", "100 g egg", "60 g salted butter",
        "50 g whole milk",
    ).totals["water"]  # fmt: skip
    assert wet is not None
    assert whole is not None
    assert wet.value == pytest.approx(249.74, abs=0.2), "the source takes water as 100 percent water"
    assert whole.value - wet.value == pytest.approx(300 * 0.1192, abs=0.05)


def test_every_total_is_there(kitchen: Kitchen) -> None:
    assert set(weigh(kitchen, "100 g water").totals) == set(TOTALS)
    assert set(weigh(kitchen).totals) == set(TOTALS), "a formula without a line has them too"


def test_a_dried_egg_counts_by_its_solids(kitchen: Kitchen) -> None:
    """Source: solids balance on USDA SR 26 water: (100 - 3.67) / (100 - 76.15) = 4.04."""
    code = next(
        code for code, row in kitchen.cupboard.ingredients.items()
        if row.role == "egg" and (made := kitchen.cupboard.composition.get(code))
        and made.water is not None and made.water < 10
    )  # fmt: skip
    found = weigh(kitchen, line(10, "g", code)).totals["whole_egg"]
    assert found is not None
    assert found.value == pytest.approx(40.4, rel=0.03)


def test_a_starter_brings_its_flour(kitchen: Kitchen) -> None:
    """Source: arithmetic: a starter of equal flour and water, 100 g of it beside 500 g of flour, is
    9.09 percent prefermented flour."""
    found = weigh(kitchen, line(500, "g", "bread-flour"), line(100, "g", "sourdough-starter"))
    flour = found.totals["flour"]
    assert flour is not None
    assert 50 / flour.value * 100 == pytest.approx(9.09, abs=0.02)


def test_an_unknown_ingredient_is_unknown_in_every_total_that_it_touches(kitchen: Kitchen) -> None:
    found = weigh(kitchen, line(500, "g", "all-purpose-flour"), line(100, "g", "unobtainium"))
    assert found.totals["acids"] is None
    for name in TOTALS:
        if name not in ("grams", "acids"):
            band = found.totals[name]
            assert band is not None
            assert "unobtainium" in found.unknown[name], name
            assert band.low <= band.value < band.high <= 600, name
    flour = found.totals["flour"]
    assert flour is not None
    assert (flour.low, flour.value, flour.high) == (500, 500, 600)
    grams = found.totals["grams"]
    assert grams is not None
    assert (grams.value, grams.high) == (600, 600)


def test_what_a_composition_leaves_open_is_bounded_by_the_rest(kitchen: Kitchen) -> None:
    """Source: the contract, section 2 and issue 4: a band where bounds can be had."""
    row = kitchen.cupboard.composition["all-purpose-flour"]
    found = weigh(kitchen, line(100, "g", "all-purpose-flour"))
    starch = found.totals["starch"]
    assert starch is not None
    if row.starch is None:
        assert row.carbohydrate is not None
        assert found.unknown["starch"] == ("all-purpose flour",)
        assert 60 < starch.high <= row.carbohydrate
    else:
        assert "starch" not in found.unknown
        assert starch.value == pytest.approx(row.starch)


def test_lines_that_do_not_weigh_are_in_no_total(kitchen: Kitchen) -> None:
    found = weigh(kitchen, line(100, "g", "water"), line(1, "cup", "unobtainium"))
    grams = found.totals["grams"]
    assert grams is not None
    assert grams.value == 100
    assert not found.complete


def test_groups_are_what_is_baked_together(kitchen: Kitchen) -> None:
    cake = Component("Cake", "batter", None, (line(200, "g", "cake-flour"),))
    swirl = Component("Swirl", "swirl", None, (line(50, "g", "cake-flour"),))
    glaze = Component("Glaze", "glaze", None, (line(100, "g", "powdered-sugar"),))
    found = kitchen.scales.weigh(Formula("Cake", (cake, swirl, glaze)))
    assert [w.group for w in found.lines] == ["baked", "baked", "/components/2"]
    baked = found.group_totals["baked"]["flour"]
    own = found.group_totals["/components/2"]["grams"]
    whole = found.totals["grams"]
    assert baked is not None
    assert own is not None
    assert whole is not None
    assert (baked.value, own.value, whole.value) == (250, 100, 350)


def test_a_component_without_a_role_is_assumed(kitchen: Kitchen) -> None:
    cake = Component("Cake", None, None, (line(200, "g", "cake-flour"),))
    icing = Component("Lemon icing", None, None, (line(100, "g", "powdered-sugar"),))
    found = kitchen.scales.weigh(Formula("Cake", (cake, icing)))
    assert [w.group for w in found.lines] == ["baked", "/components/1"]
    assert said(found, "role-not-said") == [
        ("/components/0", "baked", None), ("/components/1", "icing", None),
    ]  # fmt: skip
    assert said(kitchen.scales.weigh(Formula("Cake", (cake,))), "role-not-said") == []
