"""Drawings: well-formed and self-contained, named for screen readers, true to the findings' figures.

Sources: XML 1.0 (W3C), section 2.2, the characters; SVG Accessibility API Mappings (W3C) and WAI-ARIA
1.2, ``img`` named by ``aria-labelledby``; WCAG 2.2, 1.4.1, colour is not the only means.
"""

from __future__ import annotations

import re
from collections import Counter
from dataclasses import replace
from pathlib import Path
from typing import Any
from xml.etree import ElementTree as ET

import pytest
from flask.testing import FlaskClient

from schemas.formula import load
from service.kitchen import Kitchen
from service.render.balance import draw_balance
from service.render.leavening import draw_leavening
from service.views.balance_svg import BalanceChart, balance_svg
from service.views.leavening_svg import LeaveningChart, leavening_svg
from service.views.registry import NoParams
from service.views.work import Work
from tests.render.wrong_cake import WRONG_CAKE

DEMO = sorted(path.stem for path in (Path(__file__).parents[2] / "deploy" / "demo").glob("*.json"))
VIEWS = ("balance.svg", "leavening.svg")
SVG = "{http://www.w3.org/2000/svg}"
#: A name that a page or a parser may stumble over, and what a reader then sees of it, where not itself.
HOSTILE = {
    "markup": ("<script>alert(1)</script>", None),
    "closing": ("]]></title></svg><svg onload=alert(1)>", None),
    "quotes": ("\"Tea's\" & 'buns' &amp; &#x0;", None),
    "control": ("Tea\x00\x07\x1b cake\x7f", "Tea��� cake\x7f"),
    "not-a-character": ("Tea￾￿ cake", "Tea�� cake"),
    "half-a-pair": ("Tea \ud800 cake", "Tea � cake"),
    "long-word": ("Wurst" * 80, None),
    "right-to-left": ("כעך דבש ‮ كعكة العسل", None),
    "stacked": ("Z" + "̴́" * 60 + " cake", None),
    "nothing": ("", None),
}  # fmt: skip


def parsed(drawn: bytes) -> ET.Element:
    return ET.fromstring(drawn)  # noqa: S314 - our own drawing


def drawing(client: FlaskClient, path: str, body: dict[str, Any] | None = None) -> ET.Element:
    response = client.post(path, json=body) if body else client.get(path)
    assert response.status_code == 200, response.text
    assert response.mimetype == "image/svg+xml"
    return parsed(response.data)


def texts(root: ET.Element, kind: str = "") -> list[str]:
    """Give the texts of a kind; what a narrow and a wide sheet break otherwise stands twice."""
    return [
        "".join(each.itertext())
        for each in root.iter(f"{SVG}text")
        if not kind or kind in each.attrib["class"].split()
    ]


def desc(root: ET.Element) -> str:
    found = root.find(f"{SVG}desc")
    assert found is not None
    return found.text or ""


def written(value: float) -> str:
    """Write three figures, as the drawings promise them, with a true minus (U+2212)."""
    return (f"{value:.3g}" if abs(value) < 999.5 else f"{value:.0f}").replace("-", "−")


@pytest.mark.parametrize("view", VIEWS)
@pytest.mark.parametrize("name", DEMO)
class TestDemoBook:
    def test_is_named_for_screen_readers(self, book: FlaskClient, name: str, view: str) -> None:
        root = drawing(book, f"/v1/formulas/{name}/{view}")
        assert (root.tag, root.attrib["role"]) == (f"{SVG}svg", "img")
        first, second, *_ = root
        assert (first.tag, second.tag) == (f"{SVG}title", f"{SVG}desc")
        assert root.attrib["aria-labelledby"].split() == [first.attrib["id"], second.attrib["id"]]
        formula = book.get(f"/v1/formulas/{name}").get_json()["formula"]
        assert formula["name"] in (first.text or "")
        assert second.text

    def test_asks_for_nothing_and_runs_nothing(self, book: FlaskClient, name: str, view: str) -> None:
        root = drawing(book, f"/v1/formulas/{name}/{view}")
        tags = {each.tag.removeprefix(SVG) for each in root.iter()}
        assert tags <= {
            "svg", "title", "desc", "style", "g", "defs", "use", "rect", "path", "text"
        }  # fmt: skip
        for each in root.iter():
            for attribute, value in each.attrib.items():
                assert not attribute.startswith("on")
                assert "href" not in attribute or value.startswith("#")
                assert "url(" not in value
        style = "".join(each.text or "" for each in root.iter(f"{SVG}style"))
        assert not re.search(r"url\(|@import|@font-face|https?:", style)

    def test_ids_are_each_once(self, book: FlaskClient, name: str, view: str) -> None:
        root = drawing(book, f"/v1/formulas/{name}/{view}")
        ids = Counter(each.attrib["id"] for each in root.iter() if "id" in each.attrib)
        assert set(ids.values()) == {1}
        used = [each.attrib["href"] for each in root.iter(f"{SVG}use")]
        assert {place.removeprefix("#") for place in used} <= ids.keys()


@pytest.mark.parametrize("name", [*DEMO, "wrong-cake"])
class TestFigures:
    def look(self, book: FlaskClient, name: str, view: str) -> Any:
        if name == "wrong-cake":
            return book.post(f"/v1/{view}", json=WRONG_CAKE)
        return book.get(f"/v1/formulas/{name}/{view}")

    def test_every_measure_is_drawn(self, book: FlaskClient, name: str) -> None:
        measures = self.look(book, name, "findings").get_json()["balance"]
        root = parsed(self.look(book, name, "balance.svg").data)
        values = [written(each["measured"]["value"]) for each in measures]
        assert measures
        assert texts(root, "value") == values
        said = desc(root)
        for each, value in zip(measures, values, strict=True):
            assert re.search(rf"{re.escape(each['says'])}: {re.escape(value)} ", said, re.IGNORECASE)
            for end in (each["low"], each["high"]):
                assert end is None or written(end) in said

    def test_a_state_has_a_shape_of_its_own(self, book: FlaskClient, name: str) -> None:
        measures = self.look(book, name, "findings").get_json()["balance"]
        root = parsed(self.look(book, name, "balance.svg").data)
        drawn = [each for each in root.iter(f"{SVG}path") if "halo" in each.attrib["class"].split()]
        marks = [each.attrib["d"] for each in drawn[: len(measures)]]
        by_state: dict[bool | None, set[str]] = {True: set(), False: set(), None: set()}
        for each, mark in zip(measures, marks, strict=True):
            by_state[each["inside"]].add(mark)
        inside, outside, doubt = by_state[True], by_state[False], by_state[None]
        assert len(inside | outside | doubt) == len(inside) + len(outside) + len(doubt)
        told = texts(root, "told-bad")
        assert len(told) == sum(each["inside"] is False for each in measures)
        assert set(told) <= {"above", "below"}

    def test_the_ledger_is_drawn(self, book: FlaskClient, name: str) -> None:
        ledger = self.look(book, name, "findings").get_json()["leavening"]
        root = parsed(self.look(book, name, "leavening.svg").data)
        said, seen = desc(root), " ".join(texts(root))
        for entry in ledger["entries"]:
            assert f": {written(entry['milliequivalents']['value'])}" in said
        if ledger["entries"]:
            for side in ("soda_left", "acid_left"):
                assert f"{written(ledger[side]['milliequivalents']['value'])} meq" in seen
        for route in ledger["routes"]:
            assert f"{written(route['mmol']['value'])} mmol" in seen


def charts(kitchen: Kitchen) -> tuple[BalanceChart, LeaveningChart]:
    work = Work(kitchen, load(WRONG_CAKE))
    return balance_svg(work, NoParams()), leavening_svg(work, NoParams())


@pytest.mark.parametrize("case", HOSTILE)
def test_a_hostile_name_is_only_a_name(kitchen: Kitchen, case: str) -> None:
    name, shown = HOSTILE[case]
    balance, leavening = charts(kitchen)
    names = dict.fromkeys(leavening.names, name)
    for drawn, what in (
        (draw_balance(replace(balance, name=name)), "Balance"),
        (draw_leavening(replace(leavening, name=name, names=names)), "Leavening"),
    ):
        root = parsed(drawn)
        title = root.find(f"{SVG}title")
        assert title is not None
        assert title.text == f"{what} of {name if shown is None else shown}"
        assert {each.tag.removeprefix(SVG) for each in root.iter()} <= {
            "svg", "title", "desc", "style", "g", "defs", "use", "rect", "path", "text"
        }  # fmt: skip
        assert not [key for each in root.iter() for key in each.attrib if key.startswith("on")]


def test_outside_is_said_in_words_and_shape(client: FlaskClient) -> None:
    root = drawing(client, "/v1/balance.svg", WRONG_CAKE)
    # 16 times the soda and salt, twice the sugar of a chocolate cake (by reading the card).
    assert "Sugar on flour" in desc(root)
    assert re.search(r"Sugar on flour: [^.]*(\.\d[^.]*)*: above\.", desc(root))
    assert re.search(r"Salt on flour: [^.]*(\.\d[^.]*)*: above\.", desc(root))


def test_height_is_said(book: FlaskClient) -> None:
    root = drawing(book, "/v1/formulas/up-and-down-line-cake/balance.svg?altitude=1600m")
    assert "at 1,600 m" in " ".join(texts(root, "subtitle"))


def test_style_touches_nothing_but_the_drawing(client: FlaskClient) -> None:
    """Inlined in a page, a style sheet reaches the whole page (SVG 2, section 6.2)."""
    root = drawing(client, "/v1/balance.svg", WRONG_CAKE)
    style = next(each.text or "" for each in root.iter(f"{SVG}style"))
    selectors = re.findall(r"([^{}]+)\{[^{}]*\}", re.sub(r"@media[^{]*\{", "", style))
    assert selectors
    assert all(each.strip().startswith(".sheet") for each in selectors), selectors


def test_style_reaches_what_is_used_twice(client: FlaskClient) -> None:
    """A ``use`` is a tree of its own: no selector looks out of it (SVG 2, section 5.6)."""
    root = drawing(client, "/v1/balance.svg", WRONG_CAKE)
    style = next(each.text or "" for each in root.iter(f"{SVG}style"))
    plots = [plot for defs in root.iter(f"{SVG}defs") for plot in defs]
    assert plots
    for plot in plots:
        kinds = {kind for each in plot.iter() for kind in each.attrib.get("class", "").split()}
        for kind in kinds - {plot.attrib["class"]}:
            assert f".{plot.attrib['class']} .{kind}{{" in style
