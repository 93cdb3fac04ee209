"""Soda beside cocoa: both kinds are told, and what settles which one is meant."""

from __future__ import annotations

import pytest

from schemas.formula import load
from service.domain.finding import Finding
from service.kitchen import open_kitchen
from service.rules.judging import judge

KITCHEN = open_kitchen()
#: 1 teaspoon of soda in the place of 1 tablespoon of powder, with added water and sugar (common
#: practice for a cocoa chiffon, no source).
CHIFFON = (
    "1 3/4 cups sifted cake flour", "1 3/4 cups sugar", "1 teaspoon soda", "1 teaspoon salt",
    "1/2 cup oil", "6 egg yolks", "1 cup water", "8 egg whites", "1/2 teaspoon cream of tartar",
)  # fmt: skip


def found(cocoa: str | None) -> list[Finding]:
    lines = [*CHIFFON, *([f"1/2 cup {cocoa}"] if cocoa else [])]
    document = {
        "name": "Cocoa Chiffon",
        "class": "chiffon",
        "measures": "us",
        "components": [{"ingredients": [{"text": line} for line in lines]}],
    }
    verdicts = judge(KITCHEN.scales.weigh(load(document)), KITCHEN.cupboard, KITCHEN.measures)
    return [finding for verdict in verdicts for finding in verdict.findings]


@pytest.mark.parametrize(
    ("cocoa", "certain"),
    [("cocoa", False), ("natural cocoa", True), ("Dutch-process cocoa", True)],
)
def test_both_cocoas_are_told_and_a_plain_name_is_not_certain(cocoa: str, certain: bool) -> None:
    (told,) = [each for each in found(cocoa) if each.rule == "LEAVEN-10"]
    assert "with natural cocoa" in told.message
    assert "with alkalised cocoa" in told.message
    assert told.certain is certain
    assert (told.settle is None) is certain
    assert told.severity == "note"


def test_natural_cocoa_leaves_less_soda_than_alkalised() -> None:
    """Natural cocoa takes up 1 to 3.3 g of soda a 100 g (Jinap and Dimick 1990, titratable acidity of
    cocoa): half a cup, 43 g by USDA SR Legacy NDB 19165, takes up 0.4 to 1.4 g."""
    left = {}
    for cocoa in ("natural cocoa", "Dutch-process cocoa"):
        (told,) = [each for each in found(cocoa) if each.rule == "LEAVEN-10"]
        assert told.measured is not None
        left[cocoa] = told.measured.value
    assert 0.4 < left["Dutch-process cocoa"] - left["natural cocoa"] < 1.5


def test_no_cocoa_no_word_of_it() -> None:
    assert not [each for each in found(None) if each.rule == "LEAVEN-10"]


@pytest.mark.parametrize("cocoa", ["cocoa", "natural cocoa"])
def test_soda_in_the_place_of_powder_is_no_error_with_natural_cocoa(cocoa: str) -> None:
    """Common practice, no source: the cocoa version of a chiffon is baked so."""
    assert not [each for each in found(cocoa) if each.severity == "error"]
