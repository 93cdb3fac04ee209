"""The tokeniser: which words a line has, and what stands between them."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from service.reading.scan import CODE, DIGITS, FRACTION, LETTERS, SIGN, scan


def _words(text: str) -> list[tuple[int, str, str]]:
    return [(word.kind, word.text, word.gap) for word in scan(text)[0]]


@pytest.mark.parametrize(
    ("text", "words"),
    [
        ("2 ¼ cups", [(DIGITS, "2", ""), (FRACTION, "¼", ""), (LETTERS, "cups", "")]),
        ("250g", [(DIGITS, "250", ""), (LETTERS, "g", "")]),
        ("½cup", [(FRACTION, "½", ""), (LETTERS, "cup", "")]),
        ("1/2", [(DIGITS, "1", ""), (DIGITS, "2", "/")]),
        ("one-half", [(LETTERS, "one", ""), (LETTERS, "half", "-")]),
        ("Baker’s", [(LETTERS, "Baker’s", "")]),
        ("confectioners’ sugar", [(LETTERS, "confectioners", ""), (LETTERS, "sugar", "")]),
        ("2 [cup_us]", [(DIGITS, "2", ""), (CODE, "[cup_us]", "")]),
        ("2%", [(DIGITS, "2", ""), (SIGN, "%", "")]),
        ("a, b (c)", [(LETTERS, "a", ""), (LETTERS, "b", ","), (LETTERS, "c", "(")]),
        ("pure\u0301e", [(LETTERS, "pure\u0301e", "")]),
        ("☃ salt", [(SIGN, "☃", ""), (LETTERS, "salt", "")]),
    ],
)  # fmt: skip
def test_cuts_words(text: str, words: list[tuple[int, str, str]]) -> None:
    assert _words(text) == words


@given(st.text(max_size=200))
def test_every_word_is_its_slice_and_in_order(text: str) -> None:
    words, _ = scan(text)
    end = 0
    for word in words:
        assert text[word.start : word.end] == word.text
        assert word.start >= end
        end = word.end


@given(st.text(max_size=200))
def test_letters_and_digits_lie_in_words(text: str) -> None:
    inside = {at for word in scan(text)[0] for at in range(word.start, word.end)}
    assert all(at in inside for at, sign in enumerate(text) if sign.isalnum())
