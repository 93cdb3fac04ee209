"""The drawings opened as documents of their own, from the running service with its own headers.

At the widths of a telephone and of a desk, light and dark: their style sheet works under the policy
that is sent with them, texts keep off each other and off the plots, and nobody is asked for anything.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from itertools import combinations
from pathlib import Path
from typing import Any
from urllib.parse import urlencode

import pytest

from service.http.app import create_app
from service.http.book import load_book
from service.http.config import Config
from service.kitchen import Kitchen
from service.render.svg import DARK, LIGHT
from tests.pages.opened import looked_at, site

DEMO = Path(__file__).parents[2] / "deploy" / "demo"
BOOK = [path.stem for path in sorted(DEMO.glob("*.json"))]
WIDTHS = (320, 1024)
SCHEMES = {"light": LIGHT, "dark": DARK}
DRAWN = [f"/v1/formulas/{name}/{view}" for name in BOOK for view in ("balance.svg", "leavening.svg")]
#: What two lines of text may share: the room above and below their letters. Units: pixels.
SHARED = 3.0
Seen = dict[tuple[int, str], list[dict[str, Any]]]


@pytest.fixture(scope="module")
def seen(tmp_path_factory: pytest.TempPathFactory, kitchen: Kitchen) -> Iterator[Seen]:
    """What the browser saw of the demo book's drawings, by width and scheme."""
    app = create_app(Config(data=tmp_path_factory.mktemp("opened")), kitchen)
    assert {what for _, what in load_book(app, DEMO)} == {"stored"}
    with site(app) as address:
        yield {
            (width, scheme): looked_at(
                f"{address}/look/?{urlencode({'width': width, 'draw': DRAWN}, doseq=True)}", scheme
            )
            for width in WIDTHS
            for scheme in SCHEMES
        }
    app.extensions["tarebook"].shelf.close()


EVERY = pytest.mark.parametrize(
    ("width", "scheme"), [(width, scheme) for width in WIDTHS for scheme in SCHEMES]
)


def overlap(one: dict[str, float], other: dict[str, float]) -> bool:
    across = min(one["right"], other["right"]) - max(one["left"], other["left"])
    down = min(one["bottom"], other["bottom"]) - max(one["top"], other["top"])
    return across > 0.5 and down > SHARED


@EVERY
def test_each_is_a_document_of_its_own(seen: Seen, width: int, scheme: str) -> None:
    drawings = seen[width, scheme]
    assert [drawing["name"] for drawing in drawings] == DRAWN
    assert {(drawing["root"], drawing["width"]) for drawing in drawings} == {("svg", width)}
    assert all(drawing["texts"] for drawing in drawings)


@EVERY
def test_the_style_sheet_works_under_the_policy(seen: Seen, width: int, scheme: str) -> None:
    """The ground is that of the reader's scheme; without the style sheet it would be transparent."""
    ground = SCHEMES[scheme]["ground"]
    wanted = [int(ground[place : place + 2], 16) for place in (1, 3, 5)]
    for drawing in seen[width, scheme]:
        assert [int(number) for number in re.findall(r"\d+", drawing["ground"])] == wanted


@EVERY
def test_nobody_is_asked_for_anything(seen: Seen, width: int, scheme: str) -> None:
    assert {name for drawing in seen[width, scheme] for name in drawing["asked"]} == set()


@EVERY
def test_texts_keep_off_each_other_and_off_plots(seen: Seen, width: int, scheme: str) -> None:
    over = [
        (drawing["name"], one.get("text"), other.get("text"))
        for drawing in seen[width, scheme]
        for one, other in (
            *combinations(drawing["texts"], 2),
            *((text, plot) for text in drawing["texts"] for plot in drawing["plots"]),
        )
        if overlap(one, other)
    ]
    assert over == []


@EVERY
def test_texts_stay_on_their_sheet(seen: Seen, width: int, scheme: str) -> None:
    out = [
        (drawing["name"], text["text"])
        for drawing in seen[width, scheme]
        for text in drawing["texts"]
        if text["left"] < 4
        or text["right"] > min(width, drawing["sheet"]["right"]) - 4
        or not 0 <= text["top"] < text["bottom"] <= drawing["sheet"]["bottom"]
    ]
    assert out == []


def test_a_wide_sheet_has_its_plots_beside_the_text(seen: Seen) -> None:
    """A drawing of many rows is a good deal lower on a desk than on a telephone."""
    high = {
        width: {drawing["name"]: drawing["sheet"]["bottom"] for drawing in seen[width, "light"]}
        for width in WIDTHS
    }
    for name in DRAWN:
        most = 0.85 if name.endswith("balance.svg") else 1.0
        assert high[1024][name] <= most * high[320][name], name
