"""Read the head of a thing to weigh: everything up to and with its name."""

from __future__ import annotations

from service.domain.quantity import Quantity
from service.reading import grammar
from service.reading.amounts import SHARE_WORDS
from service.reading.draft import Draft, Measure
from service.reading.lexicon import Found
from service.reading.naming import Naming
from service.reading.scan import SIGN
from service.units.measures import Unit

WEIGHT = "weight"
#: Words that begin a remark, or a range, where they stand first in a line.
FIRST_TAILS = grammar.EXTRA | {"from"}


class Head(Naming):
    """A line whose heads can be read, one word or phrase at a time."""

    def head(self, at: int) -> int:
        """Take what stands at a word before the name; gives the word after it."""
        found = self.at(at)
        if found.unit is not None:
            after = self._unit(at, found, found.unit)
            if after:
                return after
        if self.has_bracket and not self.depth and not self.draft.unread:
            after = self.bracketed(at)
            if after:
                return after
        part, name, state = found.part_length, found.name_length, found.state_length
        if part and part >= name and self._is_part(at, found):
            return self.name_across_states(at) or self.take_part(at, found)
        if name and (name > state or not self.names_at(at + state)):
            return self.take_name(at, found)
        if state:
            return self.take_state(at, found, before=True)
        return self.small_word(at) or self._head_word(at)

    def _unit(self, at: int, found: Found, unit: Unit) -> int:
        """Take a unit where one is due; 0 where none is."""
        draft, length = self.draft, found.unit_length
        if draft.unit is not None:
            return self._pack(at, found, unit)
        if self.is_in_a_name(at) or (length < found.state_length and draft.quantity is None):
            return 0
        if draft.quantity is None:
            return self._unit_without_number(at, at + length, unit)
        if unit.kind == "count":
            if draft.unread and not self.names_at(at + length):
                return 0
            if draft.unread:
                self.leave_unread(draft)
            return self._count(at, found, unit)
        draft.unit = unit
        if draft.unread:
            self.leave_unread(draft)
        if draft.states:
            self.level_from_size(draft)
        return self.mark("unit", at, at + length)

    def leave_unread(self, draft: Draft) -> None:
        """Report unknown words between a number and its unit; they say something of the measure."""
        start, stop = draft.unread[0], draft.unread[-1] + 1
        written = self.slice(start, stop)
        draft.notes.append(written)
        self.problem("unread-words", f"“{written}” was not understood", start, stop)
        draft.unread = []

    def _pack(self, at: int, found: Found, unit: Unit) -> int:
        """Keep the word for a pack whose mass is told: "7 g sachet yeast"; 0 for another word."""
        after = at + found.unit_length
        if self.depth and unit.kind == "mass" and self.draft.quantity is not None:
            self.draft.equivalent = Measure(self.draft.quantity, unit)
            return self.mark("equivalent", at, after)
        weighed = self.draft.unit is not None and self.draft.unit.kind in ("mass", "volume")
        if not weighed or unit.kind != "count" or found.name_length or found.state_length:
            return 0
        return self.note(at, after) if self.names_soon(after) else 0

    def _unit_without_number(self, at: int, after: int, unit: Unit) -> int:
        """Take "Pinch of salt" for one pinch; "few drops" is left to the cook; 0 for another word."""
        draft = self.draft
        if draft.vague and not draft.amount_written:
            draft.notes[-1] = f"{draft.notes[-1]} {self.slice(at, after)}"
            return self.mark("note", at, after)
        short = after == at + 1 and len(self.words[at].text) == 1
        if draft.amount_written or self.stops(after) or short or unit.kind == "percent":
            return 0
        if unit.kind == "count" and self.key(after) != "of":
            return 0
        draft.quantity, draft.amount_written, draft.unit = Quantity.of(1), True, unit
        if draft.states:
            self.level_from_size(draft)
        return self.mark("unit", at, after)

    def _count(self, at: int, found: Found, unit: Unit) -> int:
        """Take a counted unit: "2 sticks butter", "1 yeast cake"; "4 cloves" are the things."""
        draft, after = self.draft, at + found.unit_length
        if found.unit_length > 1:
            taken = self._unit_with_its_name(at, after, unit)
            if taken:
                return taken
        if self.stops(after) and not self.opens_a_name(after):
            if found.name is not None:
                return self.take_name(at, found)
            if found.state_length:
                return 0
        elif found.state_length and not self.names_soon(after):
            return 0
        draft.unit = unit
        return self.mark("unit", at, after)

    def _unit_with_its_name(self, at: int, after: int, unit: Unit) -> int:
        """Take a unit that names what it is of: "gelatine leaf"; 0 for another."""
        first = self.words[at]
        shorter = self.lexicon.phrases.get(first.key)
        if shorter is None or shorter.name is None or self.names_at(after):
            return 0
        draft = self.draft
        draft.unit = unit
        draft.name, draft.name_text = shorter.name, first.text
        draft.name_from, draft.name_to = at, at + 1
        self.mark("ingredient", at, at + 1)
        return self.mark("unit", at + 1, after)

    def _is_part(self, at: int, found: Found) -> bool:
        """Tell whether a part word stands for a part here, and is not a mere adjective."""
        after = at + found.part_length
        if after >= self.count or self.words[after].gap or self.numbers.starts(after):
            return True
        if self.words[after].key == grammar.OR and self._shares_a_noun(at, after + 1):
            return False
        if self.words[after].key in grammar.AFTER_PARTS:
            return True
        following = self.at(after)
        if following.name is not None:
            return self.shelf.has_part(following.name.code, found.part or "")
        return following.state is not None and not self.names_soon(after)

    def _shares_a_noun(self, at: int, other: int) -> bool:
        """Tell whether a word before "or" shares a noun after it: "white or brown sugar"."""
        while other < self.count and (found := self.at(other)).state_length > found.name_length:
            other += found.state_length
        length = self.at(other).name_length if other < self.count else 0
        first = self.words[at]
        return any(
            self.lexicon.name_of([first, *self.words[start : other + length]]) is not None
            for start in range(other + 1, other + length)
        )

    def small_word(self, at: int) -> int:
        """Take a small word that means the same before and after a name; 0 for another."""
        draft, key = self.draft, self.words[at].key
        if key in grammar.LEVEL_WORDS and draft.level is None:
            draft.level = grammar.LEVEL_WORDS[key]
            return self.mark("level", at, at + 1)
        if key in grammar.EACHES:
            self.each_of_all()
            return self.joint(at, at + 1)
        if key in grammar.OPTIONAL:
            return self.optional(at, at + 1)
        if key in grammar.LESS and draft.unit is not None:
            return self._less(at)
        return 0

    def each_of_all(self) -> None:
        """Let an amount count for each: after a list ("sugar and milk, 1 cup each") for all of it."""
        draft = self.draft
        draft.each = True
        listed: list[Draft] = []
        for other in reversed(self.drafts):
            if other.amount_written or other.each:
                break
            listed.append(other)
        for other in listed:
            other.each = True
            if other is not listed[-1]:
                other.leader = listed[-1]
            draft.leader, draft.inherits = listed[-1], True

    def optional(self, at: int, after: int) -> int:
        """Take the thing as one that may be left out."""
        self.draft.optional = True
        return self.mark("optional", at, after)

    def _less(self, at: int) -> int:
        """Take "less" or "less than" before an amount; without one it begins a remark."""
        after = at + 2 if self.key(at + 1) == "than" else at + 1
        if after < self.count and self.numbers.starts(after):
            return self.joint(at, after)
        return self.remark(at)

    def _head_word(self, at: int) -> int:
        """Take a small word before the name, or keep a word that no table knows."""
        draft, word, after = self.draft, self.words[at], at + 1
        key = word.key
        if key in grammar.TAILS and (draft.unread or draft.parts or at or key in FIRST_TAILS):
            return self._tail_word_in_head(at)
        if key == grammar.OR:
            return self._or_in_head(at)
        if key == grammar.OTHER and self.owner is not None:
            draft.other = True
            return self.joint(at, after)
        measuring = self._word_of_measures(at)
        if measuring:
            return measuring
        if not draft.unread:
            if key in grammar.ARTICLES:
                return self._article(at)
            if key in grammar.VAGUE:
                draft.vague = True
                return self.note(at, after)
            if key in grammar.TYING:
                return self.joint(at, after)
        if word.kind == SIGN:
            self.problem("unread-words", f"no meaning is known for “{word.text}”", at, after)
            return after
        draft.unread.append(at)
        return after

    def _word_of_measures(self, at: int) -> int:
        """Take a word that says something of a measure to come; 0 for another."""
        draft, key, after = self.draft, self.words[at].key, at + 1
        if key in grammar.OF_MEASURES and draft.level is None and self._measures_at(after):
            draft.level = grammar.OF_MEASURES[key]
            return self.mark("level", at, after)
        return self._weight_of_eggs(at) if key == WEIGHT and not draft.amount_written else 0

    def _weight_of_eggs(self, at: int) -> int:
        """Take "the weight of four eggs in flour": so many times that of one; 0 for other words."""
        number = at + 2
        if self.key(at + 1) != "of" or number >= self.count or not self.numbers.starts(number):
            return 0
        amount = self.numbers.read(number)
        if amount is None or amount.quantity is None:
            return 0
        found = self.lexicon.phrases.get(f"weight of an {self.key(amount.stop)}")
        if found is None or found.unit is None:
            return 0
        draft = self.draft
        draft.quantity, draft.amount_written, draft.unit = amount.quantity, True, found.unit
        return self.mark("unit", at, amount.stop + 1)

    def _article(self, at: int) -> int:
        """Take "a" for one where a unit or a thing follows, else for a small word."""
        draft, after = self.draft, at + 1
        if draft.amount_written or after >= self.count or self.words[after].gap:
            return self.joint(at, after)
        if self.words[after].key in grammar.VAGUE:
            draft.vague = True
            return self.note(at, after + 1)
        if self._share_after_level(after):
            return self.joint(at, after)
        draft.quantity, draft.amount_written = Quantity.of(1), True
        return self.mark("quantity", at, after)

    def _share_after_level(self, at: int) -> bool:
        """Tell whether a number follows a level ("a scant half cup"), or half of it a size."""
        number = self.past_levels(at)
        if number == at or number >= self.count or not self.numbers.starts(number):
            return False
        return self.key(at) in grammar.LEVEL_WORDS or self.key(number) in SHARE_WORDS

    def _is_between_sizes(self, at: int) -> bool:
        """Tell whether "to" stands between two sizes: "4 medium to large eggs"."""
        states, after = self.draft.states, at + 1
        if not states or states[-1].row.kind != "size" or after >= self.count:
            return False
        row = self.at(after).state
        return row is not None and row.kind == "size"

    def _tail_word_in_head(self, at: int) -> int:
        """Take a word that begins a remark: what came before it is then the name."""
        if not at:
            ranges = self.key(at) == "from" and at + 1 < self.count and self.numbers.starts(at + 1)
            return self.joint(at, at + 1) if ranges else self.note(at, at + 1)
        if self.key(at) in grammar.EXTRA and self.draft.amount_written and self.names_at(at + 1):
            return self.note(at, at + 1)
        if self.key(at) == "to" and at + 1 < self.count and self.numbers.starts(at + 1):
            return self.joint(at, at + 1)
        if self.key(at) == "to" and self._is_between_sizes(at):
            self.choosing = True
            return self.joint(at, at + 1)
        if self.key(at) == "from" and not self.draft.unread:
            return self.joint(at, at + 1)
        if self.key(at) == "in" and self.follows_unit(at) and self.names_soon(at + 1):
            return self.joint(at, at + 1)
        if self.key(at) == "only" and self.draft.parts:
            return self.note(at, at + 1)
        if self.key(at) == "at" and self.key(at + 1) in grammar.ABOUT:
            return self.joint(at, at + 2)
        if self.draft.unread:
            self.name_unknown(self.draft)
            return at
        return self.remark(at)

    def _measures_at(self, at: int) -> bool:
        """Tell whether a measure of volume stands right here."""
        unit = self.at(at).unit if at < self.count and not self.words[at].gap else None
        return unit is not None and unit.kind == "volume"

    def _or_in_head(self, at: int) -> int:
        """Take "or" before the name: a choice of states, another amount, or no more than "or so"."""
        if self.key(at + 1) in grammar.OR_SO and self.draft.amount_written:
            return self.note(at, at + 2)
        after = self.joint(at, at + 1)
        if after >= self.count:
            self.ends_with_or = True
        elif self.draft.unread or self._is_another_amount(after):
            self.open_alternative()
        else:
            self.choosing = bool(self.draft.states)
        return after

    def _is_another_amount(self, at: int) -> bool:
        """Tell whether another amount in another state follows: "2 large or 3 small eggs"."""
        draft = self.draft
        said = draft.states or draft.parts
        if draft.quantity is None or not said or not self.numbers.starts(at) or self.depth:
            return False
        amount = self.numbers.read(at)
        unit = None if amount is None else self.unit_at(amount.stop)[0]
        return unit is None or unit.kind != "mass"
