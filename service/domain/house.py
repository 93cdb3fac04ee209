"""What a house says of its own ingredients: its cup, its supplier's declaration, its analysis."""

from __future__ import annotations

from dataclasses import dataclass

#: What 100 g hold. Units: g, but ``energy_kcal`` and ``sodium_mg``.
NUTRIENTS = (
    "water", "energy_kcal", "protein", "fat", "saturated", "carbohydrate", "fibre", "sugars", "starch",
    "sodium_mg", "alcohol",
)  # fmt: skip


@dataclass(frozen=True, slots=True)
class HouseWeight:
    """What ``amount`` of a measure weigh in this house. ``measure`` is a unit's code or trade name,
    ``state`` how the thing is in it; ``low`` and ``high`` are the band, where the house knows one.
    Units: grams."""

    measure: str
    grams: float
    amount: float = 1.0
    state: str = ""
    low: float | None = None
    high: float | None = None


@dataclass(frozen=True, slots=True)
class HouseIngredient:
    """A house's word on one ingredient: a new one, or values that go before the tables'.

    ``source`` says who found it, and when. ``name``, ``role`` and ``flour`` (the share that counts as
    flour, 0 to 1) are needed of an ingredient that the tables do not know. ``composition`` maps names
    of ``NUTRIENTS`` to amounts in 100 g; what it leaves out stays as the tables have it.
    ``contains`` is the supplier's declaration, ``declaration_complete`` whether it names every
    allergen; ``sub_ingredients`` are in descending order.
    """

    source: str
    name: str | None = None
    names: tuple[str, ...] = ()
    role: str | None = None
    flour: float | None = None
    note: str | None = None
    weights: tuple[HouseWeight, ...] = ()
    composition: tuple[tuple[str, float], ...] = ()
    contains: tuple[str, ...] | None = None
    declaration_complete: bool | None = None
    sub_ingredients: tuple[str, ...] = ()
