"""Laws that hold for every formula: scaling undone, percentages kept, masses conserved, nothing lost."""

from __future__ import annotations

from fractions import Fraction
from functools import cache

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from service.changes.amounts import Style, shortest, spell, spell_quantity, style_of, tidy
from service.changes.apply import Changed, apply
from service.domain.changes import Changes
from service.domain.formula import Component, Equivalent, Formula, Line, Yield
from service.domain.quantity import LARGEST, Quantity, read_fraction
from service.kitchen import open_kitchen
from service.weighing.scales import Scales


@cache
def scales() -> Scales:
    return open_kitchen().scales


SYSTEMS = ("us", "us-label", "imperial", "metric", "au", "ca", "jp")
#: Things that every kitchen has, with states that they may be in.
THINGS = (
    ("all-purpose-flour", ("sifted",)), ("cake-flour", ()), ("granulated-sugar", ()), ("whole-milk", ()),
    ("butter-unsalted", ("melted",)), ("baking-powder", ()), ("table-salt", ()), ("honey", ()),
    ("cocoa-natural", ()), ("brown-sugar", ("packed",)), ("water", ()), ("gorm of the fens", ()),
    ("sugar", ()),
    ("plain flour", ()), ("milk", ()), ("powdered cocoa", ()), ("egg whites", ()),
)  # fmt: skip

amounts = st.fractions(Fraction(1, 8), 40, max_denominator=16)
factors = st.fractions(Fraction(1, 20), 20, max_denominator=60)


@st.composite
def quantities(draw: st.DrawFn) -> Quantity:
    low = draw(amounts)
    return Quantity(low, low + draw(st.one_of(st.just(Fraction(0)), amounts)))


@st.composite
def field_lines(draw: st.DrawFn) -> Line:
    name, states = draw(st.sampled_from(THINGS))
    unit = draw(st.sampled_from(("cup", "tbsp", "tsp", "g", "oz", "lb", "mL")))
    level = draw(st.sampled_from((None, "scant", "heaped"))) if unit in ("cup", "tsp") else None
    same = st.builds(Equivalent, st.builds(Quantity.of, amounts), st.just("g"))
    return Line(
        ingredient=name, quantity=draw(st.none() | quantities()), unit=unit, level=level,
        state=draw(st.sampled_from(((), states))), equivalent=draw(st.none() | same),
    )  # fmt: skip


EGGS = st.builds(
    Line,
    ingredient=st.just("egg"),
    quantity=st.builds(Quantity.of, st.integers(1, 12).map(Fraction)),
    unit=st.just("each"),
    part=st.sampled_from((None, "white", "yolk")),
)
TEXTS = st.builds(
    "{} {}".format,
    st.sampled_from(("1", "2½", "¾", "1 ⅓", "2 to 3", "1.5", "3/4", "two")),
    st.sampled_from(
        (
            "cups sifted cake flour", "tablespoons butter, melted", "teaspoonfuls soda (scant)",
            "cups cake flour or 2 cups plain flour", "cups milk or water", "cups nuts (optional)",
            "lb. (450 g) raisins", "large eggs", "g honey", "cups each sugar and milk",
        )
    ),
).map(lambda text: Line(text=text))  # fmt: skip


@st.composite
def formulas(draw: st.DrawFn, line: st.SearchStrategy[Line]) -> Formula:
    several = st.lists(line, min_size=1, max_size=6).map(tuple)
    parts = draw(st.lists(several, min_size=1, max_size=2))
    return Formula(
        "Any", tuple(Component(ingredients=part) for part in parts),
        measures=draw(st.sampled_from(SYSTEMS)), handling="spooned", egg_grade="us-large",
        yields=draw(st.sampled_from((None, Yield(portions=Quantity.of(12))))),
    )  # fmt: skip


OF_FIELDS = formulas(st.one_of(field_lines(), EGGS))
OF_BOTH = formulas(st.one_of(field_lines(), EGGS, TEXTS))


def changed(formula: Formula, **changes: object) -> Changed:
    return apply(formula, Changes(**changes), scales())  # type: ignore[arg-type]


def opened(formula: Formula) -> Formula:
    return scales().weigh(formula).formula


def grams(formula: Formula) -> list[float | None]:
    return [line.grams.value if line.grams else None for line in scales().weigh(formula).lines]


@given(OF_FIELDS, factors)
def test_scaling_and_back_gives_the_formula(formula: Formula, factor: Fraction) -> None:
    there = changed(formula, factor=factor).formula
    assert changed(there, factor=1 / factor).formula == formula


@given(OF_BOTH, factors)
def test_scaling_and_back_gives_the_reading(formula: Formula, factor: Fraction) -> None:
    """A text's fractions may be spelt otherwise after the way back; what it says is the same."""
    back = changed(changed(formula, factor=factor).formula, factor=1 / factor).formula
    for new, old in zip(opened(back).components, opened(formula).components, strict=True):
        fields = [
            (line.ingredient, line.quantity, line.unit, line.level, line.state, line.part, line.optional)
            for line in old.ingredients
        ]
        assert fields == [
            (line.ingredient, line.quantity, line.unit, line.level, line.state, line.part, line.optional)
            for line in new.ingredients
        ]


@given(OF_BOTH, factors)
def test_scaling_multiplies_each_mass_and_leaves_percentages(formula: Formula, factor: Fraction) -> None:
    done = changed(formula, factor=factor)
    for before, after in zip(grams(formula), grams(done.formula), strict=True):
        assert after == (None if before is None else pytest.approx(before * factor, rel=1e-9))
    for ratio in done.drift.ratios:
        assert ratio.after == (None if ratio.before is None else pytest.approx(ratio.before))
    assert not [note for note in done.drift.notes if "moved" in note]


@given(
    OF_BOTH,
    st.sampled_from(SYSTEMS) | st.none(),
    st.sampled_from(("mass", "volume")) | st.none(),
    st.sampled_from(("eu-m", "us-jumbo")) | st.none(),
)
@settings(max_examples=200)
def test_conversions_conserve_each_mass_and_each_line(
    formula: Formula, measures: str | None, as_: str | None, egg_grade: str | None
) -> None:
    done = changed(formula, measures=measures, as_=as_, egg_grade=egg_grade).formula
    before, after = scales().weigh(formula), scales().weigh(done)
    assert [line.code for line in before.lines] == [line.code for line in after.lines]
    for old, new in zip(before.lines, after.lines, strict=True):
        expected = None if old.grams is None else pytest.approx(old.grams.value, rel=1e-6)
        assert (new.grams.value if new.grams else None) == expected, (old.as_written, new.as_written)


@given(
    OF_BOTH, factors,
    st.sampled_from(SYSTEMS) | st.none(),
    st.sampled_from(("mass", "volume")) | st.none(),
    st.sampled_from(("none", "scale", "kitchen")) | st.none(),
)  # fmt: skip
@settings(max_examples=200)
def test_what_comes_out_goes_back_in(
    formula: Formula, factor: Fraction, measures: str | None, as_: str | None, rounding: str | None
) -> None:
    """Every changed line's text and fields say the same: read again, nothing differs; no line is
    lost, and every amount lies within the bounds."""
    done = changed(formula, factor=factor, measures=measures, as_=as_, rounding=rounding).formula
    assert len(grams(done)) == len(grams(formula))
    if done is not formula:
        assert opened(done).components == done.components
    for component in opened(done).components:
        for line in component.ingredients:
            assert line.quantity is None or 0 < line.quantity.low <= line.quantity.high <= LARGEST


@given(OF_BOTH, st.sampled_from(("scale", "kitchen")), st.sampled_from(SYSTEMS))
def test_rounding_twice_is_rounding_once(formula: Formula, rounding: str, measures: str) -> None:
    once = changed(formula, measures=measures, rounding=rounding).formula
    again = changed(once, rounding=rounding).formula
    for first, second in zip(grams(once), grams(again), strict=True):
        assert second == (None if first is None else pytest.approx(first, rel=1e-9))


@given(OF_BOTH)
def test_no_change_gives_the_same_object(formula: Formula) -> None:
    assert changed(formula).formula is formula
    assert changed(formula, factor=Fraction(1), rounding="none").formula is formula


@given(st.fractions(Fraction(1, 10**4), 10**6, max_denominator=10**4), st.sampled_from(Style))
def test_what_is_spelt_is_read_back(value: Fraction, style: Style) -> None:
    assert read_fraction(spell(value, style)) == value
    assert spell_quantity(Quantity(value, value + 1), style).split(" to ")[0] == spell(value, style)


@given(st.floats(1e-6, 1e6))
def test_a_tidy_amount_lies_near(value: float) -> None:
    assert float(tidy(value)) == pytest.approx(value, rel=3.1e-7)
    assert float(shortest(value)) == pytest.approx(value, rel=1.1e-7)


@pytest.mark.parametrize(
    ("text", "style"),
    [("2¼", Style.GLYPH), ("2 ¼", Style.SPACED_GLYPH), ("½", Style.GLYPH), ("2 1/4", Style.FRACTION),
     ("1.5", Style.DECIMAL), ("3", Style.FRACTION), ("three", Style.FRACTION)],
)  # fmt: skip
def test_style_of_an_amount(text: str, style: Style) -> None:
    assert style_of(text, Style.FRACTION) is style
