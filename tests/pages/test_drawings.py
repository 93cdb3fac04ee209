"""The drawings in a real browser: at the widths of a telephone and of a desk, light and dark.

No text lies over another, leaves its sheet or is too small; colours are those of the scheme, in the
contrast that WCAG 2.2 asks; and opening a drawing asks nobody for anything.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from itertools import combinations
from pathlib import Path
from typing import Any
from urllib.parse import urlencode

import pytest
from flask import Flask

from service.http.app import create_app
from service.http.book import load_book
from service.http.config import Config
from service.kitchen import Kitchen
from service.render.svg import DARK, LIGHT
from tests.pages.browser import looked_at, site
from tests.render.drawings import hostile_formula
from tests.render.test_colours import contrast

DEMO = Path(__file__).parents[2] / "deploy" / "demo"
WIDTHS = (320, 1024)
SCHEMES = {"light": LIGHT, "dark": DARK}
VIEWS = ("balance.svg", "leavening.svg")
#: What two lines of text may share: the room above and below their letters. Units: pixels.
SHARED = 3.0
Seen = dict[str, Any]


def hostile(app: Flask) -> dict[str, bytes]:
    """Draw a formula of hostile and long names, and one that nothing is known of."""
    client = app.test_client()
    unknown = {"name": "Thing", "components": [{"ingredients": [{"text": "1 cup moon dust"}]}]}
    return {
        f"{name}-{view}": client.post(f"/v1/{view}", json=formula).get_data()
        for name, formula in (("hostile", hostile_formula()), ("unknown", unknown))
        for view in VIEWS
    }


@pytest.fixture(scope="module")
def seen(
    tmp_path_factory: pytest.TempPathFactory, kitchen: Kitchen
) -> Iterator[dict[tuple[int, str], list[Seen]]]:
    """What the browser saw of the demo book's drawings and of hostile ones, by width and scheme."""
    app = create_app(Config(data=tmp_path_factory.mktemp("pages")), kitchen)
    assert {what for _, what in load_book(app, DEMO)} == {"stored"}
    others = hostile(app)
    book = [path.stem for path in sorted(DEMO.glob("*.json"))]
    draw = [f"/v1/formulas/{name}/{view}" for name in book for view in VIEWS]
    draw += [f"/v1/formulas/{book[0]}/balance.svg?altitude=2000m"]
    draw += [f"/look/drawing/{name}" for name in others]
    with site(app, others) as address:
        yield {
            (width, scheme): looked_at(
                f"{address}/look/?{urlencode({'width': width, 'draw': draw}, doseq=True)}", scheme
            )
            for width in WIDTHS
            for scheme in SCHEMES
        }
    app.extensions["tarebook"].shelf.close()


EVERY = pytest.mark.parametrize(
    ("width", "scheme"), [(width, scheme) for width in WIDTHS for scheme in SCHEMES]
)


def all_of(seen: dict[tuple[int, str], list[Seen]], width: int, scheme: str) -> list[Seen]:
    """Give what was seen, each drawing at the width that was asked."""
    drawings = seen[width, scheme]
    assert len(drawings) > 2 * len(list(DEMO.glob("*.json")))
    assert {drawing["width"] for drawing in drawings} == {width}
    assert all(drawing["root"] == "svg" and drawing["texts"] for drawing in drawings)
    return drawings


def overlap(one: Seen, other: Seen) -> bool:
    across = min(one["right"], other["right"]) - max(one["left"], other["left"])
    down = min(one["bottom"], other["bottom"]) - max(one["top"], other["top"])
    return across > 0.5 and down > SHARED


@EVERY
def test_no_text_lies_over_another(seen, width: int, scheme: str) -> None:
    over = [
        (drawing["name"], one["text"], other["text"])
        for drawing in all_of(seen, width, scheme)
        for one, other in combinations(drawing["texts"], 2)
        if overlap(one, other)
    ]
    assert over == []


@EVERY
def test_no_text_leaves_its_sheet(seen, width: int, scheme: str) -> None:
    out = [
        (drawing["name"], text["text"])
        for drawing in all_of(seen, width, scheme)
        for text in drawing["texts"]
        if text["left"] < 4
        or text["right"] > min(width, drawing["sheet"]["right"]) - 4
        or text["top"] < 0
        or text["bottom"] > drawing["sheet"]["bottom"]
    ]
    assert out == []
    assert not any(drawing["wider"] for drawing in seen[width, scheme])


@EVERY
def test_no_text_lies_over_a_plot(seen, width: int, scheme: str) -> None:
    """A plot's box takes in its mark, which may stand half out of it; text keeps off both."""
    over = [
        (drawing["name"], text["text"])
        for drawing in all_of(seen, width, scheme)
        for plot in drawing["marks"]
        for text in drawing["texts"]
        if overlap(text, plot)
    ]
    assert over == []


@EVERY
def test_text_keeps_its_size(seen, width: int, scheme: str) -> None:
    """Text is as large on a telephone as on a desk: 11 pixels at the least."""
    sizes = {
        float(text["size"].removesuffix("px"))
        for drawing in all_of(seen, width, scheme)
        for text in drawing["texts"]
    }
    assert min(sizes) >= 11


def hexed(colour: str) -> str:
    """Turn a colour as the browser tells it to the form ``#rrggbb``."""
    red, green, blue = (int(number) for number in re.findall(r"\d+", colour)[:3])
    return f"#{red:02x}{green:02x}{blue:02x}"


@EVERY
def test_colours_are_those_of_the_scheme(seen, width: int, scheme: str) -> None:
    for drawing in all_of(seen, width, scheme):
        assert drawing["ground"] == SCHEMES[scheme]["ground"]
        for text in drawing["texts"]:
            if text["kind"] != "numeral":
                assert contrast(hexed(text["fill"]), drawing["ground"]) >= 4.5, text["text"]


@EVERY
def test_nobody_is_asked_for_anything(seen, width: int, scheme: str) -> None:
    assert {name for drawing in all_of(seen, width, scheme) for name in drawing["asked"]} == set()


def test_a_wide_sheet_is_laid_out_wide(seen) -> None:
    """Beside each other instead of below: a drawing of many rows is a good deal lower on a desk."""
    high = {
        width: {drawing["name"]: drawing["sheet"]["bottom"] for drawing in seen[width, "light"]}
        for width in WIDTHS
    }
    for name, bottom in high[320].items():
        assert high[1024][name] <= bottom
        if "balance" in name and "unknown" not in name:
            assert high[1024][name] < 0.85 * bottom, name
