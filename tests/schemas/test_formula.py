"""Formula documents: shape and bounds (contract, section 3), and what comes out goes back in."""

from __future__ import annotations

import json
from dataclasses import fields
from decimal import Decimal
from fractions import Fraction
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from marshmallow import ValidationError
from marshmallow import fields as fields_of

from schemas import formula as documents
from schemas.faults import faults_of
from schemas.fields import LOADING, Loading, Shape
from schemas.formula import dump, load
from schemas.json_in import read_json
from schemas.lines import AlternativeSchema, EquivalentSchema, Lines, LineSchema
from service.domain import formula as domain
from service.domain.formula import Formula, Line
from service.domain.quantity import Quantity, write_fraction
from service.domain.vocabulary import Vocabulary
from service.errors import Invalid

KINDS = {"cup": "volume", "g": "mass", "in": "length", "each": "count", "%": "percent", "mL": "volume"}
WORDS = Vocabulary(
    KINDS.get,
    {"volume": ("cup", "mL"), "mass": ("g",), "length": ("in",), "count": ("each",)},
    ("us-large", "eu-m"),
    ("wheat", "egg", "milk"),
)


def card(*lines: Any, **members: Any) -> dict[str, Any]:
    return {"name": "Signal cake", "components": [{"ingredients": list(lines)}], **members}


def faults(document: Any) -> list[tuple[str | None, str]]:
    with pytest.raises(Invalid) as refusal:
        load(document, WORDS)
    return [(fault.pointer, fault.code) for fault in refusal.value.faults]


LINE = "/components/0/ingredients/0"
EGG = {"text": "2 eggs"}

#: document, the place that is wrong, the code; the bounds are those of the contract's section 3.
REFUSED: list[tuple[Any, str, str]] = [
    ([], "", "type"),
    ("cake", "", "type"),
    ({}, "/name", "required"),
    ({}, "/components", "required"),
    (card(EGG, name=""), "/name", "blank"),
    (card(EGG, name="x" * 201), "/name", "too-long"),
    (card(EGG, name=None), "/name", "type"),
    (card(EGG, name=5), "/name", "type"),
    (card(EGG, **{"class": "sponeg"}), "/class", "unknown-value"),
    (card(EGG, product_class="sponge"), "/product_class", "unknown-member"),
    (card(EGG, measures="english"), "/measures", "unknown-value"),
    (card(EGG, handling="sieved"), "/handling", "unknown-value"),
    (card(EGG, egg_grade="us-huge"), "/egg_grade", "unknown-value"),
    (card(EGG, language="English!"), "/language", "format"),
    (card(), "/components", "too-few"),
    (card(EGG, components=[]), "/components", "too-few"),
    (card(EGG, components={}), "/components", "type"),
    (card(EGG, components=[{"ingredients": [EGG]}] * 65), "/components", "too-many"),
    (card(EGG, components=[{"ingredients": [EGG] * 128}, {"ingredients": [EGG] * 129}]),
     "/components", "too-many"),
    (card({"text": "x", "alternatives": [EGG] * 256}), "/components", "too-many"),
    (card(EGG, components=[{"ingredients": [EGG], "role": "dogh"}]), "/components/0/role",
     "unknown-value"),
    (card("2 eggs"), LINE, "type"),
    (card({}), LINE, "required"),
    (card({"quantity": 2, "unit": "cup"}), LINE, "required"),
    (card({"text": ""}), f"{LINE}/text", "blank"),
    (card({"text": "x" * 2001}), f"{LINE}/text", "too-long"),
    (card({**EGG, "quantity": 0}), f"{LINE}/quantity", "out-of-bounds"),
    (card({**EGG, "quantity": -1}), f"{LINE}/quantity", "out-of-bounds"),
    (card({**EGG, "quantity": 1_000_001}), f"{LINE}/quantity", "out-of-bounds"),
    (card({**EGG, "quantity": True}), f"{LINE}/quantity", "type"),
    (card({**EGG, "quantity": "two"}), f"{LINE}/quantity", "not-an-amount"),
    (card({**EGG, "quantity": "1/0"}), f"{LINE}/quantity", "not-an-amount"),
    (card({**EGG, "quantity": "1,00,0"}), f"{LINE}/quantity", "not-an-amount"),
    (card({**EGG, "quantity": {"low": 1}}), f"{LINE}/quantity/high", "required"),
    (card({**EGG, "quantity": {"low": 3, "high": 2}}), f"{LINE}/quantity", "upside-down"),
    (card({**EGG, "quantity": {"low": 1, "high": 2, "mid": 1}}), f"{LINE}/quantity/mid",
     "unknown-member"),
    (card({**EGG, "unit": "cupp"}), f"{LINE}/unit", "unknown-unit"),
    (card({**EGG, "unit": "in"}), f"{LINE}/unit", "unknown-unit"),
    (card({**EGG, "level": "heaping"}), f"{LINE}/level", "unknown-value"),
    (card({**EGG, "optional": "yes"}), f"{LINE}/optional", "type"),
    (card({**EGG, "optional": 1}), f"{LINE}/optional", "type"),
    (card({**EGG, "equivalent": {"quantity": 5}}), f"{LINE}/equivalent/unit", "required"),
    (card({**EGG, "alternatives": EGG}), f"{LINE}/alternatives", "type"),
    (card({**EGG, "alternatives": [{**EGG, "alternatives": [EGG]}]}),
     f"{LINE}/alternatives/0/alternatives", "unknown-member"),
    (card({**EGG, "contains": ["gluten?"]}), f"{LINE}/contains/0", "unknown-value"),
    (card({**EGG, "may_contain": "wheat"}), f"{LINE}/may_contain", "type"),
    (card({**EGG, "quantty": 2}), f"{LINE}/quantty", "unknown-member"),
    (card({**EGG, "a/b~c": 2}), f"{LINE}/a~1b~0c", "unknown-member"),
    (card(EGG, pans=[{"diameter": "9 in"}]), "/pans/0/shape", "required"),
    (card(EGG, pans=[{"shape": "round", "diameter": "9 cup"}]), "/pans/0/diameter", "unknown-unit"),
    (card(EGG, pans=[{"shape": "round", "diameter": {"value": 9}}]), "/pans/0/diameter/unit",
     "required"),
    (card(EGG, pans=[{"shape": "round", "count": 1.7}]), "/pans/0/count", "type"),
    (card(EGG, pans=[{"shape": "round", "count": "12"}]), "/pans/0/count", "type"),
    (card(EGG, pans=[{"shape": "round", "fill": "0.5"}]), "/pans/0/fill", "type"),
    (card(EGG, pans=[{"shape": "round", "fill": 1.01}]), "/pans/0/fill", "out-of-bounds"),
    (card(EGG, **{"yield": {"portions": 0}}), "/yield/portions", "out-of-bounds"),
    (card(EGG, yields={}), "/yields", "unknown-member"),
    (card(EGG, bake={"minutes": {"low": 30, "high": 20}}), "/bake/minutes", "upside-down"),
    (card(EGG, bake={"temperature": "350 K"}), "/bake/temperature", "not-a-temperature"),
    (card(EGG, bake={"temperature": {"low": 1, "high": 2, "unit": "K"}}), "/bake/temperature/unit",
     "unknown-value"),
    (card(EGG, components=[None]), "/components/0", "type"),
    (card(None), LINE, "type"),
    (card(EGG, pans=[None]), "/pans/0", "type"),
    (card(EGG, tags=["x", None]), "/tags/1", "type"),
    (card(EGG, tags=["x", 5]), "/tags/1", "type"),
    (card(EGG, based_on={"formula": "No Slug"}), "/based_on/formula", "format"),
]  # fmt: skip


@pytest.mark.parametrize(("document", "pointer", "code"), REFUSED)
def test_refuses_at_the_spot(document: Any, pointer: str, code: str) -> None:
    assert (pointer, code) in faults(document)


def test_tells_every_fault_at_once() -> None:
    found = faults(
        {
            "name": "",
            "components": [{"ingredients": [{"text": "x", "unit": "cupp", "levle": "level"}, {}]}],
            "pans": [{"shape": "ring"}],
            "yeild": {},
        }
    )
    assert sorted(found, key=str) == sorted(
        [
            ("/name", "blank"),
            (f"{LINE}/unit", "unknown-unit"),
            (f"{LINE}/levle", "unknown-member"),
            ("/components/0/ingredients/1", "required"),
            ("/pans/0/shape", "unknown-value"),
            ("/yeild", "unknown-member"),
        ],
        key=str,
    )


@pytest.mark.parametrize(
    ("document", "near"),
    [
        (card(EGG, yeild={}), "yield"),
        (card({**EGG, "unit": "cupp"}), "cup"),
        (card(EGG, **{"class": "sponeg"}), "sponge"),
        (card({**EGG, "contains": ["whaet"]}), "wheat"),
        (card({**EGG, "quantty": 2}), "quantity"),
    ],
)
def test_names_the_nearest_known_word(document: Any, near: str) -> None:
    with pytest.raises(Invalid) as refusal:
        load(document, WORDS)
    assert f"Did you mean {near}" in refusal.value.faults[0].detail


def test_looks_for_near_words_only_so_often() -> None:
    many = card(*({"text": "x", "unit": f"cupp{n}"} for n in range(250)))
    with pytest.raises(Invalid) as refusal:
        load(many, WORDS)
    assert len(refusal.value.faults) == 250
    assert sum("Did you mean" in fault.detail for fault in refusal.value.faults) <= 24


#: What people write, and the exact amount; by the meaning of the signs (Unicode, Number Forms).
AMOUNTS = [
    (2, Fraction(2)),
    (Decimal("0.1"), Fraction(1, 10)),
    (0.1, Fraction(1, 10)),
    (Decimal("0.3333333333333333"), Fraction(1, 3)),
    ("2 1/4", Fraction(9, 4)),
    ("2¼", Fraction(9, 4)),
    ("1½", Fraction(3, 2)),
    ("¾", Fraction(3, 4)),
    ("1.5", Fraction(3, 2)),
    ("1,5", Fraction(3, 2)),
    ("1,000", Fraction(1000)),
    ("1,250.5", Fraction(2501, 2)),
    (1_000_000, Fraction(1_000_000)),
]


@pytest.mark.parametrize(("written", "amount"), AMOUNTS)
def test_reads_amounts_exactly(written: Any, amount: Fraction) -> None:
    formula = load(card({"ingredient": "sugar", "quantity": written}))
    assert formula.components[0].ingredients[0].quantity == Quantity(amount, amount)


def test_a_comma_before_three_digits_follows_the_language_and_is_said() -> None:
    # Contract, section 3: it groups thousands in English and is a decimal comma elsewhere.
    english = card({"ingredient": "sugar", "quantity": "1,000", "unit": "g"})
    german = {**english, "language": "de"}
    assert load(english).components[0].ingredients[0].quantity == Quantity.of(1000)
    assert load(german).components[0].ingredients[0].quantity == Quantity.of(1)
    assert [(a.code, a.line, a.value) for a in documents.commas_assumed(english)] == [
        ("comma-groups", LINE, "1000")
    ]
    assert [a.code for a in documents.commas_assumed(german)] == ["comma-decimal"]
    assert documents.commas_assumed(card({"ingredient": "sugar", "quantity": "1,5"})) == ()


@pytest.mark.parametrize(
    ("written", "value", "unit"),
    [
        ("9 in", Fraction(9), "in"),
        ("9in", Fraction(9), "in"),
        ("8 1/2 in", Fraction(17, 2), "in"),
        ("23 cm", Fraction(23), "cm"),
        ({"value": "8½", "unit": "in"}, Fraction(17, 2), "in"),
    ],
)
def test_reads_dimensions(written: Any, value: Fraction, unit: str) -> None:
    pan = load(card(EGG, pans=[{"shape": "round", "diameter": written}])).pans[0]
    assert pan.diameter == domain.Dimension(Quantity.of(value), unit)


@pytest.mark.parametrize(
    "written",
    [
        "350 °F",
        "350 F",
        "350F",
        {"value": 350, "unit": "[degF]"},
        {"low": 350, "high": 350, "unit": "F"},
    ],
)
def test_reads_temperatures(written: Any) -> None:
    bake = load(card(EGG, bake={"temperature": written})).bake
    assert bake is not None
    assert bake.temperature == domain.Range(350.0, 350.0, "[degF]")


def test_writes_lowest_terms_and_leaves_out_what_is_not_stated() -> None:
    written = card(
        {"text": "sugar", "quantity": "2.25", "unit": "cup", "state": ["sifted"]},
        {"ingredient": "milk", "quantity": {"low": 2, "high": "6/2"}, "contains": []},
        notes=[],
    )
    assert dump(load(written)) == card(
        {"text": "sugar", "quantity": "2 1/4", "unit": "cup", "state": "sifted"},
        {"ingredient": "milk", "quantity": {"low": "2", "high": "3"}, "contains": []},
    )


@pytest.mark.parametrize(
    ("shape", "mirror"),
    [
        (Line, LineSchema),
        (domain.Component, documents.ComponentSchema),
        (domain.Pan, documents.PanSchema),
        (domain.Yield, documents.YieldSchema),
        (domain.Bake, documents.BakeSchema),
        (domain.Range, documents.TemperatureSchema),
        (domain.BasedOn, documents.BasedOnSchema),
        (domain.Equivalent, EquivalentSchema),
        (Formula, documents.FormulaSchema),
    ],
    ids=lambda each: each.__name__,
)
def test_schemas_mirror_the_domain(shape: type, mirror: Any) -> None:
    assert {f.name for f in fields(shape)} == set(mirror().fields)  # type: ignore[arg-type]
    renamed = {f.name: f.metadata["name"] for f in fields(shape) if "name" in f.metadata}  # type: ignore[arg-type]
    assert renamed == {n: f.data_key for n, f in mirror().fields.items() if f.data_key}


# -- the list of lines by hand, against the schema in marshmallow's words --

good_amounts = st.one_of(
    st.integers(1, 10**6),
    st.fractions(Fraction(1, 1000), 1000, max_denominator=1000).map(write_fraction),
    st.sampled_from(["2¼", "¾", "1,000", "1.5"]),
    st.fixed_dictionaries({"low": st.integers(1, 3), "high": st.sampled_from([3, "4 1/2"])}),
)
text = st.sampled_from(["2 eggs", "1 cup flour", "x"])
members: dict[str, st.SearchStrategy[Any]] = {
    "text": text,
    "ingredient": text,
    "quantity": good_amounts,
    "unit": st.sampled_from(["cup", "g", "%", "each"]),
    "level": st.sampled_from(domain.LEVELS),
    "state": st.sampled_from(["sifted", "cooked+mashed", ["sifted"]]),
    "part": st.just("white"),
    "equivalent": st.fixed_dictionaries({"quantity": good_amounts, "unit": st.just("g")}),
    "note": text,
    "contains": st.lists(st.sampled_from(["wheat", "egg"]), max_size=2),
    "may_contain": st.lists(st.just("milk"), max_size=1),
    "declaration_complete": st.booleans(),
}
junk = st.sampled_from(
    [None, 0, -1, True, 1.5, "", " ", "zz", [], {}, [5], {"low": 3, "high": 1}, "1/0"]
)
alternative = st.fixed_dictionaries({}, optional=members)
spoiled = {name: st.one_of(good, good, good, junk) for name, good in members.items()}
line = st.one_of(
    st.fixed_dictionaries(
        {},
        optional={
            **members,
            "optional": st.booleans(),
            "alternatives": st.lists(alternative, max_size=2),
        },
    ),
    st.fixed_dictionaries(
        {},
        optional={
            **spoiled,
            "optional": junk,
            "alternatives": st.one_of(junk, st.lists(st.one_of(alternative, junk), max_size=2)),
            "levle": junk,
        },
    ),
    junk,
)


class InFull(Shape):
    lines = fields_of.List(fields_of.Nested(LineSchema))


def outcome(read: Any, value: Any) -> Any:
    token = LOADING.set(Loading(WORDS))
    try:
        return read(value)
    except ValidationError as error:
        at = "" if isinstance(value, dict) else "/lines"
        return set(faults_of(error.messages, at))
    finally:
        LOADING.reset(token)


@settings(max_examples=400)
@given(st.lists(line, max_size=4))
def test_lines_by_hand_agree_with_the_schema(lines: list[Any]) -> None:
    by_hand = outcome(Lines().deserialize, lines)
    in_full = outcome(InFull().load, {"lines": lines})
    if isinstance(by_hand, set):
        assert by_hand == in_full
    else:
        assert {"lines": list(by_hand)} == in_full


def test_alternatives_have_every_member_of_a_line_but_two() -> None:
    assert set(LineSchema().fields) - set(AlternativeSchema().fields) == {"optional", "alternatives"}


@given(st.lists(alternative.filter(lambda a: "text" in a or "ingredient" in a), min_size=1, max_size=5))
def test_what_comes_out_goes_back_in(lines: list[Any]) -> None:
    formula = load(card(*lines), WORDS)
    document = dump(formula)
    again = read_json(json.dumps(document).encode())
    assert load(again, WORDS) == formula
    assert dump(load(again, WORDS)) == document
