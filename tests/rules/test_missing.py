"""Lines that were lost: what the method puts into the mix and no line brings.

The sentences are the project's own; each was labelled by reading it, as a baker would, before the rule
was run on any: ``named`` is what no line brings, or nothing.
"""

from __future__ import annotations

from dataclasses import replace

import pytest

from service.domain.formula import Line
from service.rules.kinds import KINDS
from service.rules.registry import run_rules
from tests.rules.hand import a_formula, a_line, cupboard, found, judged

CAKE = {
    "cake-flour": 250.0,
    "granulated-sugar": 200.0,
    "butter-unsalted": 115.0,
    "egg": 100.0,
    "whole-milk": 240.0,
    "baking-powder": 12.0,
    "table-salt": 3.0,
}
BREAD = {"bread-flour": 500.0, "water": 320.0, "fresh-yeast": 15.0, "table-salt": 9.0}
GINGERBREAD = {
    "all-purpose-flour": 250.0,
    "molasses": 320.0,
    "butter-unsalted": 60.0,
    "sour-milk": 120.0,
    "baking-soda": 5.0,
    "table-salt": 2.0,
}


def without(lines: dict[str, float], *codes: str, **more: float) -> dict[str, float]:
    left = {code: grams for code, grams in lines.items() if code not in codes}
    return left | {code.replace("_", "-"): grams for code, grams in more.items()}


#: lines, the sentence, and what of it no line brings. Labels: common practice, no source.
NAMED = (
    (without(CAKE, "baking-powder"), "Sift flour, baking powder and salt together.", "baking powder"),
    (without(CAKE, "baking-powder"), "Add flour mixed and sifted with baking powder.", "baking powder"),
    (without(CAKE, "baking-powder"), "Flour and baking powder sifted together are added last.",
     "baking powder"),
    (without(CAKE, "whole-milk"), "Add the milk alternately with the flour.", "milk"),
    (without(CAKE, "whole-milk"), "Moisten flour with melted butter; stir in the cold milk.", "milk"),
    (without(CAKE, "egg"), "Beat the eggs and add them to the butter and sugar.", "eggs"),
    (without(CAKE, "egg", egg_yolk=60.0), "Beat the whites stiff, fold them into the batter.", "whites"),
    (without(CAKE, "egg", egg_white=90.0), "Beat the yolks with the sugar until thick.", "yolks"),
    (without(CAKE, "granulated-sugar"), "Cream butter and sugar until light.", "sugar"),
    (without(CAKE, "butter-unsalted"), "Cream the butter with the sugar.", "butter"),
    (without(CAKE, "butter-unsalted"), "Rub the shortening into the flour.", "shortening"),
    (without(CAKE, "cake-flour"), "Stir in the flour and baking powder sifted together.", "flour"),
    (without(CAKE, "table-salt"), "Mix and sift flour, salt and baking powder.", "salt"),
    (without(BREAD, "fresh-yeast"), "Dissolve the yeast in the water and add to the flour.", "yeast"),
    (without(BREAD, "water"), "Pour the water on the flour and yeast, and knead ten minutes.", "water"),
    (without(BREAD, "water"), "Dissolve the yeast in lukewarm water, then stir in the flour.",
     "lukewarm water"),
    (without(GINGERBREAD, "baking-soda"), "Dissolve the soda in the sour milk.", "soda"),
    (without(GINGERBREAD, "molasses"), "Heat the butter; beat in the molasses and flour.", "molasses"),
    (without(GINGERBREAD, "sour-milk", buttermilk=0.0, cream_of_tartar=4.0),
     "Sift soda and cream of tartar with the flour.", None),
    (GINGERBREAD, "Sift soda and cream of tartar with the flour.", "cream of tartar"),
    (without(GINGERBREAD, "sour-milk"), "Add the buttermilk to the dry ingredients.", "buttermilk"),
    (without(GINGERBREAD, "sour-milk"), "Stir soda into sour milk; add to the molasses.", "sour milk"),
)  # fmt: skip
#: Labelled likewise: what these name beside flour and dates is for the pan, the top or the table, or is
#: given in the sentence itself. The kinds were met in methods of other formulas.
ASIDE = (
    "Toss the dates in flour, then stir over simmering water.",
    "Sift sugar over the top of the batter.",
    "Pour melted butter over the flour and the dates.",
    "Melt butter in a pan and add the batter.",
    "Add oil to the griddle and pour in the batter.",
    "Mix sugar and dates and roll the balls in it.",
    "Whisk the egg with the milk and paint the dough.",
    "Beat an egg with a splash of milk and brush the dough.",
    "For the crumb, mix butter, sugar and flour.",
    "For the syrup dissolve sugar in water, and stir in the dates.",
    "To finish, mix butter and dates and spread on top.",
    "To serve, beat butter with dates and honey.",
    "Make the streusel by rubbing butter into flour and sugar.",
    "For the buttercream, beat butter with sugar and the dates.",
    "Whisk a custard of yolks, sugar and milk, and add the dates.",
    "Mix milk and dates and spread over the hot cake.",
    "Note: stir soda into the flour where the milk is sour.",
    "At high altitude add water to the flour and beat in an egg.",
    "The yeast must be fresh when mixed with flour.",
    "Soak the dates in milk overnight, drain and mix with the flour.",
    "Boil the dates in water, drain, and stir into the flour.",
    "Pour boiling water over the dates and let stand; mix with the flour.",
    "Baking powder may be stirred into the flour for a lighter crumb.",
    "Use margarine in the flour in place of butter: mix it well.",
    "Stir flour into dates until the dough is like butter; mix as for egg bread.",
    "Mix flour and dates until the pieces are the size of eggs.",
    "Add just enough milk to bind the flour.",
    "Add a pinch of salt and one egg to the flour.",
)
#: As above, where nothing is to be said.
NOT_NAMED = (
    (CAKE, "Cream butter and sugar, add eggs, then flour and baking powder alternately with milk."),
    (without(CAKE, "baking-powder"), "Contains no baking powder: air beaten into the egg raises it."),
    (CAKE, "Cakes with soda need the same heat."),
    (without(CAKE, "whole-milk"), "Mix and bake as Graham Muffins, with milk and flour."),
    (without(CAKE, "butter-unsalted"), "Butter the tin and flour it."),
    (without(CAKE, "butter-unsalted"), "Grease the pan with butter, then pour in the batter."),
    (without(CAKE, "egg"), "Beat well, brush with egg and dredge with sugar."),
    (without(CAKE, "egg"), "Add the flour, shape, and brush with beaten eggs."),
    (without(CAKE, "whole-milk"), "Roll out and brush the top of the dough with milk."),
    (without(CAKE, "granulated-sugar"), "Mix flour and butter, bake, and roll in sugar."),
    (CAKE, "Add flour; set the dish in a pan of hot water and bake."),
    (CAKE, "Beat eggs and sugar over boiling water until warm."),
    (without(BREAD), "Mix the dough, shape it, and fry in deep fat."),
    (without(CAKE, "cake-flour"), "Beat eggs with sugar; dip the cutter in flour."),
    (without(CAKE, "whole-milk"), "For the icing, mix sugar with milk."),
    (without(CAKE, "whole-milk"), "Cover with frosting. Mix sugar and butter, and add milk."),
    (without(CAKE, "whole-milk"), "Add a little milk to the flour and butter."),
    (without(CAKE, "whole-milk"), "If the dough is too stiff, add milk to the flour."),
    (without(CAKE, "egg"), "An egg may be added to the flour and the milk."),
    (without(CAKE, "egg"), "Add two eggs to the butter and sugar."),
    (without(CAKE, "egg"), "Beat with an egg beater and add the flour."),
    (without(CAKE, "egg"), "Add butter, shape balls the size of an egg, and bake."),
    (without(BREAD, "bread-flour"), "Dissolve yeast in the water, add flour to make a soft dough."),
    (without(BREAD, "bread-flour"), "Mix yeast with the water, knead on a floured board."),
    (without(CAKE, "table-salt"), "Sift flour and baking powder, and salt to taste."),
    (GINGERBREAD, "Add the milk to the molasses and the flour."),
    (without(CAKE, "butter-unsalted", lard=100.0), "Cream the butter and sugar."),
    (without(CAKE, "butter-unsalted", lard=100.0), "Mix the shortening with the flour."),
    (CAKE, "Beat the yolks with sugar, add flour, and fold in the whites."),
    (without(CAKE, "baking-powder", baking_soda=3.0, cream_of_tartar=6.0),
     "Sift flour, salt and baking powder together."),
    (without(CAKE, "baking-powder", "cake-flour", self_raising_flour=250.0),
     "Sift flour, salt and baking powder together."),
    (without(BREAD, "fresh-yeast", sourdough_starter=100.0), "Add the yeast to the flour and water."),
    (without(BREAD), "Add flour and yeast to water, bake, and serve with butter and milk."),
    (without(GINGERBREAD), "Dissolve the soda in hot water and add to the molasses."),
    (without(CAKE, "egg"), "Made without eggs: add milk to the flour instead."),
    (without(CAKE, "whole-milk", water=240.0), "Add milk or water to the flour."),
    (CAKE, "Use sour milk and soda."),
    (CAKE, "Sift the flour twice, add soda biscuits, crushed, and milk chocolate."),
)  # fmt: skip


def told(lines, *method: str, **said):
    return found(a_formula(lines, of_class="butter-cake", method=method, **said), "SLIP-08")


@pytest.mark.parametrize(("lines", "sentence", "named"), [each for each in NAMED if each[2]])
def test_a_line_that_the_method_misses_is_told(lines, sentence, named):
    (finding,) = told(lines, sentence)
    assert finding.message.startswith(f"The method puts {named} into the mix, and no line brings any")
    assert (finding.severity, finding.certain, finding.evidence) == ("warning", False, "J")
    assert finding.lines == ("/method/0",)


@pytest.mark.parametrize(
    ("lines", "sentence"), [*NOT_NAMED, *(each[:2] for each in NAMED if not each[2])]
)
def test_what_is_brought_or_is_for_something_else_is_not_told(lines, sentence):
    assert told(lines, sentence) == []


@pytest.mark.parametrize("sentence", ASIDE)
def test_what_is_no_part_of_the_mix_is_not_told(sentence):
    assert told({"all-purpose-flour": 250.0, "dates": 200.0}, sentence) == []


def test_all_that_follows_an_icing_is_of_the_icing():
    method = (
        "Beat the flour with the dates.",
        "Spread with icing.",
        "Beat butter and dates with sugar.",
    )
    assert told({"all-purpose-flour": 250.0, "dates": 200.0}, *method) == []


@pytest.mark.parametrize(("lines", "sentence", "named"), NAMED)
def test_nothing_is_told_where_the_line_is_there(lines, sentence, named):
    every = {code: 1.0 for each in (CAKE, BREAD, GINGERBREAD) for code in each}
    assert told(every | {"cream-of-tartar": 1.0}, sentence) == []


def test_a_sentence_that_joins_it_with_nothing_is_a_note():
    (finding,) = told(without(CAKE, "egg"), "Add the eggs, and beat.")
    assert finding.severity == "note"


def test_it_is_told_once_where_it_is_plainest():
    method = ("Heat the oven.", "Add the eggs.", "Beat sugar and eggs.", "Stir eggs into the flour.")
    (finding,) = told(without(CAKE, "egg"), *method)
    assert (finding.severity, finding.lines) == ("warning", ("/method/2",))


def test_several_that_are_missing_are_each_told():
    lines = without(CAKE, "egg", "baking-powder")
    findings = told(lines, "Beat eggs and sugar.", "Sift baking powder with flour.")
    assert {each.limit for each in findings} == {"egg", "powder"}


def test_a_step_of_a_component_is_pointed_at():
    weighed = a_formula(
        without(CAKE, "egg"), methods=(("Beat the eggs with the sugar.",),), of_class="butter-cake"
    )
    (finding,) = found(weighed, "SLIP-08")
    assert finding.lines == ("/components/0/method/0",)


def test_what_another_component_brings_is_brought():
    parts = (without(CAKE, "egg"), {"egg": 100.0, "whole-milk": 500.0})
    weighed = a_formula(
        *parts,
        roles=("batter", "filling"),
        of_class="butter-cake",
        method=("Beat eggs with the sugar.",),
    )
    assert found(weighed, "SLIP-08") == []


def test_the_method_of_the_formula_is_told_of_one_group_alone():
    parts = (without(CAKE, "baking-powder"), {"powdered-sugar": 100.0, "butter-unsalted": 50.0})
    weighed = a_formula(
        *parts,
        roles=("batter", "glaze"),
        of_class="butter-cake",
        method=("Sift flour and baking powder.",),
    )
    assert len(found(weighed, "SLIP-08", 0)) == 1
    assert found(weighed, "SLIP-08", 1) == []


def test_a_thing_that_no_table_knows_may_be_what_is_looked_for():
    assert told(without(CAKE, "butter-unsalted", zorb=100.0), "Cream the butter and sugar.") == []


def test_what_the_words_of_a_line_bring_is_brought():
    yeast = Line(text="1 yeast cake dissolved in lukewarm water", ingredient="fresh-yeast")
    noted = Line(ingredient="fresh-yeast", note="dissolved in lukewarm water")
    for line in (yeast, noted):
        lines = [a_line("bread-flour", 500.0, 0), a_line("fresh-yeast", 15.0, 1, line=line)]
        said = line.text or "15 g yeast"
        lines[1] = replace(lines[1], as_written=said)
        assert told(lines, "Add the yeast and the lukewarm water to the flour.") == []


def test_no_method_and_other_languages_are_not_read():
    weighed = a_formula(without(CAKE, "egg"), of_class="butter-cake")
    assert found(weighed, "SLIP-08") == []
    spoken = replace(
        weighed, formula=replace(weighed.formula, method=("Beat eggs with sugar.",), language="de")
    )
    assert found(spoken, "SLIP-08") == []


@pytest.mark.parametrize("row", cupboard().tables["mix_needs"], ids=lambda row: row.code)
def test_each_need_is_named_by_something_and_met_by_something(row):
    shelf = cupboard()
    assert row.ingredients or row.kinds or row.words
    assert row.answered or row.answered_by
    assert {*row.ingredients, *row.answered_by} <= set(shelf.ingredients)
    assert {*row.kinds, *row.answered} <= set(KINDS)


def test_what_is_brought_is_read_from_the_group_as_it_is_tried():
    group = judged(
        a_formula(without(CAKE, "egg"), method=("Beat eggs and sugar.",), of_class="butter-cake")
    )
    tried = group.with_exchanged((None, a_line("egg", 100.0, 9)))
    assert [each.limit for each in run_rules(group) if each.rule == "SLIP-08"] == ["egg"]
    assert [each for each in run_rules(tried) if each.rule == "SLIP-08"] == []
