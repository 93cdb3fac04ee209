"""Which parts of a formula are baked or cooked: raw egg and raw flour are cautioned of, baked are not.

Sources: FDA and USDA, egg dishes to 71 degrees Celsius; FDA, raw flour is not ready to eat. What a
method means is read as a baker reads it: common practice, no source.
"""

from __future__ import annotations

import time
from typing import Any

import pytest

from schemas.formula import load
from service.rules.judging import groups_of
from service.rules.registry import all_rules
from tests.rules.printed import KITCHEN

CAKE = ("1 cup flour", "1 cup sugar", "1/2 cup butter", "2 eggs", "1/2 cup milk", "1 tsp baking powder")
BREAD = ("500 g bread flour", "300 g water", "10 g salt", "10 g fresh yeast")
CUSTARD = ("500 g milk", "4 egg yolks", "40 g flour", "100 g sugar")
ICING = ("200 g powdered sugar", "1 egg white")
MOUSSE = ("200 g dark chocolate", "4 eggs", "50 g butter")
STREUSEL = ("100 g flour", "100 g sugar", "60 g butter")
EGG, FLOUR, COLD = "egg-undercooked", "flour-raw", "cold-filling"


def part(role: str, lines: tuple[str, ...], **rest: Any) -> dict[str, Any]:
    return {"role": role, "ingredients": [{"text": text} for text in lines], **rest}


def told(*components: dict[str, Any], **rest: Any) -> list[tuple[int, set[str]]]:
    """Give the cautions of egg, flour and cold keeping, group by group."""
    document = {"name": "Cake of the fair", "measures": "us", **rest, "components": list(components)}
    weighed = KITCHEN.scales.weigh(load(document))
    (rule,) = (each for each in all_rules() if each.code == "CAUTION-01")
    return [
        (at, {found.limit or "" for found in rule.check(judged)} & {EGG, FLOUR, COLD})
        for at, (judged, _) in enumerate(groups_of(weighed, KITCHEN.cupboard, KITCHEN.measures))
    ]


def beside(*components: dict[str, Any], **rest: Any) -> set[str]:
    """Give the cautions of what stands beside a cake."""
    ((_, cake), (_, other)) = told(part("batter", CAKE, **{"class": "butter-cake"}), *components, **rest)
    assert not cake
    return other


def test_a_second_dough_or_batter_is_baked():
    assert beside(part("dough", BREAD, **{"class": "lean-bread"})) == set()


def test_a_part_of_a_baked_class_is_baked_whatever_its_role():
    assert beside(part("topping", STREUSEL, **{"class": "short-pastry"})) == set()


def test_what_nobody_tells_is_taken_as_raw():
    assert beside(part("glaze", ICING)) == {EGG, COLD}
    assert beside(part("topping", STREUSEL, name="Streusel")) == {FLOUR}
    assert beside(part("filling", STREUSEL, name="Cookie dough")) == {FLOUR}


@pytest.mark.parametrize(
    ("method", "raw"),
    [
        (("Boil the milk.", "Whisk in the rest and cook until thick."), set()),
        (("Cook all in a double boiler till it coats the spoon.",), set()),
        (("Stir the yolks with sugar and flour; add to the milk and bring to the boil.",), set()),
        (("Bring to the boil, stirring, add butter.",), set()),
        (("Cook over simmering water until it thickens.",), set()),
        (("Set over boiling water, and stir until thick.",), set()),
        (("Heat the milk.", "Whisk in yolks, sugar and flour."), {EGG, FLOUR}),
        (("Scald the milk and pour over the beaten yolks and flour.",), {EGG, FLOUR}),
        (("Dissolve the sugar in boiling water, and beat in the rest.",), {EGG, FLOUR}),
        (("Mix without cooking.",), {EGG, FLOUR}),
    ],
)
def test_a_custard_is_cooked_as_far_as_its_method_says(method, raw):
    assert beside(part("filling", CUSTARD, method=list(method))) == {COLD, *raw}


@pytest.mark.parametrize(
    ("method", "raw"),
    [
        (("Melt the chocolate over simmering water.", "Cool, beat in the eggs."), True),
        (("Place chocolate and butter over boiling water until smooth. Add the eggs.",), True),
        (("Melt all over simmering water, and cook to 160 F, stirring.",), False),
    ],
)
def test_melted_chocolate_leaves_its_eggs_raw(method, raw):
    assert (EGG in beside(part("filling", MOUSSE, method=list(method)))) is raw


@pytest.mark.parametrize(
    ("method", "raw"),
    [
        (("Sprinkle the streusel over the batter.", "Bake 40 minutes."), False),
        (("Top with streusel and bake.",), False),
        (("Bake the cake 40 minutes.", "Sprinkle the streusel over it."), True),
        (("Sprinkle the streusel on the plate, and chill.", "Bake the cake."), True),
        (("Bake 40 minutes.",), True),
    ],
)
def test_what_is_put_on_before_the_oven_is_baked(method, raw):
    streusel = part("topping", STREUSEL, name="Streusel")
    assert (FLOUR in beside(streusel, method=list(method))) is raw


@pytest.mark.parametrize(
    ("method", "raw"),
    [
        (("Cook the cream until thick.", "Bake the cake."), set()),
        (("Stir the cream over gentle heat until it thickens.",), set()),
        (("Bake the cake and spread the cream on it.",), {EGG, FLOUR}),
        (("Whisk the cream until thick.", "Heat the oven, and bake the cake."), {EGG, FLOUR}),
    ],
)
def test_the_formula_may_tell_of_a_part_by_its_name(method, raw):
    cream = part("filling", CUSTARD, name="Lemon cream")
    assert beside(cream, method=list(method)) == {COLD, *raw}


@pytest.mark.parametrize(
    ("method", "raw"),
    [
        (("Brush with the wash and bake 20 minutes.",), False),
        (("Glaze and bake.",), False),
        (("Bake, cool and glaze.",), True),
    ],
)
def test_egg_that_is_brushed_on_before_the_oven_is_baked(method, raw):
    assert (EGG in beside(part("glaze", ("1 egg",), name="Egg wash"), method=list(method))) is raw


@pytest.mark.parametrize(
    ("name", "lines", "raw"),
    [
        ("Edible cookie dough", STREUSEL, {FLOUR}),
        ("Edible cookie dough", ("100 g heat-treated flour", "60 g butter"), set()),
        ("No-bake squares", (*STREUSEL, "1 egg"), {FLOUR, EGG}),
        ("Raw apple cake", CAKE, set()),
        ("Chocolate mousse", MOUSSE, {EGG, COLD}),
    ],
)
def test_what_stands_alone_is_baked_unless_it_says_otherwise(name, lines, raw):
    (((_, found)),) = told(part("batter", lines), name=name)
    assert found == raw


def test_pasteurised_egg_is_safe():
    """FDA and USDA: use pasteurised egg where it is not cooked."""
    assert EGG not in beside(part("glaze", ("200 g powdered sugar", "1 pasteurised egg white")))
    assert EGG in beside(part("glaze", ("200 g powdered sugar", "1 egg white, unpasteurised")))


def test_a_mousse_in_the_oven_is_baked():
    alone = {"temperature": {"low": 160, "high": 160, "unit": "Cel"}}
    ((_, found),) = told(part("batter", MOUSSE), name="Chocolate mousse", bake=alone)
    assert EGG not in found


def test_hostile_methods_take_no_long():
    """A method of 200 long steps is read in a moment: nothing in it may cost its square."""
    steps = ["add stir beat boil melt the milk and " * 50, "a" * 1900, "not to be " * 190] * 60
    started = time.perf_counter()
    beside(part("filling", CUSTARD, name="Cream", method=steps), method=steps)
    assert time.perf_counter() - started < 5


def test_a_crust_that_goes_into_the_oven_unbaked_is_baked():
    oven = {"temperature": {"low": 180, "high": 180, "unit": "Cel"}}
    crust = part("dough", ("200 g flour", "100 g butter"), name="Unbaked crust")
    ((_, found),) = told(crust, name="Chess pie", bake=oven)
    assert found == set()
