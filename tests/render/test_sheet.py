"""Text on a sheet: broken into lines that fit, with nothing lost."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from service.domain.band import Band
from service.render.figures import banded, figure, span
from service.render.sheet import STYLES, Sheet, Words, broken, width_of


@given(st.text(max_size=200), st.sampled_from(sorted(STYLES)), st.floats(40, 600))
def test_every_line_fits_and_no_letter_is_lost(text: str, kind: str, width: float) -> None:
    lines = broken(text, kind, width)
    assert "".join("".join(lines).split()) == "".join(text.split())
    assert all(width_of(line, kind) <= width or len(line.strip()) == 1 for line in lines)


@given(st.text("abcdefg ", max_size=200))
def test_words_are_kept_whole_where_they_fit(text: str) -> None:
    words = [word for word in text.split() if width_of(word, "name") <= 200]
    kept = " ".join(broken(" ".join(words), "name", 200)).split()
    assert kept == words


def test_wide_sheets_break_later() -> None:
    sheet = Sheet("trial", "Trial")
    sheet.write("a line of words that is too long for a narrow sheet but not for a wide one", "name")
    narrow, wide = sheet.placed
    assert (narrow.only, wide.only) == ("narrow", "wide")
    assert len(narrow.marks) > len(wide.marks) == 1
    sheet.write("short", "name")
    (words,) = sheet.placed[-1].marks
    assert isinstance(words, Words)
    assert sheet.placed[-1].only == ""
    assert sheet.placed[-1].lift > 0, "it stands higher by the lines that the wide sheet saves"


@pytest.mark.parametrize(
    ("value", "written"),
    [
        (0.0, "0"), (0.00788, "0.00788"), (0.5, "0.5"), (1.0, "1"), (1.3333, "1.33"), (109.4, "109"),
        (999.4, "999"), (999.6, "1000"), (1234.5, "1234"), (-2.0, "−2"), (12345.0, "12345"),
    ],
)  # fmt: skip
def test_figures_have_three_figures(value: float, written: str) -> None:
    assert figure(value) == written


@pytest.mark.parametrize(
    ("band", "written"),
    [
        (Band(2.0, 1.5, 2.5), "2 (1.5 to 2.5)"),
        (Band(2.0, 2.0, 2.0), "2"),
        (Band(2.0, 1.999, 2.001), "2"),
        (Band(0.0, 0.0, 4.6), "0 (0 to 4.6)"),
    ],
)
def test_a_band_is_written_where_it_shows(band: Band, written: str) -> None:
    assert banded(band) == written


def test_ends_that_look_alike_are_one_figure() -> None:
    assert span(0.4, 0.4001) == "0.4"
    assert span(0.4, 0.5) == "0.4 to 0.5"
