"""The findings view: verdict, class, groups, the figures beside the findings."""

from __future__ import annotations

import dataclasses
import math

import pytest

from schemas.answers import document_of, to_bytes
from service.domain.formula import Component, Formula, Line
from service.errors import Invalid
from service.kitchen import open_kitchen
from service.views.findings import FindingsAnswer, FindingsParams, findings
from service.views.left_open import left_open
from service.views.registry import all_views
from service.views.work import Work

KITCHEN = open_kitchen()


def card(*texts, of_class=None, name="Test", method=()):
    lines = tuple(Line(text=text) for text in texts)
    component = Component(ingredients=lines, method=method)
    return Formula(name=name, components=(component,), product_class=of_class, measures="us")


def look(formula: Formula) -> FindingsAnswer:
    return findings(Work(KITCHEN, formula), FindingsParams())


#: Lowe, Experimental Cookery, Experiment 69, in grams.
LOWE_ANGEL = (
    "244 g egg whites",
    "250 g sugar",
    "100 g cake flour",
    "3.6 g cream of tartar",
    "1.5 g salt",
)
#: Hamelman's way: 100 flour, 65 water, 1.8 salt, 2 fresh yeast (craft practice; WSU 1.5 of salt).
PLAIN_LOAF = ("1000 g bread flour", "650 g water", "18 g salt", "20 g fresh yeast")


class TestVerdict:
    def test_standard_angel_is_sound(self):
        answer = look(card(*LOWE_ANGEL, of_class="angel"))
        assert answer.verdict == "sound", [f.message for f in answer.findings]

    def test_plain_loaf_is_sound(self):
        assert look(card(*PLAIN_LOAF, of_class="lean-bread")).verdict == "sound"

    def test_ten_times_the_salt_is_unsound(self):
        lines = [t.replace("18 g salt", "180 g salt") for t in PLAIN_LOAF]
        answer = look(card(*lines, of_class="lean-bread"))
        assert answer.verdict == "unsound"
        first = answer.findings[0]
        assert (first.severity, first.rule, first.lines) == (
            "error", "SALT-01", ("/components/0/ingredients/2",)
        )  # fmt: skip

    def test_dropped_yeast_asks_for_a_check(self):
        answer = look(card(*PLAIN_LOAF[:3], of_class="lean-bread"))
        assert answer.verdict == "check"
        assert "LEAVEN-05" in {f.rule for f in answer.findings}

    def test_unknown_ingredient_leaves_it_undetermined(self):
        answer = look(card(*LOWE_ANGEL, "100 ml moonlight", of_class="angel"))
        assert answer.verdict == "undetermined"
        assert not any(f.certain for f in answer.findings)

    def test_formula_without_a_class_is_undetermined(self):
        answer = look(card(*LOWE_ANGEL, name="Aunt Isolde"))
        assert (answer.verdict, answer.product_class, answer.class_told_by) == (
            "undetermined", None, "none"
        )  # fmt: skip

    def test_lines_left_to_the_cook_do_not_disturb(self):
        answer = look(card(*PLAIN_LOAF, "Flour for the board", of_class="lean-bread"))
        assert answer.verdict == "sound"


class TestClass:
    def test_stated_class_goes_before_every_word(self):
        answer = look(card(*LOWE_ANGEL, of_class="sponge", name="Angel Cake"))
        assert (answer.product_class, answer.class_told_by) == ("sponge", "stated")

    def test_title_tells_the_class(self):
        answer = look(card(*LOWE_ANGEL, name="Angel Cake"))
        assert (answer.product_class, answer.class_told_by) == ("angel", "title")

    def test_each_group_is_judged_by_its_own_class(self):
        cake = Component(name="Cake", role="batter", ingredients=tuple(Line(text=t) for t in LOWE_ANGEL))
        cream = Component(
            name="Pastry cream",
            role="filling",
            ingredients=(
                Line(text="500 g whole milk"),
                Line(text="125 g sugar"),
                Line(text="40 g cornstarch"),
                Line(text="90 g egg yolks"),
            ),
        )
        formula = Formula(name="Angel", components=(cake, cream), product_class="angel")
        answer = look(formula)
        assert [(g.of_class, g.class_told_by) for g in answer.groups] == [
            ("angel", "stated"),
            ("filling", "role"),
        ]
        fat = [m for m in answer.balance if m.measure == "yolk_pct"]
        assert all(m.measured.value == 0 for m in fat), "the filling's yolk is not the cake's"
        assert answer.verdict == "sound", [f.message for f in answer.findings]


class TestFigures:
    def test_leavening_states_what_it_counts_in(self):
        answer = look(
            card("250 g cake flour", "10 g baking powder", "240 g whole milk", of_class="muffin")
        )
        assert answer.leavening is not None
        powder = answer.leavening.powder_equivalent
        assert (powder.reference_co2_percent, powder.cup_of_flour_grams) == (12.0, 125.0)
        assert powder.per_100g_flour is not None
        assert powder.per_cup_of_flour is not None
        assert powder.per_100g_flour.value == pytest.approx(4.0, rel=0.001), (
            "10 g on 250 g, by definition"
        )
        assert powder.per_cup_of_flour.value == pytest.approx(5.0, rel=0.001), "125/100 of it"

    def test_gas_is_told_by_route_in_a_hundred_grams_of_batter(self):
        """4.6 g of soda with enough acid gives 1317 mL at 20 Cel (R T / P / 84.006, CODATA 2018; USDA
        SR 26: 4.6 g a teaspoon); the batter weighs 454.6 g."""
        answer = look(
            card("4.6 g soda", "50 g cream of tartar", "400 g all-purpose flour", of_class="scone")
        )
        assert answer.leavening is not None
        (route,) = answer.leavening.routes
        assert route.route == "acid-base"
        assert route.mmol.value == pytest.approx(4600 / 84.006, rel=0.001)
        assert route.millilitres_per_100g is not None
        assert route.millilitres_per_100g.value == pytest.approx(1317.2 / 4.546, rel=0.001)

    def test_both_cocoas_are_told_where_soda_meets_one(self):
        answer = look(
            card(
                "216 g cake flour", "4.6 g soda", "45 g cocoa", "300 g sugar", "180 g water",
                of_class="chiffon",
            )
        )  # fmt: skip
        assert answer.leavening is not None
        told = {
            each.ingredient: each.soda_left.grams_of_soda.value for each in answer.leavening.by_cocoa
        }
        source = "natural cocoa takes up 1 to 3.3 g of soda a 100 g (Jinap and Dimick 1990)"
        assert 0.4 < told["cocoa-alkalised"] - told["cocoa-natural"] < 1.5, source

    def test_air_and_steam_are_noted(self):
        answer = look(card(*LOWE_ANGEL, of_class="angel"))
        assert answer.leavening is not None
        assert answer.leavening.raised_by == ("foam", "steam"), (
            "Lowe, Experimental Cookery, Experiment 69"
        )

    def test_salt_of_a_loaf(self):
        """Bread: 18 g of salt on 1000 g of flour is 1.8 percent; sodium 18 x 22.990/58.44 = 7.08 g in
        1688 g of dough, 0.42 g in 100 g (IUPAC weights; flour and yeast bring a little)."""
        answer = look(card(*PLAIN_LOAF, of_class="lean-bread"))
        assert answer.salt is not None
        assert answer.salt.percent_of_flour is not None
        assert answer.salt.percent_of_flour.value == pytest.approx(1.8, rel=0.001)
        assert answer.salt.sodium_per_100g is not None
        assert answer.salt.sodium_per_100g.value == pytest.approx(420, rel=0.03)

    def test_balance_says_whether_each_measure_is_inside(self):
        answer = look(card(*LOWE_ANGEL, of_class="angel"))
        told = {m.measure: (m.measured.value, m.inside) for m in answer.balance}
        assert told["sugar_pct"] == (250.0, True), "Lowe, Experimental Cookery, Experiment 69"
        assert told["white_pct"] == (244.0, True)


class TestAnswer:
    def test_class_travels_by_its_own_name(self):
        document = document_of(look(card(*LOWE_ANGEL, of_class="angel")))
        assert document["class"] == "angel"
        assert "product_class" not in document
        assert to_bytes(document)

    def test_every_figure_is_finite_and_rounded(self):
        answer = look(
            card("2 cups flour", "1 cup buttermilk", "½ teaspoon soda", "1 egg", of_class="muffin")
        )

        def walk(value):
            if dataclasses.is_dataclass(value):
                for each in dataclasses.fields(value):
                    walk(getattr(value, each.name))
            elif isinstance(value, tuple):
                for each in value:
                    walk(each)
            elif isinstance(value, float):
                assert math.isfinite(value)
                assert value == round(value, 5)

        walk(answer)

    def test_findings_come_gravest_first(self):
        order = {"error": 0, "warning": 1, "note": 2}
        answer = look(card("100 g flour", "300 g sugar", "30 g salt", "40 g soda", of_class="muffin"))
        ranks = [order[f.severity] for f in answer.findings]
        assert ranks == sorted(ranks)
        assert len(ranks) > 2

    def test_every_finding_has_source_rule_and_group(self):
        answer = look(card("100 g flour", "300 g sugar", "30 g salt", "40 g soda", of_class="muffin"))
        for finding in answer.findings:
            assert finding.source
            assert finding.evidence
            assert finding.group == "baked"
            assert finding.certain or finding.settle

    def test_empty_formula_is_undetermined(self):
        answer = look(Formula(name="Nothing", components=(Component(),)))
        assert answer.verdict == "undetermined"
        assert answer.leavening is None

    def test_view_is_registered(self):
        assert all_views()["findings"].answer is FindingsAnswer


def test_market_that_is_none_is_refused_with_those_that_are():
    """Contract, section 5: the markets are eu, gb, us, ca, au-nz, jp and codex."""
    formula = Formula("Loaf", (Component(ingredients=(Line(text="1000 g bread flour"),)),), "lean-bread")
    with pytest.raises(Invalid) as refused:
        findings(Work(KITCHEN, formula), FindingsParams("uk"))
    (fault,) = refused.value.faults
    assert (fault.parameter, fault.code) == ("market", "unknown-market")
    assert "au-nz" in fault.detail


def test_target_of_the_market_asked_for_is_told_last():
    """PHE targets for 2024, bread and rolls: at most 1.01 g of salt in 100 g (from memory); 24 g of salt
    to 1000 g of flour and 640 of water are 1.4."""
    lines = ("1000 g bread flour", "640 g water", "20 g fresh yeast", "24 g salt")
    component = Component(ingredients=tuple(Line(text=text) for text in lines))
    work = Work(KITCHEN, Formula("Loaf", (component,), "lean-bread", "us"))
    assert "SALT-04" not in [each.rule for each in findings(work, FindingsParams()).findings]
    told = findings(work, FindingsParams("gb")).findings
    assert told[-1].limit == "salt-04/gb-bread"


class TestBeside:
    """A dough and a batter of two classes are two groups; each rises and is salted by itself."""

    PARTS = (
        ("dough", "lean-bread", ("500 g bread flour", "300 g water", "10 g salt", "10 g fresh yeast")),
        ("batter", "butter-cake", ("200 g cake flour", "200 g sugar", "100 g butter", "100 g egg",
                                   "100 g milk", "8 g baking powder", "2 g salt")),
        ("filling", None, ("500 g milk", "100 g sugar", "40 g cornstarch")),
    )  # fmt: skip

    def answer(self) -> FindingsAnswer:
        parts = tuple(
            Component(role=role, product_class=of, ingredients=tuple(Line(text=t) for t in texts))
            for role, of, texts in self.PARTS
        )
        return look(Formula(name="Cake in a bread coat", components=parts))

    def test_leavening_of_what_rises(self):
        answer = self.answer()
        assert answer.leavening is not None
        assert [route.route for route in answer.leavening.routes] == ["yeast"]
        (cake,) = answer.leavening_beside
        assert cake.group == "/components/1"
        assert [route.route for route in cake.routes] == ["powder"]
        assert cake.powder_equivalent.per_100g_flour is not None
        assert cake.powder_equivalent.per_100g_flour.value == pytest.approx(4, rel=0.001), "8 g on 200 g"

    def test_salt_of_each(self):
        answer = self.answer()
        assert answer.salt is not None
        assert answer.salt.percent_of_flour is not None
        assert answer.salt.percent_of_flour.value == pytest.approx(2), "10 g on 500 g"
        cake, custard = answer.salt_beside
        assert (cake.alone.value, custard.alone.value) == (2, 0)
        assert custard.sodium_milligrams.value == pytest.approx(215, rel=0.1), (
            "USDA SR Legacy, whole milk: 43 mg in 100 g"
        )


class TestAmmonia:
    """5 g of ammonium hydrogen carbonate of 79.055 g/mol: 63.247 mmol of carbon dioxide and as much of
    ammonia (IUPAC atomic weights); at 20 degrees 24.055 L/mol (ideal gas law), 1521.4 mL of each."""

    COOKIE = ("500 g flour", "250 g sugar", "150 g butter", "95 g water", "5 g baking ammonia")

    def test_carbon_dioxide_and_ammonia_stand_apart(self):
        answer = look(card(*self.COOKIE, of_class="rolled-cookie"))
        assert answer.leavening is not None
        (route,) = answer.leavening.routes
        assert route.route == "ammonia"
        assert route.mmol.value == pytest.approx(63.247, rel=1e-3)
        assert route.millilitres_per_100g is not None
        assert route.millilitres_per_100g.value == pytest.approx(152.14, rel=1e-3), "1000 g of dough"
        beside = answer.leavening.ammonia_gas
        assert beside is not None
        assert (beside.mmol.low, beside.mmol.value) == (0, pytest.approx(63.247, rel=1e-3))
        assert answer.leavening.co2_grams.value == pytest.approx(2.7834, rel=1e-3), "x 44.009"
        powder = answer.leavening.powder_equivalent.per_100g_flour
        assert powder is not None
        assert powder.value == pytest.approx(2.7834 / 0.12 / 5, rel=1e-3), "12 percent, on 500 g"

    def test_without_ammonium_there_is_none(self):
        answer = look(card(*PLAIN_LOAF, of_class="lean-bread"))
        assert answer.leavening is not None
        assert answer.leavening.ammonia_gas is None


class TestPercent:
    """Every amount in percent of flour and no target: ratios are told, at a gram for each percent."""

    MUFFIN = (
        "100% flour",
        "4% baking powder",
        "80% milk",
        "30% sugar",
        "20% butter",
        "20% egg",
        "1% salt",
    )

    def test_ratios_need_no_mass(self):
        """Arithmetic: 4 percent of a powder of 12 percent (US standard) is 4 g on 100 g of flour."""
        answer = look(card(*self.MUFFIN, of_class="muffin"))
        assert answer.per == "percent"
        assert answer.leavening is not None
        assert answer.salt is not None
        made = answer.leavening.powder_equivalent
        assert made.per_100g_flour is not None
        assert made.per_100g_flour.value == made.grams.value == pytest.approx(4, rel=0.001)
        assert answer.salt.alone.value == pytest.approx(1)
        assert answer.verdict == "sound", [f.message for f in answer.findings]

    def test_what_is_wrong_in_percent_is_told_without_a_change_in_grams(self):
        salted = (*self.MUFFIN[:-1], "10% salt")
        answer = look(card(*salted, of_class="muffin"))
        salt = next(each for each in answer.findings if each.rule == "SALT-01")
        assert salt.measured is not None
        assert salt.measured.value == pytest.approx(10, rel=0.01)
        assert {each.remedy for each in answer.findings} == {None}

    def test_percent_beside_a_mass_that_tells_no_flour_is_null(self):
        answer = look(card(*self.MUFFIN, "5 g vanilla extract", of_class="muffin"))
        assert answer.per == "unknown"
        assert (answer.leavening, answer.salt) == (None, None)
        assert answer.verdict == "undetermined"

    def test_a_mass_of_flour_makes_it_a_batch(self):
        answer = look(card("500 g flour", *self.MUFFIN[1:], of_class="muffin"))
        assert answer.per == "batch"
        assert answer.salt is not None
        assert answer.salt.alone.value == pytest.approx(5), "1 percent of 500 g"


class TestLeftToTheCook:
    """Common practice, no source: "salt to taste" is salt, of which nobody knows how much."""

    def test_salt_to_taste_is_not_known(self):
        answer = look(card("500 g bread flour", "300 g water", "10 g fresh yeast", "salt to taste",
                           of_class="lean-bread"))  # fmt: skip
        assert answer.salt is not None
        assert answer.salt.complete is False
        assert answer.leavening is not None
        assert answer.leavening.complete is True

    def test_yeast_as_needed_is_not_known(self):
        answer = look(
            card("500 g bread flour", "300 g water", "yeast", "10 g salt", of_class="lean-bread")
        )
        assert answer.leavening is not None
        assert answer.leavening.complete is False
        assert answer.salt is not None
        assert answer.salt.complete is True


@pytest.mark.parametrize(
    ("formula", "lines", "why", "settle"),
    [
        (card("2 cups flour", "1 cup milk"), (), "class", "Say the class"),
        (card("2 cups flour", "2 cups milk", name="Popovers"), (), "no class", "Say the class"),
        (card(*LOWE_ANGEL, "1 handful zorp", of_class="angel"), ("/components/0/ingredients/5",),
         "zorp", "name"),
        (card(*LOWE_ANGEL, "100 g zorp", of_class="angel"), ("/components/0/ingredients/5",),
         "zorp", "name"),
        (card("100% flour", "60% water", "1 egg", of_class="lean-bread"),
         ("/components/0/ingredients/0", "/components/0/ingredients/1"), "percent", "mass of flour"),
    ],
    ids=["no class told", "no class there is", "no mass", "unknown", "percent without flour"],
)  # fmt: skip
def test_undetermined_says_what_leaves_it_open(formula, lines, why, settle):
    """Contract, section 2: what is not known stays unknown, and is said."""
    answer = look(formula)
    assert answer.verdict == "undetermined"
    (said,) = answer.left_open
    assert said.lines == lines
    assert why in said.why
    assert settle in said.settle


def test_what_is_left_open_is_told_beside_an_error_and_not_where_all_is_known():
    assert look(card(*LOWE_ANGEL, of_class="angel")).left_open == ()
    loaf = look(
        card("1000 g bread flour", "650 g water", "180 g salt", "1 g zorp", of_class="lean-bread")
    )
    assert [said.lines for said in loaf.left_open] == [("/components/0/ingredients/3",)]


def test_formula_without_a_line_is_left_open():
    assert left_open(()) != ()
