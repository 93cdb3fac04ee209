"""Take what is said of a measure itself: how full it is, and of what size."""

from __future__ import annotations

from service.domain.quantity import Quantity
from service.reading import grammar
from service.reading.draft import Draft, StateUse
from service.reading.lexicon import Found
from service.reading.outlook import Outlook
from service.tables.rows import StateRow

#: Classes of measure that are filled to a level.
SIZED = frozenset(("cup", "spoon"))


class Levels(Outlook):
    """A line whose measures can be scant, level or heaped."""

    def level_from_size(self, draft: Draft) -> None:
        """Let a size before a cup or spoon be that of the measure: "1 large tablespoonful" is rounded;
        a good pinch is a pinch."""
        if draft.unit is None or draft.unit.measure_class not in SIZED:
            return
        kept: list[StateUse] = []
        for use in draft.states:
            level = _level_of(use.row)
            if level is None or draft.level is not None:
                kept.append(use)
                continue
            draft.level = level
            self._remark_as_level(use.text)
        draft.states = kept

    def _remark_as_level(self, text: str) -> None:
        """Mark the words of a state as those of a level."""
        for place in range(len(self.marks) - 1, -1, -1):
            _, start, stop = self.marks[place]
            if self.slice(start, stop) == text:
                self.marks.pop(place)
                self.mark("level", start, stop)
                return

    def past_levels(self, at: int) -> int:
        """Give the word after levels and sizes that stand right here: "1 scant cup"."""
        while at < self.count and not self.words[at].gap:
            found = self.at(at)
            if self.words[at].key in grammar.LEVEL_WORDS:
                at += 1
            elif found.state is not None and _level_of(found.state) is not None:
                at += found.state_length
            else:
                break
        return at

    def take_levels(self, at: int) -> int:
        """Take the levels and sizes that stand between a number and its measure."""
        draft, end = self.draft, self.past_levels(at)
        while at < end:
            found, key = self.at(at), self.words[at].key
            after = at + max(1, found.state_length)
            level = grammar.LEVEL_WORDS.get(key) or (found.state and _level_of(found.state))
            draft.level = draft.level or level or None
            at = self.mark("level", at, after)
        return end

    def is_bare_measure(self, at: int, found: Found) -> bool:
        """Tell whether a measure without a number ends a clause: "Flour, scant cup", "Salt, a pinch"."""
        unit, word, draft = found.unit, self.words[at], self.draft
        if unit is None or unit.kind != "volume" or draft.amount_written or draft.vague:
            return False
        if len(word.text) < 2 or word.text[-1:] in "sS" or found.name_length > found.unit_length:
            return False
        last = self.marks[-1] if self.marks and self.marks[-1][2] == at else ("", 0, 0)
        leads = bool(word.gap) or last[0] == "level" or self._is_size_of_measure(last)
        leads = leads or self.key(at - 1) in grammar.ARTICLES
        return leads and self.ends_at(at + found.unit_length)

    def _is_size_of_measure(self, mark: tuple[str, int, int]) -> bool:
        uses = self.draft.states
        return bool(uses) and mark[0] == "state" and _level_of(uses[-1].row) is not None

    def bare_measure(self, at: int, found: Found) -> int:
        """Take a measure without a number for one of it."""
        draft = self.draft
        draft.quantity, draft.amount_written, draft.unit = Quantity.of(1), True, found.unit
        self.level_from_size(draft)
        return self.mark("unit", at, at + found.unit_length)


def _level_of(row: StateRow) -> str | None:
    """Give the level that a size says of a measure."""
    return grammar.SIZES_OF_MEASURES.get(row.state if row.kind == "size" else row.word)
