"""What a line says of one thing to weigh, while it is being read, and what it says in the end."""

from __future__ import annotations

from dataclasses import dataclass, field
from fractions import Fraction

from service.domain.formula import Equivalent, Line
from service.domain.quantity import Quantity
from service.domain.reading import Assumed
from service.reading.shelf import Shelf
from service.tables.rows import NameRow, StateRow
from service.units.measures import Unit


@dataclass(slots=True)
class StateUse:
    """A state word in a line: whether it stood ``before`` the name, and its words as written."""

    row: StateRow
    before: bool
    text: str


@dataclass(slots=True)
class PartUse:
    """A part word ("rind") and the states that stood before it ("grated")."""

    part: str
    states: list[StateUse]


@dataclass(slots=True)
class Measure:
    """An amount with its unit; ``each``: it is the size of one of what is counted."""

    quantity: Quantity
    unit: Unit
    each: bool = False


@dataclass(slots=True)
class Draft:
    """One thing to weigh, as far as it has been read.

    ``unread`` are the places of words before the name that no table knows; ``unknown`` is the name as
    written where no table knows it. ``each``, ``shares`` and ``leader`` tie the things together among
    which one amount is divided or for each of which it counts.
    """

    start: int
    quantity: Quantity | None = None
    amount_written: bool = False
    unit: Unit | None = None
    level: str | None = None
    states: list[StateUse] = field(default_factory=list)
    parts: list[PartUse] = field(default_factory=list)
    name: NameRow | None = None
    name_text: str = ""
    name_from: int = -1
    name_to: int = -1
    unread: list[int] = field(default_factory=list)
    unknown: str | None = None
    settled: bool = False
    equivalent: Measure | None = None
    optional: bool | None = None
    notes: list[str] = field(default_factory=list)
    alternatives: list[Draft] = field(default_factory=list)
    assumed: list[Assumed] = field(default_factory=list)
    each: bool = False
    leader: Draft | None = None
    inherits: bool = False
    mixed_with: list[Draft] = field(default_factory=list)
    stop: int = -1

    @property
    def named(self) -> bool:
        """Whether the ingredient has been named, known or not."""
        return self.name is not None or self.unknown is not None

    def take_amount_of(self, other: Draft) -> None:
        """Take over the amount of the thing that this one stands beside."""
        self.quantity, self.unit, self.level = other.quantity, other.unit, other.level
        self.equivalent = other.equivalent
        self.amount_written = other.amount_written
        self.inherits = True


def settle(draft: Draft, shelf: Shelf) -> list[tuple[Line, tuple[Assumed, ...], str]]:
    """Give the lines that a draft says, one a part ("juice and rind of a lemon" says two), each with
    what was assumed and the name as written."""
    if len(draft.parts) < 2:
        return [_line(draft, draft.parts[0] if draft.parts else None, shelf)]
    return [_line(draft, part, shelf) for part in draft.parts]


def _line(draft: Draft, use: PartUse | None, shelf: Shelf) -> tuple[Line, tuple[Assumed, ...], str]:
    row = draft.name
    part = use.part if use else (row.part or None) if row else None
    code = row.code if row else shelf.implied(part) if draft.unknown is None else None
    ingredient = code or draft.unknown
    uses = draft.states if use is None else [*use.states, *draft.states]
    assumed = list(draft.assumed)
    if row is not None and row.instead:
        assumed.append(_ambiguous(row, draft.name_text))
    states, notes = _states(draft, uses, code, part, shelf, assumed)
    equivalent = draft.equivalent
    line = Line(
        ingredient=ingredient,
        quantity=draft.quantity,
        unit=_unit_name(draft, shelf),
        level=draft.level,
        state=states,
        part=part,
        equivalent=None if equivalent is None else _equivalent(equivalent, draft, shelf),
        optional=draft.optional,
        note=", ".join([*notes, *draft.notes]) or None,
    )
    name = draft.name_text or (draft.unknown or (shelf.plain_name(code) if code else ""))
    return line, tuple(assumed), name


def _ambiguous(row: NameRow, written: str) -> Assumed:
    return Assumed(
        "ambiguous-name", "ingredient", row.code, row.instead, f"“{written}” may mean several things"
    )


def _unit_name(draft: Draft, shelf: Shelf) -> str | None:
    if draft.unit is not None:
        return shelf.name_of_unit(draft.unit)
    return "each" if draft.quantity is not None else None


def _equivalent(measure: Measure, draft: Draft, shelf: Shelf) -> Equivalent:
    quantity = measure.quantity
    if measure.each and draft.quantity is not None:
        count = draft.quantity
        quantity = Quantity(quantity.low * count.low, quantity.high * count.high)
    return Equivalent(quantity, shelf.name_of_unit(measure.unit))


def _states(
    draft: Draft,
    uses: list[StateUse],
    code: str | None,
    part: str | None,
    shelf: Shelf,
    assumed: list[Assumed],
) -> tuple[tuple[str, ...], list[str]]:
    """Part the states that tell how the measured thing was from words that change no mass."""
    kept: dict[str, None] = {}
    notes: list[str] = []
    measured = draft.unit is not None and draft.unit.kind == "volume"
    if draft.name is not None and draft.name.state:
        kept.update(dict.fromkeys(draft.name.state.split("+")))
    for use in uses:
        row = use.row
        if not shelf.counts(row, code, part):
            notes.append(use.text)
        elif row.kind == "handling" and not use.before:
            notes.append(use.text)
            if measured:
                detail = f"“{use.text}” stands after the name: done after measuring"
                assumed.append(Assumed("sifted-after-measuring", "state", "", (row.state,), detail))
        else:
            kept.update(dict.fromkeys(row.state.split("+")))
            if measured and not use.before and row.kind in ("form", "temper"):
                detail = f"“{use.text}” stands after the name: taken as so when measured"
                assumed.append(Assumed("prepared-before-measuring", "state", row.state, ("",), detail))
    return tuple(sorted(kept)), notes


def divide(group: list[Draft]) -> None:
    """Divide one amount among the things that share it: equal shares, an assumption."""
    leader = group[0]
    if leader.quantity is None or leader.each:
        return
    share = leader.quantity.times(Fraction(1, len(group)))
    for draft in group:
        draft.quantity = share
        if draft.equivalent is not None:
            measure = draft.equivalent
            divided = measure.quantity.times(Fraction(1, len(group)))
            draft.equivalent = Measure(divided, measure.unit, measure.each)
        draft.assumed.append(
            Assumed("shared-amount", "quantity", str(share.middle), (), "one amount, shared equally")
        )
