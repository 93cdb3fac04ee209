"""The catalogues and the ingredients: the tables, whole, each entry with its source (contract, 4)."""

from __future__ import annotations

from flask.testing import FlaskClient

from service.domain.finding import SEVERITIES
from service.kitchen import Kitchen
from service.rules.judging import groups_of
from service.rules.registry import all_rules, run_rules
from tests.rules.alone import KINDS_ALONE, KITCHEN
from tests.rules.hand import cupboard


def test_catalogues_hold_every_row_and_its_source(client: FlaskClient, kitchen: Kitchen) -> None:
    cupboard = kitchen.cupboard
    units = client.get("/v1/units").get_json()["units"]
    assert [one["code"] for one in units] == sorted(cupboard.units)
    assert all(one["unit"]["source"] for one in units)
    classes = client.get("/v1/classes").get_json()["classes"]
    assert [one["code"] for one in classes] == sorted(cupboard.classes)
    assert all(limit["source"] for one in classes for limit in one["ranges"])
    rules = client.get("/v1/rules").get_json()["rules"]
    assert [one["code"] for one in rules] == [rule.code for rule in all_rules()]
    assert all(one["sources"] and one["says"] for one in rules)
    markets = client.get("/v1/markets").get_json()["markets"]
    assert [one["code"] for one in markets] == sorted(cupboard.markets)
    listed = sum(len(one["allergens"]) for one in markets)
    assert listed == len(cupboard.tables["market_allergens"])


def test_a_rule_is_listed_with_what_it_can_come_to(client: FlaskClient) -> None:
    """The contract's evidence: rows with memory or judgement (M, J) alone never carry an error."""
    rules = {one["code"]: one for one in client.get("/v1/rules").get_json()["rules"]}
    for one in rules.values():
        ends = [
            limit[f"severity_{side}"]
            for limit in one["limits"]
            for side in ("low", "high")
            if limit[side] is not None
        ]
        assert not ends or one["severity"] == min(ends, key=SEVERITIES.index), one["code"]
        for limit in one["limits"]:
            if not set(limit["evidence"]) & set("RGT"):
                assert "error" not in (limit["severity_low"], limit["severity_high"]), limit["code"]
    assert rules["STRUCT-03"]["severity"] == "note", "its rows are from memory, and note"
    assert rules["STRUCT-05"]["severity"] == "warning", "its rows warn"
    assert rules["STRUCT-01"]["severity"] == "error", "Lowe, Experiment 69, is read"
    listed = {limit["code"]: limit for one in rules.values() for limit in one["limits"]}
    classes = client.get("/v1/classes").get_json()["classes"]
    assert all(row == listed[row["code"]] for one in classes for row in one["ranges"])


def test_no_finding_is_graver_than_its_rule_is_listed(client: FlaskClient) -> None:
    """The formulas are those that each kind of rule finds fault with (see ``tests.rules.alone``)."""
    listed = client.get("/v1/rules").get_json()["rules"]
    worst = {one["code"]: SEVERITIES.index(one["severity"]) for one in listed}
    rows = {limit["code"]: limit for one in listed for limit in one["limits"]}
    seen = set()
    for case in KINDS_ALONE.values():
        judged = groups_of(case.weighed, cupboard(), KITCHEN.measures, case.altitude)[case.group][0]
        for finding in run_rules(judged):
            seen.add(finding.rule)
            assert SEVERITIES.index(finding.severity) >= worst[finding.rule], finding.rule
            row = rows.get(finding.limit or "")
            ends = (row["severity_low"], row["severity_high"]) if row else ("error",)
            assert SEVERITIES.index(finding.severity) >= min(map(SEVERITIES.index, filter(None, ends)))
    assert {"STRUCT-01", "STRUCT-03", "PAN-01", "SALT-01"} <= seen


def test_a_unit_has_its_published_size(client: FlaskClient) -> None:
    # NIST SP 811 (2008), Appendix B.8: cup (U.S.) 2.365 882 E-04 m³, tablespoon 1.478 676 E-05 m³;
    # ounce (avoirdupois) 2.834 952 E-02 kg.
    units = {one["code"]: one for one in client.get("/v1/units").get_json()["units"]}
    for code, base, size in (
        ("cup_us", "mL", 236.5882),
        ("tbsp_us", "mL", 14.78676),
        ("oz", "g", 28.34952),
    ):
        assert units[code]["base"] == base
        assert abs(units[code]["size"] - size) / size < 1e-6


def test_ingredients_page_through_the_whole_table(client: FlaskClient, kitchen: Kitchen) -> None:
    seen: list[str] = []
    path: str | None = "/v1/ingredients?limit=200"
    while path:
        response = client.get(path)
        seen += [one["code"] for one in response.get_json()["ingredients"]]
        link = response.headers.get("Link", "")
        path = link[1 : link.index(">")] if link else None
    assert seen == sorted(kitchen.cupboard.ingredients)


def test_ingredients_are_found_by_any_name_and_near_ones(client: FlaskClient) -> None:
    def found(words: str) -> list[tuple[str, str]]:
        listed = client.get("/v1/ingredients", query_string={"q": words}).get_json()["ingredients"]
        return [(one["code"], one["match"]) for one in listed]

    assert found("Confectioners’ Sugar")[0] == ("powdered-sugar", "exact")
    assert found("bicarbonate of soda")[0] == ("baking-soda", "exact")
    assert ("whole-wheat-flour", "near") in found("hole wheat flower")
    assert ("brown-sugar", "part") in found("brown")
    assert found("") == []
    assert found("xyzzy") == []


def test_found_ingredients_page_too(client: FlaskClient) -> None:
    whole = client.get("/v1/ingredients?q=sugar&limit=200").get_json()["ingredients"]
    seen: list[dict[str, object]] = []
    path: str | None = "/v1/ingredients?q=sugar&limit=3"
    while path:
        response = client.get(path)
        seen += response.get_json()["ingredients"]
        link = response.headers.get("Link", "")
        path = link[1 : link.index(">")] if link else None
    assert seen == whole


def test_ingredients_by_role_and_allergen(client: FlaskClient) -> None:
    yeasts = client.get("/v1/ingredients?role=yeast").get_json()["ingredients"]
    assert {"fresh-yeast", "instant-yeast"} <= {one["code"] for one in yeasts}
    assert {one["role"] for one in yeasts} == {"yeast"}
    milks = client.get("/v1/ingredients?allergen=milk&limit=200").get_json()["ingredients"]
    assert {"whole-milk", "butter-unsalted"} <= {one["code"] for one in milks}
    assert all("milk" in one["contains"] for one in milks)


def test_an_ingredient_comes_with_all_its_rows(client: FlaskClient) -> None:
    flour = client.get("/v1/ingredients/cake-flour").get_json()
    assert flour["ingredient"]["source"]
    assert {"cake flour"} <= {row["name"] for row in flour["names"]}
    assert flour["weights"]
    assert all(row["source"] for row in flour["weights"])
    assert flour["composition"]["ingredient"] == "cake-flour"
    assert "wheat" in flour["allergens"]["contains"]
    assert client.get("/v1/ingredients/baking-soda").get_json()["leavener"]["kind"] == "carbonate"


def test_health(client: FlaskClient) -> None:
    assert client.get("/healthz").get_json() == {"status": "alive"}
    ready = client.get("/readyz").get_json()
    assert ready["status"] == "ready"
    assert "ETag" not in client.get("/healthz").headers


def test_two_authorities_are_both_shown_and_the_one_taken_is_named(client: FlaskClient) -> None:
    """A teaspoon of dry yeast: 4 g by USDA SR Legacy, NDB 18375; 142 g a cup, so 2.96 g, by USDA Home
    Economics Research Report 41; 3.15 g by TM 10-412. Rank 1 is taken, the others widen the band."""
    shown = client.get("/v1/ingredients/active-dry-yeast").get_json()["weights"]
    spoons = sorted(
        (row["rank"], row["grams"]) for row in shown if (row["measure"], row["state"]) == ("tsp_us", "")
    )
    assert spoons == [(1, 4.0), (2, 2.96), (3, 3.15)]
    formula = {
        "name": "x", "measures": "us",
        "components": [{"ingredients": [{"text": "1 tsp active dry yeast"}]}],
    }  # fmt: skip
    [line] = client.post("/v1/weights", json=formula).get_json()["lines"]
    assert line["grams"] == 4.0
    assert line["low"] <= 2.96
    taken = next(row for row in shown if row["rank"] == 1 and row["measure"] == "tsp_us")
    assert line["basis"]["source"] == taken["source"]
    assert line["basis"]["row"] == "weights:active-dry-yeast/plain/tsp_us"
