"""Leavens count as the flour and the water that they are made of (arithmetic of baker's percentages:
hydration h is h grams of water to 100 of flour, so that flour is 100 / (100 + h) of the leaven)."""

from __future__ import annotations

import pytest

from service.kitchen import Kitchen
from tests.weighing.lines import line, weigh

#: Water in white flour, a share: USDA SR, NDB 20081: 11.92 g in 100 g.
IN_FLOUR = 0.1192


@pytest.mark.parametrize(
    ("text", "flour", "added"),
    [
        ("200 g sourdough starter, 100% hydration", 100, 100),
        ("200 g sourdough starter", 100, 100),
        ("225 g liquid levain at 125% hydration", 100, 125),
        ("160 g stiff starter (60% hydration)", 100, 60),
        ("150 g sourdough starter (50 percent hydration)", 100, 50),
        ("200 g poolish", 100, 100),
    ],
)
def test_a_leaven_is_its_flour_and_its_water(
    kitchen: Kitchen, text: str, flour: float, added: float
) -> None:
    totals = weigh(kitchen, text).totals
    counted, water = totals["flour"], totals["water"]
    assert counted is not None
    assert water is not None
    assert counted.value == pytest.approx(flour, abs=0.5)
    assert water.value == pytest.approx(added + flour * IN_FLOUR, abs=1)


def test_hydration_of_a_dough_with_leaven(kitchen: Kitchen) -> None:
    """Arithmetic: 400 g flour, 260 g water and 200 g of leaven at 100% have 500 g of flour and 360 g of
    added water: 72% hydration, 20% of the flour prefermented."""
    found = weigh(
        kitchen, "400 g bread flour", "260 g water", "200 g sourdough starter (100% hydration)"
    ).totals["flour"]
    assert found is not None
    assert found.value == pytest.approx(500, abs=0.5)


def test_percent_of_the_flour_counts_the_leavens_flour(kitchen: Kitchen) -> None:
    """Arithmetic: 400 g of flour and 150 g of leaven at 50% hydration (100 g of it flour) are 500 g of
    flour, so that 2 percent of salt are 10 g."""
    salt = weigh(
        kitchen,
        line(400, "g", "bread-flour"),
        "150 g sourdough starter (50% hydration)",
        line(2, "%", "table-salt"),
    ).lines[-1]
    assert salt.grams is not None
    assert salt.grams.value == pytest.approx(10, abs=0.01)
