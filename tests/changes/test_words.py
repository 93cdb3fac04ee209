"""Parameters in words: what is taken, what is refused, every fault at once."""

from __future__ import annotations

import re
from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from service.changes.words import PARAMETERS, Parameter, read_changes
from service.domain.changes import Amount, Changes, Choice, Have
from service.domain.quantity import Quantity
from service.errors import Fault, Invalid


def faults_of(**words: list[str]) -> list[tuple[str | None, str]]:
    with pytest.raises(Invalid) as refusal:
        read_changes({name.rstrip("_"): values for name, values in words.items()})
    return [(fault.parameter, fault.code) for fault in refusal.value.faults]


# The expected values are what the words say (contract, section 5, "Parameters in words").
@pytest.mark.parametrize(
    ("words", "expected"),
    [
        ({}, Changes()),
        ({"factor": ["1/3"]}, Changes(factor=Fraction(1, 3))),
        ({"factor": ["2 1/4"]}, Changes(factor=Fraction(9, 4))),
        ({"factor": ["2¼"]}, Changes(factor=Fraction(9, 4))),
        ({"factor": ["1.5"]}, Changes(factor=Fraction(3, 2))),
        ({"factor": [".5"]}, Changes(factor=Fraction(1, 2))),
        ({"portions": ["24"]}, Changes(portions=Fraction(24))),
        ({"mass": ["900g"]}, Changes(mass=Amount(Fraction(900), "g"))),
        ({"mass": ["2 1/2 lb"]}, Changes(mass=Amount(Fraction(5, 2), "lb"))),
        ({"flour": ["0.5kg"]}, Changes(flour=Amount(Fraction(1, 2), "kg"))),
        (
            {"pieces": ["40"], "piece_mass": ["60g"], "bake_loss": ["12%"], "scrap": ["0.03"]},
            Changes(
                pieces=Fraction(40), piece_mass=Amount(Fraction(60), "g"),
                bake_loss=Fraction(12, 100), scrap=Fraction(3, 100),
            ),
        ),
        (
            {"have": ["egg:6", "cake-flour:500g", "egg-white:1cup"]},
            Changes(have=(
                Have("egg", Quantity.of(6), ""), Have("cake-flour", Quantity.of(500), "g"),
                Have("egg-white", Quantity.of(1), "cup"),
            )),
        ),
        (
            {"choose": ["/components/0/ingredients/2:1", "/components/0/ingredients/3:without"]},
            Changes(choose=(
                Choice("/components/0/ingredients/2", "1"),
                Choice("/components/0/ingredients/3", "without"),
            )),
        ),
        ({"swap": ["butter:oil"]}, Changes(swap=(("butter", "oil"),))),
        ({"as": ["mass"], "measures": ["us-label"]}, Changes(as_="mass", measures="us-label")),
        ({"egg_grade": ["eu-m"]}, Changes(egg_grade="eu-m")),
        (
            {"rounding": ["scale"], "resolution": ["0.5"]},
            Changes(rounding="scale", resolution=Fraction(1, 2)),
        ),
        ({"market": ["eu"], "format": ["json"]}, Changes()),
    ],
)  # fmt: skip
def test_reads(words: dict[str, list[str]], expected: Changes) -> None:
    assert read_changes(words) == expected


@pytest.mark.parametrize(
    ("name", "value"),
    [
        ("factor", "0"), ("factor", "-2"), ("factor", "1/0"), ("factor", "two"), ("factor", ""),
        ("factor", "1e3"), ("factor", "NaN"), ("factor", "1000000"), ("factor", "0/5"),
        ("mass", "900"), ("mass", "g"), ("mass", "900:g"), ("flour", "0g"),
        ("choose", "0:1"), ("choose", "/components/0/ingredients/0:maybe"), ("have", "egg"),
        ("have", ":6"), ("swap", "butter"), ("egg_grade", "M"), ("portions", "9" * 300),
    ],
)  # fmt: skip
def test_refuses(name: str, value: str) -> None:
    assert faults_of(**{name: [value]}) == [(name, "not-understood")]


def test_shares_are_below_one() -> None:
    assert faults_of(pieces=["4"], bake_loss=["1"], scrap=["100%"]) == [
        ("bake_loss", "not-understood"),
        ("scrap", "not-understood"),
    ]


def test_suggests_the_nearest_value() -> None:
    with pytest.raises(Invalid) as refusal:
        read_changes({"measures": ["metrics"], "rounding": ["kitchn"]})
    details = {fault.parameter: fault.detail for fault in refusal.value.faults}
    assert details["measures"].endswith("Did you mean metric?")
    assert details["rounding"].endswith("Did you mean kitchen?")


@pytest.mark.parametrize(
    ("name", "value", "taken"),
    [
        ("portions", "-3", "24"), ("factor", "1e9", "1/3"), ("mass", "900", "900g"),
        ("bake_loss", "120%", "12%"), ("have", "egg", "egg:6"), ("altitude", "12", "1600m"),
    ],
)  # fmt: skip
def test_a_refusal_names_the_parameter_what_was_given_and_what_is_taken(
    name: str, value: str, taken: str
) -> None:
    with pytest.raises(Invalid) as refusal:
        read_changes({name: [value], "pieces": ["4"]})
    detail = next(fault.detail for fault in refusal.value.faults if fault.parameter == name)
    assert detail.startswith(f"{name} is {value!r}; it takes ")
    assert detail.endswith(f", such as {taken}.")


def test_names_every_target_where_several_are_given() -> None:
    faults = faults_of(factor=["2"], mass=["900g"], have=["egg:2"])
    assert faults == [(name, "several-targets") for name in ("factor", "mass", "have")]


def test_tells_all_faults_at_once() -> None:
    faults = faults_of(factor=["x"], measures=["uk"], resolution=["1"], as_=["mass", "volume"])
    assert faults == [
        ("factor", "not-understood"),
        ("measures", "unknown-value"),
        ("as", "given-twice"),
        ("resolution", "needs-another"),
    ]


def test_what_belongs_to_pieces_says_nothing_alone() -> None:
    assert faults_of(piece_mass=["60g"], scrap=["2%"]) == [
        ("piece_mass", "needs-another"),
        ("scrap", "needs-another"),
    ]


def test_choices_that_contradict_each_other() -> None:
    line = "/components/0/ingredients/0"
    assert faults_of(choose=[f"{line}:0", f"{line}:1"]) == [("choose", "contradiction")]
    assert faults_of(choose=[f"{line}:with", f"{line}:without"]) == [("choose", "contradiction")]
    assert len(read_changes({"choose": [f"{line}:1", f"{line}:with"]}).choose) == 2


@pytest.mark.parametrize("parameter", PARAMETERS, ids=lambda each: each.name)
def test_every_example_fits_its_pattern(parameter: Parameter) -> None:
    assert re.search(parameter.pattern, parameter.example)
    assert parameter.meaning.endswith(".")


@given(st.sampled_from(PARAMETERS), st.data())
def test_what_the_pattern_says_is_taken(parameter: Parameter, data: st.DataObject) -> None:
    """The published pattern is a promise: a value that fits it is never refused for its form."""
    value = data.draw(st.from_regex(parameter.pattern, fullmatch=True))
    owners = {"piece_mass": "pieces", "bake_loss": "pieces", "scrap": "pieces"}
    words = {parameter.name: [value.rstrip("\n")]}
    if parameter.name in owners:
        words["pieces"] = ["4"]
    if parameter.name == "resolution":
        words["rounding"] = ["scale"]
    assert read_changes(words) != Changes()


@given(st.text(max_size=30))
def test_any_text_is_read_or_refused(text: str) -> None:
    for parameter in PARAMETERS:
        faults: tuple[Fault, ...] = ()
        try:
            read_changes({parameter.name: [text]})
        except Invalid as refusal:
            faults = refusal.faults
        assert all(fault.parameter == parameter.name for fault in faults)
