"""Every remedy that is offered, applied to the formula and weighed anew: it clears and adds nothing.

The formulas are the fixed set of printed ones and slips injected into them (``slips``).
"""

from __future__ import annotations

import json
from dataclasses import replace
from fractions import Fraction
from pathlib import Path

import pytest

from schemas.formula import load
from service.domain.finding import SEVERITIES, Edit, Finding, Remedy
from service.domain.formula import Formula, Line
from service.domain.quantity import Quantity
from service.kitchen import open_kitchen
from service.rules.candidates import added_changes
from service.rules.judging import judge, verdict_of
from tests.rules.hand import a_formula, judged
from tests.rules.slips import inject

KITCHEN = open_kitchen()
VECTORS = Path(__file__).parents[1] / "vectors" / "sound_formulas.ndjson"
ENTRIES = [json.loads(line) for line in VECTORS.read_text("utf-8").splitlines() if line.strip()]


def look(formula: Formula) -> tuple[Finding, ...]:
    verdicts = judge(KITCHEN.scales.weigh(formula), KITCHEN.cupboard, KITCHEN.measures)
    return tuple(finding for each in verdicts for finding in each.findings)


def applied(formula: Formula, remedy: Remedy) -> Formula:
    for edit in remedy.edits:
        formula = with_edit(formula, edit)
    return formula


def with_edit(formula: Formula, edit: Edit) -> Formula:
    """Weigh the edited line out in grams, keeping what else the line says."""
    component = formula.components[edit.component]
    lines = list(component.ingredients)
    grams = Quantity.of(Fraction(str(edit.grams)))
    if edit.pointer is None:
        lines.append(Line(ingredient=edit.ingredient, quantity=grams, unit="g"))
    else:
        place = int(edit.pointer.rpartition("/")[2])
        weighed, *_ = KITCHEN.scales.weigh_line(lines[place])
        state = weighed.line.state
        lines[place] = Line(ingredient=edit.ingredient, quantity=grams, unit="g", state=state)
    components = list(formula.components)
    components[edit.component] = replace(component, ingredients=tuple(lines))
    return replace(formula, components=tuple(components))


def grades(findings: tuple[Finding, ...]) -> dict[tuple[str, str | None], int]:
    gravest: dict[tuple[str, str | None], int] = {}
    for f in findings:
        key, grade = (f.rule, f.limit), SEVERITIES.index(f.severity)
        gravest[key] = min(grade, gravest.get(key, grade))
    return gravest


def slipped():
    """One slip in twenty, so that every kind and class comes by."""
    for place, entry in enumerate(ENTRIES):
        for turn, slip in enumerate(inject(entry)):
            if (turn + place) % 20 == 0:
                yield pytest.param(load(slip.document), id=f"{slip.formula_id}:{slip.kind}:{slip.line}")


SOUND = [pytest.param(load(entry["formula"]), id=entry["id"]) for entry in ENTRIES]


@pytest.mark.parametrize("formula", [*SOUND, *slipped()])
def test_remedy_clears_its_finding_and_adds_no_other(formula):
    before = look(formula)
    had = grades(before)
    for finding in before:
        if finding.remedy is None:
            continue
        after = look(applied(formula, finding.remedy))
        assert finding.rule not in {f.rule for f in after}, finding.remedy.says
        for key, grade in grades(after).items():
            assert key in had, (finding.rule, finding.remedy.says, key)
            assert grade >= had[key], (finding.rule, finding.remedy.says, key)


def test_most_errors_and_warnings_carry_a_remedy():
    loud = [f for param in slipped() for f in look(param.values[0]) if f.severity != "note"]
    assert sum(f.remedy is not None for f in loud) >= 0.8 * len(loud)


def test_ten_times_the_salt_is_told_to_be_cut():
    lines = ("1000 g bread flour", "650 g water", "180 g salt", "20 g fresh yeast")
    formula = Formula(
        name="Loaf",
        product_class="lean-bread",
        components=(replace(load(ENTRIES[0]["formula"]).components[0],
                            ingredients=tuple(Line(text=t) for t in lines)),),
    )  # fmt: skip
    salt = [f for f in look(formula) if f.rule == "SALT-01"]
    assert salt
    assert salt[0].remedy is not None
    (edit,) = salt[0].remedy.edits
    assert edit.pointer == "/components/0/ingredients/2"
    assert 15 <= edit.grams <= 24, "1.5 to 2.4 percent: WSU bread method, Hamelman"


def a_batter(of_class: str, *lines: str) -> Formula:
    component = replace(
        load(ENTRIES[0]["formula"]).components[0], ingredients=tuple(Line(text=t) for t in lines)
    )
    return Formula(name="Batch", product_class=of_class, measures="us", components=(component,))


def test_an_odd_amount_is_told_in_grams():
    """NIST: a cup is 236.6 mL, so that 2 2/5 cups of water are 568 g; no set of cups has fifths."""
    formula = a_batter(
        "lean-bread", "1000 g bread flour", "2 2/5 cups water", "18 g salt", "20 g fresh yeast"
    )
    (odd,) = [f for f in look(formula) if f.rule == "SLIP-06"]
    assert odd.remedy is not None
    (edit,) = odd.remedy.edits
    assert edit.pointer == "/components/0/ingredients/1"
    assert edit.grams == pytest.approx(568, abs=3)


def test_an_odd_amount_that_is_wrong_is_not_told_again_in_grams():
    """Farmer, Boston Cooking-School Cook Book, and bread of its kind: 1.5 to 2.4 percent of salt; five
    teaspoons, 30 g by USDA SR Legacy, are 4 percent of 750 g of flour."""
    formula = a_batter(
        "enriched-bread", "750 g bread flour", "488 g whole milk", "25 g granulated sugar",
        "26 g shortening", "9 g active dry yeast", "5 teaspoons salt",
    )  # fmt: skip
    told = {f.rule: f for f in look(formula)}
    assert told["SALT-01"].severity != "note"
    odd = told["SLIP-06"]
    assert odd.remedy is not None
    (edit,) = odd.remedy.edits
    assert edit.grams < 24


def test_two_odd_amounts_are_told_in_grams_each():
    """As above: fifths of a cup, and none of a tablespoon; USDA SR Legacy, butter 227 g a cup."""
    formula = a_batter(
        "lean-bread", "1000 g bread flour", "2 2/5 cups water", "1/10 cup butter", "18 g salt",
        "20 g fresh yeast",
    )  # fmt: skip
    odd = [f for f in look(formula) if f.rule == "SLIP-06"]
    assert [f.lines[0][-1] for f in odd] == ["1", "2"]
    remedies = [f.remedy for f in odd if f.remedy is not None]
    assert [edit.grams for each in remedies for edit in each.edits] == pytest.approx([568, 22.7], abs=3)


def test_too_much_of_a_spice_is_told_to_be_cut():
    """Lincoln, Boston Cook Book: a saltspoon of spice, some 0.5 g, to a loaf of 700 to 900 g; ten
    grams of clove are twenty times that."""
    formula = a_batter(
        "butter-cake", "200 g cake flour", "180 g granulated sugar", "90 g butter", "100 g egg",
        "120 g whole milk", "7 g baking powder", "2 g salt", "10 g ground cloves",
    )  # fmt: skip
    (dose,) = [f for f in look(formula) if f.rule == "DOSE-01"]
    assert dose.remedy is not None
    (edit,) = dose.remedy.edits
    assert edit.pointer == "/components/0/ingredients/7"
    assert 0 < edit.grams < 5


def test_of_several_remedies_the_one_that_moves_least_is_told():
    """Ten times the salt: cutting it moves some 160 g; flour to match it would move 8 kg."""
    formula = a_batter(
        "lean-bread", "1000 g bread flour", "650 g water", "180 g salt", "20 g fresh yeast"
    )
    for finding in look(formula):
        if finding.rule in ("SALT-01", "DOSE-01"):
            assert finding.remedy is not None
            assert [edit.ingredient for edit in finding.remedy.edits] == ["table-salt"]


def test_dropped_powder_is_told_to_be_added():
    entry = next(e for e in ENTRIES if e["id"] == "lowe-plain-cake")
    formula = load(entry["formula"])
    component = formula.components[0]
    kept = tuple(line for line in component.ingredients if "powder" not in (line.text or ""))
    assert len(kept) == len(component.ingredients) - 1
    findings = look(replace(formula, components=(replace(component, ingredients=kept),)))
    missing = [f for f in findings if f.rule == "LEAVEN-05"]
    assert missing
    assert missing[0].remedy is not None
    assert missing[0].remedy.edits[0].ingredient == "baking-powder"


@pytest.mark.parametrize(
    ("was", "now", "rule"),
    [
        ("18 g salt", "180 g salt", "SLIP-03"),
        ("650 g water", "1950 g water", "SLIP-04"),
        ("1000 g bread flour", "2000 g bread flour", "SLIP-04"),
    ],
)
def test_likeliest_slip_is_named_with_its_line(was, now, rule):
    lines = ["1000 g bread flour", "650 g water", "18 g salt", "20 g fresh yeast"]
    place = lines.index(was)
    lines[place] = now
    formula = Formula(
        name="Loaf",
        product_class="lean-bread",
        components=(replace(load(ENTRIES[0]["formula"]).components[0],
                            ingredients=tuple(Line(text=t) for t in lines)),),
    )  # fmt: skip
    slips = [f for f in look(formula) if f.rule.startswith("SLIP")]
    assert [(f.rule, f.lines) for f in slips] == [(rule, (f"/components/0/ingredients/{place}",))]


def test_spoons_exchanged_are_named():
    """USDA SR Legacy: a teaspoon of baking powder is 4.6 g, a tablespoon 13.8 g."""
    formula = Formula(
        name="Biscuits",
        product_class="scone",
        measures="us",
        components=(replace(load(ENTRIES[0]["formula"]).components[0], ingredients=tuple(
            Line(text=t) for t in ("240 g flour", "3 tablespoons baking powder", "60 g shortening",
                                   "180 g whole milk", "4 g salt"))),),
    )  # fmt: skip
    assert {f.rule for f in look(formula)} >= {"SLIP-01"}


def test_sound_formula_has_no_slip():
    lines = ("1000 g bread flour", "650 g water", "18 g salt", "20 g fresh yeast")
    formula = Formula(
        name="Loaf",
        product_class="lean-bread",
        components=(replace(load(ENTRIES[0]["formula"]).components[0],
                            ingredients=tuple(Line(text=t) for t in lines)),),
    )  # fmt: skip
    findings = look(formula)
    assert not [f for f in findings if f.rule.startswith("SLIP")]
    verdicts = judge(KITCHEN.scales.weigh(formula), KITCHEN.cupboard, KITCHEN.measures)
    assert verdict_of(verdicts) == "sound"


def test_soda_is_offered_only_where_something_asks_for_it():
    """Common practice, no source: powder raises a batter of sweet milk; soda wants an acid."""
    plain = {"all-purpose-flour": 250.0, "granulated-sugar": 60.0, "egg": 50.0, "whole-milk": 240.0,
             "butter-unsalted": 60.0, "table-salt": 3.0}  # fmt: skip
    for milk, asked in (("whole-milk", False), ("buttermilk", True)):
        grams = {milk if code == "whole-milk" else code: each for code, each in plain.items()}
        group = judged(a_formula(grams, of_class="muffin"))
        added = {move.ingredient for change in added_changes(group) for move in change.moves}
        assert ("baking-soda" in added) is asked
        assert "baking-powder" in added
