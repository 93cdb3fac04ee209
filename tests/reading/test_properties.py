"""What holds for every line, however hostile: no error, spans that are slices, nothing lost, time that
grows with the length, and words for each item that say the same again."""

from __future__ import annotations

import sys
from collections.abc import Callable
from dataclasses import replace
from types import FrameType
from unittest import mock

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from service.domain.reading import ReadLine
from service.kitchen import Kitchen
from tests.reading.labelled import read_labels

LABELLED = [
    rows[0]["text"] for name in ("archive_labels.csv", "reading_lines.csv") for rows in read_labels(name)
]
WORDS = sorted({word for text in LABELLED for word in text.split()})
SIGNS = [
    "(",
    ")",
    "[",
    "/",
    "-",
    "–",
    ",",
    ";",
    ":",
    "+",
    "%",
    "#",
    "°",
    "☃",
    "½",
    "1/2",
    "1,000",
    "0",
    "1/0",
    "12345678901234",
    "or",
    "and",
    "each",
    "plus",
    "less",
    "than",
    "to",
    "half a",
    "between",
    "dissolved in",
]
PARTS = {"quantity", "unit", "level", "ingredient", "state", "part", "equivalent", "note", "alternative",
         "optional", "joint"}  # fmt: skip
lines = st.one_of(
    st.text(max_size=120),
    st.text(alphabet="0123456789/⁄½¼⅔.,- ", max_size=300),
    st.lists(st.one_of(st.sampled_from(WORDS), st.sampled_from(SIGNS)), max_size=14).map(" ".join),
    st.tuples(
        st.sampled_from(LABELLED),
        st.sampled_from([" ", ", ", " or ", " and ", " ("]),
        st.sampled_from(LABELLED),
    ).map("".join),
)
systems = st.sampled_from(["us", "imperial", "metric", "au", "jp"])


@settings(max_examples=400)
@given(text=lines, system=systems, language=st.sampled_from(["en", "de", "fr-CA"]))
def test_spans_are_ordered_slices(kitchen: Kitchen, text: str, system: str, language: str) -> None:
    read = kitchen.reader.read_line(text, system, language)
    end = 0
    for span in read.spans:
        assert span.part in PARTS
        assert end <= span.start < span.end <= len(text)
        assert text[span.start : span.end].strip() == text[span.start : span.end]
        end = span.end


@settings(max_examples=400)
@given(text=lines)
def test_nothing_that_means_something_is_lost(kitchen: Kitchen, text: str) -> None:
    read = kitchen.reader.read_line(text)
    held = {at for span in read.spans for at in range(span.start, span.end)}
    held |= {
        at
        for p in read.problems
        if p.start is not None and p.end is not None
        for at in range(p.start, p.end)
    }
    lost = [sign for at, sign in enumerate(text) if at not in held and sign.isalnum()]
    assert not lost, (lost, read)


@settings(max_examples=200)
@given(text=lines)
def test_each_item_in_its_own_words_says_the_same(kitchen: Kitchen, text: str) -> None:
    items = kitchen.reader.read_line(text).items
    for item in items:
        if item.line.text is not None:
            again = kitchen.reader.read_line(item.line.text)
            # Among several the alternatives stand beside the words, in words of their own.
            said = item.line if len(items) == 1 else replace(item.line, alternatives=())
            assert [one.line for one in again.items] == [said]


@settings(max_examples=200)
@given(text=lines)
def test_quantities_are_within_the_bounds(kitchen: Kitchen, text: str) -> None:
    for item in kitchen.reader.read_line(text).items:
        for line in (item.line, *item.line.alternatives):
            if line.quantity is not None:
                assert 0 < line.quantity.low <= line.quantity.high


@pytest.mark.parametrize("text", LABELLED)
def test_labelled_items_have_words_of_their_own(kitchen: Kitchen, text: str) -> None:
    for item in kitchen.reader.read_line(text).items:
        assert item.line.text
        again = kitchen.reader.read_line(item.line.text).items
        assert [replace(one.line, alternatives=()) for one in again] == [
            replace(item.line, alternatives=())
        ]


def _scanned(kitchen: Kitchen, text: str) -> ReadLine:
    """Read a line by the scanner alone."""
    with mock.patch("service.reading.reader.read_plain", return_value=None):
        kitchen.reader.forget()
        read = kitchen.reader.read_line(text)
        kitchen.reader.forget()
    return read


@settings(max_examples=300)
@given(
    amount=st.sampled_from(["1", "½", "2½", "2 ¼", "12", "0", "5000"]),
    data=st.data(),
)
def test_the_plain_reading_is_the_scanners(kitchen: Kitchen, amount: str, data: st.DataObject) -> None:
    cupboard = kitchen.cupboard
    unit = data.draw(
        st.sampled_from(sorted({w for row in cupboard.units.values() for w in row.words} | {""}))
    )
    state = data.draw(st.sampled_from(["", *sorted(cupboard.states)]))
    name = data.draw(
        st.sampled_from(sorted(row.name for rows in cupboard.names.values() for row in rows))
    )
    said = st.sampled_from([*sorted(cupboard.states), "scant", "optional", "all-purpose"])
    joint = st.sampled_from([", ", " and ", " (", " ", ", and "])
    tails = data.draw(st.lists(st.tuples(joint, said, st.sampled_from(["", ")"])), max_size=3))
    text = " ".join(word for word in (amount, unit, state, name) if word)
    text += "".join(part for tail in tails for part in tail)
    assert kitchen.reader.read_line(text) == _scanned(kitchen, text)


@pytest.mark.parametrize("text", LABELLED)
def test_plain_labelled_lines_read_as_the_scanner_does(kitchen: Kitchen, text: str) -> None:
    assert kitchen.reader.read_line(text) == _scanned(kitchen, text)


def _calls(read: Callable[[str], object], text: str) -> int:
    """Count the calls of a reading: a measure of its work that no clock disturbs."""
    count = 0

    def profile(_frame: FrameType, event: str, _arg: object) -> None:
        nonlocal count
        count += event in ("call", "c_call")

    sys.setprofile(profile)
    try:
        read(text)
    finally:
        sys.setprofile(None)
    return count


@pytest.mark.parametrize(
    "piece",
    [
        "1", "1/", "½", "1 1/2 ", "1,", "1.", "1 and ", "one-half ", "half a ", "between 2 and ",
        "2-", "2 to ", "or ", "and ", "each ", "(", "()", "of ", "the ", "salt ", "salt, ",
        "salt and ", "salt or ", "1 cup ", "1 cup flour ", "1 cup flour, ", "chopped ",
        "and chopped ", "juice and ", "frobnitz ", "1 frobnitz, ", "less ", "plus 2 cups ",
        "sugar each ", "fl oz ", "%", "☃", "[cup_us]", "in ", "dissolved in ", "a",
    ],
)  # fmt: skip
def test_time_grows_with_the_length_and_no_faster(kitchen: Kitchen, piece: str) -> None:
    kitchen.reader.read_line("1 cup flour, frobnitz")

    def read(text: str) -> object:
        kitchen.reader.forget()
        return kitchen.reader.read_line(text)

    half, whole = (piece * 2000)[:1000], (piece * 2000)[:2000]
    read(half), read(whole)
    assert _calls(read, whole) < 3 * _calls(read, half)
