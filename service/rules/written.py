"""Amounts as they are written: what no kitchen measures is probably a slip of the pen.

A formula's cups, spoons and pounds are written in the steps that sets of measures have and up to the
count at which a cook takes the next larger measure; the table ``usual_amounts`` holds both. Amounts
written as decimals, or given as fields and not as text, are taken to be scaled and are not judged.
"""

from __future__ import annotations

from collections.abc import Iterator
from fractions import Fraction

from service.domain.finding import Expected, Finding, Measured
from service.domain.quantity import write_fraction
from service.domain.weighed import WeighedLine
from service.rules.judged import Judged
from service.rules.registry import rule
from service.tables.rule_rows import UsualAmountRow


def _amount(line: WeighedLine) -> Fraction | None:
    """Give the single amount that a line's text writes, not as a decimal."""
    quantity, text = line.line.quantity, line.line.text
    if quantity is None or text is None or "." in text or quantity.low != quantity.high:
        return None
    return quantity.low


def _oddity(amount: Fraction, row: UsualAmountRow) -> str | None:
    """Say what is odd about an amount; ``None`` where nothing is."""
    if str(amount.denominator) not in row.denominators:
        return f"in steps of 1/{amount.denominator}"
    if amount < Fraction(row.least):
        return f"less than {row.least}"
    if row.most and amount > Fraction(row.most):
        return f"more than {row.most}"
    return None


@rule("SLIP-06", severity="warning", source="usual_amounts")
def no_kitchen_writes_it(judged: Judged) -> Iterator[Finding]:
    """Amounts are written as kitchens measure them."""
    for line in judged.lines:
        row = judged.cupboard.usual_amounts.get(line.line.unit or "")
        amount = _amount(line)
        odd = None if row is None or amount is None else _oddity(amount, row)
        if row is None or amount is None or odd is None:
            continue
        value = float(amount)
        yield Finding(
            rule="SLIP-06",
            severity="warning",
            message=(
                f"{write_fraction(amount)} {row.unit} of {line.name} is {odd}: hardly measured so, "
                "perhaps a slip of the pen."
            ),
            measured=Measured(value, value, value, row.unit),
            expected=Expected(
                float(Fraction(row.least)), float(Fraction(row.most)) if row.most else None, row.unit
            ),
            certain=False,
            lines=(line.pointer,),
            source=row.source,
            evidence=row.evidence,
            settle="Look at the card again.",
            group=judged.group,
        )
