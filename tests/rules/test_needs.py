"""What a style needs before a formula is held to it: nuts of a macaroon, pulp of a carrot cake."""

from __future__ import annotations

from math import inf

import pytest

from schemas.formula import load
from service.rules.judging import groups_of
from service.rules.kinds import KINDS
from service.rules.styles import Need, need_of, styles_here
from tests.rules.printed import KITCHEN


def test_needs_are_read_as_they_are_written():
    assert need_of("nut>=20") == Need("nut", 20.0, inf)
    assert need_of("flour<=6") == Need("flour", 0.0, 6.0)
    for row in KITCHEN.cupboard.styles.values():
        for written in row.needs:
            assert need_of(written).kind in {*KINDS, "title"}, row.code


#: What a macaroon, an oat cookie and a carrot cake are made of: common practice, no source.
MACAROON = ("4 egg whites", "200 g sugar", "250 g ground almonds")
COOKIE = ("2 eggs", "200 g sugar", "250 g flour", "100 g butter")
OAT_COOKIE = ("1 egg", "100 g sugar", "100 g rolled oats", "100 g flour")
OIL_CAKE = ("200 g flour", "3 eggs", "200 ml oil", "200 g sugar")
DOUGH = ("3 cups self-raising flour", "1 cup milk")


@pytest.mark.parametrize(
    ("product_class", "name", "lines", "style", "is_open"),
    [
        ("drop-cookie", "x", MACAROON, "macaroons", True),
        ("drop-cookie", "x", COOKIE, "macaroons", False),
        ("drop-cookie", "x", OAT_COOKIE, "oatmeal-drops", True),
        ("drop-cookie", "x", COOKIE, "oatmeal-drops", False),
        ("butter-cake", "x", (*OIL_CAKE, "250 g grated carrot"), "oil-butter-cake", True),
        ("butter-cake", "x", OIL_CAKE, "oil-butter-cake", False),
        ("scone", "Damper", DOUGH, "damper", True),
        ("scone", "Scones", DOUGH, "damper", False),
    ],
)
def test_a_style_is_open_to_what_has_its_needs(product_class, name, lines, style, is_open):
    document = {
        "name": name, "class": product_class,
        "components": [{"ingredients": [{"text": line} for line in lines]}],
    }  # fmt: skip
    weighed = KITCHEN.scales.weigh(load(document))
    group = groups_of(weighed, KITCHEN.cupboard, KITCHEN.measures)[0][0]
    assert (style in styles_here(group)) is is_open
