"""Each rule taken out by itself is missed: every rule, every measure and caution, every kind of slip.

The registry says what there is to try, and a rule or measure without a formula in which it speaks is
a failure. With the rule out of the registry, its findings are gone and all others stay; with the rows
of its measure out of the cupboard, the finding is gone.

For a kind of slip: a formula of the fixed set with that slip is not called sound, and is once the one
rule that sees it is gone.
"""

from __future__ import annotations

from functools import cache

import pytest

from schemas.formula import load
from service.domain.finding import Finding
from service.rules import registry
from service.rules.judging import Verdict, groups_of, verdict_of
from service.rules.registry import Rule, all_rules, run_rules
from service.tables.cupboard import Cupboard
from tests.rules.alone import ENTRIES, KINDS_ALONE, KITCHEN, SLIPPED, Alone
from tests.rules.hand import cupboard
from tests.rules.slips import KINDS, inject
from tests.rules.test_ranges import ends, weighed_at

#: kind of slip, the formula and line that it befalls, and the one rule (or two) that sees it there.
SLIPS = (
    ("spoons exchanged", "farmer-hot-water-sponge-cake", "¼ teaspoon lemon extract", "SLIP-06"),
    (
        "powder and soda exchanged",
        "farmer-hot-water-gingerbread",
        "1 teaspoon soda",
        "LEAVEN-08 SLIP-02",
    ),
    ("salt times ten", "farmer-cream-filling", "⅛ teaspoon salt", "SALT-02"),
    ("leavener dropped", "farmer-water-bread", "¼ yeast cake dissolved in", "LEAVEN-05 SLIP-08"),
    ("leavener dropped", "farmer-doughnuts-ii", "1¾ teaspoons soda", "LEAVEN-01 SLIP-08"),
    (
        "leavener dropped",
        "armed-forces-hermits",
        "3 1/4 teaspoons baking soda",
        "LEAVEN-01 LEAVEN-09 SLIP-09",
    ),
    ("sugar a third", "lowe-drop-cookie", "300 g sugar", "BAL-01"),
    ("sugar tripled", "farmer-squash-biscuits", "¼ cup sugar", "BAL-01"),
    ("flour halved", "farmer-water-bread", "6 cups sifted flour", "BAL-06 SLIP-04"),
    ("flour doubled", "farmer-rolled-oats-bread", "4½ cups flour", "BAL-06"),
    ("eggs tripled", "farmer-queen-of-muffins", "1 egg", "BAL-03"),
    ("liquid dropped", "farmer-third-bread", "2 cups lukewarm water", "BAL-06 SLIP-08 SLIP-09"),
    ("liquid dropped", "farmer-squash-biscuits", "½ cup scalded milk", "SLIP-08"),
    ("liquid doubled", "farmer-hot-water-sponge-cake", "⅜ cup hot water or milk", "BAL-11"),
    ("decimal moved up", "farmer-third-bread", "1 yeast cake", "YEAST-01 SLIP-03"),
    (
        "decimal moved down",
        "farmer-hot-water-gingerbread",
        "4 tablespoons melted butter",
        "SLIP-06 SLIP-07",
    ),
    ("decimal moved up", "farmer-cream-scones", "2 teaspoons sugar", "SLIP-06"),
    ("decimal moved up", "farmer-hot-water-sponge-cake", "¼ teaspoon lemon extract", "DOSE-01"),
    ("decimal moved down", "armed-forces-yellow", "250 g eggs", "SLIP-03"),
    ("flour doubled", "farmer-sponge-cake", "1 cup flour", "SLIP-04"),
    ("decimal moved down", "farmer-water-bread", "1 tablespoon butter", "SLIP-06"),
)


@pytest.fixture
def without(monkeypatch):
    """Take rules out of the registry, by their codes."""

    def take(*codes: str) -> None:
        left = tuple(each for each in all_rules() if each.code not in codes)
        monkeypatch.setattr(registry, "all_rules", lambda: left)

    return take


def verdict(document) -> str:
    groups = groups_of(KITCHEN.scales.weigh(load(document)), KITCHEN.cupboard, KITCHEN.measures)
    return verdict_of(Verdict(each, told_by, run_rules(each)) for each, told_by in groups)


def slipped(kind: str, formula_id: str, text: str):
    return next(s.document for s in inject(ENTRIES[formula_id]) if (s.kind, s.was) == (kind, text))


@pytest.mark.parametrize(("kind", "formula_id", "text", "codes"), SLIPS)
def test_slip_is_missed_once_its_rule_is_gone(kind, formula_id, text, codes, without):
    document = slipped(kind, formula_id, text)
    assert verdict(ENTRIES[formula_id]["formula"]) == "sound"
    assert verdict(document) != "sound"
    without(*codes.split())
    assert verdict(document) == "sound"


def test_every_kind_of_slip_is_tried():
    assert {kind for kind, *_ in SLIPS} == set(KINDS)


def kinds_of(rule: Rule) -> tuple[str, ...]:
    """What a rule tells apart: the measures of its rows, its cautions, or nothing."""
    if rule.source == "cautions":
        return tuple(row.key for row in cupboard().tables["cautions"] if row.trigger != "allergens")
    return tuple(dict.fromkeys(row.measure for row in cupboard().limits.get(rule.code, ()))) or ("",)


@cache
def cases() -> dict[tuple[str, str], Alone]:
    """Every rule and kind with a formula in which it speaks: made from a row by which the formula is
    judged (another style of its class may suit it better), or by hand."""
    found = dict(KINDS_ALONE)
    for end in ends():
        key = (end.rule, end.row.measure)
        if key not in found:
            outside = end.limit * (1 + 0.02 * end.outward)
            case = Alone(weighed_at(end.row, outside, outside, outside)[0])
            if any(is_of(each, *key) for each in found_in(case)):
                found[key] = case
    return found


def found_in(case: Alone, without_rows: tuple[str, str] | None = None) -> tuple[Finding, ...]:
    shelf = cupboard() if without_rows is None else cupboard_without(*without_rows)
    group, _ = groups_of(case.weighed, shelf, KITCHEN.measures, case.altitude)[case.group]
    return run_rules(group)


def cupboard_without(code: str, kind: str) -> Cupboard:
    """The cupboard without the rows by which a rule tells a kind."""
    table = TABLES_OF[RULES[code].source.partition(":")[0]]

    def stays(row) -> bool:
        if table == "cautions":
            return row.key != kind
        if table == "limits":
            return (row.rule, row.measure) != (code, kind)
        return table == "altitude" and row.rule != code

    held = cupboard().tables
    return Cupboard({**held, table: tuple(row for row in held[table] if stays(row))}, "less")


def is_of(finding: Finding, code: str, kind: str) -> bool:
    """Whether a finding is a rule's and tells a kind; one that rests on several rows names none."""
    if finding.rule != code or finding.limit is None:
        return finding.rule == code
    kinds = {row.code: row.measure for row in cupboard().limits.get(code, ())}
    return kinds.get(finding.limit, finding.limit if code == "CAUTION-01" else "") == kind


#: The table whose rows a rule stands on, by what its source names.
TABLES_OF = {
    "limits": "limits", "altitude": "altitude", "cautions": "cautions", "usual_amounts": "usual_amounts",
    "public_targets": "public_targets",
}  # fmt: skip
RULES = {rule.code: rule for rule in all_rules()}
EVERY = tuple((rule.code, kind) for rule in all_rules() for kind in kinds_of(rule))
BY_ROWS = tuple(key for key in EVERY if RULES[key[0]].source.partition(":")[0] in TABLES_OF)


def test_every_rule_and_every_measure_has_a_formula_in_which_it_speaks():
    assert set(EVERY) == set(cases())


@pytest.mark.parametrize(("code", "kind"), EVERY)
def test_it_is_missed_once_its_rule_is_gone(code, kind, without):
    case = cases()[code, kind]
    before = found_in(case)
    assert [each for each in before if is_of(each, code, kind)]
    without(code)
    assert found_in(case) == tuple(each for each in before if each.rule != code)


@pytest.mark.parametrize(("code", "kind"), BY_ROWS)
def test_it_is_missed_once_its_rows_are_gone(code, kind):
    case = cases()[code, kind]
    assert [each for each in found_in(case) if is_of(each, code, kind)]
    assert not [each for each in found_in(case, (code, kind)) if is_of(each, code, kind)]


@pytest.mark.parametrize("code", [code for code in SLIPPED if code < "SLIP-07"])
def test_slip_is_told_on_its_line(code):
    formula_id, was, _ = SLIPPED[code]
    texts = [each["text"] for each in ENTRIES[formula_id]["formula"]["components"][0]["ingredients"]]
    told = [each for each in found_in(cases()[code, ""]) if each.rule == code]
    assert [each.lines for each in told] == [(f"/components/0/ingredients/{texts.index(was)}",)]
