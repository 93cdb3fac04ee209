"""Quantities and dimensions: as people write them in, exact in the domain, lowest terms out."""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping
from decimal import Decimal
from fractions import Fraction
from typing import Any

from marshmallow import ValidationError, fields

from schemas.fields import LOADING, MESSAGES, read_text, refuse, suggestion, unknown_member
from service.domain.formula import Dimension, Range
from service.domain.quantity import LARGEST, Quantity, read_fraction, write_fraction

#: Beyond this denominator an amount is taken as the nearest one within it: a double such as
#: 0.3333333333333333 is then one third. It moves an amount by less than one part in 10^12.
FINEST = 10**12
LONGEST_AMOUNT = 60
LONGEST_UNIT = 40

_DECIMAL = re.compile(r"[0-9]{0,12}\.[0-9]{1,24}\Z")
_GROUPED = re.compile(r"[0-9]{1,3}(?:,[0-9]{3})+(?:\.[0-9]{1,12})?\Z")
_COMMA = re.compile(r"[0-9]{0,12},[0-9]{1,12}\Z")
_DIMENSION = re.compile(r"(?P<amount>[0-9¼½¾⅐-⅞.,/⁄+ ]{1,40})(?P<unit>[^0-9¼½¾⅐-⅞.,/⁄+ ][^0-9]*)\Z")


def comma_meaning(text: str, language: str) -> str | None:
    """Tell what a comma with exactly three digits after it means: ``groups``, ``decimal`` or, for
    any other text, ``None`` (contract, section 3)."""
    bare = text.strip()
    if not _GROUPED.match(bare):
        return None
    return "groups" if language.partition("-")[0].lower() == "en" or bare.count(",") > 1 else "decimal"


def read_amount(text: str, language: str) -> Fraction | None:
    """Read an amount with its language's comma; ``None`` where it is none."""
    bare = text.strip()
    if len(bare) > LONGEST_AMOUNT:
        return None
    if comma_meaning(bare, language) == "groups":
        bare = bare.replace(",", "")
    elif _COMMA.match(bare):
        bare = bare.replace(",", ".")
    if _DECIMAL.match(bare):
        return Fraction(bare)
    return read_fraction(bare)


def read_single(value: Any) -> Fraction:
    """Take a number or an amount as people write it, within the bounds. Raises: ValidationError."""
    if isinstance(value, str):
        amount = read_amount(value, LOADING.get().language)
        if amount is None:
            raise refuse("not-an-amount", 'An amount is expected, such as 2, "2 1/4", "¾" or 1.5.')
    elif isinstance(value, bool) or not isinstance(value, (int, float, Decimal)):
        raise refuse("type", "A number, or an amount as text, is expected.")
    else:
        amount = Fraction(str(value)) if isinstance(value, float) else Fraction(value)
    if amount.denominator > FINEST:
        amount = amount.limit_denominator(FINEST)
        if amount == 0:
            raise refuse("out-of-bounds", f"Amounts are kept to 1/{FINEST}; this one is finer.")
    if not 0 < amount <= LARGEST:
        raise refuse("out-of-bounds", f"More than 0 and at most {LARGEST} is allowed.")
    return amount


def read_quantity(value: Any) -> Quantity:
    """Take a quantity: an amount, or the two ends of a range. Raises: ValidationError."""
    if not isinstance(value, Mapping):
        return Quantity.of(read_single(value))
    ends = read_pair(value, {"low": read_single, "high": read_single})
    if ends["low"] > ends["high"]:
        raise refuse("upside-down", "The low end lies above the high end.")
    return Quantity(ends["low"], ends["high"])


def read_pair(value: Mapping[str, Any], readers: Mapping[str, Callable[[Any], Any]]) -> dict[str, Any]:
    """Read an object of which every member is needed and no other known. Raises: ValidationError."""
    wrong: dict[str, Any] = {key: [unknown_member(key, readers)] for key in value if key not in readers}
    read: dict[str, Any] = {}
    for member, reader in readers.items():
        if member not in value:
            wrong[member] = [MESSAGES["required"]]
            continue
        try:
            read[member] = reader(value[member])
        except ValidationError as error:
            wrong[member] = error.messages
    if wrong:
        raise ValidationError(wrong)
    return read


def write_quantity(quantity: Quantity) -> str | dict[str, str]:
    """Write a quantity in lowest terms, a range with both its ends."""
    if quantity.low == quantity.high:
        return _written(quantity.low)
    return {"low": _written(quantity.low), "high": _written(quantity.high)}


def _written(amount: Fraction) -> str:
    if amount.denominator > FINEST:
        amount = amount.limit_denominator(FINEST)
    return write_fraction(amount)


def read_unit(value: Any, *kinds: str) -> str:
    """Take a unit that the tables know, of one of some kinds. Raises: ValidationError."""
    text = read_text(value, LONGEST_UNIT)
    vocabulary = LOADING.get().vocabulary
    if vocabulary is None:
        return text
    kind = vocabulary.kind_of_unit(text)
    if kind is None or kind not in kinds:
        known = [word for each in kinds for word in vocabulary.units.get(each, ())]
        said = "This is not a unit that the tables know."
        if kind is not None:
            said = f"This is a unit of {kind}; a unit of {' or '.join(kinds)} is expected."
        raise refuse("unknown-unit", said + suggestion(text, known))
    return text


def read_dimension(value: Any, kind: str) -> Dimension:
    """Take ``"9 in"`` or ``{"value": 9, "unit": "in"}``. Raises: ValidationError."""
    if isinstance(value, str):
        match = _DIMENSION.match(value.strip()[:LONGEST_AMOUNT])
        if match is None:
            raise refuse("not-a-dimension", 'A value with its unit is expected, such as "9 in".')
        value = {"value": match["amount"], "unit": match["unit"]}
        try:
            return read_dimension(value, kind)
        except ValidationError as error:
            raise ValidationError([m for said in error.messages_dict.values() for m in said]) from None
    if not isinstance(value, Mapping):
        raise refuse("type", "A value with its unit is expected, as text or as an object.")
    read = read_pair(value, {"value": read_quantity, "unit": lambda unit: read_unit(unit, kind)})
    return Dimension(read["value"], read["unit"])


def write_dimension(dimension: Dimension) -> dict[str, Any]:
    """Write a dimension as value and unit."""
    return {"value": write_quantity(dimension.value), "unit": dimension.unit}


def write_number(number: float) -> int | float:
    """Write a plain number, a whole one without its point."""
    return int(number) if number.is_integer() else number


def write_range(given: Range) -> dict[str, Any]:
    """Write a range of plain numbers, with its unit where it has one."""
    ends: dict[str, Any] = {"low": write_number(given.low), "high": write_number(given.high)}
    return ends if given.unit is None else {**ends, "unit": given.unit}


class Amount(fields.Field[Quantity]):
    """A quantity."""

    def _deserialize(self, value: Any, attr: str | None, data: Any, **kwargs: Any) -> Quantity:
        return read_quantity(value)


class Size(fields.Field[Dimension]):
    """A dimension of one kind: length, mass or volume."""

    def __init__(self, kind: str, **kwargs: Any) -> None:
        super().__init__(**kwargs)
        self.kind = kind

    def _deserialize(self, value: Any, attr: str | None, data: Any, **kwargs: Any) -> Dimension:
        return read_dimension(value, self.kind)
