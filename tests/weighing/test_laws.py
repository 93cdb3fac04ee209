"""What must hold of every weighing, over generated formulas."""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from service.domain.formula import BAKED_ROLES, ROLES, SYSTEMS, Component, Formula, Line
from service.domain.quantity import Quantity
from service.kitchen import Kitchen, open_kitchen

KITCHEN = open_kitchen()
CODES = sorted(KITCHEN.cupboard.ingredients)
STATES = sorted({row.state for row in KITCHEN.cupboard.tables["states"] if row.state})
UNITS = [
    None,
    "cup",
    "tbsp",
    "tsp",
    "g",
    "oz",
    "lb",
    "mL",
    "pinch",
    "stick",
    "dozen",
    "pint",
    "gribble",
    "%",
]

amounts = st.fractions(min_value=Fraction(1, 8), max_value=40, max_denominator=12)
quantities = st.builds(lambda a, b: Quantity(min(a, b), max(a, b)), amounts, amounts) | amounts.map(
    Quantity.of
)
lines = st.builds(
    Line,
    ingredient=st.sampled_from(CODES) | st.just("unobtainium"),
    quantity=quantities | st.none(),
    unit=st.sampled_from(UNITS),
    level=st.sampled_from([None, "scant", "heaped"]),
    state=st.lists(st.sampled_from(STATES), max_size=2, unique=True).map(tuple),
    part=st.sampled_from([None, None, "white", "juice"]),
    optional=st.sampled_from([None, True]),
)
components = st.builds(
    Component,
    role=st.sampled_from([None, *ROLES]),
    ingredients=st.lists(lines, max_size=5).map(tuple),
)
formulas = st.builds(
    Formula,
    name=st.just("Anything"),
    components=st.lists(components, min_size=1, max_size=3).map(tuple),
    measures=st.sampled_from([None, *SYSTEMS]),
    handling=st.sampled_from([None, "dipped", "spooned", "sifted", "packed"]),
    egg_grade=st.sampled_from([None, "us-large", "eu-m", "no-such-grade"]),
)


@given(formulas)
def test_nothing_is_lost(formula: Formula) -> None:
    """Every line comes out once, with a mass and its basis, or with a reason."""
    found = KITCHEN.scales.weigh(formula)
    pointers = [
        f"/components/{c}/ingredients/{i}"
        for c, component in enumerate(formula.components)
        for i, _ in enumerate(component.ingredients)
    ]
    assert [line.pointer for line in found.lines] == pointers
    for line in found.lines:
        assert (line.grams is None) == (line.reason is not None)
        assert (line.grams is None) == (line.basis is None)
        assert line.basis is None or line.basis.source
    assert found.complete == all(
        line.grams is not None or line.line.quantity is None for line in found.lines
    )


@given(formulas)
def test_a_band_holds_its_value(formula: Formula) -> None:
    found = KITCHEN.scales.weigh(formula)
    bands = [line.grams for line in found.lines] + list(found.totals.values())
    for band in bands:
        if band is not None:
            slack = 1e-9 * max(1.0, abs(band.high))
            assert band.low <= band.value + slack
            assert band.value <= band.high + slack
    assert all(line.grams.low >= 0 for line in found.lines if line.grams)


@given(formulas)
def test_a_total_is_the_sum_of_its_lines_and_groups(formula: Formula) -> None:
    found = KITCHEN.scales.weigh(formula)
    whole = found.totals["grams"]
    assert whole is not None
    for end in ("value", "low", "high"):
        added = sum(getattr(line.grams, end) for line in found.lines if line.grams)
        assert getattr(whole, end) == pytest.approx(added)
    for name, total in found.totals.items():
        groups = [totals[name] for totals in found.group_totals.values()]
        if total is not None and groups:
            assert total.value == pytest.approx(sum(g.value for g in groups if g), abs=1e-9)


@given(formulas, st.fractions(min_value=Fraction(1, 4), max_value=4, max_denominator=6))
def test_weighing_scales_with_the_amounts(formula: Formula, factor: Fraction) -> None:
    """So long as every measure is a cup, a spoon, a count or a mass: a volume in millilitres may
    come nearer to another row as it grows, and percents follow the flour."""

    def times(line: Line) -> Line:
        return replace(line, quantity=line.quantity.times(factor)) if line.quantity else line

    bigger = replace(
        formula,
        components=tuple(
            replace(c, ingredients=tuple(times(line) for line in c.ingredients))
            for c in formula.components
        ),
    )
    before, after = KITCHEN.scales.weigh(formula), KITCHEN.scales.weigh(bigger)
    for old, new in zip(before.lines, after.lines, strict=True):
        if old.line.unit in ("mL", "pinch", "pint", "%"):
            continue
        assert (old.grams is None) == (new.grams is None)
        if old.grams is not None and new.grams is not None:
            assert new.grams.value == pytest.approx(old.grams.value * float(factor))
            assert new.grams.high == pytest.approx(old.grams.high * float(factor))


@given(formulas)
def test_the_formula_read_weighs_the_same(formula: Formula) -> None:
    """What comes out goes back in."""
    found = KITCHEN.scales.weigh(formula)
    again = KITCHEN.scales.weigh(found.formula)
    assert [line.grams for line in again.lines] == [line.grams for line in found.lines]
    assert again.totals == found.totals


@given(st.lists(lines, min_size=1, max_size=4).map(tuple))
def test_a_kept_line_weighs_as_a_fresh_one(several: tuple[Line, ...]) -> None:
    """The memory of settled lines changes no answer, whatever was weighed before."""
    formula = Formula("Again", (Component(ingredients=several),))
    first = KITCHEN.scales.weigh(formula)
    KITCHEN.scales.forget()
    assert KITCHEN.scales.weigh(formula) == first


def test_only_roles_that_are_baked_together_share_a_group() -> None:
    for role in ROLES:
        one = Component(role=role, ingredients=(Line(text="100 g water"),))
        (line,) = KITCHEN.scales.weigh(Formula("One", (one,))).lines
        assert (line.group == "baked") == (role in BAKED_ROLES)


def test_the_memory_of_lines_is_bounded() -> None:
    kitchen = Kitchen(KITCHEN.cupboard)
    for number in range(1, 5000):
        text = Line(text=f"{number} g water")
        kitchen.scales.weigh(Formula("Many", (Component(ingredients=(text,)),)))
    kept = sum(len(lines) for lines in kitchen.scales._kept.values())
    assert kept <= 2048
