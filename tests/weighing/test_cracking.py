"""How many eggs are cracked for counted eggs, whites and yolks: one white and one yolk an egg."""

from __future__ import annotations

import pytest

from service.kitchen import Kitchen
from service.weighing.cracking import crack
from tests.weighing.lines import weigh


# Counting: an egg has one white and one yolk; half an egg is cracked whole.
@pytest.mark.parametrize(
    ("lines", "counted", "to_crack", "surplus"),
    [
        (("3 egg whites and 1 yolk",), (0, 3, 1), 3, (0, 2)),
        (("3 whites and 1 yolk",), (0, 3, 1), 3, (0, 2)),
        (("2 eggs", "4 egg yolks"), (2, 0, 4), 6, (4, 0)),
        (("1 dozen egg whites",), (0, 12, 0), 12, (0, 12)),
        (("2 1/2 eggs",), (2.5, 0, 0), 3, (0, 0)),
        (("3 eggs", "1 cup egg whites"), (3, 0, 0), 3, (0, 0)),
    ],
)
@pytest.mark.parametrize("grade", ["us-large", "eu-m", None])
def test_eggs_are_counted_and_what_stays_over(
    kitchen: Kitchen,
    lines: tuple[str, ...],
    counted: tuple[float, ...],
    to_crack: int,
    surplus: tuple[float, ...],
    grade: str | None,
) -> None:
    found = crack(weigh(kitchen, *lines, egg_grade=grade), kitchen.cupboard.eggs)
    assert found is not None
    assert (found.whole, found.whites, found.yolks) == counted
    assert found.to_crack == to_crack
    assert (found.surplus_whites, found.surplus_yolks) == surplus


@pytest.mark.parametrize("line", ["1 cup egg whites", "100 g flour", "2 reconstituted dried eggs"])
def test_what_is_not_cracked_is_not_counted(kitchen: Kitchen, line: str) -> None:
    assert crack(weigh(kitchen, line), kitchen.cupboard.eggs) is None
