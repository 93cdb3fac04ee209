"""Which shelf a line means: its states against those of which the table has weights.

The order: all the states that the line names, together; then fewer of them; then what the
ingredient usually is; then the plain row. Where the shelf taken is not the one that the line names,
or the line names none and several would do, the pick says so, with the shelf that else it might be.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable
from itertools import combinations
from typing import NamedTuple

from service.tables.cupboard import Cupboard
from service.weighing.customs import (
    ALIKE,
    HANDLING_ORDER,
    HANDLING_SPAN,
    OTHER_HANDLING,
    SIZES,
    USUAL_HANDLING,
    Customs,
)
from service.weighing.shelves import Held, Shelf, Shelves

#: Reads off a shelf what one measure weighs; ``None`` where the shelf has no such measure.
Read = Callable[[Shelf], Held | None]
#: Kinds of states (table ``states``) that change what a volume weighs, and a piece.
WEIGHTY_FOR_VOLUMES = frozenset({"handling", "measured", "form", "pack"})
WEIGHTY_FOR_PIECES = frozenset({"size"})


class Unsaid(NamedTuple):
    """Something that the line leaves open: what was ``taken`` and what one measure would weigh
    ``otherwise`` (``None``: not known)."""

    code: str
    part: str
    taken: str
    otherwise: Held | None
    detail: str


class Picked(NamedTuple):
    """The mass of one measure, the readings that widen its band, and what was left unsaid."""

    held: Held
    widened_by: tuple[Held, ...] = ()
    unsaid: tuple[Unsaid, ...] = ()


def _nearest(asked: str) -> tuple[str, ...]:
    """Give the states to try for a way of filling: itself, the plain row, then the nearest ways."""
    place = HANDLING_ORDER.index(asked)
    near = sorted(HANDLING_ORDER, key=lambda other: abs(HANDLING_ORDER.index(other) - place))
    return (asked, "", *near)


_NEAREST_HANDLING = {asked: _nearest(asked) for asked in HANDLING_ORDER}


def _readable(shelves: Shelves, states: tuple[str, ...], read: Read) -> list[Held]:
    found = (read(shelves[state]) for state in states if state in shelves)
    return [held for held in found if held is not None]


def _first(shelves: Shelves, states: Iterable[str], read: Read) -> tuple[str, Held] | None:
    for state in states:
        shelf = shelves.get(state)
        held = read(shelf) if shelf is not None else None
        if held is not None:
            return state, held
    return None


def _state_of(shelves: Shelves, held: Held, read: Read) -> str:
    """Give the state of the shelf that a reading came from."""
    return next((state for state, shelf in shelves.items() if read(shelf) == held), "")


def _joined(states: tuple[str, ...]) -> list[str]:
    """Give all ways to keep some of the states, most of them first, as the table joins them."""
    names = sorted({part for state in states for part in state.split("+")})
    return ["+".join(c) for n in range(min(len(names), 4), 0, -1) for c in combinations(names, n)]


def _alike(states: tuple[str, ...]) -> list[str]:
    """Give the forms that fill a measure much like those of a line, the nearest first."""
    found = []
    for state in states:
        for row in ALIKE:
            if state in row:
                place = row.index(state)
                found += sorted(row, key=lambda other: abs(row.index(other) - place))
    return found


class Picker:
    """Picks shelves by the rules above."""

    def __init__(self, cupboard: Cupboard) -> None:
        self._usual_states = {code: row.usual_state for code, row in cupboard.ingredients.items()}
        self._kinds: dict[str, str] = {
            row.state: row.kind for row in cupboard.tables["states"] if row.state
        }

    def kind(self, state: str) -> str:
        """Give the kind of a state; a state that no row names is a form."""
        return self._kinds.get(state, "form")

    def size_of(self, states: tuple[str, ...]) -> str | None:
        """Give the size among a line's states."""
        return next((state for state in states if self.kind(state) == "size"), None)

    def pick(
        self, code: str, shelves: Shelves, states: tuple[str, ...], customs: Customs, read: Read,
        *, pieces: bool,
    ) -> Picked | None:  # fmt: skip
        """Pick the shelf of a line; ``None`` where no shelf has the measure."""
        usual = self._usual_states[code]
        if not states and not pieces and usual != "handling":
            return self._usual(shelves, usual, read, pieces=False)
        found = _first(shelves, _joined(states), read) if states else None
        kept = found[0].split("+") if found else []
        if usual == "handling" and not pieces and not any(s in HANDLING_ORDER for s in kept):
            picked = self._by_handling(shelves, states, customs, read)
            kept = [*kept, *HANDLING_ORDER] if picked is not None else kept
        else:
            picked = None
        if picked is None and found is None and not pieces:
            found = _first(shelves, _alike(states), read)
        if picked is None and found is not None:
            picked = Picked(found[1])
        if picked is None:
            picked = self._usual(shelves, usual, read, pieces=pieces)
        if picked is None:
            return None
        if pieces:
            picked = self._with_size(picked, shelves, found[0] if found else "", states, read)
        return self._with_missing(picked, shelves, states, kept, read, pieces=pieces)

    def _by_handling(
        self, shelves: Shelves, states: tuple[str, ...], customs: Customs, read: Read
    ) -> Picked | None:
        """Pick by how the measure was filled: the line's word, the formula's, else the usual."""
        said = next((s for s in states if s in HANDLING_ORDER), customs.handling)
        asked = said or USUAL_HANDLING
        found = _first(shelves, _NEAREST_HANDLING[asked], read)
        if found is None:
            return None
        unsaid = []
        if found[0] != asked and (said or found[0]):
            detail = f"no weight is known of it {asked}; taken as {found[0] or 'it is sold'}"
            unsaid.append(Unsaid("state-without-row", "state", found[0] or "plain", None, detail))
        if said is not None:
            return Picked(found[1], (), tuple(unsaid))
        span = tuple(_readable(shelves, HANDLING_SPAN, read))
        other = _first(shelves, [OTHER_HANDLING], read)
        detail = f"not said how it was measured; taken as {asked}, against {OTHER_HANDLING}"
        unsaid.append(Unsaid("handling-not-said", "state", asked, other[1] if other else None, detail))
        return Picked(found[1], span, tuple(unsaid))

    def _usual(self, shelves: Shelves, usual: str, read: Read, *, pieces: bool) -> Picked | None:
        """Pick for a line that names no state of which a weight is known."""
        found = _first(shelves, (usual, "", *SIZES) if pieces else (usual, ""), read)
        if found is None:
            return self._any(shelves, read)
        state, held = found
        if not state or state != usual:
            return Picked(held)
        rivals = [s for s in ("unpacked", "", *shelves) if s != state and "+" not in s]
        other = _first(shelves, rivals, read)
        if other is None or other[1].value == held.value:
            return Picked(held)
        detail = f"not said; taken {state}, as it usually is, against {other[0] or 'plain'}"
        return Picked(held, (), (Unsaid("usual-state", "state", state, other[1], detail),))

    def _any(self, shelves: Shelves, read: Read) -> Picked | None:
        """Take the table's first shelf that has the measure, where it has no plain one."""
        readable = [(s, held) for s, shelf in shelves.items() if (held := read(shelf)) is not None]
        if not readable:
            return None
        single = [pair for pair in readable if "+" not in pair[0]] or readable
        state, held = single[0]
        other = single[1] if len(single) > 1 else None
        detail = f"not said in what state; taken {state}" + (f", against {other[0]}" if other else "")
        unsaid = Unsaid("state-not-said", "state", state, other[1] if other else None, detail)
        return Picked(held, tuple(one for _, one in single), (unsaid,))

    def _with_size(
        self, picked: Picked, shelves: Shelves, state: str, states: tuple[str, ...], read: Read
    ) -> Picked:
        """Say that no size of a piece was named, where the table knows several."""
        if self.size_of(states) is not None:
            return picked
        readings = _readable(shelves, tuple(self._sizes(shelves, state)), read)
        other = next((held for held in readings if held.value != picked.held.value), None)
        if other is None:
            return picked
        middle = _first(shelves, (SIZES[0],), read)
        taken = SIZES[0] if middle is None or middle[1].value == picked.held.value else "usual"
        detail = f"no size said; taken as {taken}, against another size"
        unsaid = Unsaid("size-not-said", "state", taken, other, detail)
        return Picked(picked.held, (*picked.widened_by, *readings), (*picked.unsaid, unsaid))

    def _sizes(self, shelves: Shelves, state: str) -> list[str]:
        """Give the states that differ from a state by a usual size alone, large before small."""
        rest = {part for part in state.split("+") if part and self.kind(part) != "size"}
        return [
            key for size in (*SIZES[1:], SIZES[0]) if (key := "+".join(sorted({*rest, size}))) in shelves
        ]

    def _with_missing(
        self, taken: Picked | None, shelves: Shelves, states: tuple[str, ...], kept: list[str],
        read: Read, *, pieces: bool,
    ) -> Picked | None:  # fmt: skip
        """Say which states of the line no weight is known of; the other states widen the band."""
        weighty = WEIGHTY_FOR_PIECES if pieces else WEIGHTY_FOR_VOLUMES
        missing = [
            s for s in states
            if self.kind(s) in weighty and not all(part in kept for part in s.split("+"))
        ]  # fmt: skip
        if taken is None or not missing:
            return taken
        among = weighty - {"pack"}
        forms = [s for s in shelves if self.kind(s) in among and "+" not in s]
        others = tuple(_readable(shelves, tuple(forms), read))
        named = _state_of(shelves, taken.held, read) or "plain"
        detail = f"no weight is known of it {' and '.join(missing)}; taken as {named}"
        far = max(others, key=lambda held: abs(held.value - taken.held.value), default=None)
        unsaid = Unsaid("state-without-row", "state", named, far, detail)
        said = tuple(u for u in taken.unsaid if u.code not in ("usual-state", "state-not-said"))
        return Picked(taken.held, (*taken.widened_by, *others), (unsaid, *said))
