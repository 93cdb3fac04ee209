"""The tables check themselves: names, allergens, densities, compositions, sources, bands."""

from __future__ import annotations

from collections import defaultdict
from dataclasses import fields
from typing import Any

import pytest

from service.domain.words import key_of
from service.tables.cupboard import Cupboard, open_cupboard
from service.tables.rows import TABLES, CompositionRow, NameRow

SYSTEMS = ("us", "us-label", "imperial", "metric", "au", "ca", "jp")

# Sizes in mL: NIST Handbook 44, appendix C (US customary); Weights and Measures Act 1985 (imperial);
# 21 CFR 101.9(b)(5)(viii) (label measures); the metric ones by definition.
MILLILITRES = {
    "cup_us": 236.588, "tbsp_us": 14.787, "tsp_us": 4.929, "floz_us": 29.574, "pt_us": 473.176,
    "qt_us": 946.353, "gal_us": 3785.412, "gill_us": 118.294, "ml": 1.0, "dl": 100.0, "l": 1000.0,
    "cup_us_label": 240.0, "tbsp_us_label": 15.0, "tsp_us_label": 5.0, "floz_us_label": 30.0,
    "cup_imperial": 284.131, "floz_imperial": 28.413, "pt_imperial": 568.261, "cup_metric": 250.0,
    "tbsp_metric": 15.0, "tsp_metric": 5.0, "cup_au": 250.0, "tbsp_au": 20.0, "tsp_au": 5.0,
    "cubic_inch": 16.387,
}  # fmt: skip

# The heaviest that a shelf's goods can be without any air, in g/mL. Crystal densities: sucrose 1.59,
# sodium chloride 2.17 (in a spoon a third of it is air), sodium bicarbonate 2.2, starch and gluten 1.5;
# fats 0.90 to 0.97 (FAO/INFOODS Density 2.0; handbooks of physics and chemistry).
SOLID = {"flours": 1.1, "sugars": 1.6, "fats": 1.05, "dairy": 1.35, "eggs": 1.1, "cocoa-chocolate": 1.35}


@pytest.fixture(scope="module")
def cupboard() -> Cupboard:
    return open_cupboard()


def _claims(rows: tuple[NameRow, ...]) -> dict[tuple[str, str, str], set[str]]:
    claims: dict[tuple[str, str, str], set[str]] = defaultdict(set)
    for row in rows:
        for system in row.measures or ("",):
            claims[key_of(row.name), row.language, system].add(row.code)
    return claims


def test_there_are_at_least_320_ingredients(cupboard: Cupboard) -> None:
    assert len(cupboard.ingredients) >= 320


def test_no_name_is_claimed_twice(cupboard: Cupboard) -> None:
    twice = {key: codes for key, codes in _claims(cupboard.tables["names"]).items() if len(codes) > 1}
    assert twice == {}


def test_every_name_finds_its_ingredient(cupboard: Cupboard) -> None:
    lost = []
    for row in cupboard.tables["names"]:
        found = [
            cupboard.find_name(row.name, system, row.language) for system in row.measures or SYSTEMS
        ]
        if not any(hit is not None and hit.code == row.code for hit in found):
            lost.append((row.name, row.code))
    assert lost == []


def test_a_name_known_under_one_system_is_known_under_all(cupboard: Cupboard) -> None:
    known: dict[tuple[str, str], set[str]] = defaultdict(set)
    for row in cupboard.tables["names"]:
        known[key_of(row.name), row.language] |= set(row.measures or SYSTEMS)
    assert {key: systems for key, systems in known.items() if systems != set(SYSTEMS)} == {}


def test_every_ingredient_is_found_by_its_code(cupboard: Cupboard) -> None:
    for code in cupboard.ingredients:
        found = {cupboard.find_name(code, system) for system in SYSTEMS}
        assert code in {row.code for row in found if row is not None}, code


def test_every_ingredient_has_a_name(cupboard: Cupboard) -> None:
    named = {row.code for row in cupboard.tables["names"]}
    assert set(cupboard.ingredients) - named == set()


def test_names_point_at_ingredients_that_exist(cupboard: Cupboard) -> None:
    for row in cupboard.tables["names"]:
        assert row.code in cupboard.ingredients, row
        for code in row.instead:
            assert code in cupboard.ingredients, row
            assert code != row.code, row
        assert set(row.measures) <= set(SYSTEMS), row


def test_every_ingredient_says_what_allergens_it_brings(cupboard: Cupboard) -> None:
    assert set(cupboard.ingredients) - set(cupboard.brings) == set()


def test_a_compound_is_never_plain(cupboard: Cupboard) -> None:
    for row in cupboard.brings.values():
        assert not set(row.contains) & set(row.conditional), row
    for code in ("baking-powder", "margarine", "dark-chocolate", "self-raising-flour"):
        assert not cupboard.brings[code].plain
        assert cupboard.ingredients[code].pack


def test_allergen_groups_are_allergens(cupboard: Cupboard) -> None:
    for row in cupboard.allergens.values():
        assert row.group == "" or row.group in cupboard.allergens, row


# GS1 Web Vocabulary v1.16, AllergenTypeCode.
@pytest.mark.parametrize(
    ("key", "code"),
    [
        ("gluten-cereal", "AW"), ("wheat", "UW"), ("rye", "NR"), ("barley", "GB"), ("oats", "GO"),
        ("crustacean", "AC"), ("egg", "AE"), ("fish", "AF"), ("peanut", "AP"), ("soy", "AY"),
        ("milk", "AM"), ("tree-nut", "AN"), ("almond", "SA"), ("hazelnut", "SH"), ("walnut", "SW"),
        ("celery", "BC"), ("mustard", "BM"), ("sesame", "AS"), ("sulphite", "AU"), ("lupin", "NL"),
        ("mollusc", "UM"),
    ],
)  # fmt: skip
def test_gs1_codes(cupboard: Cupboard, key: str, code: str) -> None:
    assert cupboard.allergens[key].gs1 == code


def test_densities_are_possible(cupboard: Cupboard) -> None:
    impossible = []
    for row in cupboard.tables["weights"]:
        size = MILLILITRES.get(row.measure)
        if size is None:
            continue
        density = row.grams / row.amount / size
        heaviest = SOLID.get(cupboard.ingredients[row.ingredient].group, 1.6)
        if not 0.03 <= density <= heaviest:
            impossible.append((row.ingredient, row.state, row.measure, round(density, 3)))
    assert impossible == []


def test_every_weight_is_more_than_nothing_and_ranked(cupboard: Cupboard) -> None:
    ranks: dict[tuple[str, str, str], list[int]] = defaultdict(list)
    for row in cupboard.tables["weights"]:
        assert row.grams > 0, row
        assert row.amount > 0, row
        assert row.low > 0, row
        ranks[row.ingredient, row.state, row.measure].append(row.rank)
    wrong = {
        key: found for key, found in ranks.items() if sorted(found) != list(range(1, len(found) + 1))
    }
    assert wrong == {}


def test_sifted_is_never_heavier_than_spooned_nor_spooned_than_dipped(cupboard: Cupboard) -> None:
    order = ("sifted", "spooned", "dipped", "packed")
    for code, rows in cupboard.weights.items():
        taken = {r.state: r.grams / r.amount for r in rows if r.measure == "cup_us" and r.rank == 1}
        grams = [taken[state] for state in order if state in taken]
        assert grams == sorted(grams), (code, taken)


def test_a_flour_that_leaves_it_to_the_handling_has_the_row_that_is_taken(cupboard: Cupboard) -> None:
    for row in cupboard.ingredients.values():
        if row.usual_state == "handling":
            states = {weight.state for weight in cupboard.weights[row.code]}
            assert "spooned" in states, row.code


def test_states_join_in_alphabetical_order(cupboard: Cupboard) -> None:
    for row in cupboard.tables["weights"]:
        parts = row.state.split("+")
        assert parts == sorted(parts), row


def _filled(row: CompositionRow, *columns: str) -> float:
    return sum(getattr(row, column) or 0.0 for column in columns)


def test_compositions_sum_to_no_more_than_the_whole(cupboard: Cupboard) -> None:
    # 1 g over for rounding: published proximates are rounded one by one.
    for row in cupboard.composition.values():
        assert _filled(row, "water", "protein", "fat", "carbohydrate", "alcohol") <= 101.0, row
        assert _filled(row, "fibre", "sugars", "starch") <= 101.0, row
        assert _filled(row, "saturated") <= (row.fat if row.fat is not None else 100.0) + 0.01, row
        assert (row.sodium_mg or 0.0) <= 39_340.0, row  # pure sodium chloride: 22.990/58.443


def test_no_composition_value_is_negative(cupboard: Cupboard) -> None:
    for row in cupboard.composition.values():
        for field in fields(row):
            value = getattr(row, field.name)
            assert not isinstance(value, float) or value >= 0, (row.ingredient, field.name)


def test_two_ingredients_share_a_composition_only_by_same_as(cupboard: Cupboard) -> None:
    columns = [f.name for f in fields(CompositionRow) if f.name not in ("ingredient", "same_as", "why")]
    shared: dict[Any, list[CompositionRow]] = defaultdict(list)
    for row in cupboard.composition.values():
        shared[tuple(getattr(row, column) for column in columns)].append(row)
    for rows in shared.values():
        first = [row for row in rows if not row.same_as]
        assert len(first) <= 1, [row.ingredient for row in first]


def test_same_as_names_a_row_and_says_why(cupboard: Cupboard) -> None:
    for row in cupboard.composition.values():
        if row.same_as:
            assert row.same_as in cupboard.composition, row
            assert row.why, row
            assert row.same_as != row.ingredient, row


def test_every_row_has_source_and_evidence(cupboard: Cupboard) -> None:
    for table, row_type in TABLES.items():
        assert {"source", "evidence"} <= {field.name for field in fields(row_type)}
        for row in cupboard.tables[table]:
            assert row.source.strip(), (table, row)
            assert set(row.evidence.split("/")) <= set("RGTMJ"), (table, row)


def test_every_band_is_ordered(cupboard: Cupboard) -> None:
    for table in TABLES:
        for row in cupboard.tables[table]:
            low, high = getattr(row, "low", None), getattr(row, "high", None)
            if low is not None and high is not None:
                assert low <= high, (table, row)


def test_no_row_names_a_place_on_a_machine(cupboard: Cupboard) -> None:
    for table in TABLES:
        for row in cupboard.tables[table]:
            words = f"{row.source} {getattr(row, 'note', '')}"
            assert "/work" not in words, (table, row)
            assert "/tmp" not in words, (table, row)  # noqa: S108
            assert "http" not in words, (table, row)


def test_parts_in_a_compound_do_not_go_round_in_a_circle(cupboard: Cupboard) -> None:
    def parts(code: str, above: tuple[str, ...]) -> None:
        assert code not in above, above
        for row in cupboard.compounds.get(code, ()):
            if row.part in cupboard.ingredients:
                parts(row.part, (*above, code))

    for code in cupboard.compounds:
        parts(code, ())


def _cup(cupboard: Cupboard, code: str, state: str) -> float:
    (row,) = (r for r in cupboard.weights[code] if (r.state, r.measure, r.rank) == (state, "cup_us", 1))
    return row.grams / row.amount


def test_sifted_cake_flour_against_sifted_plain_flour(cupboard: Cupboard) -> None:
    # Common practice: 2 1/4 cups of sifted cake flour stand for 2 cups of sifted all-purpose flour.
    cake = 2.25 * _cup(cupboard, "cake-flour", "sifted")
    plain = 2 * _cup(cupboard, "all-purpose-flour", "sifted")
    assert cake == pytest.approx(plain, rel=0.07)


# What a name means under a system of measures. Common practice of the countries, no single source.
@pytest.mark.parametrize(
    ("name", "measures", "language", "code"),
    [
        ("cornflour", "imperial", "en", "cornstarch"),
        ("cornflour", "us", "en", "corn-flour"),
        ("cornflour", "us", "en-GB", "cornstarch"),
        ("cornflour", "us", "en-US", "corn-flour"),
        ("cornflour", "metric", "en-IN", "cornstarch"),
        ("corn starch", "us", "en", "cornstarch"),
        ("icing sugar", "imperial", "en", "powdered-sugar"),
        ("confectioners’ sugar", "us", "en", "powdered-sugar"),
        ("Confectioner's Sugar", "us", "en", "powdered-sugar"),
        ("bicarb", "au", "en", "baking-soda"),
        ("saleratus", "us", "en", "baking-soda"),
        ("sweet milk", "us", "en", "whole-milk"),
        ("Indian meal", "us", "en", "cornmeal"),
        ("Graham flour", "us", "en", "graham-flour"),
        ("maida", "metric", "en-IN", "all-purpose-flour"),
        ("atta", "metric", "en-IN", "atta-flour"),
        ("golden syrup", "imperial", "en", "golden-syrup"),
        ("double cream", "imperial", "en", "double-cream"),
        ("double cream", "us", "en", "heavy-cream"),
        ("dark chocolate", "us", "en", "dark-chocolate"),
        ("caster sugar", "us", "en", "caster-sugar"),
        ("treacle", "imperial", "en", "treacle"),
        ("plain flour", "imperial", "en", "all-purpose-flour"),
        ("strong flour", "imperial", "en", "bread-flour"),
        ("self-raising flour", "imperial", "en", "self-raising-flour"),
        ("self-rising flour", "us", "en", "self-raising-flour"),
        ("wholemeal flour", "imperial", "en", "whole-wheat-flour"),
        ("castor sugar", "imperial", "en", "caster-sugar"),
        ("superfine sugar", "us", "en", "caster-sugar"),
        ("cream", "us", "en", "heavy-cream"),
        ("cream", "imperial", "en", "double-cream"),
        ("bread soda", "imperial", "en-IE", "baking-soda"),
        ("curd", "metric", "en-IN", "yogurt"),
        ("curd", "imperial", "en-GB", "cottage-cheese-dry"),
        ("dark chocolate", "imperial", "en", "dark-chocolate"),
        ("cake flour", "metric", "en-ZA", "all-purpose-flour"),
        ("cake flour", "us", "en", "cake-flour"),
        ("chocolate", "us", "en", "unsweetened-chocolate"),
        ("chocolate", "imperial", "en", "dark-chocolate"),
    ],
)
def test_words_of_many_kitchens(
    cupboard: Cupboard, name: str, measures: str, language: str, code: str
) -> None:
    found = cupboard.find_name(name, measures, language)
    assert found is not None
    assert found.code == code


@pytest.mark.parametrize(
    "name",
    ["cornflour", "golden syrup", "cream", "self-rising flour", "double cream", "dark chocolate"],
)
def test_words_that_cross_the_sea_are_an_assumption_in_us_measures(
    cupboard: Cupboard, name: str
) -> None:
    """Common practice of the countries, no single source."""
    found = cupboard.find_name(name, "us", "en-US")
    assert found is not None
    assert found.instead, name


# Words that mean different things in different kitchens must say so.
@pytest.mark.parametrize(
    "name", ["flour", "butter", "cream", "chocolate", "syrup", "cornflour", "yeast"]
)
def test_ambiguous_words_name_what_else_they_may_mean(cupboard: Cupboard, name: str) -> None:
    for system in ("us", "imperial"):
        found = cupboard.find_name(name, system)
        assert found is not None
        assert found.instead, (name, system)


# Regulation (EU) 1169/2011, Annex II: point 1 (wheat such as spelt and khorasan wheat; emmer and einkorn
# are wheats), point 4 (fish and products of it: isinglass but for fining), point 7 (milk).
@pytest.mark.parametrize(
    ("code", "key"),
    [
        ("emmer-flour", "wheat"), ("einkorn-flour", "wheat"), ("khorasan-flour", "wheat"),
        ("bread-mix", "wheat"), ("isinglass", "fish"), ("skyr", "milk"), ("schmand", "milk"),
        ("vanilla-yogurt", "milk"),
    ],
)  # fmt: skip
def test_what_is_made_of_a_listed_source_contains_it(cupboard: Cupboard, code: str, key: str) -> None:
    assert key in cupboard.brings[code].contains


# What a maker mixes is never free from what it may hold: common practice, no source.
@pytest.mark.parametrize(
    ("code", "key"), [("bread-mix", "milk"), ("bread-mix", "soy"), ("drinking-chocolate", "milk")]
)
def test_a_mix_may_hold_what_its_maker_adds(cupboard: Cupboard, code: str, key: str) -> None:
    row = cupboard.brings[code]
    assert key in row.conditional
    assert not row.plain
