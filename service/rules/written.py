"""Amounts as they are written: what no kitchen measures is probably a slip of the pen.

A formula's cups, spoons and pounds are written in the steps that sets of measures have and up to the
count at which a cook takes the next larger measure, which for butter comes sooner than for baking
powder; the table ``usual_amounts`` holds both. Amounts written as decimals, or given as fields and not
as text, are taken to be scaled and are not judged.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass
from fractions import Fraction

from service.domain.finding import Expected, Finding, Measured
from service.domain.quantity import write_fraction
from service.domain.weighed import WeighedLine
from service.rules.judged import Judged
from service.rules.registry import rule
from service.tables.cupboard import Cupboard
from service.tables.once import once
from service.tables.rule_rows import UsualAmountRow

#: Two amounts in one: "1 cup plus 2 tablespoons", "1 Tbsp ½ tsp".
_SUM = re.compile(
    r"\bplus\b|\bless\b|\+|\band +[0-9¼½¾⅓⅔⅛]|[0-9¼½¾⅓⅔⅛] *(?:tbsp|cups?|quarts?|qt|lb)\.? +[0-9¼½¾⅓⅔⅛]",
    re.IGNORECASE,
)


@dataclass(frozen=True, slots=True)
class _Usual:
    """How amounts of a unit are usually written: in parts by these ``denominators``, from ``least`` up
    to ``most``."""

    row: UsualAmountRow
    denominators: frozenset[int]
    least: float
    most: float | None


@once
def _usual(cupboard: Cupboard) -> dict[tuple[str, str], _Usual]:
    return {
        key: _Usual(
            row,
            frozenset(int(each) for each in row.denominators),
            float(Fraction(row.least)),
            float(Fraction(row.most)) if row.most else None,
        )
        for key, row in cupboard.usual_amounts.items()
    }


def _usual_of(line: WeighedLine, cupboard: Cupboard) -> _Usual | None:
    """Give how amounts of a line's unit are written for what its ingredient is, else for anything."""
    known, unit = _usual(cupboard), line.line.unit or ""
    ingredient = cupboard.ingredients.get(line.code or "")
    return known.get((unit, ingredient.role if ingredient else "")) or known.get((unit, ""))


def _amount(line: WeighedLine) -> Fraction | None:
    """Give the single amount that a line's text writes, not as a decimal or a sum of two measures."""
    quantity, text = line.line.quantity, line.line.text
    if quantity is None or text is None or "." in text or _SUM.search(text):
        return None
    low, high = quantity.low, quantity.high
    return low if low is high or low == high else None


def _oddity(amount: Fraction, usual: _Usual) -> str | None:
    """Say what is odd about an amount; ``None`` where nothing is."""
    if amount.denominator not in usual.denominators:
        return f"in steps of 1/{amount.denominator}"
    value = amount.numerator / amount.denominator
    if value < usual.least:
        return f"less than {usual.row.least}"
    if usual.most is not None and value > usual.most:
        return f"more than {usual.row.most}"
    return None


@rule("SLIP-06", severity="warning", source="usual_amounts")
def no_kitchen_writes_it(judged: Judged) -> Iterator[Finding]:
    """Amounts are written as kitchens measure them."""
    for line in judged.lines:
        usual, amount = _usual_of(line, judged.cupboard), _amount(line)
        odd = None if usual is None or amount is None else _oddity(amount, usual)
        if usual is None or amount is None or odd is None:
            continue
        row, value = usual.row, float(amount)
        yield Finding(
            rule="SLIP-06",
            severity="warning",
            message=(
                f"{write_fraction(amount)} {row.unit} of {line.name} is {odd}: hardly measured so, "
                "perhaps a slip of the pen."
            ),
            measured=Measured(value, value, value, row.unit),
            expected=Expected(usual.least, usual.most, row.unit),
            certain=False,
            lines=(line.pointer,),
            source=row.source,
            evidence=row.evidence,
            settle="Look at the card again.",
            group=judged.group,
        )
