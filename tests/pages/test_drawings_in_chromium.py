"""Drawings as a real browser lays them out: nothing overlaps or leaves them, all can be read.

Sources: WCAG 2.2 (W3C), 1.4.3, contrast of 4.5 to 1, and its definitions of contrast ratio and relative
luminance; 1.4.10, a page 320 CSS pixels wide. A text of 11 pixels at least: common practice, no source.
"""

from __future__ import annotations

import re
from itertools import combinations
from pathlib import Path
from typing import Any

import pytest

from deploy.measure.load import fetch
from schemas.formula import load
from service.kitchen import Kitchen
from service.render.balance import draw_balance
from service.render.leavening import draw_leavening
from service.views.balance_svg import balance_svg
from service.views.leavening_svg import leavening_svg
from service.views.registry import NoParams
from service.views.work import Work
from tests.pages.framed import measured
from tests.render.wrong_cake import LOAF_AND_CAKE, WRONG_CAKE

DEMO = sorted(path.stem for path in (Path(__file__).parents[2] / "deploy" / "demo").glob("*.json"))
#: Boxes may touch: letters end above the line below.
TOUCH = 1.0
SMALLEST, CONTRAST = 11.0, 4.5
HARD_NAMES = ("Wurst" * 40, '<script>alert(1)</script> & "quotes"', "כעך דבש עם שקדים וגם תפוחים " * 3)


def _body(port: int, path: str) -> str:
    return fetch(port, path).partition(b"\r\n\r\n")[2].decode()


@pytest.fixture(scope="module")
def drawings(port: int, kitchen: Kitchen) -> dict[str, str]:
    """All drawings of the demo book from a server, and those of a wrong cake by hard names."""
    drawn = {
        f"{name}/{view}": _body(port, f"/v1/formulas/{name}/{view}")
        for name in DEMO
        for view in ("balance.svg", "leavening.svg", "balance.svg?altitude=1600m")
    }
    for place, name in enumerate((WRONG_CAKE["name"], *HARD_NAMES)):
        work = Work(kitchen, load({**WRONG_CAKE, "name": name}))
        drawn[f"wrong {place} balance"] = draw_balance(balance_svg(work, NoParams())).decode()
        drawn[f"wrong {place} leavening"] = draw_leavening(leavening_svg(work, NoParams())).decode()
    both = leavening_svg(Work(kitchen, load(LOAF_AND_CAKE)), NoParams())
    drawn["loaf and cake leavening"] = draw_leavening(both).decode()
    return drawn


@pytest.fixture(
    scope="module",
    params=[(width, scheme) for width in (320, 500, 1024) for scheme in ("light", "dark")],
    ids=lambda param: f"{param[0]}px-{param[1]}",
)
def seen(
    request: pytest.FixtureRequest, drawings: dict[str, str], tmp_path_factory: pytest.TempPathFactory
) -> dict[str, Any]:
    width, scheme = request.param
    found = measured(drawings, width, scheme, tmp_path_factory.mktemp("pages"))
    assert {(each["wide"], each["scheme"]) for each in found.values()} == {(width, scheme)}
    return found


def overlap(one: list[float], other: list[float]) -> bool:
    left, right = max(one[0], other[0]), min(one[2], other[2])
    top, bottom = max(one[1], other[1]), min(one[3], other[3])
    return right - left > TOUCH and bottom - top > TOUCH


def inside(box: list[float], sheet: list[float]) -> bool:
    low = box[0] >= sheet[0] and box[1] >= sheet[1]
    return low and box[2] <= sheet[2] and box[3] <= sheet[3]


def luminance(colour: str) -> float:
    """Relative luminance (WCAG 2.2)."""
    found = re.findall(r"[0-9.]+", colour)
    assert len(found) == 3, colour
    parts = [float(each) / 255 for each in found]
    linear = [c / 12.92 if c <= 0.04045 else ((c + 0.055) / 1.055) ** 2.4 for c in parts]
    return 0.2126 * linear[0] + 0.7152 * linear[1] + 0.0722 * linear[2]


def contrast(one: str, other: str) -> float:
    high, low = sorted((luminance(one), luminance(other)), reverse=True)
    return (high + 0.05) / (low + 0.05)


def test_contrast_is_reckoned_as_the_guideline_has_it() -> None:
    assert contrast("rgb(0, 0, 0)", "rgb(255, 255, 255)") == pytest.approx(21)  # WCAG 2.2: 1 to 21


def test_the_browser_sees_what_is_wrong(tmp_path: Path) -> None:
    """A drawing made wrong by hand: one text over another, one outside, small and pale."""
    wrong = (
        '<svg xmlns="http://www.w3.org/2000/svg" width="100%" height="60"><rect width="100%"'
        ' height="60" fill="#ffffff"/><text x="10" y="30">one</text>'
        '<text x="15" y="33" fill="#ccc">two</text>'
        '<text x="95%" y="50" font-size="9">far out to the right</text></svg>'
    )
    one, two, out = measured({"wrong": wrong}, 320, "light", tmp_path)["wrong"]["texts"]
    assert overlap(one["box"], two["box"])
    assert not overlap(one["box"], out["box"])
    assert not inside(out["box"], [0, 0, 320, 60])
    assert out["size"] < SMALLEST
    assert contrast(two["ink"], two["ground"]) < CONTRAST < contrast(one["ink"], one["ground"])


def test_no_text_overlaps_another(seen: dict[str, Any]) -> None:
    for name, each in seen.items():
        assert len(each["texts"]) > 4, name
        for one, other in combinations(each["texts"], 2):
            assert not overlap(one["box"], other["box"]), (name, one["text"], other["text"])


def test_no_text_lies_over_a_mark(seen: dict[str, Any]) -> None:
    for name, each in seen.items():
        assert each["shapes"], name
        for text in each["texts"]:
            for shape in each["shapes"]:
                assert not overlap(text["box"], shape), (name, text["text"])


def test_nothing_leaves_the_drawing(seen: dict[str, Any]) -> None:
    for name, each in seen.items():
        assert each["scroll"] <= each["wide"], name
        assert all(inside(shape, each["sheet"]) for shape in each["shapes"]), name
        for text in each["texts"]:
            assert inside(text["box"], each["sheet"]), (name, text["text"])


def test_text_is_large_enough(seen: dict[str, Any]) -> None:
    sizes = {text["size"] for each in seen.values() for text in each["texts"]}
    assert min(sizes) >= SMALLEST


def test_text_stands_out_from_its_ground(seen: dict[str, Any]) -> None:
    pairs = {(text["ink"], text["ground"]) for each in seen.values() for text in each["texts"]}
    assert len(pairs) > 3
    for ink, ground in sorted(pairs):
        assert contrast(ink, ground) >= CONTRAST, (ink, ground)
