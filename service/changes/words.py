"""Parameters in words: what a query says, read into ``Changes``, every fault at once.

``PARAMETERS`` is the catalogue that the OpenAPI document shows; a value is taken when it fits its
parameter's ``pattern``, so that the document and the code cannot differ. Names that need the tables
(ingredients, units, egg grades, lines of the formula) are held against them where the change is
applied.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from fractions import Fraction
from typing import Any

from service.domain.changes import TARGETS, Amount, Changes, Choice, Have
from service.domain.faults import (
    LONGEST,
    do_not_fit,
    given_twice,
    not_understood,
    several_targets,
    unknown_value,
)
from service.domain.formula import SYSTEMS
from service.domain.quantity import VULGAR, Quantity, read_fraction
from service.errors import Fault

_VULGAR = "".join(glyph for glyph, value in VULGAR.items() if value)
#: An amount above zero and below a million: ``2``, ``2.5``, ``.5``, ``1/3``, ``2 1/4``, ``2¼``.
_AMOUNT = (
    r"(?:(?:[0-9]{1,6} )?[1-9][0-9]{0,5}/[1-9][0-9]{0,5}"
    rf"|(?:[0-9]{{1,6}} ?)?[{_VULGAR}]"
    r"|0{0,5}[1-9][0-9]{0,5}(?:\.[0-9]{1,6})?"
    r"|0?\.[0-9]{0,5}[1-9][0-9]{0,5})"
)
_SHARE = r"(?:0|0?\.[0-9]{1,6}|[0-9]{1,2}(?:\.[0-9]{1,4})?%)"
_UNIT = r"[A-Za-z\[][A-Za-z0-9_\[\]. -]{0,30}"
_NAME = r"[^:]{1,100}"
_LINE = r"/components/[0-9]{1,2}/ingredients/[0-9]{1,3}"
#: A height within the lowest layer of the standard atmosphere, whose formula is used.
_HEIGHT = r"(?:[0-9]{1,4}(?:\.[0-9]{1,2})? ?m|(?:[0-9]{1,4}|[12][0-9]{4}) ?ft)"

_SPLIT = re.compile(rf"({_AMOUNT}) ?({_UNIT})?")


def _amount_of(text: str) -> Fraction:
    """Read what fits the pattern of an amount."""
    value = read_fraction(f"0{text}" if text.startswith(".") else text)
    if value is None:
        raise ValueError(text)
    return value


def _with_unit(text: str) -> Amount:
    match = _SPLIT.fullmatch(text)
    if match is None:
        raise ValueError(text)
    return Amount(_amount_of(match[1]), (match[2] or "").strip())


def _height_of(text: str) -> Amount:
    unit = text.lstrip("0123456789. ")
    return Amount(Fraction(text.removesuffix(unit).strip()), unit)


def _share_of(text: str) -> Fraction:
    return Fraction(text[:-1]) / 100 if text.endswith("%") else Fraction(text)


def _choice_of(text: str) -> Choice:
    line, _, take = text.rpartition(":")
    component, position = re.findall(r"[0-9]+", line)
    pointer = f"/components/{int(component)}/ingredients/{int(position)}"
    return Choice(pointer, str(int(take)) if take.isdigit() else take)


def _swap_of(text: str) -> tuple[str, str]:
    before, _, after = text.partition(":")
    return before.strip(), after.strip()


def _have_of(text: str) -> Have:
    ingredient, _, amount = text.partition(":")
    at_hand = _with_unit(amount)
    return Have(ingredient.strip(), Quantity.of(at_hand.quantity), at_hand.unit)


@dataclass(frozen=True, slots=True)
class Form:
    """What the values of a parameter look like: a regular expression, the same in words, and what reads
    a text that fits it."""

    body: str
    says: str
    read: Callable[[str], Any]


AMOUNT = Form(_AMOUNT, "an amount above 0 and below 1,000,000, as a decimal or a fraction", _amount_of)
MEASURED = Form(rf"{_AMOUNT} ?{_UNIT}", "an amount above 0 with its unit", _with_unit)
SHARE = Form(_SHARE, "a share from 0 to below 1, or in percent below 100%", _share_of)
AT_HAND = Form(
    rf"{_NAME}:{_AMOUNT} ?(?:{_UNIT})?", "an ingredient, a colon and how much of it there is", _have_of
)
PAIR = Form(rf"{_NAME}:{_NAME}", "an ingredient, a colon and what goes in its place", _swap_of)
CHOICE = Form(
    rf"{_LINE}:(?:[0-9]{{1,3}}|with|without)",
    "a line's JSON Pointer, a colon, and the number of an alternative or with or without",
    _choice_of,
)
GRADE = Form("[a-z]{2}-[a-z0-9-]{1,20}", "a grade of eggs", str)
HEIGHT = Form(_HEIGHT, "a height in m (below 10000) or ft (below 30000)", _height_of)


@dataclass(frozen=True, slots=True)
class Parameter:
    """A parameter that every view takes: its ``name``, the ``form`` of its values, an ``example``, what
    it means, whether it may be given several times, and the only ``values`` where they are few."""

    name: str
    form: Form
    example: str
    meaning: str
    repeatable: bool = False
    values: tuple[str, ...] = ()

    @property
    def pattern(self) -> str:
        """Give the regular expression that a value fits, anchored at both ends."""
        return f"^{self.form.body}$"


def _word(name: str, values: tuple[str, ...], example: str, meaning: str) -> Parameter:
    """Describe a parameter of few values."""
    form = Form(f"(?:{'|'.join(values)})", f"one of {', '.join(values)}", str)
    return Parameter(name, form, example, meaning, values=values)


AS = ("mass", "volume")
ROUNDINGS = ("none", "scale", "kitchen")

#: Every parameter of the common changes, in the order in which they are applied.
PARAMETERS: tuple[Parameter, ...] = (
    Parameter(
        "choose", CHOICE, "/components/0/ingredients/2:1",
        "Which alternative of a line is taken (0 is the line's own), or whether an optional line is in"
        " (with) or out (without). The line is a JSON Pointer into the formula as given.",
        repeatable=True,
    ),
    Parameter(
        "swap", PAIR, "cake-flour:all-purpose-flour",
        "Put one ingredient in the place of another; what it disturbs is balanced anew.",
        repeatable=True,
    ),
    Parameter("factor", AMOUNT, "1/3", "Scale every amount by this factor."),
    Parameter("portions", AMOUNT, "24", "Scale to so many portions; the formula must say its own."),
    Parameter("pieces", AMOUNT, "40", "Scale to so many pieces; with piece_mass, of that mass each."),
    Parameter("piece_mass", MEASURED, "60g", "The mass of one finished piece; with pieces."),
    Parameter(
        "bake_loss", SHARE, "12%", "The share of its mass that a piece loses in the oven; with pieces."
    ),
    Parameter(
        "scrap", SHARE, "3%", "The share of what is mixed that does not become pieces; with pieces."
    ),
    Parameter("mass", MEASURED, "900g", "Scale to this mass of all lines together."),
    Parameter("flour", MEASURED, "500g", "Scale to this mass of flour."),
    Parameter(
        "have", AT_HAND, "egg:6",
        "Scale to what is at hand: an ingredient and how much of it, a count where no unit stands. Of"
        " several the scarcest decides.", repeatable=True,
    ),
    _word(
        "measures", SYSTEMS, "metric",
        "Write cups and spoons in these measures; each line keeps its mass.",
    ),
    _word(
        "as", AS, "mass",
        "Write every line as a mass (grams; ounces where measures asks for us, us-label or imperial),"
        " or every mass as cups and spoons.",
    ),
    Parameter(
        "egg_grade", GRADE, "eu-m", "Count eggs of this grade; each line keeps its mass of egg."
    ),
    Parameter(
        "altitude", HEIGHT, "1600m",
        "The height above the sea at which it is baked, in metres or feet (5280ft). Amounts stay; the"
        " formula is judged for that height, and its findings say what to adjust.",
    ),
    _word(
        "rounding", ROUNDINGS, "kitchen",
        "none; scale (to the steps of a scale, see resolution); kitchen (to spoons and cups that a"
        " kitchen has, whole eggs).",
    ),
    Parameter(
        "resolution", AMOUNT, "5",
        "The step of the scale in grams, finer for small amounts; with rounding=scale or kitchen.",
    ),
)  # fmt: skip

CATALOGUE: dict[str, Parameter] = {each.name: each for each in PARAMETERS}


#: Where a parameter's name is a word of the language that the code is written in.
_FIELD = {"as": "as_"}
#: Parameters that say something about another one, and which.
_BELONGS = {
    "piece_mass": "pieces", "bake_loss": "pieces", "scrap": "pieces", "resolution": "rounding",
}  # fmt: skip


def _unfit(parameter: Parameter, text: str) -> Fault:
    """Say what a value should have been."""
    if parameter.values:
        return unknown_value(parameter.name, text, parameter.values)
    return not_understood(parameter.name, text, parameter.form.says, parameter.example)


def _read_one(parameter: Parameter, texts: Sequence[str], faults: list[Fault]) -> list[Any]:
    """Read all values of one parameter; what does not fit goes to the faults."""
    if len(texts) > 1 and not parameter.repeatable:
        faults.append(given_twice(parameter.name, len(texts)))
    values = []
    for text in texts:
        if len(text) > LONGEST or not re.fullmatch(parameter.form.body, text):
            faults.append(_unfit(parameter, text))
        else:
            values.append(parameter.form.read(text))
    return values


def _together(given: Mapping[str, Sequence[str]]) -> list[Fault]:
    """Find parameters that do not go together, or that lack the one they belong to."""
    faults: list[Fault] = []
    targets = [name for name in TARGETS if given.get(name)]
    if len(targets) > 1:
        faults += several_targets(targets)
    for name, owner in _BELONGS.items():
        if given.get(name) and not given.get(owner):
            detail = f"{name} says nothing without {owner}."
            faults.append(Fault("needs-another", detail, parameter=name))
    if given.get("resolution") and list(given.get("rounding", ())) == ["none"]:
        detail = "resolution says nothing with rounding=none."
        faults.append(Fault("needs-another", detail, parameter="resolution"))
    return faults


def _contradictions(choices: Sequence[Choice]) -> list[Fault]:
    """Find lines for which two different choices of a kind are asked, or a choice and its absence."""
    faults = []
    takes: dict[str, set[str]] = {}
    for choice in choices:
        takes.setdefault(choice.line, set()).add(choice.take)
    for line, several in takes.items():
        indices = [take for take in several if take.isdigit()]
        if len(indices) > 1 or ("without" in several and len(several) > 1):
            said = ", ".join(sorted(several))
            faults.append(
                Fault("contradiction", f"{line}: {said} exclude each other.", parameter="choose")
            )
    return faults


def read_changes(words: Mapping[str, Sequence[str]]) -> Changes:
    """Read the common changes from a query.

    Shape: ``words`` maps a parameter's name to its values in the order given. Names that are not in
    ``PARAMETERS`` are the caller's own to take or to refuse. Raises: Invalid, with one fault a spot.
    """
    faults: list[Fault] = []
    fields: dict[str, Any] = {}
    for parameter in PARAMETERS:
        values = _read_one(parameter, words.get(parameter.name, ()), faults)
        if values:
            field = _FIELD.get(parameter.name, parameter.name)
            fields[field] = tuple(values) if parameter.repeatable else values[0]
    faults += _together(words)
    faults += _contradictions(fields.get("choose", ()))
    if faults:
        raise do_not_fit(faults)
    return Changes(**fields)
