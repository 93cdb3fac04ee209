"""What the reader says of its doubts: problems with their place, suggestions, assumptions."""

from __future__ import annotations

import pytest

from service.kitchen import Kitchen


@pytest.mark.parametrize(
    ("text", "code", "place"),
    [
        ("1 cup frobnitz", "unknown-ingredient", "frobnitz"),
        ("2 dl Mehl", "unknown-ingredient", "Mehl"),
        ("1 cup almond paste sauce", "unknown-ingredient", "almond paste sauce"),
        ("1 cup hemp milk", "unknown-ingredient", "hemp milk"),
        ("1 cup Vermland molasses", "unread-words", "Vermland"),
        ("2 cups frobnitz flour", "unread-words", "frobnitz"),
        ("1 bulging cup sugar", "unread-words", "bulging"),
        ("1 cup sugar ☃", "unread-words", "☃"),
        ("1/0 cup sugar", "number-not-read", "1"),
        ("0 cups sugar", "quantity-out-of-bounds", "0"),
        ("2000000 g sugar", "quantity-out-of-bounds", "2000000"),
        ("1 cup less 2 cups sugar", "quantity-out-of-bounds", "2 cups"),
        ("2 cups", "no-ingredient", "2 cups"),
        ("1 inch cinnamon", "length-not-weighed", "1 inch"),
        ("Meat from 1 lb. pecans", "measured-in-shell", "Meat from"),
        ("1 cup butter, or butter and lard", "mixed-alternative", "butter and lard"),
        ("_Northern Pupil_", "remark", "Northern Pupil"),
        ("1 cup sugar butter", "unknown-ingredient", "sugar butter"),
        ("1 cup sugar, butter", "second-name", "butter"),
    ],
)
def test_problems_point_at_their_words(kitchen: Kitchen, text: str, code: str, place: str) -> None:
    """Expected values by reading the text; no table can know the invented words."""
    problems = {
        p.code: text[p.start : p.end]
        for p in kitchen.reader.read_line(text).problems
        if p.start is not None and p.end is not None
    }
    assert problems.get(code) == place, problems


@pytest.mark.parametrize(
    ("text", "near"),
    [("1 cup suger", "granulated-sugar"), ("1 tsp cinamon", "cinnamon"), ("1 tsp nutmegg", "nutmeg")],
)
def test_near_names_are_suggested_and_not_taken(kitchen: Kitchen, text: str, near: str) -> None:
    read = kitchen.reader.read_line(text)
    assert read.items[0].line.ingredient == text.split(" ", 2)[2]
    assert near in read.problems[0].detail


@pytest.mark.parametrize(
    ("text", "code", "value"),
    [
        ("1 cup flour", "ambiguous-name", "all-purpose-flour"),
        ("2 cups frobnitz flour", "kind-of", "other-flour"),
        ("1 cup walnuts, chopped", "prepared-before-measuring", "chopped"),
        ("1 cup flour, sifted", "done-after-measuring", ""),
        ("⅓ cup butter and lard mixed", "shared-amount", "1/6"),
        ("1,000 g sugar", "thousands-comma", "1000"),
        ("1,5 kg sugar", "decimal-comma", "1.5"),
        ("1 000 g sugar", "thousands-blank", "1000"),
        ("200 g milk or dark chocolate", "shared-noun", "milk-chocolate"),
        ("1 tbsp lemon or orange juice", "shared-noun", "lemon-juice"),
        ("1 cup Plumelle or other shortening", "kind-of", "shortening"),
    ],
)
def test_choices_are_assumptions(kitchen: Kitchen, text: str, code: str, value: str) -> None:
    """Contract, section 2.4: nothing is guessed silently. Values by arithmetic and by the text."""
    items = kitchen.reader.read_line(text).items
    assert (code, value) in {(one.code, one.value) for item in items for one in item.assumed}


def test_what_is_measured_by_mass_needs_no_word_on_preparation(kitchen: Kitchen) -> None:
    (item,) = kitchen.reader.read_line("100 g walnuts, chopped").items
    assert item.line.state == ("chopped",)
    assert item.assumed == ()


@pytest.mark.parametrize(
    ("text", "ends", "amount"),
    [
        ("½ teaspoon vanilla or", True, True),
        ("½ teaspoon vanilla, or", True, True),
        ("½ teaspoon vanilla", False, True),
        ("Flour", False, False),
        ("Few grains salt", False, True),
        ("a little salt", False, False),
        ("salt to taste", False, False),
        ("0 cups flour", False, True),
    ],
)
def test_says_whether_an_amount_stands_and_an_alternative_follows(
    kitchen: Kitchen, text: str, ends: bool, amount: bool
) -> None:
    read = kitchen.reader.read_line(text)
    assert (read.ends_with_or, read.states_amount) == (ends, amount)


@pytest.mark.parametrize(
    ("text", "spans"),
    [
        ("2 ¼ cups sifted cake flour",
         [("quantity", "2 ¼"), ("unit", "cups"), ("state", "sifted"), ("ingredient", "cake flour")]),
        ("¾ teaspoon soda (scant)",
         [("quantity", "¾"), ("unit", "teaspoon"), ("ingredient", "soda"), ("level", "scant")]),
        ("1 lb. (450 g) raisins",
         [("quantity", "1"), ("unit", "lb"), ("equivalent", "450 g"), ("ingredient", "raisins")]),
        ("Whites 4 eggs", [("part", "Whites"), ("quantity", "4"), ("ingredient", "eggs")]),
        ("1 cup each sugar and milk",
         [("quantity", "1"), ("unit", "cup"), ("joint", "each"), ("ingredient", "sugar"),
          ("joint", "and"), ("ingredient", "milk")]),
        ("1½ cups cake flour or 1⅓ cups plain flour",
         [("quantity", "1½"), ("unit", "cups"), ("ingredient", "cake flour"), ("joint", "or"),
          ("alternative", "1⅓ cups plain flour")]),
        ("½ cup raisins, optional",
         [("quantity", "½"), ("unit", "cup"), ("ingredient", "raisins"), ("optional", "optional")]),
        ("flour for dusting", [("ingredient", "flour"), ("note", "for dusting")]),
    ],
)  # fmt: skip
def test_spans_tell_what_each_stretch_gives(
    kitchen: Kitchen, text: str, spans: list[tuple[str, str]]
) -> None:
    read = kitchen.reader.read_line(text)
    assert [(span.part, text[span.start : span.end]) for span in read.spans] == spans


@pytest.mark.parametrize(
    ("system", "code"),
    [
        ("us", "cup_us"),
        ("imperial", "cup_imperial"),
        ("metric", "cup_metric"),
        ("au", "cup_au"),
        ("jp", "cup_jp"),
    ],
)
def test_a_cup_is_that_of_the_system(kitchen: Kitchen, system: str, code: str) -> None:
    (item,) = kitchen.reader.read_line("1 cup sugar", system).items
    unit = kitchen.measures.find(item.line.unit or "", system)
    assert unit is not None
    assert unit.code == code


def test_a_unit_of_another_system_keeps_its_code(kitchen: Kitchen) -> None:
    (item,) = kitchen.reader.read_line("1 [cup_us] sugar", "imperial").items
    assert item.line.unit == "cup_us"


def test_readings_are_kept(kitchen: Kitchen) -> None:
    text = "1 cup sugar and a remark that no other test has"
    assert kitchen.reader.read_line(text) is kitchen.reader.read_line(text)


@pytest.mark.parametrize(
    ("text", "unit", "ingredient"),
    [
        ("2 pounds cake flour", "lb", "cake-flour"),
        ("1 pound cake flour, sifted", "lb", "cake-flour"),
        ("1 pound cake, cut in cubes", "each", "cake-rusk"),
        ("1 stick cinnamon", "stick", "cinnamon-stick"),
        ("3 teas. baking powder", "tsp", "baking-powder"),
        ("1 cup of thick, sour cream", "cup", "sour-cream"),
    ],
)
def test_a_word_is_a_unit_or_of_a_name(kitchen: Kitchen, text: str, unit: str, ingredient: str) -> None:
    """Common practice, no source."""
    (item,) = kitchen.reader.read_line(text).items
    assert (item.line.unit or "each", item.line.ingredient) == (unit, ingredient)
