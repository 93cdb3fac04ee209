"""What the chart of leavening marks: what is left over beside what is usual for the class."""

from __future__ import annotations

import pytest

from schemas.formula import load
from service.kitchen import Kitchen
from service.render.leavening import NONE_BESIDE_POWDER, draw_leavening
from service.views.leavening_svg import leavening_svg
from service.views.registry import NoParams
from service.views.work import Work
from tests.render.drawings import parsed, texts, told
from tests.render.wrong_cake import LOAF_AND_CAKE

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


def test_each_group_that_rises_is_drawn(kitchen: Kitchen):
    """The loaf has yeast alone, the cake soda and powder: both are told, each under its name."""
    drawing = draw_leavening(leavening_svg(Work(kitchen, load(LOAF_AND_CAKE)), NoParams()))
    root = parsed(drawing)
    words = " ".join(texts(root))
    assert words.index("Yeast, in its time") < words.index("Heart") < words.index("Baking powder")
    assert "No line gives gas" not in words
    assert "Beside it, Heart" in told(root)


def test_a_filling_that_does_not_rise_is_not_drawn(kitchen: Kitchen):
    """Common practice, no source: nothing raises a custard."""
    custard = {"role": "filling", "name": "Custard", "ingredients": [{"text": "500 g milk"}]}
    parts = [*LOAF_AND_CAKE["components"], custard]
    chart = leavening_svg(Work(kitchen, load({**LOAF_AND_CAKE, "components": parts})), NoParams())
    assert [each.name for each in chart.beside] == ["Heart"]


@pytest.mark.parametrize(
    ("lines", "said"),
    [
        (("100% flour", "60% water", "2% fresh yeast"), "a gram for each percent"),
        (("100% flour", "60% water", "7 g fresh yeast"), "nothing gives the flour one"),
    ],
)
def test_percent_of_flour_is_said(kitchen: Kitchen, lines, said):
    ingredients = [{"text": text} for text in lines]
    document = {"name": "x", "class": "lean-bread", "components": [{"ingredients": ingredients}]}
    root = parsed(draw_leavening(leavening_svg(Work(kitchen, load(document)), NoParams())))
    assert said in told(root)
    assert "No line gives gas" not in told(root)
