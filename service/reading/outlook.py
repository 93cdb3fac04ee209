"""Look ahead in a line: what begins here, what follows, where the clause ends.

Every look goes ``FARTHEST`` words at most, so that a line is read in a time that grows with its length.
"""

from __future__ import annotations

from service.reading import grammar
from service.reading.lexicon import NOTHING
from service.reading.scan import LETTERS
from service.reading.sheet import OPENERS, Sheet, is_joined
from service.units.measures import Unit

FARTHEST = 12


class Outlook(Sheet):
    """A line that can be looked ahead in."""

    def unit_at(self, at: int) -> tuple[Unit | None, int]:
        """Give the unit that follows an amount and the word after it: "½ of a cup"."""
        start = at
        while at < min(self.count, start + 2) and not self.words[at].gap:
            if self.words[at].key not in grammar.BEFORE_UNITS:
                break
            at += 1
        if at >= self.count or self.words[at].gap not in ("", "-", "."):
            return None, start
        found = self.at(at)
        if found.unit is None or self.is_in_a_name(at):
            return None, start
        return found.unit, at + found.unit_length

    def is_in_a_name(self, at: int) -> bool:
        """Tell whether a unit's word begins a name: "pound cake" is one, unless a name that begins after
        it reaches further, as in "2 pounds cake flour", or, after a mass, as far: "400 grams flour"."""
        found = self.at(at)
        if found.name_length <= found.unit_length:
            return False
        after = at + found.unit_length
        reach = self.at(after).name_length if after < self.count else 0
        whole, mass = found.unit_length + reach, found.unit is not None and found.unit.kind == "mass"
        return whole < found.name_length or (whole == found.name_length and not mass)

    def is_measured(self, at: int) -> bool:
        """Tell whether an amount in a unit of mass or volume stands here."""
        amount = self.numbers.read(at) if self.numbers.starts(at) else None
        unit = None if amount is None else self.unit_at(amount.stop)[0]
        return unit is not None and unit.kind in ("mass", "volume")

    def names_at(self, at: int) -> bool:
        """Tell whether a name stands right here."""
        return at < self.count and not self.words[at].gap and self.at(at).name is not None

    def names_soon(self, at: int) -> bool:
        """Tell whether a name, or a word that may be one, follows in this clause."""
        far, start = min(self.count, at + FARTHEST), at
        while at < far:
            if at > start and self.stops(at):
                return False
            word, found = self.words[at], self.at(at)
            if found.name is not None:
                return True
            if found is NOTHING and word.key not in grammar.SMALL and word.kind == LETTERS:
                return True
            at += max(1, found.state_length)
        return False

    def opens_a_name(self, at: int) -> bool:
        """Tell whether a bracket with a name in it, or a name after one, follows."""
        return at < self.count and not OPENERS.isdisjoint(self.words[at].gap) and self.names_soon(at)

    def ends_at(self, at: int) -> bool:
        """Tell whether nothing to weigh follows before the clause ends."""
        far = min(self.count, at + FARTHEST)
        while at < far:
            if self.stops(at) or self.words[at].key in grammar.ENDERS:
                return True
            found = self.at(at)
            if not found.state_length or found.name_length > found.state_length:
                return self.counts_no_thing(at)
            at += found.state_length
        return at >= self.count

    def counts_no_thing(self, at: int) -> bool:
        """Tell whether a number stands here that is no amount: "5 times", "10 minutes", "3x"."""
        amount = self.numbers.read(at) if self.numbers.starts(at) else None
        return amount is not None and (
            self.key(amount.stop) in grammar.NOT_AMOUNTS or self.is_times(amount.stop)
        )

    def is_times(self, at: int) -> bool:
        """Tell whether an "x" says how many times: "sifted 3x", but not "3 x 400 g"."""
        after = at + 1
        return self.key(at) == "x" and (self.stops(after) or not self.numbers.starts(after))

    def remark(self, at: int, after: int | None = None) -> int:
        """Keep the rest of the clause as a remark; what stands before ``after`` is part of it."""
        after = at + 1 if after is None else after
        while not self.stops(after) and not self._or_amount(after) and not self.ends_in_amount(after):
            after += 1
        return self.note(at, after)

    def _or_amount(self, at: int) -> bool:
        """Tell whether "or" and an amount stand here."""
        after = at + 1
        return self.words[at].key == grammar.OR and after < self.count and self.numbers.starts(after)

    def ends_in_amount(self, at: int) -> bool:
        """Tell whether the amount that the thing at hand still lacks ends the clause here: "Oats with
        seeds 50 g", but not "in 4 oz pieces" nor "to make 1 cup"."""
        if self.draft.amount_written or self.draft.vague or not self.numbers.starts(at):
            return False
        before = self.key(at - 1)
        if before not in grammar.ABOUT and (before in grammar.SMALL or before in grammar.FILLS):
            return False
        amount = self.numbers.read(at)
        unit, after = (None, at) if amount is None else self.unit_at(amount.stop)
        return unit is not None and unit.kind in ("mass", "volume") and self.stops(after)

    def compound_end(self, at: int) -> int:
        """Give the end of a run of nouns: "almond paste sauce" is no almond paste."""
        while at < self.count:
            word = self.words[at]
            if not is_joined(word) or word.key in grammar.SMALL or word.kind != LETTERS:
                break
            found = self.at(at)
            if found.state or found.unit or found.part or self.numbers.starts(at):
                break
            if word.key in grammar.INSTRUCTIONS and found is NOTHING:
                break
            at += max(1, found.name_length)
        return at

    def lists(self, at: int) -> str:
        """Tell by which word a list of names ends: "raisins, currants and citron"; empty for none."""
        far = min(self.count, at + FARTHEST)
        while at < far:
            word = self.words[at]
            if word.gap and word.gap != ",":
                return ""
            if word.key in ("and", "&", "or"):
                goes_on = at + 1 < self.count and self.starts_item(at + 1) == "name"
                return word.key if goes_on else ""
            found = self.at(at)
            if found is NOTHING:
                return ""
            at += max(1, found.name_length, found.state_length)
        return ""

    def starts_item(self, at: int) -> str:
        """Say what follows: number, name, part, state (and nothing else), other, or nothing.

        ``state-other``: states and then a word that no table knows.
        """
        far, start = min(self.count, at + FARTHEST), at
        while at < far and (at == start or is_joined(self.words[at])):
            kind = self._begins(at)
            if kind:
                return kind
            found = self.at(at)
            if self.words[at].key in grammar.LEVEL_WORDS:
                at += 1
            elif found.state_length:
                at += found.state_length
            else:
                return "other" if at == start else "state-other"
        return "state" if at > start else "nothing"

    def _begins(self, at: int) -> str:
        """Say what begins at a word, states and levels apart: number, part, name, or nothing."""
        if self.numbers.starts(at) or self.words[at].key in grammar.ARTICLES:
            return "number"
        found = self.at(at)
        if found.part and found.part_length >= found.name_length:
            return "part"
        if found.name and found.name_length >= found.state_length:
            return "name"
        unit = found.unit
        if unit is None or unit.kind not in ("volume", "mass") or found.state_length:
            return ""
        return "number" if at + 1 < self.count and not self.words[at + 1].gap else ""
