"""The row types of markets and their law: allergens, what ingredients bring of them, public targets.

Fields are columns, as ``rows`` says of all tables.
"""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class IngredientAllergenRow:
    """What an ingredient brings: table ``ingredient_allergens``.

    ``contains``: allergen keys that it always holds; ``conditional``: keys that the bought pack may
    hold (never guessed either way); ``plain``: it is one plain substance or plant, so that absence of
    every other listed source may stand."""

    ingredient: str
    contains: tuple[str, ...]
    conditional: tuple[str, ...]
    plain: bool
    source: str
    evidence: str
    note: str


@dataclass(frozen=True, slots=True)
class AllergenRow:
    """An allergen: table ``allergens``. ``group`` names the wider key that it belongs to
    (``almond`` in ``tree-nut``), empty for none; ``gs1`` the GS1 allergen type code."""

    key: str
    name: str
    gs1: str
    group: str
    source: str
    evidence: str


@dataclass(frozen=True, slots=True)
class MarketRow:
    """A market and its law: table ``markets``. ``statement`` is how a list without an ingredient
    list is worded; ``{names}`` stands for the allergens."""

    market: str
    name: str
    law: str
    statement: str
    in_force: str
    source: str
    evidence: str


@dataclass(frozen=True, slots=True)
class MarketAllergenRow:
    """An allergen that a market lists: table ``market_allergens``. ``declare_as`` is the word to
    print; ``status`` mandatory or recommended; ``exceptions`` in words."""

    market: str
    allergen: str
    declare_as: str
    status: str
    threshold: str
    exceptions: str
    source: str
    evidence: str


@dataclass(frozen=True, slots=True)
class PublicTargetRow:
    """What a market's public body asks makers for, without a law: table ``public_targets``.

    It is told to who asks for the ``market``, and to formulas written in its ``measures`` (none: the
    measures of the market are used in others too). Per ``unit`` of what is sold: ``high`` for any one
    product, ``typical`` for the average of all."""

    code: str
    market: str
    measures: tuple[str, ...]
    product_class: str
    typical: float | None
    high: float
    unit: str
    source: str
    evidence: str
    note: str
