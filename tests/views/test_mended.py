"""The view ``mended``: the formula as it is then written holds what the answer says of it.

Wanted values rest on the rules' own sources, named beside them; what a mended formula must be (found
sound, a valid body, the same words) is checked by asking the other views of it.
"""

from __future__ import annotations

import json
from dataclasses import replace
from fractions import Fraction
from pathlib import Path

import pytest

from schemas.answers import document_of
from schemas.formula import dump, load
from service.domain.changes import NO_CHANGES, Amount, Changes
from service.domain.finding import SEVERITIES, Finding
from service.domain.formula import Component, Formula, Line
from service.errors import Invalid
from service.kitchen import Kitchen, open_kitchen
from service.views.findings import FindingsAnswer, FindingsParams
from service.views.mended import MendedFormula, MendedParams
from service.views.registry import all_views
from service.views.work import Work
from tests.rules.slips import inject

VECTORS = Path(__file__).parents[1] / "vectors" / "sound_formulas.ndjson"
ENTRIES = [json.loads(line) for line in VECTORS.read_text("utf-8").splitlines() if line.strip()]
#: 18 g of salt on 1000 g of flour would be usual (1.5 to 2.4 percent: WSU bread method; Hamelman).
SALTY = ("1000 g bread flour", "650 g water", "180 g fine salt", "20 g fresh yeast")


@pytest.fixture(scope="module")
def kitchen() -> Kitchen:
    return open_kitchen()


def loaf(*lines: str, of_class: str = "lean-bread") -> Formula:
    ingredients = tuple(Line(text=line) for line in lines)
    return Formula("Siding Six Loaf", (Component(ingredients=ingredients),), of_class, "us")


def mend(
    kitchen: Kitchen, formula: Formula, *names: str, changes: Changes = NO_CHANGES
) -> MendedFormula:
    answer = all_views()["mended"].run(Work(kitchen, formula, changes), MendedParams(names))
    assert isinstance(answer, MendedFormula)
    return answer


def found(kitchen: Kitchen, formula: Formula) -> tuple[Finding, ...]:
    """What the view ``findings`` says of a formula that went out as JSON and came back."""
    answer = all_views()["findings"].run(Work(kitchen, load(dump(formula))), FindingsParams())
    assert isinstance(answer, FindingsAnswer)
    return answer.findings


def grades(findings: tuple[Finding, ...]) -> dict[tuple[str, str | None], int]:
    gravest: dict[tuple[str, str | None], int] = {}
    for each in findings:
        key, grade = (each.rule, each.limit), SEVERITIES.index(each.severity)
        gravest[key] = min(grade, gravest.get(key, grade))
    return gravest


def texts(formula: Formula) -> list[str | None]:
    return [line.text for component in formula.components for line in component.ingredients]


def test_a_named_remedy_is_applied_and_the_line_keeps_its_words(kitchen: Kitchen) -> None:
    answer = mend(kitchen, loaf(*SALTY), "SALT-01")
    (applied,) = answer.applied
    assert (applied.rule, applied.lines) == ("SALT-01", ("/components/0/ingredients/2",))
    flour, water, salt, yeast = texts(answer.formula)
    assert (flour, water, yeast) == (SALTY[0], SALTY[1], SALTY[3])
    assert salt is not None
    assert salt.endswith(" g fine salt")
    assert 15 <= float(salt.split()[0]) <= 24, "WSU bread method; Hamelman"
    assert (answer.verdict_before, answer.verdict_after) == ("unsound", "sound")


def test_drift_says_what_the_remedy_moved(kitchen: Kitchen) -> None:
    drift = mend(kitchen, loaf(*SALTY), "SALT-01").drift
    assert [line.asked for line in drift.lines] == [1000, 650, 180, 20]
    assert [line.got == line.asked for line in drift.lines] == [True, True, False, True]
    salt = next(each for each in drift.ratios if each.ratio == "salt/flour")
    assert salt.before is not None
    assert salt.after is not None
    assert salt.after < salt.before / 7, "180 g against 24 g at most"


def test_a_line_in_spoons_stays_in_spoons(kitchen: Kitchen) -> None:
    """USDA SR Legacy: 6 g of table salt a teaspoon, so that 5 tablespoons are some 90 g."""
    lines = ("500 g bread flour", "325 g water", "5 tablespoons salt", "10 g fresh yeast")
    text = texts(mend(kitchen, loaf(*lines), "SALT-01").formula)[2]
    assert text is not None
    assert any(word in text for word in ("tsp", "teaspoon", "tbsp", "tablespoon")), text


def test_what_is_missing_is_added_as_a_line(kitchen: Kitchen) -> None:
    answer = mend(kitchen, loaf("1000 g bread flour", "650 g water", "18 g salt"), "LEAVEN-05")
    assert len(texts(answer.formula)) == 4
    added = answer.formula.components[0].ingredients[3]
    assert added.ingredient is not None
    assert "yeast" in added.ingredient
    assert answer.applied[0].lines == ("/components/0/ingredients/3",)
    assert answer.drift.lines[3].asked is None


def test_without_names_all_that_go_together_are_applied(kitchen: Kitchen) -> None:
    lines = ("1000 g bread flour", "650 g water", "180 g fine salt")
    answer = mend(kitchen, loaf(*lines))
    assert {each.rule for each in answer.applied} >= {"LEAVEN-05"}
    assert "180 g fine salt" not in texts(answer.formula)
    assert len(texts(answer.formula)) == 4
    assert answer.verdict_after == "sound"
    assert all(each.reason for each in answer.left_out)


def test_a_remedy_of_the_same_line_is_left_out_and_said(kitchen: Kitchen) -> None:
    named = ("SALT-01", "SALT-04")
    answer = mend(kitchen, replace(loaf(*SALTY), measures="imperial"), *named)
    said = {each.rule for each in answer.applied} | {each.rule for each in answer.left_out}
    assert said == set(named)
    (left,) = answer.left_out
    assert left.reason in ("no-remedy", "same-line", "brings-another")


def test_a_limit_names_its_finding_too(kitchen: Kitchen) -> None:
    answer = mend(kitchen, loaf(*SALTY), "salt-01/lean-bread/salt_pct")
    assert [each.rule for each in answer.applied] == ["SALT-01"]


def test_a_rule_that_finds_nothing_is_said(kitchen: Kitchen) -> None:
    formula = loaf(*SALTY)
    answer = mend(kitchen, formula, "bal-01")
    assert [(each.rule, each.reason) for each in answer.left_out] == [("BAL-01", "not-found")]
    assert answer.formula == formula


def test_unknown_names_are_refused_each_with_a_suggestion(kitchen: Kitchen) -> None:
    with pytest.raises(Invalid) as refusal:
        mend(kitchen, loaf(*SALTY), "SALT-1", "nonsense")
    faults = refusal.value.faults
    assert [(each.code, each.parameter) for each in faults] == [("unknown-value", "remedy")] * 2
    assert "Did you mean SALT-01?" in faults[0].detail


def test_a_rule_that_finds_nothing_is_suggested_too(kitchen: Kitchen) -> None:
    with pytest.raises(Invalid) as refusal:
        mend(kitchen, loaf(*SALTY), "YEAST-1")
    assert "Did you mean YEAST-01?" in refusal.value.faults[0].detail


def test_a_limit_that_finds_nothing_is_told_as_a_rule_is(kitchen: Kitchen) -> None:
    """An archive asks the same of every record: a limit that one formula keeps is no wrong name."""
    answer = mend(kitchen, loaf(*SALTY), "salt-01/angel/salt_pct")
    assert [(each.rule, each.limit, each.reason) for each in answer.left_out] == [
        ("SALT-01", "salt-01/angel/salt_pct", "not-found")
    ]


def test_soda_written_for_powder_becomes_powder(kitchen: Kitchen) -> None:
    """Public-domain cookery: some 2 teaspoons of powder, 9 g, raise 2 cups of flour; as soda it is far
    too much."""
    lines = ("240 g all-purpose flour", "240 g whole milk", "50 g egg", "50 g granulated sugar",
             "30 g butter", "2 g salt", "10 g baking soda")  # fmt: skip
    answer = mend(kitchen, loaf(*lines, of_class="muffin"), "SLIP-02")
    assert texts(answer.formula)[6] == "10 g baking powder"
    assert answer.applied[0].says == "Take 10 g of baking powder instead of the baking soda."


#: A household yellow cake, its flour once without the slash, once in the wrong unit.
CAKE = ("1/2 cup butter", "1 cup sugar", "2 eggs", "{} flour", "2 tsp baking powder", "1/2 cup milk")


@pytest.mark.parametrize(
    ("written", "meant", "rule"), [("112 cups", 188.0, "SLIP-10"), ("1 1/2 g", 188.0, "SLIP-11")]
)
def test_a_misprint_is_mended_and_nothing_is_bent_to_it(
    kitchen: Kitchen, written: str, meant: float, rule: str
) -> None:
    """A cup of flour is 125 g (USDA household weights, all-purpose flour), so that 188 g was meant."""
    lines = [each.format(written) for each in CAKE]
    answer = mend(kitchen, loaf(*lines, of_class="butter-cake"))
    assert rule in {each.rule for each in answer.findings_before}
    assert [each.rule[:5] for each in answer.applied] == ["SLIP-"]
    assert answer.verdict_after == "sound"
    (drift,) = (each for each in answer.drift.lines if each.asked != each.got)
    assert drift.got == pytest.approx(meant, rel=0.01)
    told = [each.remedy for each in answer.findings_before if each.remedy is not None]
    assert {edit.pointer for each in told for edit in each.edits} == {"/components/0/ingredients/3"}


def test_a_sound_formula_comes_back_as_it_was(kitchen: Kitchen) -> None:
    formula = loaf("1000 g bread flour", "650 g water", "18 g salt", "20 g fresh yeast")
    answer = mend(kitchen, formula)
    assert answer.formula is formula
    assert (answer.applied, answer.left_out) == ((), ())


def test_changes_come_before_remedies(kitchen: Kitchen) -> None:
    answer = mend(kitchen, loaf(*SALTY), "SALT-01", changes=Changes(flour=Amount(Fraction(500), "g")))
    assert answer.drift.factor == "1/2"
    assert texts(answer.formula)[0] == "500 g bread flour"
    assert [line.asked for line in answer.drift.lines] == [500, 325, 90, 10]


def slipped() -> list[object]:
    """One slip in twenty-three, so that every kind and class comes by."""
    return [
        pytest.param(load(slip.document), id=f"{slip.formula_id}:{slip.kind}:{slip.line}")
        for place, entry in enumerate(ENTRIES)
        for turn, slip in enumerate(inject(entry))
        if (turn + place) % 23 == 0
    ]


@pytest.mark.parametrize("formula", slipped())
def test_mended_formula_is_found_as_the_answer_says(kitchen: Kitchen, formula: Formula) -> None:
    answer = mend(kitchen, formula)
    after = found(kitchen, answer.formula)
    assert grades(after) == grades(answer.findings_after)
    had = grades(answer.findings_before)
    assert all(grade >= had.get(key, len(SEVERITIES) + 1) for key, grade in grades(after).items())
    rules = {each.rule for each in after}
    assert not rules & {each.rule for each in answer.applied}
    told = {each.rule for each in answer.applied} | {each.rule for each in answer.left_out}
    assert told >= {each.rule for each in answer.findings_before if each.severity != "note"}
    assert document_of(answer)["formula"] == dump(answer.formula)


def test_a_formula_in_percent_is_found_as_the_findings_say(kitchen: Kitchen) -> None:
    """WSU bread method and Hamelman: 1.5 to 2.4 percent of salt. Nothing gives grams to change."""
    salty = loaf("100% bread flour", "65% water", "18% fine salt", "2% fresh yeast")
    answer = mend(kitchen, salty)
    assert answer.verdict_before == answer.verdict_after == "unsound"
    assert "SALT-01" in {each.rule for each in found(kitchen, salty)}
    assert "SALT-01" in {each.rule for each in answer.findings_after}
    assert answer.applied == ()
    assert answer.formula == salty
