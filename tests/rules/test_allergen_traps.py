"""Lines and texts that tempt to tell an absence which nobody established.

Each row: what is written, what must be contained, what must at least be undetermined (``*``: all that
the law lists), and why. Every row with something undetermined must leave the answer incomplete. The
expected keys are read from the words and the law, never from the program; the third column of each
row says on what they rest.
"""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction

import pytest

from service.domain.changes import Changes, Choice
from service.domain.formula import Component, Formula, Line, Pan
from service.domain.quantity import Quantity
from service.errors import Invalid
from service.kitchen import open_kitchen
from service.rules.allergens import Derived, derive
from service.views.allergens import AllergenParams, allergens
from service.views.work import Work

KITCHEN = open_kitchen()
TRADE = "common trade knowledge, from memory"
ANNEX = "Regulation (EU) No 1169/2011, Annex II"
ALL = "*"


def listed(market: str) -> set[str]:
    rows = KITCHEN.cupboard.market_allergens[market]
    return {row.allergen for row in rows if row.status != "kind"}


def formula(*lines: Line, **members: object) -> Formula:
    return replace(Formula("Trial", (Component(ingredients=lines),), measures="us"), **members)


def derived(given: Formula, market: str = "eu") -> Derived:
    return derive(KITCHEN.scales.weigh(given), market, KITCHEN.cupboard)


def contained(answer: Derived) -> set[str]:
    return {each.key for each in answer.contains}


def undetermined(answer: Derived) -> set[str]:
    return {each.key for each in answer.undetermined}


def hold(answer: Derived, contains: str, hides: str, why: str) -> None:
    """Assert that nothing expected is missing, and that what hides leaves the answer incomplete."""
    assert set(contains.split()) <= contained(answer), why
    known = contained(answer)
    known |= {KITCHEN.cupboard.allergens[key].group for key in known}
    wanted = listed("eu") - known if hides == ALL else set(hides.split())
    assert wanted <= undetermined(answer), why
    assert answer.complete is (not hides), why


LINES = [
    # Names that sound like another thing.
    ("1 cup nut butter", "", "almond cashew peanut hazelnut walnut pecan pistachio", TRADE),
    ("1 cup peanut butter", "peanut", ALL, ANNEX + " point 5"),
    ("1 cup almond milk", "almond", ALL, ANNEX + " point 8"),
    ("1 cup oat milk", "oats", ALL, ANNEX + " point 1"),
    ("1 cup soya milk", "soy", ALL, ANNEX + " point 6"),
    ("1 cup cashew milk", "", ALL, "contract: an unknown thing may hold anything"),
    ("1 oz shea butter", "", ALL, "contract: an unknown thing may hold anything"),
    ("1 oz cocoa butter", "", "", "the plain fat of the cocoa bean"),
    ("1 tsp cream of tartar", "", "sulphite", "a by-product of wine, " + TRADE),
    ("1 tsp nutmeg", "", "", "a plain spice: no nut"),
    ("1 eggplant", "", "", "a plain fruit: no egg"),
    ("1 cup butternut squash", "", "", "a plain fruit: no nut, no butter"),
    ("1 cup butter beans", "", "sulphite", "canned pulses, " + TRADE),
    ("1 cup water chestnuts", "", ALL, "contract: an unknown thing may hold anything"),
    ("1 cup buckwheat flour", "", "wheat", "milled beside wheat, " + TRADE),
    ("1 cup vegan butter", "", ALL, "a blend"),
    ("1 cup egg replacer", "", ALL, "a blend"),
    ("1 cup dairy-free chocolate chips", "", ALL, "contract: an unknown thing may hold anything"),
    ("1 cup gluten-free flour", "", ALL, "a blend"),
    ("1 cup frobnitz flour", "", ALL, "contract: an unknown thing may hold anything"),
    ("1 cup malted milk powder", "milk barley wheat", ALL, ANNEX + " points 1, 7"),
    ("1 cup wheaten cornflour", "wheat", "", ANNEX + " point 1: wheat starch is not exempt"),
    ("1 tsp soya lecithin", "soy", "", ANNEX + " point 6: lecithin is not exempt"),
    ("1 tsp sunflower lecithin", "", ALL, "a bought emulsifier without a declaration"),
    ("1 tbsp copha", "", "soy", "hardened coconut fat with soya lecithin, " + TRADE),
    ("1 cup pea flour", "", "soy", "an old name of several pulse flours, " + TRADE),
    ("1 cup bran", "wheat", "oats barley rye", "the bran of which cereal is not said"),
    ("1 cup flour", "wheat", "barley", "malted barley in flour, 21 CFR 137.105"),
    ("1 cup oats", "oats", "wheat barley rye", "grown and milled beside them, " + TRADE),
    ("1 cup goji berries", "", "sulphite", "sold sulphured too, " + TRADE),
    ("1 cup grape juice", "", "sulphite", "kept with sulphite in places, " + TRADE),
    ("1 cup mixed nuts", "", ALL, "which nuts is not said"),
    ("1 cup marzipan", "almond", ALL, ANNEX + " point 8"),
    ("1 cup soy sauce", "soy wheat", ALL, ANNEX + " points 1, 6"),
    ("1 tbsp worcestershire sauce", "anchovy", ALL, ANNEX + " point 4"),
    ("1 tbsp malt vinegar", "barley", ALL, ANNEX + " point 1"),
    ("1 cup couscous", "wheat", "", ANNEX + " point 1"),
    ("1 sheet filo pastry", "wheat", ALL, ANNEX + " point 1"),
    ("1 tbsp tahini", "sesame", ALL, ANNEX + " point 11"),
    ("100 g white chocolate", "milk", ALL, ANNEX + " point 7"),
    ("100 g ladyfingers", "wheat egg", ALL, ANNEX + " points 1, 3"),
    ("1 cup unsulphured dried apricots", "", ALL, "a claim of a pack that nobody declared"),
    # Words beside the ingredient.
    ("100 g chocolate (contains nuts)", "", ALL, "what the note says was not understood"),
    ("1 cup sugar (I use honey roasted peanuts)", "", "peanut", "the note names them"),
    ("1 cup sugar with peanuts", "", "peanut", "the note names them"),
    ("1 cup water with a little tahini", "", "sesame", "the note names it"),
    ("1 cup sugar, topped with pesto", "", "milk cashew", "the note names it"),
    ("1 cup sugar <b>peanuts</b>", "", ALL, "a stretch that was not understood"),
    ("1 cup sugar 🥜", "", ALL, "a stretch that was not understood"),
    # Alternatives and options.
    ("1 cup milk (or almond milk)", "milk almond", ALL, ANNEX + " points 7, 8"),
    ("1 cup water or milk", "milk", "", ANNEX + " point 7"),
    ("1 tbsp lard or butter", "milk", "", ANNEX + " point 7; salted or not, butter is milk"),
    ("1/2 cup walnuts (optional)", "walnut", "", ANNEX + " point 8"),
    ("1 cup rice flour or flour", "wheat", "barley", ANNEX + " point 1"),
    # Remarks and headings among the lines.
    ("Garnish with toasted almonds.", "", "almond", "the remark names them"),
    ("Serve with cream", "", "milk", "the remark names it"),
    ("toast with butter", "wheat", "milk", ANNEX + " point 1; the note names butter"),
    ("Walnuts:", "", "walnut", "the heading names them"),
    ("see peanut sauce recipe", "", "peanut", "the remark names them"),
]


@pytest.mark.parametrize(("text", "contains", "hides", "why"), LINES, ids=[row[0] for row in LINES])
def test_line_never_tells_an_absence(text: str, contains: str, hides: str, why: str) -> None:
    hold(derived(formula(Line(text=text))), contains, hides, why)


TEXTS = [
    ("Brush with beaten egg.", "egg", "an egg that no line lists"),
    ("Glaze with egg wash.", "egg", "an egg that no line lists"),
    ("Sprinkle with chopped almonds.", "almond", "nuts that no line lists"),
    ("Pour into buttered tins.", "milk", "butter on the tin"),
    ("Turn out on a floured board.", "wheat", "flour on the board"),
    ("Soak in almond milk.", "almond", "almond milk names almond"),
    ("Cream the sugar and beat in tahini.", "sesame", "an ingredient that no line lists"),
    ("Contains shellfish and dairy.", "crustacean mollusc milk", "words for kinds"),
    ("Serve with smoked salmon.", "salmon", "an allergen by its own name"),
    ("Top with mixed nuts.", "almond hazelnut walnut peanut", "which nuts is not said"),
]
PLACES = {
    "method": lambda text: formula(Line(text="1 cup sugar"), method=(text,)),
    "notes": lambda text: formula(Line(text="1 cup sugar"), notes=(text,)),
    "component method": lambda text: formula(
        components=(Component(ingredients=(Line(text="1 cup sugar"),), method=(text,)),)
    ),
    "component name": lambda text: formula(
        components=(Component(name=text, ingredients=(Line(text="1 cup sugar"),)),)
    ),
}


@pytest.mark.parametrize("place", sorted(set(PLACES) - {"component name"}))
@pytest.mark.parametrize(("text", "hides", "why"), TEXTS, ids=[row[0] for row in TEXTS])
def test_what_words_name_and_no_line_brings_is_undetermined(
    text: str, hides: str, why: str, place: str
) -> None:
    answer = derived(PLACES[place](text))
    assert set(hides.split()) <= undetermined(answer), why
    assert not answer.complete


def test_heading_that_is_an_ingredient_is_undetermined() -> None:
    answer = derived(PLACES["component name"]("Toasted almonds"))
    assert undetermined(answer) >= {"almond"}
    assert not answer.complete


def test_reason_points_at_the_words() -> None:
    (entry,) = derived(formula(Line(text="1 cup sugar"), method=("Mix.", "Add an egg."))).undetermined
    (ground,) = entry.grounds
    assert (ground.line, ground.ingredient) == ("/method/1", "egg")


@pytest.mark.parametrize(
    ("lines", "method", "why"),
    [
        (("1 cup butter", "1 cup sugar"), "Cream the butter and sugar.", "cream is a verb here"),
        (("1 cup walnuts",), "Fold in the nuts.", "the nuts are the walnuts of the line"),
        (("2 eggs",), "Beat the whites; add the yolks.", "parts of the line's egg"),
        (("1 cup sugar",), "Add cream of tartar? No: it must set.", "the longest name goes first"),
    ],
)
def test_words_for_what_lines_bring_hide_no_milk_egg_or_nut(
    lines: tuple[str, ...], method: str, why: str
) -> None:
    answer = derived(formula(*(Line(text=text) for text in lines), method=(method,)))
    assert not undetermined(answer) & {"milk", "egg", "almond", "hazelnut", "peanut"}, why


def test_floured_pan_brings_flour() -> None:
    answer = derived(formula(Line(text="1 cup sugar"), pans=(Pan("round", preparation="floured"),)))
    assert undetermined(answer) >= {"wheat"}


def test_text_in_a_language_without_names_may_name_anything() -> None:
    given = formula(Line(ingredient="granulated-sugar"), method=("Mit Ei bestreichen.",), language="de")
    assert undetermined(derived(given)) == listed("eu")


@pytest.mark.parametrize("lines", [(), ("-",), ("Bake until done",)])
def test_formula_that_names_no_ingredient_may_hold_anything(lines: tuple[str, ...]) -> None:
    answer = derived(formula(*(Line(text=text) for text in lines)))
    assert undetermined(answer) == listed("eu")
    assert not answer.complete


def test_text_that_contradicts_its_fields_is_heard() -> None:
    """Contract 3: the fields decide; but almonds that the text names are not thereby absent."""
    line = Line(
        text="1 cup chopped almonds", ingredient="granulated-sugar", quantity=Quantity.of(Fraction(1))
    )
    assert undetermined(derived(formula(line))) == {"almond"}


def test_field_that_narrows_its_text_hides_nothing() -> None:
    line = Line(
        text="1 cup oil", ingredient="sunflower-oil", quantity=Quantity.of(Fraction(1)), unit="cup"
    )
    assert derived(formula(line)).complete


@pytest.mark.parametrize("member", ["contains", "may_contain"])
def test_unknown_declared_allergen_of_an_alternative_is_refused_at_its_spot(member: str) -> None:
    other = Line(**{"ingredient": "egg", member: ("moonlight",)})
    with pytest.raises(Invalid) as refused:
        derived(formula(Line(ingredient="water", alternatives=(other,))))
    (fault,) = refused.value.faults
    assert fault.pointer == f"/components/0/ingredients/0/alternatives/0/{member}/0"


def test_partial_declaration_closes_nothing() -> None:
    answer = derived(
        formula(Line(text="100 g dark chocolate", contains=("soy",), may_contain=("peanut",)))
    )
    assert contained(answer) == {"soy"}
    assert undetermined(answer) >= {"milk", "hazelnut"}
    assert not answer.complete


def test_choice_takes_away_its_own_line_alone() -> None:
    """Contract 3: without the optional walnuts; the method's almonds stay."""
    given = formula(
        Line(text="1 cup butter"), Line(text="1/2 cup walnuts (optional)"),
        method=("Fold in the walnuts.", "Sprinkle with almonds."),
    )  # fmt: skip
    changes = Changes(choose=(Choice("/components/0/ingredients/1", "without"),))
    answer = allergens(Work(KITCHEN, given, changes), AllergenParams("eu"))
    assert {entry.name for entry in answer.contains} == {"milk"}
    assert {entry.name for entry in answer.undetermined} == {"almond"}


LAW = [
    ("allergen-10", "ca", ("rye-flour", "water", "table-salt", "malt-syrup"), {"rye", "barley"}, set()),
    ("allergen-20", "eu", ("glucose-syrup",), set(), {"milk"}),
    ("allergen-21", "eu", ("wheat-starch",), {"wheat"}, set()),
    ("allergen-26", "eu", ("dark-chocolate", "soy-lecithin"), {"soy"}, {"milk"}),
    ("allergen-27", "us", ("soy-lecithin",), {"soy"}, set()),
    ("allergen-31", "jp", ("almond-flour", "egg-white"), {"almond", "egg"}, set()),
    ("allergen-37", "eu", ("coconut-fresh", "egg-white"), {"egg"}, set()),
    ("allergen-43", "codex", ("cake-flour", "sesame-seeds"), {"wheat", "sesame"}, set()),
    ("allergen-51", "codex", ("brazil-nuts", "soy-flour"), {"brazil-nut", "soy"}, set()),
    ("allergen-56", "eu", ("brandy", "whisky"), set(), {"sulphite"}),
]


@pytest.mark.parametrize(
    ("market", "codes", "contains", "hides"), [row[1:] for row in LAW], ids=[row[0] for row in LAW]
)
def test_law_by_market(market: str, codes: tuple[str, ...], contains: set[str], hides: set[str]) -> None:
    """CRC c 870 B.01.010.1 (10); Annex II points 1, 6, 8, 12 (20, 21, 26, 37, 56); 21 USC 321(qq) (27);
    Food Labelling Standards App 14 with the notice's recommended ones (31); CXS 1-1985 4.2.1.4 with its
    national options (43, 51): what a law only recommends is listed as well, by its status."""
    answer = derived(formula(*(Line(ingredient=code) for code in codes)), market)
    assert contained(answer) == contains
    assert hides <= undetermined(answer)
