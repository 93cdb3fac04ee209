"""Say one thing to weigh in words of its own, so that reading them gives the same again."""

from __future__ import annotations

from service.domain.formula import Line
from service.domain.quantity import Quantity, write_fraction
from service.domain.words import key_of


def write_quantity(quantity: Quantity) -> str:
    """Write an amount as people do: ``2 1/4``, a range as ``2 to 3``."""
    if quantity.low == quantity.high:
        return write_fraction(quantity.low)
    return f"{write_fraction(quantity.low)} to {write_fraction(quantity.high)}"


def compose(line: Line, name: str) -> str:
    """Write a line from its fields and its ingredient's name as it was written; a unit that the name
    holds ("yeast cake") is not said twice."""
    words: list[str] = []
    said = key_of(name)
    states = [state for state in line.state if key_of(state) not in said]
    if line.part:
        words += [*states, line.part, "of"]
    if line.quantity is not None:
        words.append(write_quantity(line.quantity))
        if line.level:
            words.append(line.level)
        if line.unit and line.unit != "each" and line.unit not in said.split():
            words.append(line.unit)
    if not line.part:
        words += states
    words.append(name)
    text = " ".join(words)
    if line.equivalent is not None:
        text += f" ({write_quantity(line.equivalent.quantity)} {line.equivalent.unit})"
    if line.optional:
        text += " (optional)"
    return f"{text}, {line.note}" if line.note else text
