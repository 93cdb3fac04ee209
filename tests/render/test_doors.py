"""The drawings through their three doors: the media type, the tag, and the same data as JSON."""

from __future__ import annotations

import json
from pathlib import Path

import pytest
from flask.testing import FlaskClient

from service.render.registry import SVG, Rendering, renderings_of, renders

VIEWS = ("balance.svg", "leavening.svg")
CAKE = "up-and-down-line-cake"
DEMO = Path(__file__).parents[2] / "deploy" / "demo"
DOCUMENT = json.loads((DEMO / f"{CAKE}.json").read_text("utf-8"))
#: What a browser asks for: a page that is opened, and a picture in a page.
OPENED = "text/html,application/xhtml+xml,application/xml;q=0.9,image/avif,image/webp,*/*;q=0.8"
PICTURE = "image/avif,image/webp,image/apng,image/svg+xml,image/*,*/*;q=0.8"


@pytest.mark.parametrize("view", VIEWS)
def test_all_doors_draw_the_same(book: FlaskClient, view: str) -> None:
    current = book.get(f"/v1/formulas/{CAKE}/{view}")
    version = book.get(f"/v1/formulas/{CAKE}/versions/1/{view}")
    body = book.post(f"/v1/{view}", json=DOCUMENT)
    assert current.get_data() == version.get_data() == body.get_data()
    assert {each.mimetype for each in (current, version, body)} == {SVG}


@pytest.mark.parametrize("view", VIEWS)
@pytest.mark.parametrize(
    ("accept", "query", "media"),
    [
        (None, "", SVG), ("*/*", "", SVG), (PICTURE, "", SVG), (OPENED, "", SVG), (SVG, "", SVG),
        ("application/json", "", "application/json"), (None, "?format=json", "application/json"),
        ("application/json", "?format=svg", SVG), ("application/json;q=0.5, image/*", "", SVG),
    ],
)  # fmt: skip
def test_media_type(book: FlaskClient, view: str, accept: str | None, query: str, media: str) -> None:
    headers = {} if accept is None else {"Accept": accept}
    response = book.get(f"/v1/formulas/{CAKE}/{view}{query}", headers=headers)
    assert response.status_code == 200
    assert response.mimetype == media
    assert "Accept" in response.headers["Vary"]


@pytest.mark.parametrize("view", VIEWS)
def test_a_kind_that_is_not_offered_is_refused(book: FlaskClient, view: str) -> None:
    assert book.get(f"/v1/formulas/{CAKE}/{view}", headers={"Accept": "text/csv"}).status_code == 406
    assert book.get(f"/v1/formulas/{CAKE}/{view}?format=csv").status_code == 422


@pytest.mark.parametrize("view", VIEWS)
def test_tags(book: FlaskClient, view: str) -> None:
    """RFC 9110, 8.8.3: another representation or other parameters have another tag."""
    path = f"/v1/formulas/{CAKE}/{view}"
    tags = [book.get(path + query).headers["ETag"] for query in ("", "?format=json", "?altitude=2000m")]
    assert len(set(tags)) == 3
    known = book.get(path, headers={"If-None-Match": tags[0]})
    assert known.status_code == 304
    assert known.get_data() == b""


@pytest.mark.parametrize("view", VIEWS)
def test_a_drawing_is_kept_from_doing_anything(book: FlaskClient, view: str) -> None:
    response = book.get(f"/v1/formulas/{CAKE}/{view}")
    assert "default-src 'none'" in response.headers["Content-Security-Policy"]
    assert "script-src" not in response.headers["Content-Security-Policy"]


def test_other_views_stay_as_they_are(book: FlaskClient) -> None:
    assert book.get(f"/v1/formulas/{CAKE}/findings").mimetype == "application/json"
    assert renderings_of("findings") == {}


def test_a_view_is_drawn_once_a_media_type() -> None:
    known: Rendering = renderings_of("balance.svg")[SVG]
    with pytest.raises(ValueError, match="twice"):
        renders("balance.svg", SVG)(known.draw)


def test_a_formula_in_percent_of_flour_is_drawn_by_its_ratios(book: FlaskClient) -> None:
    """Definition of baker's percentage: ratios need no mass, so that the same formula in grams, ten for
    each percent, is drawn the same."""
    percents = {"flour": 100, "baking powder": 4, "milk": 80, "sugar": 30, "salt": 1}

    def balance(unit: str, times: int) -> dict[str, tuple[float, bool]]:
        lines = [{"text": f"{share * times}{unit} {name}"} for name, share in percents.items()]
        document = {"name": "Plain", "class": "muffin", "components": [{"ingredients": lines}]}
        chart = book.post("/v1/balance.svg?format=json", json=document).get_json()
        (group,) = chart["groups"]
        return {
            each["measure"]: (each["measured"]["value"], each["inside"]) for each in group["measures"]
        }

    in_percent = balance("%", 1)
    assert in_percent["sugar_pct"] == (30.0, True)
    assert in_percent == balance(" g", 10)
