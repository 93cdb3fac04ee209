"""Goods weighed with what is thrown away, packs named beside spoons, and leaves of gelatine."""

from __future__ import annotations

import pytest

from service.kitchen import Kitchen
from tests.weighing.lines import grams, weigh

POUND = 453.59237


# USDA SR, food descriptions, refuse (shells), from memory: pecans 47, walnuts 55, almonds 60 percent.
@pytest.mark.parametrize(
    ("text", "share"),
    [
        ("Meat from 1 lb. pecans", 0.53),
        ("1 lb unshelled walnuts", 0.45),
        ("1 lb almonds in the shell", 0.40),
    ],
)
def test_nuts_in_the_shell_weigh_as_their_kernels(kitchen: Kitchen, text: str, share: float) -> None:
    found = grams(kitchen, text, measures="us")
    assert found.value == pytest.approx(POUND * share, rel=0.01)
    assert found.low < found.value < found.high < POUND


def test_nuts_without_shells_weigh_what_is_written(kitchen: Kitchen) -> None:
    assert grams(kitchen, "1 lb pecans", measures="us").value == pytest.approx(POUND)


def test_a_drained_can_is_not_exact(kitchen: Kitchen) -> None:
    """A can of 20 oz net gives about 12 to 14 oz drained: trade figures from memory."""
    found = grams(kitchen, "8 oz can crushed pineapple, drained", measures="us")
    assert found.low <= 8 / 16 * POUND * 12 / 20
    assert found.high == pytest.approx(8 / 16 * POUND)


@pytest.mark.parametrize("text", ["2 1/4 tsp (1 packet) dry yeast", "1 packet (2 1/4 tsp) dry yeast"])
def test_a_packet_beside_its_spoons_is_no_contradiction(kitchen: Kitchen, text: str) -> None:
    """A packet of 7 g is sold as 2 1/4 teaspoons: USDA SR NDB 18375 (7 g) and the packets' print."""
    found = weigh(kitchen, text, measures="us")
    assert found.problems == ()
    assert found.lines[0].grams is not None
    assert found.lines[0].grams.low <= 7 <= found.lines[0].grams.high


@pytest.mark.parametrize("text", ["4 leaves of gelatine", "4 leaves gelatine", "4 sheets of gelatin"])
def test_leaves_of_gelatine_weigh(kitchen: Kitchen, text: str) -> None:
    """Leaves of 1.7 (platinum) to 3.3 g (bronze), trade figures from memory."""
    found = grams(kitchen, text)
    assert found.low == pytest.approx(6.8)
    assert found.high == pytest.approx(13.2)


def test_dried_egg_made_up_weighs_as_fresh(kitchen: Kitchen) -> None:
    """USDA SR, NDB 01124: a cup of white is 243 g; NDB 01173: a cup of dried white is 107 g."""
    assert grams(kitchen, "1 cup reconstituted dried egg whites").value == pytest.approx(243, abs=3)
    assert grams(kitchen, "1 cup dried egg whites, reconstituted").value == pytest.approx(107, abs=3)
