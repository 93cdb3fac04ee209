"""The hold-out of hand-labelled lines: how many are read rightly, and which are misread in silence.

``tests/vectors/holdout_lines.csv`` has the labels, ``tests/reading/holdout.py`` the comparison.
"""

from __future__ import annotations

from collections import Counter

import pytest

from service.kitchen import Kitchen
from tests.reading.holdout import Label, Outcome, codes_of, labels, read, words_of

#: The least share of lines that must be read rightly.
LEAST_RIGHT = 0.896
#: Lines that are known to be misread without a word, each with what is amiss. None may be added.
SILENT: dict[str, str] = {
    "Lard half the size of an egg": "the lard is named twice, once without an amount",
    "A scant half cup of butter": "the article is taken for one piece, and the scant for the piece",
    "2 ounces each of citron, lemon and orange peel": "the peel is read of the last alone",
    "Whites only of 5 eggs": "the amount is left in a note",
    "White of an egg": "the article is not taken for one",
    "The whites of 3 and the yolks of 4 eggs": "three yolks and four whole eggs are added",
    "1 #2 can crushed pineapple, drained": "the sign before a can's number is taken for pounds",
    "1 c. mashed bananas (2 or 3)": "the count in brackets is taken for an alternative",
    "1 cup fresh or frozen blueberries": "one of two states is taken",
    "Water, 20°C 65%": "the amount is left in a note",
    "Butter, unsalted, 82% fat 350 g": "the amount is left in a note",
    "Couverture 55% 180g": "the amount is left in a note",
    "Sugar .......... 250 g": "the last dot of a leader is taken for a decimal point",
    "1 lb. 2½ oz. eggs": "the dot of the pound is taken for a decimal point",
    "Raisins, currants and citron, 1/4 pound each": "the middle of the list has no amount",
    "flour, butter and sugar, of each 100 g": "the middle of the list has no amount",
    "1 cup sour milk, or sweet milk with 1 tablespoon vinegar": "the vinegar is taken always",
    "FROSTING": "a heading in capitals is taken for an ingredient",
    "1 inch cinnamon": "the length is left in a note",
}


@pytest.fixture(scope="module")
def outcomes(kitchen: Kitchen) -> list[Outcome]:
    return [read(kitchen, label) for label in labels()]


def _say(outcome: Outcome) -> str:
    made = [(one.line.quantity, one.line.unit, one.line.level, one.code) for one in outcome.made]
    label = outcome.label
    return f"{label.text!r} ({label.measures}): {outcome.kind} {made}, not {label.items} {label.remark}"


def test_every_label_says_where_it_comes_from_and_names_what_the_tables_know(kitchen: Kitchen) -> None:
    table = labels()
    assert len(table) >= 320
    assert all(label.source for label in table)
    most = Counter((label.text, label.measures) for label in table).most_common(1)
    assert most[0][1] == 1
    unknown = [
        (label.text, word)
        for label in table
        for word in words_of(label)
        if not word.startswith("?") and not codes_of(kitchen, word)
    ]
    assert unknown == []


def test_lines_are_read_as_a_careful_baker_reads_them(outcomes: list[Outcome]) -> None:
    wrong = [_say(outcome) for outcome in outcomes if not outcome.right]
    share = 1 - len(wrong) / len(outcomes)
    assert share >= LEAST_RIGHT, "\n".join(wrong)


def test_no_line_is_misread_in_silence(outcomes: list[Outcome]) -> None:
    silent = [one for one in outcomes if not one.right and not one.told]
    new = [_say(one) for one in silent if one.label.text not in SILENT]
    assert new == []


def test_the_list_of_silent_misreadings_names_lines_of_the_table() -> None:
    assert set(SILENT) <= {label.text for label in labels()}


@pytest.mark.parametrize(
    ("text", "items"),
    [
        # Common practice, no source: what the comparison itself must tell apart.
        ("2 cups flour", "1|cup||flour||"),
        ("2 cups flour", "2|tbsp||flour||"),
        ("2 cups flour", "2|cup||sugar||"),
        ("2 cups flour", "2|cup|heaped|flour||"),
        ("2 cups sifted flour", "2|cup||flour||"),
        ("2 cups flour", "2|cup||flour|sifted|"),
        ("2 egg whites", "2|each||egg||yolk"),
        ("2 cups flour and 1 egg", "2|cup||flour||"),
        ("2 cups flour", "2|cup||flour|| & 1|each||egg||"),
        ("2 cups milk or water", "2|cup||milk||"),
    ],
)
def test_the_comparison_sees_a_wrong_reading(kitchen: Kitchen, text: str, items: str) -> None:
    assert not read(kitchen, Label(text, "us", items, "", "common practice, no source")).right


@pytest.mark.parametrize(
    ("text", "items"),
    [
        # NIST Handbook 44, appendix C: 16 tablespoons a cup, 16 ounces a pound.
        ("1 cup plus 2 tablespoons flour", "1 1/8|cup||flour||"),
        ("1 cup plus 2 tablespoons flour", "18|tbsp||flour||"),
        ("1 1/2 lb flour", "24|oz||flour||"),
        ("2 egg whites", "2|each||egg||white"),
    ],
)
def test_the_comparison_takes_one_amount_said_in_two_ways(
    kitchen: Kitchen, text: str, items: str
) -> None:
    assert read(kitchen, Label(text, "us", items, "", "common practice, no source")).right
