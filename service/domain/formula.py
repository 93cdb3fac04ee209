"""The formula document: what a caller says, with nothing filled in.

Every member that the caller left out is ``None`` or an empty tuple here. Defaults are taken where
they are needed, as assumptions, and never written back (contract, section 3).
"""

from __future__ import annotations

from dataclasses import field

from service.domain.quantity import Quantity
from service.domain.record import record

LEVELS = ("scant", "level", "rounded", "heaped")
HANDLINGS = ("dipped", "spooned", "sifted", "packed")
SYSTEMS = ("us", "us-label", "imperial", "metric", "au", "ca", "jp")
ROLES = ("batter", "dough", "foam", "preferment", "swirl", "filling", "topping", "glaze")
#: Roles that are baked together with the batter or dough; the others are groups of their own.
BAKED_ROLES = ("batter", "dough", "foam", "preferment", "swirl")
SHAPES = ("round", "square", "rectangle", "tube", "loaf", "muffin", "sheet", "gastronorm")
PREPARATIONS = ("ungreased", "greased", "floured", "lined-base", "lined")
COOLINGS = ("inverted", "upright", "turned-out")
OVENS = ("conventional", "fan", "deck")
CLASSES = (
    "angel", "chiffon", "sponge", "genoise", "butter-cake", "high-ratio", "pound",
    "chocolate-cake", "gingerbread", "muffin", "quick-bread", "pancake", "waffle", "scone",
    "drop-cookie", "rolled-cookie", "brownie", "short-pastry", "choux", "lean-bread",
    "enriched-bread", "flatbread", "doughnut", "meringue", "filling",
)  # fmt: skip
MOST_COMPONENTS = 64
MOST_LINES = 256
LONGEST_LINE = 2000
#: Characters of a name: of a formula, a component, an ingredient that no table knows.
LONGEST_NAME = 200


@record
class Equivalent:
    """The measure that a line gives beside its first one: the "(450 g)" of "1 lb (450 g)"."""

    quantity: Quantity
    unit: str


@record
class Line:
    """One ingredient of a component, as text, as fields, or both: then the fields decide.

    ``ingredient`` is a code of the tables or any name; ``unit`` a trade name, a UCUM code or
    ``%``; ``state`` the words that say how the measured thing was (``("sifted",)``), in the
    tables' canonical spelling once read; ``part`` the part of an egg or fruit that is meant.
    ``contains``, ``may_contain`` and ``declaration_complete`` are a supplier's declaration.
    """

    text: str | None = None
    ingredient: str | None = None
    quantity: Quantity | None = None
    unit: str | None = None
    level: str | None = None
    state: tuple[str, ...] = ()
    part: str | None = None
    equivalent: Equivalent | None = None
    optional: bool | None = None
    alternatives: tuple[Line, ...] = ()
    note: str | None = None
    contains: tuple[str, ...] | None = None
    may_contain: tuple[str, ...] | None = None
    declaration_complete: bool | None = None

    def weighed_out(self) -> Line:
        """Give the line as one that is weighed in grams, without the amount that it states."""
        return Line(
            None, self.ingredient, None, "g", None, self.state, self.part, None, self.optional,
            self.alternatives, self.note, self.contains, self.may_contain, self.declaration_complete,
        )  # fmt: skip


@record
class Component:
    """A part of the formula that is mixed by itself: a batter, a filling, a glaze."""

    name: str | None = None
    role: str | None = None
    product_class: str | None = field(default=None, metadata={"name": "class"})
    ingredients: tuple[Line, ...] = ()
    method: tuple[str, ...] = ()


@record
class Dimension:
    """A length, a mass, a volume or a temperature with its unit, exact."""

    value: Quantity
    unit: str


@record
class Pan:
    """A pan and how it is prepared. ``size`` names a gastronorm size ("1/2"); ``volume`` a
    measured volume that goes before geometry; ``fill`` is the share that is filled, 0 to 1."""

    shape: str
    diameter: Dimension | None = None
    length: Dimension | None = None
    width: Dimension | None = None
    depth: Dimension | None = None
    tube_diameter: Dimension | None = None
    volume: Dimension | None = None
    size: str | None = None
    count: int | None = None
    fill: float | None = None
    preparation: str | None = None
    cooling: str | None = None


@record
class Yield:
    """What the formula makes: portions, or pieces of a mass, or a mass."""

    portions: Quantity | None = None
    pieces: Quantity | None = None
    piece_mass: Dimension | None = None
    mass: Dimension | None = None


@record
class Range:
    """A range of plain numbers, minutes for example; ``unit`` where it needs one."""

    low: float
    high: float
    unit: str | None = None


@record
class Bake:
    """How it is baked. Units of ``temperature``: Cel, [degF] or gas; ``minutes`` has none."""

    temperature: Range | None = None
    minutes: Range | None = None
    oven: str | None = None


@record
class BasedOn:
    """The base of which this formula is a variant, and the changes that make it one."""

    formula: str
    version: int | None = None
    changes: tuple[str, ...] = ()


@record
class Formula:
    """A formula as its caller states it."""

    name: str
    components: tuple[Component, ...]
    product_class: str | None = field(default=None, metadata={"name": "class"})
    measures: str | None = None
    handling: str | None = None
    egg_grade: str | None = None
    pans: tuple[Pan, ...] = ()
    yields: Yield | None = field(default=None, metadata={"name": "yield"})
    bake: Bake | None = None
    method: tuple[str, ...] = ()
    notes: tuple[str, ...] = ()
    tags: tuple[str, ...] = ()
    language: str | None = None
    based_on: BasedOn | None = None


def pointer_of(component: int, line: int) -> str:
    """Give the JSON Pointer of an ingredient line in a formula document (RFC 6901)."""
    return f"/components/{component}/ingredients/{line}"
