"""Take names, parts and states: what the thing is, which part of it, and how it was when measured."""

from __future__ import annotations

from service.domain.reading import Assumed
from service.domain.words import key_of
from service.reading import grammar
from service.reading.draft import Draft, PartUse, StateUse
from service.reading.lexicon import Found
from service.reading.measuring import Measuring
from service.reading.outlook import FARTHEST
from service.reading.scan import Word
from service.reading.sheet import is_joined
from service.tables.rows import NameRow, StateRow
from service.units.measures import Unit

#: Ends of states after which the next name is another thing: "dissolved in", "mixed with".
TIES = (" in", " with")
#: How many words of a name stand before a bracket inside it, in the bracket and after it, at most.
MOST_BEFORE_BRACKET, MOST_IN_BRACKET, MOST_AFTER_BRACKET = 3, 3, 2
#: The state of nuts that are measured with what is not eaten.
IN_SHELL = "in-shell"


class Naming(Measuring):
    """A line whose names can be taken. ``tied``: the last state waits for another thing; ``choosing``:
    the next state is one that the thing may have instead."""

    tied = False
    choosing = False

    def take_name(self, at: int, found: Found) -> int:
        """Take a name; words after it that belong to it make it a name that no table knows."""
        draft, stop = self.draft, at + found.name_length
        end = self.compound_end(stop)
        draft.name_from, draft.name_to = at, end
        draft.name_text = self.slice(at, end)
        self.mark("ingredient", at, end)
        if end > stop:
            self._widen(draft, draft.unread)
            self.report_unknown(draft)
            return end
        draft.name = found.name
        if self.choosing and found.name is not None and found.name.state:
            self._leave_state_open(draft, found.name.state)
        self.choosing = False
        if draft.unread:
            self._judge_modifiers(draft)
        if self.waits is not None:
            self._name_what_waits(self.waits, draft)
        if self.owner is not None and self.owner.alternatives[0] is draft:
            self._share_noun(self.owner, draft)
        elif draft.leader is not None:
            for other in self.drafts[-FARTHEST:]:
                if draft.leader is other or draft.leader is other.leader:
                    self._share_part(other, draft)
        return self._after_name_taken(stop)

    def bracketed(self, at: int) -> int:
        """Take a name with a bracket inside it, which says the name in another way: "cooking (salad)
        oil"; gives the word after it, 0 where there is none."""
        start = at + 1
        while start < self.count and start - at <= MOST_BEFORE_BRACKET and is_joined(self.words[start]):
            start += 1
        if start >= self.count or self.words[start].gap != "(" or start - at > MOST_BEFORE_BRACKET:
            return 0
        stop = start + 1
        while stop < self.count and stop - start <= MOST_IN_BRACKET and is_joined(self.words[stop]):
            stop += 1
        if stop >= self.count or self.words[stop].gap != ")":
            return 0
        return self._name_around(at, start, stop)

    def _name_around(self, at: int, start: int, stop: int) -> int:
        """Take the name that words before and after a bracket make, the longest first."""
        end = stop + 1
        while end < self.count and end - stop < MOST_AFTER_BRACKET and is_joined(self.words[end]):
            end += 1
        for after in range(end, stop, -1):
            row = self.lexicon.name_of([*self.words[at:start], *self.words[stop:after]])
            if row is None:
                continue
            gloss = self.lexicon.name_of(self.words[start:after])
            settles = gloss is not None and gloss.code in row.instead
            self.draft.name = gloss if settles else row
            self.draft.name_text = self.slice(at, after)
            self.draft.name_from, self.draft.name_to = at, after
            if self.owner is not None and self.owner.alternatives[0] is self.draft:
                self._share_noun(self.owner, self.draft)
            return self.mark("ingredient", at, after)
        return 0

    def _name_what_waits(self, first: Draft, draft: Draft) -> None:
        """Give a first amount the name after the second: "1 stick plus 2 tablespoons butter"."""
        self.waits = None
        if draft.name is not None and not first.named:
            first.name, first.name_text = draft.name, draft.name_text
            first.states = first.states or [use for use in draft.states if use.before]

    def _leave_state_open(self, draft: Draft, state: str) -> None:
        """Take the plain thing where a name holds one of two states: "fresh or frozen blueberries"."""
        draft.state_open = True
        detail = f"either of two states may be meant, {state} one of them"
        draft.assumed.append(Assumed("one-of-two-states", "state", "", (state,), detail))

    def _after_name_taken(self, at: int) -> int:
        """Take a counted unit or a part right after the name: "yeast cakes", "egg whites"."""
        draft = self.draft
        if draft.name is None:
            return at
        counting = draft.quantity is not None and draft.unit is None
        if counting:
            draft.unit = self._counted_by(draft, draft.name.code)
        if at >= self.count or not is_joined(self.words[at]):
            return at
        found = self.at(at)
        if found.part and not draft.parts and self.shelf.has_part(draft.name.code, found.part):
            return self.take_part(at, found)
        unit = found.unit
        plain = not found.state_length and not found.name_length
        if counting and plain and draft.unit is None and unit is not None and unit.kind == "count":
            draft.unit = unit
            return self.mark("unit", at, at + found.unit_length)
        return at

    def _counted_by(self, draft: Draft, code: str) -> Unit | None:
        """Give the measure that a name holds, if the thing is weighed by it: "yeast cake"."""
        if draft.name_to - draft.name_from < 2:
            return None
        for at in (draft.name_to - 1, draft.name_from):
            unit = self.at(at).unit
            if unit is not None and unit.kind == "count" and self.shelf.is_weighed_by(code, unit):
                return unit
        return None

    def name_across_states(self, at: int) -> int:
        """Take a name that states stand inside: "mixed chopped peel"; 0 where there is none."""
        states = self.draft.states
        for place, use in enumerate(states[:-1]):
            row = None if use.row.state else self.lexicon.name_by_key(f"{use.row.word} {self.key(at)}")
            if row is not None:
                del states[place]
                self.draft.name, self.draft.name_text = row, f"{use.text} {self.words[at].text}"
                self.draft.name_from, self.draft.name_to = at, at + 1
                return self.mark("ingredient", at, at + 1)
        return 0

    def take_part(self, at: int, found: Found) -> int:
        """Take a part word with the states before it."""
        after = at + found.part_length
        if self.draft.parts and self.draft.quantity is not None and not self.draft.named:
            self.next_item()
        draft = self.draft
        if draft.named:
            draft.parts.append(PartUse(found.part or "", [], after=True))
        else:
            draft.parts.append(PartUse(found.part or "", draft.states))
            draft.states = []
        return self.mark("part", at, after)

    def take_state(self, at: int, found: Found, *, before: bool) -> int:
        """Take a state; after the last of several things it is said of all of them."""
        row, after = found.state, at + found.state_length
        if row is None:
            return after
        draft = self.draft
        instead = self.choosing or self._is_second_size(at, row)
        use = StateUse(row, before, self.slice(at, after), instead)
        self.choosing = False
        if self._follows_manner(draft, at):
            use.text = f"{draft.states.pop().text} {use.text}"
        draft.states.append(use)
        if draft.inherits and not before:
            for other in self._beside(draft):
                other.states.append(use)
        self.tied = row.word.endswith(TIES)
        if row.state == IN_SHELL:
            detail = "the amount is of nuts in the shell: their meats weigh less"
            self.problem("measured-in-shell", detail, at, after)
        return self.mark("state" if row.state else "note", at, after)

    def _follows_manner(self, draft: Draft, at: int) -> bool:
        """Tell whether an adverb stands right before a state: "finely chopped"."""
        if not draft.states or draft.states[-1].row.kind != "manner":
            return False
        return is_joined(self.words[at]) and self.marks[-1][2] == at

    def _is_second_size(self, at: int, row: StateRow) -> bool:
        """Tell whether a size is the other end of a range: "medium-large eggs"."""
        states = self.draft.states
        after_size = row.kind == "size" and bool(states) and states[-1].row.kind == "size"
        return after_size and self.words[at].gap == "-"

    def _beside(self, draft: Draft) -> list[Draft]:
        """Give the things that share a draft's amount."""
        if self.owner is not None:
            return [self.owner]
        return [
            one for one in self.drafts[-FARTHEST:] if draft.leader is one or draft.leader is one.leader
        ]

    def _judge_modifiers(self, draft: Draft) -> None:
        """Judge unknown words before a known name: a place or a maker ("Porto Rico molasses") leaves
        the thing what it is and is reported; any other word may make it another thing."""
        unread, draft.unread = draft.unread, []
        words = [self.words[at] for at in unread if self.key(at) not in grammar.AND]
        name = self.words[draft.name_from : draft.name_to]
        together = self.lexicon.name_of([*words, *name])
        start, stop = unread[0], unread[-1] + 1
        if together is None and start > 0 and _are_proper(words, name[0]):
            written = self.slice(start, stop)
            draft.notes.append(written)
            detail = f"“{written}” is not in the tables: taken for a place or a maker"
            self.problem("unread-words", detail, start, stop)
            return
        if together is not None:
            draft.name = together
            for at in unread:
                self.mark("ingredient", at, at + 1)
            return
        kind = self.lexicon.name_by_key(" ".join((grammar.OTHER, *(word.key for word in name))))
        if kind is not None:
            self._take_as_other(draft, kind, unread)
            return
        near = (draft.name.code,) if draft.name else ()
        self._widen(draft, unread)
        self.report_unknown(draft, near)

    def _take_as_other(self, draft: Draft, kind: NameRow, unread: list[int]) -> None:
        """Take "frobnitz flour" for flour of a kind that no table knows: an assumption, and the words
        are reported, so that nothing is told to be free of what they may bring."""
        start, stop = unread[0], unread[-1] + 1
        self._widen(draft, unread)
        written = draft.name_text
        draft.name, draft.unknown = kind, None
        taken = self.shelf.plain_name(kind.code)
        detail = f"no table knows “{self.slice(start, stop)}”: “{written}” is taken as {taken}"
        draft.assumed.append(Assumed("kind-of", "ingredient", kind.code, (), detail))
        self.problem("unread-words", detail, start, stop)

    def _widen(self, draft: Draft, unread: list[int]) -> None:
        """Take unknown words before a name into it: together they are a name that no table knows."""
        for at in unread:
            self.mark("ingredient", at, at + 1)
        draft.name_from = unread[0] if unread else draft.name_from
        draft.name, draft.unread = None, []
        draft.unknown = draft.name_text = self.slice(draft.name_from, draft.name_to)

    def _share_noun(self, owner: Draft, draft: Draft) -> None:
        """Complete the name before "or" from the one after it: "Graham or entire wheat flour"."""
        if owner.unknown is not None:
            self._share_noun_with_unknown(owner, draft)
            return
        if owner.name is not None:
            self._share_noun_with_name(owner, owner.name, draft)
            return
        if not owner.unread:
            self._share_noun_with_states(owner, draft)
            return
        start, stop = owner.unread[0], owner.unread[-1] + 1
        if draft.other and draft.name is not None:
            self._take_for_kind(owner, draft.name, draft.name_text)
            return
        shared = self._with_noun([self.words[at] for at in owner.unread], draft)
        if shared is None:
            return
        owner.name, noun = shared
        owner.name_text = f"{self.slice(start, stop)} {noun}"
        owner.name_from, owner.name_to, owner.unread = start, stop, []
        self.marks.append(("ingredient", start, stop))

    def _share_noun_with_unknown(self, owner: Draft, draft: Draft) -> None:
        """Complete words that were taken for an unknown name: "fat-free or low-fat milk"."""
        shared = self._with_noun(self.words[owner.name_from : owner.name_to], draft)
        if shared is None:
            return
        self.settle_unknown(self.words[owner.name_from].start)
        owner.name, owner.unknown = shared[0], None
        owner.name_text = f"{owner.name_text} {shared[1]}"

    def settle_unknown(self, start: int) -> None:
        """Take back the report of the unknown name that began at a character."""
        for place in range(len(self.problems) - 1, -1, -1):
            if self.problems[place].start == start:
                del self.problems[place]
                return

    def _share_noun_with_states(self, owner: Draft, draft: Draft) -> None:
        """Complete states before "or" and another amount: "2 large or 3 small eggs" are eggs both,
        "1 cake fresh or 1 package dry yeast" two yeasts."""
        if not owner.states or draft.name is None:
            return
        said = [word for use in owner.states for word in key_of(use.text).split()]
        for start in range(draft.name_from, draft.name_to):
            nouns = [word.key for word in self.words[start : draft.name_to]]
            row = self.lexicon.name_by_key(" ".join([*said, *nouns]))
            if row is not None:
                owner.name, owner.states = row, []
                owner.name_text = " ".join([*said, self.slice(start, draft.name_to)])
                return
        owner.name, owner.name_text = draft.name, draft.name_text

    def _take_for_kind(self, owner: Draft, row: NameRow, written: str) -> None:
        """Read "Plumelle or other shortening": what no table knows is a kind of what one does."""
        start, stop = owner.unread[0], owner.unread[-1] + 1
        owner.name, owner.name_text, owner.unread = row, written, []
        owner.name_from, owner.name_to = start, stop
        owner.notes.append(self.slice(start, stop))
        self.marks.append(("ingredient", start, stop))
        detail = f"“{self.slice(start, stop)}” is taken for a kind of {written}"
        owner.assumed.append(Assumed("kind-of", "ingredient", row.code, (), detail))

    def _share_noun_with_name(self, owner: Draft, held: NameRow, draft: Draft) -> None:
        """Read "200 g milk or dark chocolate" as two chocolates: no liquid is weighed out beside a
        solid that lends it a noun. An assumption."""
        if self._share_part(owner, draft):
            return
        unit = owner.unit
        if unit is not None and unit.measure_class == "spoon" and not draft.amount_written:
            self._share_flavour(owner, held, draft)
            return
        if unit is None or unit.kind == "volume" or not self.shelf.is_liquid(held.code):
            return
        shared = self._with_noun(self.words[owner.name_from : owner.name_to], draft)
        if shared is None or self.shelf.is_liquid(shared[0].code):
            return
        owner.name, noun = shared
        owner.name_text = f"{owner.name_text} {noun}"
        detail = f"the noun is taken from “{draft.name_text}”"
        owner.assumed.append(Assumed("shared-noun", "ingredient", owner.name.code, (held.code,), detail))

    def _share_flavour(self, owner: Draft, held: NameRow, draft: Draft) -> None:
        """Read "1 teaspoon lemon or vanilla extract" as two extracts."""
        if draft.name is None or not self.shelf.is_flavour(draft.name.code):
            return
        shared = self._with_noun(self.words[owner.name_from : owner.name_to], draft)
        if (
            shared is None
            or self.shelf.is_flavour(held.code)
            or not self.shelf.is_flavour(shared[0].code)
        ):
            return
        owner.name = shared[0]
        owner.name_text = f"{owner.name_text} {shared[1]}"
        detail = f"the noun is taken from “{draft.name_text}”"
        owner.assumed.append(Assumed("shared-noun", "ingredient", owner.name.code, (held.code,), detail))

    def _share_part(self, owner: Draft, draft: Draft) -> bool:
        """Read "lemon and orange peel" as two peels: a part of each."""
        held = owner.name
        if held is None or owner.parts or draft.amount_written:
            return False
        shared = self._with_noun(self.words[owner.name_from : owner.name_to], draft)
        if shared is None or not self.shelf.is_part_of(shared[0].code, held.code):
            return False
        owner.name = shared[0]
        owner.name_text = f"{owner.name_text} {shared[1]}"
        detail = f"the part is taken from “{draft.name_text}”"
        owner.assumed.append(Assumed("shared-noun", "ingredient", owner.name.code, (held.code,), detail))
        return True

    def _with_noun(self, left: list[Word], draft: Draft) -> tuple[NameRow, str] | None:
        """Find the name that words make with the last words of a later name."""
        for start in range(draft.name_from + 1, draft.name_to):
            row = self.lexicon.name_of([*left, *self.words[start : draft.name_to]])
            if row is not None:
                return row, self.slice(start, draft.name_to)
        return None


def _are_proper(words: list[Word], name: Word) -> bool:
    """Tell whether words are proper names: capitals where the name has none."""
    return name.text[:1].islower() and all(word.text[:1].isupper() for word in words)
