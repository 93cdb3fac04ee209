"""Choices: alternatives taken, options in or out, and what is refused."""

from __future__ import annotations

import pytest

from service.errors import Invalid
from tests.changes.cards import Change, card, lines, texts

AT = "/components/0/ingredients"
CARD = (
    "2 cups flour", "1½ cups cake flour or 1⅓ cups plain flour", "½ cup walnuts (optional)",
    "1 cup milk or water", "Raisins, if desired",
)  # fmt: skip


@pytest.mark.parametrize(
    ("choice", "index", "expected"),
    [
        ("1:0", 1, "1½ cups cake flour"),
        ("1:1", 1, "1 1/3 cups plain flour"),
        ("2:with", 2, "½ cup walnuts"),
        ("2:without", 2, "1 cup milk or water"),
        ("3:0", 3, "1 cup milk"),
        ("3:1", 3, "1 cup water"),
        ("4:with", 4, "Raisins"),
    ],
)
def test_takes_a_choice(change: Change, choice: str, index: int, expected: str) -> None:
    done = change(card(*CARD), f"choose={AT}/{choice}").formula
    text = texts(done)[index]
    assert text is not None
    assert text.replace("cup plain", "cups plain") == expected
    line = lines(done)[index]
    assert choice == "2:without" or (not line.alternatives and not line.optional)


def test_other_lines_are_the_same_objects(change: Change) -> None:
    formula = card(*CARD)
    done = change(formula, f"choose={AT}/1:1").formula
    assert [new is old for new, old in zip(lines(done), lines(formula), strict=True)] == [
        True, False, True, True, True,
    ]  # fmt: skip


def test_pointers_are_into_the_formula_as_given(change: Change) -> None:
    query = f"choose={AT}/2:without&choose={AT}/3:1&factor=2"
    assert texts(change(card(*CARD), query).formula)[2] == "2 cups water"


def test_refuses_what_is_not_offered_all_at_once(change: Change) -> None:
    query = "&".join(f"choose={AT}/{one}" for one in ("0:1", "4:2", "1:7", "3:with", "99:0"))
    with pytest.raises(Invalid) as refusal:
        change(card(*CARD), query)
    codes = [(fault.parameter, fault.code) for fault in refusal.value.faults]
    assert codes == [
        ("choose", "no-such-alternative"),
        ("choose", "no-such-alternative"),
        ("choose", "no-such-alternative"),
        ("choose", "not-optional"),
        ("choose", "no-such-line"),
    ]


def test_something_must_be_left(change: Change) -> None:
    with pytest.raises(Invalid) as refusal:
        change(card("½ cup walnuts (optional)"), f"choose={AT}/0:without")
    assert refusal.value.faults[0].code == "nothing-left"


def test_an_unknown_swap_is_refused(change: Change) -> None:
    with pytest.raises(Invalid) as refusal:
        change(card(*CARD), "swap=flour:sawdust")
    assert [(f.parameter, f.code) for f in refusal.value.faults] == [("swap", "unknown-swap")]
