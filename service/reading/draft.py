"""What a line says of one thing to weigh, while it is being read, and what it says in the end."""

from __future__ import annotations

from dataclasses import dataclass, field
from fractions import Fraction

from service.domain.formula import LONGEST_NAME, Equivalent, Line
from service.domain.quantity import Quantity
from service.domain.reading import Assumed
from service.reading.shelf import Shelf
from service.tables.rows import NameRow, StateRow
from service.units.measures import Unit


@dataclass(slots=True)
class StateUse:
    """A state word in a line: whether it stood ``before`` the name, its words as written, and whether
    it is what the thing may be ``instead``: the second of "fresh or frozen"."""

    row: StateRow
    before: bool
    text: str
    instead: bool = False


@dataclass(slots=True)
class PartUse:
    """A part word ("rind"), the states that stood before it ("grated"), and whether it stood ``after``
    the name of what it is a part of."""

    part: str
    states: list[StateUse]
    after: bool = False


@dataclass(slots=True)
class Measure:
    """An amount with its unit; ``each``: it is the size of one of what is counted."""

    quantity: Quantity
    unit: Unit
    each: bool = False


@dataclass(slots=True, eq=False)
class Draft:
    """One thing to weigh, as far as it has been read.

    ``unread`` are the places of words before the name that no table knows; ``unknown`` is the name as
    written where no table knows it. ``each``, ``shares`` and ``leader`` tie the things together among
    which one amount is divided or for each of which it counts.
    """

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
    equivalent: Measure | None = None
    optional: bool | None = None
    notes: list[str] = field(default_factory=list)
    alternatives: list[Draft] = field(default_factory=list)
    assumed: list[Assumed] = field(default_factory=list)
    state_open: bool = False
    other: bool = False
    inverted: bool = False
    vague: bool = False
    each: bool = False
    leader: Draft | None = None
    inherits: bool = False

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


@dataclass(slots=True)
class Settled:
    """A line that a draft says, what was assumed for it, its name as written, and the ``others`` that
    may be taken instead."""

    line: Line
    assumed: tuple[Assumed, ...]
    name: str
    others: tuple[Settled, ...] = ()

    def all_assumed(self) -> tuple[Assumed, ...]:
        """Give what was assumed for the line and for what may be taken instead."""
        several = dict.fromkeys(self.assumed)
        for other in self.others:
            several.update(dict.fromkeys(other.assumed))
        return tuple(several)


def settle_all(drafts: list[Draft], shelf: Shelf) -> list[Settled]:
    """Give everything that a line says: amounts shared out, alternatives in their places."""
    _share_out(drafts)
    found: list[Settled] = []
    last: Draft | None = None
    for draft in drafts:
        _inherit(draft, last, shelf)
        before = draft
        for other in draft.alternatives:
            if not other.amount_written:
                other.take_amount_of(before)
                other.states = other.states or [use for use in draft.states if use.before]
            before = other
        others = tuple(one for other in draft.alternatives for one in settle(other, shelf))
        for one in settle(draft, shelf):
            one.others = others
            found.append(one)
        last = draft
    return found


def settle(draft: Draft, shelf: Shelf, text: str | None = None) -> list[Settled]:
    """Give the lines that a draft says, one a part ("juice and rind of a lemon" says two)."""
    if len(draft.parts) > 1 and draft.name is not None and _whole(draft, draft.name.code, shelf):
        draft.notes[:0] = [" and ".join(use.part for use in draft.parts)]
        draft.parts = []
    if len(draft.parts) < 2:
        return [_line(draft, draft.parts[0] if draft.parts else None, shelf, text)]
    return [_line(draft, part, shelf, text) for part in draft.parts]


def _whole(draft: Draft, code: str, shelf: Shelf) -> bool:
    """Tell whether the parts said after a name make it up: "6 eggs, whites and yolks apart"."""
    return all(use.after and shelf.implied(use.part) == code for use in draft.parts)


def _line(draft: Draft, use: PartUse | None, shelf: Shelf, text: str | None) -> Settled:
    row = None if draft.name is None else shelf.meant(draft.name, draft.unit)
    part = use.part if use else (row.part or None) if row else None
    code = row.code if row else shelf.implied(part) if draft.unknown is None else None
    assumed = draft.assumed
    if row is not None and row.instead:
        assumed = [*assumed, ambiguous(row, draft.name_text)]
    uses = draft.states if use is None else [*use.states, *draft.states]
    states: tuple[str, ...] = ()
    notes = draft.notes
    if uses or (row is not None and row.state and not draft.state_open):
        assumed = list(assumed)
        states, notes = _states(draft, uses, code, part, shelf, assumed)
        notes += draft.notes
    equivalent = draft.equivalent
    unknown = draft.unknown and bounded(draft.unknown)
    line = Line(
        text, code or unknown, draft.quantity, _unit_name(draft, shelf), draft.level, states, part,
        None if equivalent is None else _equivalent(equivalent, draft, (code, part), shelf),
        draft.optional, (),
        ", ".join(notes) if notes else None,
    )  # fmt: skip
    name = draft.name_text or draft.unknown or (shelf.plain_name(code) if code else "")
    return Settled(line, tuple(assumed), name)


def bounded(name: str) -> str:
    """Cut words that are taken for a name to the longest that a formula holds; the line keeps them."""
    return name if len(name) <= LONGEST_NAME else f"{name[: LONGEST_NAME - 1].rstrip()}…"


def ambiguous(row: NameRow, written: str) -> Assumed:
    """Say that a name may mean other things too."""
    return Assumed(
        "ambiguous-name", "ingredient", row.code, row.instead, f"“{written}” may mean several things"
    )


def _unit_name(draft: Draft, shelf: Shelf) -> str | None:
    if draft.unit is not None:
        return shelf.name_of_unit(draft.unit)
    return "each" if draft.quantity is not None else None


def _equivalent(
    measure: Measure, draft: Draft, thing: tuple[str | None, str | None], shelf: Shelf
) -> Equivalent:
    """Give the amount in the other measure: that of one of what is counted is taken so many times,
    unless the pieces would be much too heavy ("3 (90 g) egg whites" weigh 90 g together)."""
    quantity = measure.quantity
    each = measure.each and not (draft.unit is None and _is_of_all(measure, draft, thing, shelf))
    if each and draft.quantity is not None:
        count = draft.quantity
        quantity = Quantity(quantity.low * count.low, quantity.high * count.high)
    return Equivalent(quantity, shelf.name_of_unit(measure.unit))


def _is_of_all(
    measure: Measure, draft: Draft, thing: tuple[str | None, str | None], shelf: Shelf
) -> bool:
    """Tell whether a mass is nearer to that of all the pieces than to that of one."""
    piece = shelf.grams_of_piece(*thing)
    if piece is None or draft.quantity is None or measure.unit.kind != "mass":
        return False
    grams, count = float(measure.quantity.middle) * measure.unit.size, float(draft.quantity.middle)
    return count > 1 and grams * grams > piece * piece * count


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
    kind = "count" if draft.unit is None else draft.unit.kind
    measured = kind == "volume"
    if draft.name is not None and draft.name.state and not draft.state_open:
        kept.update(dict.fromkeys(draft.name.state.split("+")))
    for use in uses:
        row = use.row
        if use.instead:
            notes.append(f"or {use.text}")
            detail = f"“or {use.text}”: the first of two states is taken"
            assumed.append(Assumed("one-of-two-states", "state", "+".join(kept), (row.state,), detail))
        elif not shelf.counts(row, code, part, counted=kind == "count"):
            notes.append(use.text)
        elif row.kind == "handling" and not use.before:
            notes.append(use.text)
            if measured:
                detail = f"“{use.text}” stands after the name: done after measuring"
                assumed.append(Assumed("done-after-measuring", "state", "", (row.state,), detail))
        else:
            kept.update(dict.fromkeys(row.state.split("+")))
            if measured and not use.before and row.kind in ("form", "temper"):
                detail = f"“{use.text}” stands after the name: taken as so when measured"
                assumed.append(Assumed("prepared-before-measuring", "state", row.state, ("",), detail))
    return tuple(sorted(kept)), notes


def _inherit(draft: Draft, last: Draft | None, shelf: Shelf) -> None:
    """Complete what leans on the thing before it: "juice of 1 lemon and the rind"."""
    if last is None or draft.named:
        return
    if draft.parts and draft.quantity is not None and shelf.implied(draft.parts[0].part):
        return
    if draft.parts or draft.quantity is not None:
        draft.name, draft.unknown, draft.name_text = last.name, last.unknown, last.name_text
    if draft.parts and draft.quantity is None:
        draft.take_amount_of(last)


def _share_out(drafts: list[Draft]) -> None:
    """Give everyone of a group the amount ("each"), or its share of it."""
    groups: dict[int, list[Draft]] = {}
    for draft in drafts:
        if draft.leader is not None:
            groups.setdefault(id(draft.leader), [draft.leader]).append(draft)
    for group in groups.values():
        source = next((draft for draft in group if draft.quantity is not None), group[0])
        each = any(draft.each for draft in group)
        for draft in group:
            if draft is not source:
                draft.take_amount_of(source)
            if draft is not group[0]:
                draft.states = [use for use in group[0].states if use.before] + draft.states
        if not each:
            _divide(group)


def _divide(group: list[Draft]) -> None:
    """Divide one amount among the things that share it: equal shares, an assumption."""
    leader = group[0]
    if leader.quantity is None:
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
