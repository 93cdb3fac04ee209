"""What the chart of leavening marks: what is left over beside what is usual for the class."""

from __future__ import annotations

import pytest

from schemas.formula import load
from service.kitchen import Kitchen
from service.render.leavening import NONE_BESIDE_POWDER, draw_leavening
from service.views.leavening_svg import leavening_svg
from service.views.registry import NoParams
from service.views.work import Work

#: Muffins with a trace of acid, and a cake with eight times the soda that its cocoa and buttermilk
#: take up (common practice, no source: 1/2 teaspoon to a cup of buttermilk).
MUFFIN = ("2 cups flour", "1 tablespoon baking powder", "1/2 cup sugar", "1 egg", "1 cup milk",
          "1/3 cup oil", "3/4 cup dates")  # fmt: skip
SOAPY = ("2 cups flour", "2 cups sugar", "1/2 cup butter", "2 eggs", "1/2 cup cocoa",
         "4 teaspoons soda", "1 cup buttermilk")  # fmt: skip


@pytest.mark.parametrize(
    ("of_class", "lines", "marks", "beside_powder"),
    [("muffin", MUFFIN, {"good"}, True), ("chocolate-cake", SOAPY, {"good", "bad"}, False)],
    ids=["muffin", "soapy cake"],
)
def test_left_over_is_marked_by_what_is_usual(kitchen: Kitchen, of_class, lines, marks, beside_powder):
    ingredients = [{"text": text} for text in lines]
    document = {"name": "x", "class": of_class, "components": [{"ingredients": ingredients}]}
    chart = leavening_svg(Work(kitchen, load(document)), NoParams())
    drawn = draw_leavening(chart).decode()
    assert {kind for kind in ("good", "bad", "doubt") if f'class="{kind} halo"' in drawn} == marks
    assert "at most" in drawn
    assert (NONE_BESIDE_POWDER[:30] in drawn) is beside_powder
