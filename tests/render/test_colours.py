"""Contrast by WCAG 2.2: success criteria 1.4.3 (text, 4.5 to 1) and 1.4.11 (shapes, 3 to 1)."""

from __future__ import annotations

import pytest

from service.render.sheet import STYLES
from service.render.svg import DARK, FILLS, LIGHT

SCHEMES = {"light": LIGHT, "dark": DARK}


def luminance(colour: str) -> float:
    """Relative luminance (WCAG 2.2, definitions)."""
    channels = [int(colour[place : place + 2], 16) / 255 for place in (1, 3, 5)]
    red, green, blue = (c / 12.92 if c <= 0.04045 else ((c + 0.055) / 1.055) ** 2.4 for c in channels)
    return 0.2126 * red + 0.7152 * green + 0.0722 * blue


def contrast(one: str, other: str) -> float:
    """Contrast ratio (WCAG 2.2, definitions)."""
    lighter, darker = sorted((luminance(one), luminance(other)), reverse=True)
    return (lighter + 0.05) / (darker + 0.05)


def test_contrast_of_black_on_white() -> None:
    """WCAG 2.2, definitions: contrast ratios range from 1 to 21."""
    assert contrast("#000000", "#ffffff") == pytest.approx(21)
    assert contrast("#777777", "#ffffff") == pytest.approx(4.48, abs=0.005), "just too faint for text"


@pytest.mark.parametrize("scheme", SCHEMES)
@pytest.mark.parametrize("kind", [kind for kind in STYLES if kind != "numeral"])
def test_text_stands_out(kind: str, scheme: str) -> None:
    colours = SCHEMES[scheme]
    assert contrast(colours[FILLS[kind]], colours["ground"]) >= 4.5


@pytest.mark.parametrize("scheme", SCHEMES)
@pytest.mark.parametrize("bar", ["one", "other"])
def test_numbers_in_bars_stand_out(bar: str, scheme: str) -> None:
    colours = SCHEMES[scheme]
    assert contrast(colours["on"], colours[bar]) >= 4.5


@pytest.mark.parametrize("scheme", SCHEMES)
@pytest.mark.parametrize("under", ["ground", "track", "range"])
@pytest.mark.parametrize("kind", ["good", "doubt", "bad", "band", "edge"])
def test_marks_stand_out(kind: str, under: str, scheme: str) -> None:
    colours = SCHEMES[scheme]
    assert contrast(colours[FILLS[kind]], colours[under]) >= 3


@pytest.mark.parametrize("scheme", SCHEMES)
@pytest.mark.parametrize("bar", ["one", "other", "edge"])
def test_bars_stand_out(bar: str, scheme: str) -> None:
    colours = SCHEMES[scheme]
    assert contrast(colours[bar], colours["track"]) >= 3
    assert contrast(colours[bar], colours["ground"]) >= 3


def test_both_schemes_name_the_same_colours() -> None:
    assert LIGHT.keys() == DARK.keys()
    assert set(FILLS.values()) <= LIGHT.keys()
