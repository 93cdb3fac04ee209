"""Scaling by what is at hand: parts are counted against the whole, the scarcest decides."""

from __future__ import annotations

from fractions import Fraction

import pytest

from service.domain.quantity import read_fraction
from service.errors import Invalid
from tests.changes.cards import Change, card


def factor(change: Change, query: str, *lines: str) -> Fraction | None:
    return read_fraction(change(card(*lines), query).drift.factor or "")


# Counting by hand: what is at hand over what the formula takes.
@pytest.mark.parametrize(
    ("query", "lines", "expected"),
    [
        ("have=egg:6", ("4 eggs",), "3/2"),
        ("have=egg:6", ("2 eggs", "1 egg, beaten"), "2"),
        ("have=egg:6", ("Whites 4 eggs",), "3/2"),
        ("have=egg:6", ("Whites 4 eggs", "Yolks 3 eggs"), "3/2"),
        ("have=egg:6", ("1 egg", "Yolks 2 eggs"), "2"),
        ("have=eggs:6", ("4 eggs",), "3/2"),
        ("have=flour:3cup", ("2 cups flour",), "3/2"),
        ("have=flour:24tbsp", ("1 cup flour",), "3/2"),  # 16 tablespoons to the cup, UCUM 2.2
        ("have=sugar:500g", ("250 g sugar",), "2"),
        ("have=sugar:1lb", ("8 oz sugar",), "2"),
        ("have=lemon:3", ("Grated rind ½ lemon", "Juice of 1 lemon"), "3"),
        ("have=egg:4&have=sugar:3cup", ("2 eggs", "1 cup sugar"), "2"),
        ("have=egg:9&have=sugar:3cup", ("2 eggs", "1 cup sugar"), "3"),
    ],
)
def test_factor(change: Change, query: str, lines: tuple[str, ...], expected: str) -> None:
    assert factor(change, query, *lines) == read_fraction(expected)


def test_whites_by_the_cup(change: Change) -> None:
    # USDA SR 26, NDB 01124: a cup of whites is 243 g, the white of one large egg 33 g.
    done = change(card("Whites 4 eggs", egg_grade="us-large"), "have=egg-white:1cup")
    found = read_fraction(done.drift.factor or "")
    assert found is not None
    assert float(found) == pytest.approx(243 / (4 * 33), rel=0.001)


def test_each_is_told_and_the_scarcest_named(change: Change) -> None:
    notes = change(card("2 eggs", "1 cup sugar"), "have=egg:8&have=sugar:3cup").drift.notes
    assert notes[0].startswith("egg at hand (8) is enough for 4 times")
    assert notes[1] == "sugar at hand (3 cup) is enough for 3 times: the scarcest, which decides"


def test_what_does_not_fit_is_refused_all_at_once_with_suggestions(change: Change) -> None:
    formula = card("2 cups flour", "1 cup buttermilk", "3 cups of frobnicated gorm")
    with pytest.raises(Invalid) as refusal:
        change(formula, "have=buttermlik:2cup&have=saffron:1g&have=flour:2blorp")
    faults = refusal.value.faults
    assert [fault.code for fault in faults] == ["unknown-ingredient", "not-in-formula", "unknown-unit"]
    assert all(fault.parameter == "have" for fault in faults)
    assert "Did you mean buttermilk?" in faults[0].detail
