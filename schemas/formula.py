"""Formula documents: shape and bounds on the way in, lowest terms on the way out.

``load`` gives the domain's ``Formula`` or refuses with every fault at once; ``dump`` writes one back
with what it does not state left out. Shape and bounds: contract, section 3. What needs two fields or
the trade's knowledge is no business of a schema.
"""

from __future__ import annotations

from typing import Any

from marshmallow import Schema, ValidationError, fields, post_load, validates_schema

from schemas.amounts import (
    Amount,
    Size,
    comma_meaning,
    read_amount,
    write_dimension,
    write_number,
    write_quantity,
    write_range,
)
from schemas.faults import faults_of
from schemas.fields import (
    LOADING,
    LONGEST_SLUG,
    MESSAGES,
    SLUG,
    Loading,
    Number,
    Shape,
    Text,
    Whole,
    Word,
    read_word,
    refuse,
)
from schemas.json_in import Json
from schemas.lines import Lines, write_line
from service.domain.formula import (
    CLASSES,
    COOLINGS,
    HANDLINGS,
    LONGEST_NAME,
    MOST_COMPONENTS,
    MOST_LINES,
    OVENS,
    PREPARATIONS,
    ROLES,
    SHAPES,
    SYSTEMS,
    Bake,
    BasedOn,
    Component,
    Formula,
    Pan,
    Range,
    Yield,
    pointer_of,
)
from service.domain.quantity import LARGEST, write_fraction
from service.domain.vocabulary import Vocabulary
from service.domain.weighed import Assumption
from service.errors import Invalid

LANGUAGE = r"^[A-Za-z]{2,3}(?:-[A-Za-z0-9]{1,8})*$"
#: A step of a method or a note: only the body's own bound holds it.
LONGEST_STEP = 1 << 20
MOST_PANS = 64
MOST_TAGS = 64
TEMPERATURES = {
    "Cel": "Cel", "°C": "Cel", "C": "Cel", "celsius": "Cel",
    "[degF]": "[degF]", "°F": "[degF]", "F": "[degF]", "fahrenheit": "[degF]", "gas": "gas",
}  # fmt: skip


class Several(fields.List[Any]):
    """A list that comes out as a tuple, with bounds on its length."""

    def __init__(self, inner: Any, most: int | None = None, least: int = 0, **kwargs: Any) -> None:
        super().__init__(inner, **kwargs)
        self.most, self.least = most, least

    def _deserialize(self, value: Any, attr: str | None, data: Any, **kwargs: Any) -> Any:
        if not isinstance(value, list):
            raise ValidationError(MESSAGES["invalid"])
        if self.most is not None and len(value) > self.most:
            raise refuse("too-many", f"At most {self.most} entries are allowed.")
        if len(value) < self.least:
            raise refuse("too-few", f"At least {self.least} is needed.")
        return tuple(super()._deserialize(value, attr, data, **kwargs))


class EggGrade(fields.String):
    """An egg grade of the tables."""

    def _deserialize(self, value: Any, attr: str | None, data: Any, **kwargs: Any) -> str:
        vocabulary = LOADING.get().vocabulary
        return read_word(value, vocabulary.egg_grades if vocabulary else (str(value),))


def _in_order(data: dict[str, Any], **_: Any) -> None:
    if data["low"] > data["high"]:
        raise refuse("upside-down", "The low end lies above the high end.")


class MinutesSchema(Shape):
    """A range of minutes."""

    low = Number(over=0, most=float(LARGEST), required=True)
    high = Number(over=0, most=float(LARGEST), required=True)

    @validates_schema
    def _ends(self, data: dict[str, Any], **_: Any) -> None:
        _in_order(data)

    @post_load
    def _made(self, data: dict[str, Any], **_: Any) -> Range:
        return Range(**data)


class TemperatureSchema(MinutesSchema):
    """A range of temperatures in Celsius, Fahrenheit or gas marks."""

    unit = Word(tuple(TEMPERATURES), required=True)

    @post_load
    def _made(self, data: dict[str, Any], **_: Any) -> Range:
        return Range(data["low"], data["high"], TEMPERATURES[data["unit"]])


class Temperature(fields.Nested):
    """A temperature: ``{low, high, unit}``, ``{value, unit}`` or a text such as ``"350 °F"``."""

    def _deserialize(self, value: Any, *args: Any, **kwargs: Any) -> Any:
        if isinstance(value, str):
            value = self._said(value)
        if isinstance(value, dict) and "value" in value:
            both = {"low": value["value"], "high": value["value"]}
            value = {**both, **{name: given for name, given in value.items() if name != "value"}}
        return super()._deserialize(value, *args, **kwargs)

    @staticmethod
    def _said(text: str) -> dict[str, Any]:
        amount, _, unit = text.strip().partition(" ")
        if not unit:
            amount, unit = text.strip().rstrip("°CFcf"), text.strip().lstrip("0123456789. ")
        value = read_amount(amount, LOADING.get().language)
        if value is None or unit.strip() not in TEMPERATURES:
            raise refuse("not-a-temperature", 'A temperature is expected, such as "350 °F" or "180 °C".')
        return {"low": float(value), "high": float(value), "unit": unit.strip()}


class PanSchema(Shape):
    """A pan and how it is prepared."""

    shape = Word(SHAPES, required=True)
    diameter = Size("length")
    length = Size("length")
    width = Size("length")
    depth = Size("length")
    tube_diameter = Size("length")
    volume = Size("volume")
    size = Text(20)
    count = Whole(10_000)
    fill = Number(over=0, most=1)
    preparation = Word(PREPARATIONS)
    cooling = Word(COOLINGS)

    @post_load
    def _made(self, data: dict[str, Any], **_: Any) -> Pan:
        return Pan(**data)


class YieldSchema(Shape):
    """What the formula makes."""

    portions = Amount()
    pieces = Amount()
    piece_mass = Size("mass")
    mass = Size("mass")

    @post_load
    def _made(self, data: dict[str, Any], **_: Any) -> Yield:
        return Yield(**data)


class BakeSchema(Shape):
    """How it is baked."""

    temperature = Temperature(TemperatureSchema)
    minutes = fields.Nested(MinutesSchema)
    oven = Word(OVENS)

    @post_load
    def _made(self, data: dict[str, Any], **_: Any) -> Bake:
        return Bake(**data)


class BasedOnSchema(Shape):
    """The base of a variant, and the changes that make it one."""

    formula = Text(LONGEST_SLUG, pattern=SLUG, required=True)
    version = Whole(2**31)
    changes = Several(Text(LONGEST_NAME), MOST_TAGS)

    @post_load
    def _made(self, data: dict[str, Any], **_: Any) -> BasedOn:
        return BasedOn(**data)


class ComponentSchema(Shape):
    """A part of the formula that is mixed by itself."""

    name = Text(LONGEST_NAME)
    role = Word(ROLES)
    product_class = Word(CLASSES, data_key="class")
    ingredients = Lines(required=True)
    method = Several(Text(LONGEST_STEP))

    @post_load
    def _made(self, data: dict[str, Any], **_: Any) -> Component:
        return Component(**data)


class FormulaSchema(Shape):
    """A formula as its caller states it."""

    name = Text(LONGEST_NAME, required=True)
    product_class = Word(CLASSES, data_key="class")
    measures = Word(SYSTEMS)
    handling = Word(HANDLINGS)
    egg_grade = EggGrade()
    components = Several(fields.Nested(ComponentSchema), MOST_COMPONENTS, required=True)
    pans = Several(fields.Nested(PanSchema), MOST_PANS)
    yields = fields.Nested(YieldSchema, data_key="yield")
    bake = fields.Nested(BakeSchema)
    method = Several(Text(LONGEST_STEP))
    notes = Several(Text(LONGEST_STEP))
    tags = Several(Text(LONGEST_NAME), MOST_TAGS)
    language = Text(35, pattern=LANGUAGE)
    based_on = fields.Nested(BasedOnSchema)

    @validates_schema(pass_original=True, skip_on_field_errors=False)
    def _bounded(self, data: Any, original: Any, **_: Any) -> None:
        count = _count_lines(original)
        if count > MOST_LINES:
            raise ValidationError(
                f"too-many|There are {count} lines in all; at most {MOST_LINES} are allowed.",
                "components",
            )
        if count == 0 and isinstance(original, dict) and original.get("components") is not None:
            raise ValidationError("too-few|A formula has at least one ingredient line.", "components")

    @post_load
    def _made(self, data: dict[str, Any], **_: Any) -> Formula:
        return Formula(**data)


def _count_lines(document: Any) -> int:
    """Count the lines of a document of whatever shape, alternatives too."""
    count = 0
    components = document.get("components") if isinstance(document, dict) else None
    for component in components if isinstance(components, list) else ():
        lines = component.get("ingredients") if isinstance(component, dict) else None
        for line in lines if isinstance(lines, list) else ():
            others = line.get("alternatives") if isinstance(line, dict) else None
            count += 1 + (len(others) if isinstance(others, list) else 0)
    return count


_SCHEMA: Schema = FormulaSchema()


def load(document: Json, vocabulary: Vocabulary | None = None) -> Formula:
    """Read a formula document. Without a vocabulary units, egg grades and allergen keys are taken
    as they stand. Raises: Invalid, with every fault."""
    token = LOADING.set(Loading(vocabulary, language_of(document)))
    try:
        formula: Formula = _SCHEMA.load(document)  # type: ignore[arg-type]
    except ValidationError as error:
        raise Invalid("The formula does not fit.", faults=tuple(faults_of(error.messages))) from None
    finally:
        LOADING.reset(token)
    return formula


def language_of(document: Json) -> str:
    """Give the language that a document says, English where it says none."""
    language = document.get("language") if isinstance(document, dict) else None
    return language if isinstance(language, str) else "en"


def commas_assumed(document: Json) -> tuple[Assumption, ...]:
    """Give what was taken for granted of the commas in a document's quantities (contract, section
    3): a comma with exactly three digits after it groups thousands in English and is a decimal
    comma elsewhere. The document is one that ``load`` has taken."""
    language = language_of(document)
    found = []
    for place, member, line in _quantities(document):
        written = line.get(member)
        meaning = comma_meaning(written, language) if isinstance(written, str) else None
        if meaning is not None:
            value = write_fraction(read_amount(str(written), language) or LARGEST)
            detail = f"{written!r} is read as {value}: the comma {_COMMA_SAYS[meaning]}."
            found.append(Assumption(f"comma-{meaning}", place, member, value, None, detail))
    return tuple(found)


_COMMA_SAYS = {"groups": "groups thousands", "decimal": "is a decimal comma"}


def _quantities(document: Any) -> list[tuple[str, str, Any]]:
    """Give every object of a document's lines that may hold a quantity, with its line's pointer."""
    found: list[tuple[str, str, Any]] = []
    for c, component in enumerate(document["components"]):
        for i, line in enumerate(component["ingredients"]):
            place = pointer_of(c, i)
            for one in (line, *line.get("alternatives", ())):
                found.append((place, "quantity", one))
                found.append((place, "quantity", one.get("equivalent", {})))
                if isinstance(one.get("quantity"), dict):
                    found += [(place, end, one["quantity"]) for end in ("low", "high")]
    return found


def dump(formula: Formula) -> dict[str, Any]:
    """Write a formula document; what the formula does not state is left out."""
    document: dict[str, Any] = {"name": formula.name}
    _put(document, formula, ("class", "measures", "handling", "egg_grade"))
    document["components"] = [_component(each) for each in formula.components]
    if formula.pans:
        document["pans"] = [_pan(pan) for pan in formula.pans]
    if formula.yields is not None:
        document["yield"] = _yield(formula.yields)
    if formula.bake is not None:
        document["bake"] = _bake(formula.bake)
    _put(document, formula, ("method", "notes", "tags", "language"))
    if formula.based_on is not None:
        document["based_on"] = {"formula": formula.based_on.formula}
        _put(document["based_on"], formula.based_on, ("version", "changes"))
    return document


_ATTRIBUTE = {"class": "product_class"}


def _put(document: dict[str, Any], owner: Any, members: tuple[str, ...]) -> None:
    """Copy plain members, those that are stated."""
    for member in members:
        value = getattr(owner, _ATTRIBUTE.get(member, member))
        if isinstance(value, tuple):
            if value:
                document[member] = list(value)
        elif value is not None:
            document[member] = write_number(value) if isinstance(value, float) else value


def _component(component: Component) -> dict[str, Any]:
    document: dict[str, Any] = {}
    _put(document, component, ("name", "role", "class"))
    document["ingredients"] = [write_line(line) for line in component.ingredients]
    _put(document, component, ("method",))
    return document


def _pan(pan: Pan) -> dict[str, Any]:
    document: dict[str, Any] = {"shape": pan.shape}
    for member in ("diameter", "length", "width", "depth", "tube_diameter", "volume"):
        dimension = getattr(pan, member)
        if dimension is not None:
            document[member] = write_dimension(dimension)
    _put(document, pan, ("size", "count", "fill", "preparation", "cooling"))
    return document


def _yield(made: Yield) -> dict[str, Any]:
    document: dict[str, Any] = {}
    for member in ("portions", "pieces"):
        quantity = getattr(made, member)
        if quantity is not None:
            document[member] = write_quantity(quantity)
    for member in ("piece_mass", "mass"):
        dimension = getattr(made, member)
        if dimension is not None:
            document[member] = write_dimension(dimension)
    return document


def _bake(bake: Bake) -> dict[str, Any]:
    document: dict[str, Any] = {}
    if bake.temperature is not None:
        document["temperature"] = write_range(bake.temperature)
    if bake.minutes is not None:
        document["minutes"] = write_range(bake.minutes)
    _put(document, bake, ("oven",))
    return document
