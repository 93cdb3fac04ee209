"""How a method's own words have pans prepared and a foam cooled.

Each sentence was read, and labelled, by hand. What greasing and cooling do to a foam: Lowe, Experimental
Cookery, Experiment 69 (ungreased pan, cooled upside down); General Mills, birthday cake basics (do not
grease); Tasting Table, 24 February 2024 (right side up its bubbles collapse). Words: common kitchen
usage, no published source; some sentences are those of Farmer, The Boston Cooking-School Cook Book.
"""

from __future__ import annotations

import pytest

from service.domain.finding import Finding
from service.domain.formula import Pan
from service.kitchen import open_kitchen
from service.rules.handled import handled_pans
from service.rules.judging import groups_of
from service.rules.registry import run_rules
from tests.rules.hand import a_formula, cupboard

SIZES = open_kitchen().measures
FOAM = {"egg-white": 244.0, "granulated-sugar": 250.0, "cake-flour": 100.0}


def judged_of(*method: str, of_class: str = "chiffon", pans: tuple[Pan, ...] = ()):
    weighed = a_formula(FOAM, of_class=of_class, method=method, pans=pans)
    return groups_of(weighed, cupboard(), SIZES)[0][0]


def told(*method: str, of_class: str = "chiffon", pans: tuple[Pan, ...] = ()) -> list[Finding]:
    found = run_rules(judged_of(*method, of_class=of_class, pans=pans))
    return [each for each in found if each.rule in ("STRUCT-01", "STRUCT-02", "STRUCT-03")]


@pytest.mark.parametrize(
    ("sentence", "preparation", "shape"),
    [
        ("Butter the sides of the tube pan.", "greased", "tube"),
        ("Grease and paper the tin.", "lined", ""),
        ("Grease, flour and line two 9-inch layer tins.", "lined", "round"),
        ("Pour into a greased 10-inch tube pan and bake.", "greased", "tube"),
        ("Brush the tube tin with melted butter.", "greased", "tube"),
        ("Turn into a pan lined with paper.", "lined", ""),
        ("Sides of the tube pan must be well greased.", "greased", "tube"),
        ("Butter a jelly roll pan.", "greased", "sheet"),
        ("Line the bottom of a tube pan with paper.", "lined-base", "tube"),
        ("Line the bottom of the tube pan with greased paper.", "lined-base", "tube"),
        ("Put into a well-buttered bread pan.", "greased", ""),
        ("Bake in hot buttered gem pans.", "greased", ""),
        ("Bake in a paper-lined tube pan.", "lined", "tube"),
        ("Bake in a large angel pan, lightly buttered and floured.", "floured", "tube"),
    ],
)
def test_preparation_is_read_from_the_method(sentence, preparation, shape):
    (handled,) = handled_pans(judged_of(sentence))
    assert (handled.pan.preparation, handled.pan.shape) == (preparation, shape)
    assert handled.pointers == ("/method/0",)


@pytest.mark.parametrize(
    "sentence",
    [
        "Do not grease the pan.",
        "Pour into an ungreased tube pan.",
        "The pan should not be greased.",
        "Never butter the tin.",
        "Bake forty-five to fifty minutes in an unbuttered angel-cake pan.",
        "Cover the pans with buttered paper and steam.",
        "Neither grease nor flour the tin.",
        "The tin must not on any account be greased.",
        "Use a clean, grease-free tube pan.",
        "Bake in a tube pan with a removable bottom, greased only on the bottom.",
        "Grease the bottom only of the pan.",
        "Grease the bottom but not the sides of the tube pan.",
        "Add the oil and scrape the sides of the bowl.",
        "Oil the sides of a bowl.",
        "Beat in the butter and pour into a tube pan.",
        "Fold the flour in, then turn into the pan.",
    ],
)
def test_what_greases_no_sides_is_not_heard(sentence):
    assert handled_pans(judged_of(sentence)) == ()


@pytest.mark.parametrize(
    ("method", "cooling"),
    [
        (("Turn out at once.",), "turned-out"),
        (("Remove from the pan immediately.",), "turned-out"),
        (("Cool in the pan right side up.",), "upright"),
        (("Leave to stand upright on a rack.",), "upright"),
        (("Do not invert.",), "upright"),
        (("Invert until cold, then turn out.",), "inverted"),
        (("Turn upside down at once.",), "inverted"),
        (("Hang on a bottle.", "When cold turn out at once."), "inverted"),
        (("Turn out when cold.",), None),
        (("Do not turn out at once.",), None),
        (("Serve right side up.",), None),
        (("Cool and serve.",), None),
    ],
)
def test_cooling_is_read_from_the_method(method, cooling):
    pans = handled_pans(judged_of(*method))
    assert [each.pan.cooling for each in pans] == ([cooling] if cooling else [])


@pytest.mark.parametrize(
    ("sentence", "rule", "severity", "certain"),
    [
        ("Butter the sides of the tube pan.", "STRUCT-01", "error", True),
        ("Grease and paper the tin.", "STRUCT-01", "warning", False),
        ("Grease two 9-inch layer tins.", "STRUCT-01", "warning", True),
        ("Grease a jelly roll pan.", "STRUCT-01", "note", True),
        ("Cool in the tube pan right side up.", "STRUCT-02", "error", True),
        ("Turn out at once.", "STRUCT-02", "warning", False),
        ("Line the bottom of the tube pan with paper.", "STRUCT-03", "note", True),
    ],
)
def test_a_chiffon_is_told_of_what_its_method_does(sentence, rule, severity, certain):
    """Severities: a tube as Lowe and Tasting Table have it; layers as the class's rows (Life, 1956); a
    sheet is a note. Where no word tells the shape nothing is certain."""
    (finding,) = told(sentence)
    assert (finding.rule, finding.severity, finding.certain) == (rule, severity, certain)
    assert finding.lines == ("/method/0",)
    assert (finding.settle is None) is certain


def test_a_field_of_the_pan_goes_before_words():
    bare = Pan("tube", preparation="ungreased", cooling="inverted")
    assert told("Grease the tube pan.", "Turn out at once.", pans=(bare,)) == []
    (finding,) = told("Grease the tin.", pans=(Pan("tube"),))
    assert (finding.severity, finding.certain) == ("error", True)
    assert finding.lines == ("/pans/0", "/method/0")


@pytest.mark.parametrize("of_class", ["sponge", "genoise", "butter-cake"])
def test_other_cakes_may_be_greased_and_turned_out(of_class):
    """Common practice: a whole-egg sponge is baked in a greased tin and turned out."""
    assert told("Grease the tin.", "Turn out at once.", of_class=of_class) == []
