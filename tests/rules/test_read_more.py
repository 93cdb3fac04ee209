"""Formulas read to broaden the ranges: hardly one is warned of but those that their reader faulted.

They were read and written down before the checks were run on them; each stands with its source. What
the reader held to be wrong as printed, by reading alone, stands here with why.
"""

from __future__ import annotations

import pytest

from schemas.formula import load
from tests.rules.printed import look, loud, printed

MORE = ("read_formulas_more_cakes", "read_formulas_more_breads", "read_formulas_well_known")
#: Held to be wrong as printed, by the one who read them, before any run.
FAULTED = {
    "edinburgh-anzac-page": "a tablespoon of soda to half a cup of flour",
    "republican-1916-soft-gingerbread": "a teaspoonful of molasses with nearly two of soda",
    "busymom-pandan-chiffon": "5 g of egg white for five",
    "community-sour-cream-half-tsp": "half a teaspoon of sour cream for half a cup",
    "1908-cream-puff-filling": "a quarter of a teaspoon of starch to a pint of milk",
    "grocer-gateau-yaourt": "two tablespoons of powder for teaspoons",
    "holstein-farm-sour-cream": "a quarter of a cup of sugar for one and a quarter",
    "birt-oatmeal-raisin": "half a cup of flour to a cup of sour milk",
    "dot-cornflour-sponge": "soda twice, and nothing sour",
    "australian-oat-flour-shortbread": "a teaspoon of soda to 150 g, and nothing sour",
    "namur-brussels-waffle": "160 g of powder to a kilogram of flour",
    "koliori-focaccia": "a tablespoon and a half of salt to 400 g, and a decilitre of milk",
    "messing-challah": "more than a cup of oil to seven of flour",
    "riverreporter-pumpkin": "a cup and a half of flour for three and a half",
    "cooks-cup-shortening-biscuits": "a cup of shortening for a third",
    "cap-brioche-lean": "500 g of flour, 150 g of egg and no other liquid",
    "spoon-sufganiyot": "50 g of dry yeast to six cups",
    "skillet-bannock": "two tablespoons of powder, and too wet",
    "scottish-pour-bannock": "two tablespoons of powder to three cups",
    "tucson-vafler": "a cup of butter and half a cup of oil to two cups",
    "jdcc-sufganiyot": "two tablespoons of dry yeast to two and a half cups",
    "christmas-damper": "soda in self-raising flour, and little that is sour",
    "dailymail-drop-scones": "soda in self-raising flour, and little that is sour",
    "oatbran-applesauce-nuts": "a teaspoon and a half of soda and as much powder",
    "easterling-refrigerator-bran": "two teaspoons of soda to half a cup of buttermilk",
    "sticks-parmesan-scones": "150 mL of milk to 450 g of flour",
    "berkshire-blueberry-muffins": "a cup and three quarters of sugar where its sisters have one",
    "ginsberg-rugbrod": "its own baker calls it too salty",
    "lifechoices-damper": "a cup and a half of milk to two of flour",
}


@pytest.fixture(scope="module")
def looked_at():
    return [(entry["id"], *look(load(entry["formula"]))) for entry in printed(*MORE)]


def test_many_were_read():
    assert len(printed(*MORE)) >= 600
    assert set(FAULTED) <= {entry["id"] for entry in printed(*MORE)}


def test_hardly_one_is_warned_of(looked_at):
    sound = [each for each in looked_at if each[0] not in FAULTED]
    warned = [name for name, _, findings in sound if loud(findings)]
    assert len(warned) <= 0.15 * len(sound), warned


def test_most_that_were_faulted_are_told(looked_at):
    told = [name for name, _, findings in looked_at if name in FAULTED and loud(findings)]
    assert len(told) >= 0.75 * len(FAULTED)
