"""One measure at a time: where its mark lies, by which shape, and what is said of it."""

from __future__ import annotations

import pytest

from service.domain.band import Band
from service.render.balance import FIRST, HIGH_AT, LOW_AT, draw_balance, range_of, scale_of, state_of
from service.views.balance_svg import BalanceChart, BalanceGroup
from service.views.findings import MeasureAnswer
from tests.render.drawings import parsed, shapes, texts, told

Ends = tuple[float | None, float | None, float | None]


def a_measure(band: tuple[float, float, float], ends: Ends, inside: bool | None) -> MeasureAnswer:
    low, typical, high = ends
    return MeasureAnswer(
        "baked", "BAL-01", "sugar_pct", "sugar on flour", Band(*band), low, typical, high,
        "percent of flour", inside, "a source", "R",
    )  # fmt: skip


def drawn(measure: MeasureAnswer) -> bytes:
    group = BalanceGroup("baked", "What is baked", "muffin", "muffin", None, True, (measure,))
    found = (measure.inside,)
    counts = (found.count(True), found.count(False), found.count(None))
    return draw_balance(BalanceChart("Trial", *counts, None, (group,)))


CLOSED: Ends = (40.0, 60.0, 80.0)


@pytest.mark.parametrize(
    ("band", "ends", "inside", "shape", "word"),
    [
        ((60, 55, 65), CLOSED, True, ("dot", "good"), "inside"),
        ((78, 70, 86), CLOSED, None, ("diamond", "doubt"), "not certain"),
        ((35, 35, 35), CLOSED, False, ("left", "bad"), "below"),
        ((90, 88, 92), CLOSED, False, ("right", "bad"), "above"),
        ((400, 400, 400), CLOSED, False, ("far-right", "bad"), "above"),
        ((0, 0, 0), CLOSED, False, ("far-left", "bad"), "below"),
        ((0.5, 0.5, 0.5), (None, 0.2, 1.0), True, ("dot", "good"), "inside"),
        ((9, 9, 9), (None, None, 1.0), False, ("far-right", "bad"), "above"),
        ((2, 2, 2), (2.5, None, None), False, ("left", "bad"), "below"),
        ((900, 900, 900), (2.5, 4.5, None), True, ("dot", "good"), "inside"),
        ((0, 0, 0), (None, None, 0.0), True, ("dot", "good"), "inside"),
    ],
)
def test_shape_and_word(band, ends, inside, shape, word) -> None:
    measure = a_measure(band, ends, inside)
    assert state_of(measure) == word
    root = parsed(drawn(measure))
    empty = parsed(draw_balance(BalanceChart("Trial", 0, 0, 0, None, ())))
    assert shapes(root)[shape] == shapes(empty)[shape] + 1
    assert (word in texts(root)) is (word != "inside" or texts(root).count("inside") == 1)
    assert f": {word}." in told(root)


@pytest.mark.parametrize(
    ("ends", "words"),
    [
        (CLOSED, "40 to 80 percent of flour"),
        ((None, 0.2, 1.0), "at most 1 percent of flour"),
        ((2.5, 4.5, None), "at least 2.5 percent of flour"),
    ],
)
def test_range_in_words(ends: Ends, words: str) -> None:
    measure = a_measure((60, 60, 60), ends, None)
    assert range_of(measure) == words
    assert words in texts(parsed(drawn(measure)))


def test_range_without_a_low_end_begins_at_nothing_at_the_left() -> None:
    """Own design: below nothing there is no room to be drawn."""
    scale = scale_of(a_measure((0, 0, 0), (None, 0.2, 1.0), True))
    assert scale.at(0.0) == pytest.approx(FIRST)
    assert scale.at(1.0) == pytest.approx(HIGH_AT)


def test_every_range_lies_at_the_same_place() -> None:
    for ends in ((40.0, 60.0, 80.0), (0.001, None, 0.002), (200.0, 205.0, 210.0)):
        scale = scale_of(a_measure((1, 1, 1), ends, None))
        assert scale.at(ends[0] or 0.0) == pytest.approx(LOW_AT)
        assert scale.at(ends[2] or 0.0) == pytest.approx(HIGH_AT)


@pytest.mark.parametrize(
    "ends", [(5.0, 5.0, 5.0), (0.0, 0.0, 0.0), (None, None, 0.0), (0.0, None, None)]
)
def test_a_range_without_width_is_drawn(ends: Ends) -> None:
    measure = a_measure((5, 5, 5), ends, False)
    scale = scale_of(measure)
    assert scale.low < scale.high
    found = shapes(parsed(drawn(measure)))
    assert found["cap", "edge"] == sum(end is not None for end in (ends[0], ends[2]))


def test_the_band_is_drawn_where_there_is_one() -> None:
    without = shapes(parsed(drawn(a_measure((60, 60, 60), CLOSED, True))))
    with_band = shapes(parsed(drawn(a_measure((60, 55, 65), CLOSED, True))))
    assert with_band["cap", "band"] == without["cap", "band"] + 2


def test_the_centre_is_drawn_where_there_is_one() -> None:
    without = shapes(parsed(drawn(a_measure((60, 60, 60), (40.0, None, 80.0), True))))
    with_centre = shapes(parsed(drawn(a_measure((60, 60, 60), CLOSED, True))))
    assert with_centre["tick", "edge"] == without["tick", "edge"] + 1
