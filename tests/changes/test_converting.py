"""Conversions: each line keeps its mass, whatever it is measured in."""

from __future__ import annotations

import pytest

from service.domain.formula import Formula
from service.errors import Invalid
from service.kitchen import Kitchen
from tests.changes.cards import Change, card, lines, texts

CARD = (
    "2 ¼ cups sifted cake flour", "½ cup butter, melted", "2 to 3 tbsp. milk", "¾ teaspoon soda (scant)",
    "1½ cups cake flour or 1⅓ cups plain flour", "3 scant cups flour", "1 cup plus 2 tbsp sugar",
    "2 eggs", "Whites 4 eggs", "1 lb. (450 g) raisins", "1 stick butter", "100 g honey", "2 pints water",
    "Few grains salt", "½ cup brown sugar, packed", "Salt",
)  # fmt: skip
SYSTEMS = ("us-label", "imperial", "metric", "au", "ca", "jp")


def grams(kitchen: Kitchen, formula: Formula) -> list[float | None]:
    return [line.grams.value if line.grams else None for line in kitchen.scales.weigh(formula).lines]


def amount(formula: Formula) -> float:
    (line,) = lines(formula)
    assert line.quantity is not None
    return float(line.quantity.middle)


# Ratios of two measures by their definitions, UCUM 2.2 (2024-06-17): [cup_us] 236.5882365 mL,
# [tbs_us] 14.78676478125 mL, [pt_us] 473.176473 mL, [pt_br] 568.26125 mL, [foz_us] 29.5735295625 mL,
# [foz_br] 28.4130625 mL; Australian tablespoon 20 mL and cups of 250 mL, New South Wales Health,
# cookery conversion chart; label cup 240 mL, 21 CFR 101.9(b)(5)(viii); Japanese cup 200 mL.
@pytest.mark.parametrize(
    ("text", "before", "after", "expected"),
    [
        ("1 cup water", "us", "metric", 236.5882365 / 250),
        ("1 cup water", "metric", "us", 1.056688),
        ("1 cup water", "us-label", "us", 1.014421),
        ("1 cup water", "us", "jp", 236.5882365 / 200),
        ("1 tablespoon water", "au", "us", 1.352561),
        ("1 tablespoon water", "us", "au", 14.78676478125 / 20),
        ("1 pint water", "imperial", "us", 1.20095),
        ("1 fl oz water", "us", "imperial", 1.040843),
        ("1 pint water", "us", "metric", 473.176473 / 250),
        ("500 mL frobnicated gorm", "metric", "us", 2.113376),
        ("1 cup frobnicated gorm", "us", "metric", 236.5882365 / 250),
    ],
)
def test_measures(change: Change, text: str, before: str, after: str, expected: float) -> None:
    done = change(card(text, measures=before), f"measures={after}").formula
    assert amount(done) == pytest.approx(expected, rel=1e-6)
    assert done.measures == after


QUERIES = (
    *(f"measures={system}" for system in SYSTEMS), "as=mass", "as=volume", "as=mass&measures=us",
    "as=volume&measures=jp", "egg_grade=eu-l", "egg_grade=jp-ms&measures=jp&as=mass",
)  # fmt: skip


@pytest.mark.parametrize("query", QUERIES)
def test_every_line_keeps_its_mass_and_its_place(change: Change, kitchen: Kitchen, query: str) -> None:
    formula = card(*CARD, egg_grade="us-large")
    done = change(formula, query)
    before, after = grams(kitchen, formula), grams(kitchen, done.formula)
    assert len(before) == len(after) == len(lines(done.formula))
    for first, second, text in zip(before, after, CARD, strict=True):
        assert second == (None if first is None else pytest.approx(first, rel=1e-6)), text
    ingredients = [line.code for line in kitchen.scales.weigh(formula).lines]
    assert [line.code for line in kitchen.scales.weigh(done.formula).lines] == ingredients


def test_there_and_back_gives_the_amounts_again(change: Change) -> None:
    formula = card(*CARD, egg_grade="us-large")
    there = change(formula, "measures=metric").formula
    back = change(there, "measures=us").formula
    asked = change(formula, "measures=us").formula
    assert [line.quantity for line in lines(back)][:12] == [line.quantity for line in lines(asked)][:12]


def test_eggs_stay_what_the_old_measures_made_them(change: Change, kitchen: Kitchen) -> None:
    """A US book's egg is a US egg in a metric kitchen too: 50 g (USDA SR 26, NDB 01123)."""
    done = change(card("2 eggs"), "measures=metric")
    assert done.formula.egg_grade == "us-large"
    assert grams(kitchen, done.formula) == [pytest.approx(100)]
    assert any("us-large" in note for note in done.drift.notes)


def test_a_name_that_means_another_thing_there_is_written_out(change: Change) -> None:
    """Plain flour and sugar stay what they were read as, whatever the other system calls so."""
    for system in SYSTEMS:
        done = change(card("1 cup sugar", "1 cup flour"), f"measures={system}").formula
        assert [line.ingredient for line in lines(done)] == ["granulated-sugar", "all-purpose-flour"]


# An ounce is 28.349523125 g (UCUM 2.2 [oz_av]).
def test_as_mass_in_grams_or_ounces(change: Change) -> None:
    plain = change(card("1 cup milk"), "as=mass").formula
    ounces = change(card("1 cup milk"), "as=mass&measures=us").formula
    metric = change(card("1 cup milk"), "as=mass&measures=metric").formula
    assert [line.unit for line in lines(plain) + lines(ounces) + lines(metric)] == ["g", "oz", "g"]
    assert amount(ounces) * 28.349523125 == pytest.approx(amount(plain), rel=1e-6)
    assert amount(metric) == pytest.approx(amount(plain), rel=1e-6)


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        # Cups of milk and water: 244 g and 237 g, USDA SR 26, NDB 01077 and 14429.
        ("1 cup milk", "244 g milk"),
        ("1 cup milk or water", "244 g milk or 237 g water"),
        # Whites and yolks of large eggs: 33 g and 17 g, USDA SR 26, NDB 01124 and 01125.
        ("Whites 4 eggs", "Whites 132 g eggs"),
        ("Yolks of three eggs", "Yolks of 51 g eggs"),
        # Of two masses the first counts (contract, section 3); a pound: UCUM 2.2 [lb_av].
        ("1 lb. (450 g) raisins", "453.5924 g raisins"),
        ("1 cup (240 g) milk", "240 g milk"),
        ("1 kg flour", "1 kg flour"),
    ],
)
def test_as_mass_in_the_lines_own_words(change: Change, text: str, expected: str) -> None:
    done = change(card(text, egg_grade="us-large"), "as=mass").formula
    assert texts(done) == [expected]


def test_as_mass_says_what_each_mass_rests_on(change: Change) -> None:
    done = change(card("1 cup milk", "100 g sugar"), "as=mass")
    (kept,) = [one for one in done.assumptions if one.code == "mass-by-table"]
    assert kept.line == "/components/0/ingredients/0"
    assert kept.value.startswith("weights:whole-milk")
    assert "USDA" in kept.detail


def test_what_cannot_go_stays_and_is_named(change: Change) -> None:
    formula = card("2 cups frobnicated gorm", "1 cup milk", "Salt")
    done = change(formula, "as=mass")
    assert texts(done.formula)[0] == "2 cups frobnicated gorm"
    assert texts(done.formula)[2] == "Salt"
    assert [note for note in done.drift.notes if "/ingredients/0" in note]
    assert not [note for note in done.drift.notes if "/ingredients/2" in note]
    volume = change(card("100 g frobnicated gorm"), "as=volume")
    assert texts(volume.formula) == ["100 g frobnicated gorm"]
    assert "/components/0/ingredients/0" in volume.drift.notes[0]


def test_as_volume_takes_the_measure_that_fits(change: Change) -> None:
    # USDA SR 26, NDB 19335 and 02047: a cup of sugar 200 g, a teaspoon of salt 6 g.
    done = change(card("200 g sugar", "6 g salt", measures="us"), "as=volume").formula
    assert [line.unit for line in lines(done)] == ["cup", "tsp"]
    assert texts(done) == ["1 cup sugar", "1 tsp salt"]


# Eggs of a US large and a EU medium class, without shell: the ratio is that of the tables' masses,
# each of which is tested against its law; here the law of the conversion: mass stays.
def test_egg_grade_counts_the_same_mass(change: Change, kitchen: Kitchen) -> None:
    formula = card("6 eggs", "2 large eggs", "Yolks 3 eggs", egg_grade="us-large")
    done = change(formula, "egg_grade=us-jumbo")
    assert done.formula.egg_grade == "us-jumbo"
    assert grams(kitchen, done.formula) == [pytest.approx(g, rel=1e-6) for g in grams(kitchen, formula)]
    first = lines(done.formula)[0].quantity
    assert first is not None
    assert float(first.low) == pytest.approx(6 * 50 / 63, rel=1e-6)  # USDA SR 26, NDB 01123: 50 g, 63 g
    assert "large" not in (texts(done.formula)[1] or "")
    with pytest.raises(Invalid) as refusal:
        change(formula, "egg_grade=us-jumbos")
    assert refusal.value.faults[0].parameter == "egg_grade"
    assert "Did you mean us-jumbo?" in refusal.value.faults[0].detail
