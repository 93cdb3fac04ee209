"""The allergens of a formula by market, against the markets' law.

Expected keys come from the law beside them, not from the tables: Regulation (EU) No 1169/2011,
Annex II; 21 USC 321(qq) and 343(w); Canada, Food and Drug Regulations B.01.010.1; Standard 1.2.3 and
Schedule 9 of the Food Standards Code.
"""

from __future__ import annotations

import csv
import io

import pytest

from schemas.formula import load
from service.domain.formula import Component, Formula, Line
from service.domain.quantity import Quantity, read_fraction
from service.errors import Invalid
from service.kitchen import open_kitchen
from service.views.allergens import AllergenParams, allergens
from service.views.registry import all_views
from service.views.work import Work

KITCHEN = open_kitchen()


def line(ingredient, grams="100", **members):
    quantity = None if grams is None else Quantity.of(read_fraction(grams))
    return Line(ingredient=ingredient, quantity=quantity, unit=None if grams is None else "g", **members)


def ask(market, *lines):
    formula = Formula(name="Test", components=(Component(ingredients=tuple(lines)),))
    return allergens(Work(KITCHEN, formula), AllergenParams(market))


def words(entries):
    return {entry.declare_as for entry in entries}


def names(entries):
    return {entry.name for entry in entries}


PLAIN_CAKE = ("all-purpose-flour", "granulated-sugar", "butter-unsalted", "egg")


@pytest.mark.parametrize(
    ("market", "codes", "contains", "source"),
    [
        ("eu", PLAIN_CAKE, {"wheat", "milk", "egg"}, "Annex II points 1, 3, 7; cereal by name"),
        ("gb", PLAIN_CAKE, {"wheat", "milk", "egg"}, "assimilated Annex II"),
        ("us", PLAIN_CAKE, {"wheat", "milk", "egg"}, "21 USC 321(qq)(1)"),
        ("ca", PLAIN_CAKE, {"wheat", "milk", "egg"}, "CRC c 870 B.01.010.1(1)"),
        ("au-nz", PLAIN_CAKE, {"wheat", "milk", "egg"}, "Standard 1.2.3, Schedule 9"),
        ("eu", ("rolled-oats", "butter-unsalted"), {"oats", "milk"}, "Annex II points 1, 7"),
        ("us", ("rolled-oats", "butter-unsalted"), {"milk"}, "21 USC 321(qq): oats are not listed"),
        ("eu", ("rye-flour",), {"rye"}, "Annex II point 1"),
        ("us", ("rye-flour",), set(), "21 USC 321(qq): rye is not listed"),
        ("ca", ("rye-flour",), {"rye"}, "B.01.010.1(1), gluten source"),
        ("eu", ("walnuts", "pecans"), {"walnut", "pecan"}, "Annex II point 8, by species"),
        ("us", ("walnuts", "almonds"), {"walnut", "almond"}, "21 USC 343(w)(2), by species"),
        ("eu", ("pine-nuts", "cake-flour"), {"wheat"}, "Annex II point 8: eight nuts, no pine nut"),
        ("us", ("pine-nuts", "cake-flour"), {"wheat", "pine nut"}, "FDA guidance 2025-01, table 1"),
        ("ca", ("pine-nuts", "cake-flour"), {"wheat", "pine nut"}, "B.01.010.1(1)(a)"),
        ("us", ("cake-flour", "sesame-seeds", "tahini"), {"wheat", "sesame"}, "Pub L 117-11"),
        ("us", ("lupin-flour", "mustard-seed", "celery-seed"), set(), "21 USC 321(qq): none of nine"),
        ("ca", ("lupin-flour", "mustard-seed", "celery-seed"), {"mustard"}, "B.01.010.1(1)(k)"),
        (
            "eu",
            ("lupin-flour", "mustard-seed", "celery-seed"),
            {"lupin", "mustard", "celery"},
            "Annex II points 9, 10, 13",
        ),
        ("eu", ("buckwheat-flour", "egg"), {"egg"}, "Annex II: buckwheat is no gluten cereal"),
        ("jp", ("buckwheat-flour", "egg"), {"egg", "buckwheat"}, "Food Labelling Standards App 14"),
        ("jp", ("walnuts", "cake-flour"), {"wheat", "walnut"}, "App 14, as amended 2023-03"),
        ("us", ("triticale-flour",), {"wheat"}, "21 USC 321(qq), Triticum hybrids"),
        ("eu", ("beer",), {"barley"}, "Annex II point 1: distillates alone are exempt"),
        ("us", ("worcestershire-sauce",), {"anchovy"}, "21 USC 343(w)(2), by species"),
        ("eu", ("worcestershire-sauce",), {"anchovy"}, "Annex II point 4"),
        ("eu", ("peanut-oil",), {"peanut"}, "Annex II point 5: refined oil is not exempt"),
        ("us", ("almond-flour", "egg-white"), {"almond", "egg"}, "21 USC 343(w)(2), by species"),
        ("eu", ("semolina", "spelt-flour"), {"wheat"}, "notice 2017/C 428/01, 3.1"),
    ],
)
def test_contains_what_the_law_lists(market, codes, contains, source):
    answer = ask(market, *(line(code) for code in codes))
    assert names(answer.contains) == contains, source


def test_nuts_are_declared_by_species_and_cereals_by_name():
    said = words(ask("eu", line("walnuts"), line("rye-flour")).contains)
    assert said == {"walnuts", "rye"}, "Commission notice 2017/C 428/01, 3.1"


@pytest.mark.parametrize("market", ["eu", "gb", "us", "ca", "au-nz"])
def test_coconut_is_on_no_list(market):
    """EU Annex II point 8 and Schedule 9 name it nowhere; the US struck it (FDA guidance 2025-01)."""
    assert "coconut" not in names(ask(market, line("coconut-shredded")).contains)


@pytest.mark.parametrize(
    ("key", "code"), [("wheat", "UW"), ("milk", "AM"), ("egg", "AE"), ("walnut", "SW")]
)
def test_codes_are_those_of_gs1(key, code):
    """GS1 Web Vocabulary v1.16, AllergenTypeCode."""
    answer = ask("eu", line("all-purpose-flour"), line("whole-milk"), line("egg"), line("walnuts"))
    assert {entry.code for entry in answer.contains if entry.name == key} == {code}


@pytest.mark.parametrize(
    ("market", "code"),
    [
        (None, "required"),
        ("atlantis", "unknown-market"),
        ("EU", "unknown-market"),
        ("", "unknown-market"),
    ],
)
def test_market_is_never_assumed(market, code):
    with pytest.raises(Invalid) as refused:
        ask(market, line("egg"))
    (fault,) = refused.value.faults
    assert (fault.code, fault.parameter, fault.pointer) == (code, "market", None)


def test_market_near_a_known_one_is_suggested():
    with pytest.raises(Invalid) as refused:
        ask("EU", line("egg"))
    assert "Did you mean eu?" in refused.value.faults[0].detail


class TestWhatIsNotKnown:
    def test_unknown_ingredient_leaves_all_others_undetermined(self):
        answer = ask("eu", line("all-purpose-flour"), line("starlight dust"))
        assert not answer.complete
        assert "wheat" not in words(answer.undetermined)
        listed = {r.declare_as for r in KITCHEN.cupboard.market_allergens["eu"] if r.status != "kind"}
        assert words(answer.undetermined) == listed - {"wheat"}
        for entry in answer.undetermined:
            assert "starlight dust" in {ground.name for ground in entry.from_}

    def test_unknown_ingredient_that_holds_nothing_listed_is_still_incomplete(self):
        everything = KITCHEN.cupboard.market_allergens["us"]
        said = tuple(row.allergen for row in everything)
        answer = ask("us", line("all-purpose-flour", contains=said), line("starlight dust"))
        assert answer.undetermined == ()
        assert not answer.complete

    def test_statement_never_says_free_from(self):
        for market in ("eu", "gb", "us", "ca", "au-nz", "jp", "codex"):
            for lines in ((line("starlight dust"),), (line("granulated-sugar"),)):
                answer = ask(market, *lines)
                text = all_views()["allergens"].texts["text/plain"](answer).lower()
                assert "free from" not in text
                assert "free of" not in text

    def test_incomplete_statement_says_so(self):
        assert "not complete" in ask("eu", line("starlight dust")).statement

    def test_pack_that_may_hold_it_is_undetermined(self):
        """Rye flour is commonly milled beside wheat; trade composition."""
        answer = ask("eu", line("rye-flour"))
        assert "wheat" in words(answer.undetermined)
        assert not answer.complete

    def test_blend_without_declaration_may_hide_anything(self):
        answer = ask("eu", line("dark-chocolate"))
        assert {"milk", "soybeans", "hazelnuts"} <= words(answer.undetermined)
        assert not answer.complete

    def test_list_that_was_not_read_lets_no_absence_stand(self):
        answer = ask("jp", line("granulated-sugar"))
        assert not answer.complete
        assert "buckwheat" in words(answer.undetermined)

    def test_plain_things_make_a_complete_answer(self):
        answer = ask("eu", *(line(code) for code in ("granulated-sugar", "butter-unsalted", "egg")))
        assert answer.complete, [e.declare_as for e in answer.undetermined]
        assert answer.undetermined == ()

    def test_words_that_were_not_understood_may_hide_anything(self):
        read = Line(text="1 cup whole milk (scalded) & some zorble dust")
        answer = ask("eu", read)
        assert words(answer.contains) == {"milk"}
        assert not answer.complete
        assert "egg" in words(answer.undetermined)

    def test_note_that_names_an_ingredient_may_hide_it(self):
        answer = ask("eu", Line(text="1 cup dates", ingredient="dates", note="stuffed with walnuts"))
        assert "walnuts" in words(answer.undetermined)
        assert not answer.complete

    def test_note_about_the_line_hides_nothing(self):
        answer = ask("eu", line("granulated-sugar", note="sifted three times"))
        assert answer.complete

    def test_remark_hides_nothing(self):
        answer = ask("eu", line("granulated-sugar"), Line(text="Bake in a moderate oven."))
        assert answer.complete


class TestDeclarations:
    def test_complete_declaration_closes_a_blend(self):
        said = line("dark-chocolate", contains=("soy",), declaration_complete=True)
        answer = ask("eu", said)
        assert answer.complete
        assert words(answer.contains) == {"soybeans"}
        assert answer.contains[0].from_[0].basis == "declaration"

    def test_complete_declaration_closes_an_unknown_ingredient(self):
        said = line("starlight dust", contains=(), declaration_complete=True)
        assert ask("us", said, line("egg")).complete

    def test_incomplete_declaration_closes_nothing(self):
        answer = ask("eu", line("dark-chocolate", contains=("soy",)))
        assert not answer.complete
        assert "milk" in words(answer.undetermined)

    def test_declaration_never_takes_away_what_an_ingredient_always_holds(self):
        said = line("butter-unsalted", contains=(), declaration_complete=True)
        assert "milk" in words(ask("eu", said).contains)

    def test_declared_cross_contact_is_told_apart(self):
        answer = ask("eu", line("granulated-sugar", may_contain=("almond",)))
        assert words(answer.may_contain) == {"almonds"}
        assert answer.contains == ()

    def test_what_is_contained_is_not_also_perhaps_contained(self):
        answer = ask("eu", line("egg"), line("granulated-sugar", may_contain=("egg",)))
        assert answer.may_contain == ()

    def test_wide_declaration_counts_every_kind_that_the_market_lists(self):
        answer = ask("us", line("starlight dust", contains=("tree-nut",), declaration_complete=True))
        assert {"almonds", "walnuts", "pine nuts"} <= words(answer.contains)

    def test_narrow_declaration_counts_as_the_wider_one(self):
        answer = ask(
            "eu", line("starlight dust", contains=("anchovy", "spelt"), declaration_complete=True)
        )
        assert words(answer.contains) == {"fish", "wheat (spelt)"}, "Annex II points 1 and 4"
        american = ask("us", line("starlight dust", contains=("anchovy",), declaration_complete=True))
        assert words(american.contains) == {"anchovy"}, "21 USC 343(w)(2), by species"

    def test_unknown_declared_allergen_is_refused_at_its_spot(self):
        with pytest.raises(Invalid) as refused:
            ask("eu", line("egg", contains=("moonlight",), may_contain=("egg", "stardust")))
        assert {fault.pointer for fault in refused.value.faults} == {
            "/components/0/ingredients/0/contains/0",
            "/components/0/ingredients/0/may_contain/1",
        }


class TestIfUsed:
    def test_optional_line_counts_marked(self):
        answer = ask("eu", line("all-purpose-flour"), line("walnuts", optional=True))
        marked = {entry.declare_as: entry.if_used for entry in answer.contains}
        assert marked == {"wheat": False, "walnuts": True}

    def test_unchosen_alternative_counts_marked(self):
        answer = ask("eu", line("vegetable-oil", alternatives=(line("butter-unsalted"),)))
        assert {e.declare_as: e.if_used for e in answer.contains}["milk"] is True

    def test_mark_falls_where_another_line_holds_it_anyway(self):
        answer = ask("eu", line("walnuts"), line("walnuts", optional=True))
        assert [entry.if_used for entry in answer.contains] == [False]

    def test_line_without_amount_counts(self):
        assert words(ask("eu", line("butter-unsalted", grams=None)).contains) == {"milk"}


class TestNotes:
    def test_sulphite_carries_its_threshold(self):
        answer = ask("eu", line("granulated-sugar", contains=("sulphite",)))
        (entry,) = [e for e in answer.contains if e.name.startswith("sulphur")]
        assert any("10 mg/kg" in note for note in entry.notes), "Annex II point 12"

    def test_soy_carries_the_exception_of_refined_oil(self):
        answer = ask("eu", line("granulated-sugar", contains=("soy",)))
        assert any("refined" in note for note in answer.contains[0].notes), "Annex II point 6(a)"

    def test_cautions_defer_to_law_and_speak_of_cross_contact(self):
        said = " ".join(ask("us", line("egg")).cautions).lower()
        assert "local law" in said
        assert "cross-contact" in said


class TestTexts:
    def test_plain_text_begins_with_the_statement(self):
        answer = ask("eu", line("egg"))
        text = all_views()["allergens"].texts["text/plain"](answer)
        assert text.startswith(answer.statement)
        assert "AE" in text

    def test_csv_has_a_record_an_allergen(self):
        answer = ask("eu", line("egg"), line("whole-milk", optional=True))
        text = all_views()["allergens"].texts["text/csv"](answer)
        records = list(csv.DictReader(io.StringIO(text)))
        assert [(r["level"], r["code"], r["if_used"]) for r in records] == [
            ("contains", "AE", "no"),
            ("contains", "AM", "yes"),
            *(("caution", "", "") for _ in answer.cautions),
        ]
        assert [r["from"] for r in records if r["level"] == "caution"] == list(answer.cautions)
        assert answer.cautions

    def test_csv_of_nothing_still_says_whether_it_is_complete(self):
        text = all_views()["allergens"].texts["text/csv"](ask("eu", line("granulated-sugar")))
        record, *cautions = csv.DictReader(io.StringIO(text))
        assert (record["complete"], record["level"]) == ("yes", "none-listed")
        assert cautions
        assert {each["level"] for each in cautions} == {"caution"}

    def test_csv_cell_cannot_start_a_formula(self):
        text = all_views()["allergens"].texts["text/csv"](ask("eu", line("=1+1 dust")))
        records = list(csv.DictReader(io.StringIO(text)))
        assert all(not r["from"].startswith("=") for r in records)


def test_every_market_of_the_contract_has_a_law_and_a_list():
    assert set(KITCHEN.cupboard.markets) == {"eu", "gb", "us", "ca", "au-nz", "jp", "codex"}
    for market in KITCHEN.cupboard.markets:
        assert KITCHEN.cupboard.market_allergens[market]


@pytest.mark.parametrize(
    ("market", "count", "source"),
    [
        ("eu", 24, "Annex II: 14 points, cereals by 4 names, nuts by 8 species"),
        ("us", 18, "21 USC 321(qq): 9 foods, tree nuts by 9 species here, and sulfites"),
    ],
)
def test_list_is_whole(market, count, source):
    rows = [r for r in KITCHEN.cupboard.market_allergens[market] if r.status != "kind"]
    assert len(rows) == count, source


def test_what_hides_only_what_is_there_anyway_leaves_the_answer_complete() -> None:
    """Yeast may be grown on wheat or barley (trade knowledge): in bread wheat is contained anyway.

    Barley is no allergen of 21 USC 321(qq); Regulation (EU) 1169/2011, Annex II, point 1 has it.
    """
    lines = ("500 g bread flour", "325 g water", "5 g instant yeast")
    document = {
        "name": "Loaf",
        "measures": "us",
        "components": [{"ingredients": [{"text": line} for line in lines]}],
    }
    view = all_views()["allergens"]
    kitchen = open_kitchen()
    told = {
        market: view.run(Work(kitchen, load(document)), view.params(market=market))
        for market in ("us", "eu")
    }
    assert (told["us"].complete, [each.name for each in told["us"].undetermined]) == (True, [])
    assert told["eu"].complete is False
    assert "barley" in [each.declare_as for each in told["eu"].undetermined]
