"""Say what the words of an ingredient line mean: one pass from left to right, one draft at a time.

A thing to weigh has a head (``head``: amount, unit, states, parts, up to the name) and a tail (here:
states, remarks, equivalents, alternatives, further things). Each step takes one word or phrase and
gives the word after it; amounts are taken by ``measuring``, names by ``naming``. Whatever no step
understands is kept as a note and named as a problem.
"""

from __future__ import annotations

from service.domain.quantity import Quantity
from service.domain.reading import Assumed
from service.reading import grammar
from service.reading.draft import Draft, StateUse
from service.reading.head import Head
from service.reading.lexicon import Found, shortest_turned
from service.reading.outlook import FARTHEST
from service.reading.scan import DIGITS, LETTERS
from service.reading.sheet import CLOSERS, OPENERS, is_joined
from service.tables.rows import NameRow

SIZE, GRAIN = "size", "grain"


class LineScanner(Head):
    """Reads one line. After ``run``: ``drafts``, ``spans``, ``problems``, ``ends_with_or``."""

    def run(self) -> None:
        """Read all words."""
        at, words = self._past_nearness(self._past_heading(self._past_numbering())), self.words
        while at < self.count:
            gap = words[at].gap
            if gap:
                self._cross(gap, at)
            at = self._step(at)
        self._name_bare_part()
        self.close()

    def _name_bare_part(self) -> None:
        """Take peel by weight, of no fruit, for candied: "4 oz peel" of cakes. An assumption."""
        draft, last = self.draft, next((mark for mark in self.marks[::-1] if mark[0] == "part"), None)
        weighed = draft.unit is not None and draft.unit.kind == "mass"
        if draft.named or not weighed or len(draft.parts) != 1 or last is None:
            return
        row = self.lexicon.name_by_key(f"candied {self.key(last[1])}")
        if row is not None:
            draft.name, draft.parts, draft.name_text = row, [], self.slice(last[1], last[2])
            draft.name_from, draft.name_to = last[1], last[2]
            detail = f"“{draft.name_text}” by weight, of no fruit, is taken as candied"
            draft.assumed.append(Assumed("ambiguous-name", "ingredient", row.code, (), detail))

    def _past_numbering(self) -> int:
        """Give the first word after a list's own number: "1. 2 cups flour", "b) 1 cup sugar"."""
        if self.count < 2 or not self.numbers.starts(1):
            return 0
        first, gap = self.words[0], self.words[1].gap
        numbered = first.kind == DIGITS and (")" in gap or (gap == "." and self._blank_before(1)))
        lettered = first.kind == LETTERS and len(first.text) == 1 and gap == ")"
        return self.joint(0, 1) if numbered or lettered else 0

    def _past_heading(self, at: int) -> int:
        """Give the first word after a heading in the same line: "For the icing: 100 g butter"."""
        if at or self.numbers.starts(0) or self.key(0) in grammar.OPTIONAL:
            return at
        for place in range(1, min(self.count, FARTHEST)):
            if ":" in self.words[place].gap:
                return self.note(0, place) if self._names_a_group(place) else at
        return at

    def _past_nearness(self, at: int) -> int:
        """Give the amount after how near it is meant, "rather more than 1 ounce"; else the same word."""
        after = at
        while self.key(after) in grammar.NEARLY:
            after += 1
        if at == after or after >= self.count or not self.numbers.starts(after):
            return at
        return self.note(at, after)

    def _blank_before(self, at: int) -> bool:
        return self.text[self.words[at].start - 1].isspace()

    def _step(self, at: int) -> int:
        """Take a word or a phrase. A step may give the same word again, once it has been prepared."""
        named = self.draft.named
        if self.numbers.starts(at) and not self._counts_grains(at):
            found = self.at(at)
            plain = found.unit_length < 2 and found.state_length < 2
            if self.has_bracket and not named and self.key(at + 1) == "%":
                after = self.bracketed(at)
                if after:
                    return after
            if plain and (named or found.name_length < 2):
                return self.take_amount(at)
        return self._tail(at) if named else self.head(at)

    def _counts_grains(self, at: int) -> bool:
        """Tell whether a number behind an amount is of a name: "½ cup seven-grain cereal"."""
        unit, after = self.draft.unit, at + 2
        measured = unit is not None and unit.kind in ("mass", "volume") and not self.draft.named
        counted = self.key(at + 1) == GRAIN and is_joined(self.words[at + 1])
        return measured and counted and after < self.count and is_joined(self.words[after])

    def _cross(self, gap: str, at: int) -> None:
        """Take notice of the punctuation before a word."""
        for mark in gap:
            if mark in OPENERS:
                self.depth += 1
            elif mark in CLOSERS and self.depth:
                self.depth -= 1
        if self.draft.unread and not self.draft.named and self.stops(at):
            if gap == "," and self._goes_on_after_comma(at):
                return
            if gap == ")" and self.draft.unit is not None and self._is_bracket_of_amount(at):
                self.leave_unread(self.draft)
                return
            if ":" in gap and self._names_a_group(at):
                start, stop = self.draft.unread[0], self.draft.unread[-1] + 1
                self.draft.unread = []
                self.note(start, stop)
            else:
                self.name_unknown(self.draft)

    def _is_bracket_of_amount(self, at: int) -> bool:
        """Tell whether unknown words stand in a bracket before the name: "196 lb (1 bbl) flour"."""
        first = self.draft.unread[0]
        opened = any(
            mark in OPENERS for word in self.words[max(0, first - 2) : first + 1] for mark in word.gap
        )
        found = self.at(at)
        return opened and (found.name is not None or self.names_at(at + found.state_length))

    def _goes_on_after_comma(self, at: int) -> bool:
        """Tell whether words before a comma make a name with the one after it and after states:
        "unsalted, softened butter"."""
        before = [self.words[place] for place in self.draft.unread]
        while at < self.count and (found := self.at(at)).state_length > found.name_length:
            at += found.state_length
        if at >= self.count:
            return False
        name = self.words[at : at + self.at(at).name_length]
        return bool(name) and self.lexicon.name_of([*before, *name]) is not None

    def _names_a_group(self, at: int) -> bool:
        """Tell whether what stood before a colon is no ingredient: "Crust: 1 cup crumbs"."""
        amount = self.numbers.read(at) if self.numbers.starts(at) else None
        return amount is not None and not self.ends_at(self.unit_at(amount.stop)[1])

    def _tail(self, at: int) -> int:
        """Take what stands at a word after the name."""
        tied, self.tied = self.tied, False
        word = self.words[at]
        if word.gap == "," or word.gap == "(" or word.gap == ";":
            inverted = self._inverted(at)
            if inverted:
                return inverted
        if word.key == grammar.OR:
            return self._or(at)
        found = self.at(at)
        if found.state_length and (found.state_length >= found.name_length or self._parts_at(at)):
            return self.take_state(at, found, before=False)
        if found.unit_length > 1 and found.unit is not None and found.unit.kind == "mass":
            return self._size_of(at, found)
        if found.unit is not None and self.is_bare_measure(at, found):
            return self.bare_measure(at, found)
        if found.name is not None:
            return self._second_name(at, found, found.name, tied)
        if word.key in grammar.AND:
            return self._and(at)
        return self.small_word(at) or self._tail_word(at, found)

    def _tail_word(self, at: int, found: Found) -> int:
        """Take a small word after the name, a remark, or what no table knows."""
        draft, key = self.draft, self.words[at].key
        if found.part and draft.name is not None and self.shelf.has_part(draft.name.code, found.part):
            return self.remark(at) if self._tells_of_part(at, found) else self.take_part(at, found)
        if found.part and self.depth and draft.name is None:
            return self.remark(at)
        if key == "if" and self.key(at + 1) in grammar.WISHES:
            return self.optional(at, at + 2)
        if key == SIZE:
            return self._size_in_words(at)
        if key == grammar.PART and self.depth and self.at(min(at + 1, self.count - 1)).name is not None:
            return self.remark(at)
        if key == grammar.SUCH and self.key(at + 1) == "as":
            return self.note(at, self._end_of_examples(at))
        if key in grammar.TAILS:
            return self.remark(at)
        if key in grammar.TYING or key in grammar.ARTICLES or key == "@":
            return self.joint(at, at + 1)
        self.loose.append(at)
        return at + 1

    def _end_of_examples(self, at: int) -> int:
        """Give the end of a list of examples: "mixed seeds, such as pumpkin, sunflower and linseed"."""
        after = at + 1
        while after < self.count and self.words[after].gap in ("", "-", ","):
            after += 1
        return after

    def _tells_of_part(self, at: int, found: Found) -> bool:
        """Tell whether a part is no more than what is done to it: "4 eggs, the whites beaten stiff"."""
        after, draft = at + found.part_length, self.draft
        if draft.parts or draft.name is None or self.shelf.implied(found.part) != draft.name.code:
            return False
        return after < self.count and not self.words[after].gap and self.at(after).state is not None

    def _size_of(self, at: int, found: Found) -> int:
        """Take "the size of an egg" for a measure."""
        draft = self.draft
        if draft.quantity is None:
            draft.quantity, draft.amount_written = Quantity.of(1), True
        draft.unit = found.unit
        return self.mark("unit", at, at + found.unit_length)

    def _size_in_words(self, at: int) -> int:
        """Take "the size of two eggs" for twice the size of one; else the words begin a remark."""
        draft, number = self.draft, at + 2
        amount = None
        if self.key(at + 1) == "of" and number < self.count and self.numbers.starts(number):
            amount = self.numbers.read(number)
        if amount is None or amount.quantity is None or draft.amount_written:
            return self.remark(at)
        thing = self.key(amount.stop)
        phrases = self.lexicon.phrases
        found = phrases.get(f"size of an {thing}") or phrases.get(f"size of a {thing}")
        if found is None or found.unit is None:
            return self.remark(at)
        draft.quantity, draft.amount_written, draft.unit = amount.quantity, True, found.unit
        return self.mark("unit", at, amount.stop + 1)

    def _inverted(self, at: int) -> int:
        """Take "flour, all-purpose" for all-purpose flour; 0 where it is no such name."""
        draft = self.draft
        if draft.name is None or draft.name_to <= draft.name_from:
            return 0
        found = self.at(at)
        if found.name_length and (draft.each or self.lists(at + found.name_length)):
            return 0
        if self._parts_at(at):
            return 0
        name = self.words[draft.name_from : draft.name_to]
        turned = self.lexicon.turned(self.words, at, shortest_turned(found), name)
        return 0 if turned is None else self._take_inverted(draft, turned[0], at, turned[1])

    def _parts_at(self, at: int) -> bool:
        """Tell whether a part of the thing is named here: "1 lemon, grated rind and juice"."""
        name, found = self.draft.name, self.at(at)
        if name is None:
            return False
        if not found.part and found.state_length:
            after = at + found.state_length
            found = self.at(after) if after < self.count and not self.words[after].gap else found
        return bool(found.part) and self.shelf.has_part(name.code, found.part or "")

    def _take_inverted(self, draft: Draft, row: NameRow, at: int, stop: int) -> int:
        """Take a name whose noun came first; a second one is another choice: "oil (corn, canola)"."""
        if draft.inverted:
            noun = self.slice(draft.name_from, draft.name_to)
            self.open_alternative()
            self.draft.name, self.draft.inverted = row, True
            self.draft.name_text = f"{self.slice(at, stop)} {noun}"
            self.draft.name_from, self.draft.name_to = draft.name_from, draft.name_to
            return self.mark("ingredient", at, stop)
        draft.name, draft.inverted = row, True
        return self.mark("ingredient", at, stop)

    def _second_name(self, at: int, found: Found, row: NameRow, tied: bool) -> int:
        """Take another name after the first: a gloss, a list, or a thing of its own."""
        draft, after, gap = self.draft, at + found.name_length, self.words[at].gap
        if tied:
            self.next_item()
            return self.take_name(at, found)
        if self._is_gloss(draft, row, clean=bool(gap)):
            return self._adopt(draft, row, at, after)
        lead = draft.leader or draft
        listed = self.lists(after) if gap and not self.depth else ""
        if "/" in gap or listed == "or" or (listed and self.owner is not None):
            self.open_alternative()
            return self.take_name(at, found)
        if gap and not self.depth and (lead.each or listed or not lead.amount_written):
            self.next_item(shares=lead.amount_written)
            return self.take_name(at, found)
        if not gap and self.key(at - 1) == "of" and draft.name_to == at - 1:
            return self._name_of_both(at, found, row)
        detail = f"“{self.slice(at, after)}” is a second name in the same place"
        self.problem("second-name", detail, at, after)
        draft.notes.append(self.slice(at, after))
        return after

    def _name_of_both(self, at: int, found: Found, row: NameRow) -> int:
        """Take two names about "of" for one: "flour of rice" is rice flour; where no table knows it
        turned round, as "bicarbonate of baking powder", it is unknown."""
        draft, after = self.draft, at + found.name_length
        held = self.words[draft.name_from : draft.name_to]
        turned = self.lexicon.name_of([*self.words[at:after], *held])
        near = (*([draft.name.code] if draft.name else []), row.code)
        draft.name, draft.name_to = turned, after
        draft.name_text = self.slice(draft.name_from, after)
        if turned is None:
            draft.unknown = draft.name_text
            self.report_unknown(draft, near)
        return self.mark("ingredient", at, after)

    def _is_gloss(self, draft: Draft, row: NameRow, *, clean: bool) -> bool:
        """Tell whether a name says what the name before it means: "cornflour (cornstarch)"."""
        if draft.name is None:
            return self.depth > 0 and not draft.parts
        if draft.parts and self.shelf.has_part(draft.name.code, draft.parts[-1].part):
            whole = self.shelf.cupboard.parts[draft.name.code, draft.parts[-1].part]
            return self.depth > 0 and whole.becomes == row.code
        return row.code == draft.name.code or (row.code in draft.name.instead and clean)

    def _adopt(self, draft: Draft, row: NameRow, at: int, after: int) -> int:
        """Let a second name settle what the first one means."""
        if draft.parts:
            return self.note(at, after)
        if draft.name is None:
            self.settle_unknown(self.words[draft.name_from].start)
        held = "" if draft.name is None else draft.name.state
        state = self.lexicon.phrases.get(held)
        if state is not None and state.state is not None:
            draft.states.append(StateUse(state.state, before=True, text=held))
        draft.name, draft.unknown = row, None
        draft.name_text = self.slice(at, after)
        return self.mark("ingredient", at, after)

    def _and(self, at: int) -> int:
        """Take "and", "plus", "with", "in" after a name."""
        key, after = self.words[at].key, at + 1
        if self.key(after) == grammar.OR:
            return self.joint(at, after)
        kind = self.starts_item(after) if after < self.count else "nothing"
        if key not in grammar.ADDS:
            measured = kind == "number" and not self.depth and self.is_measured(after)
            return self.joint(at, after) if measured else self.remark(at)
        if key == "plus" and kind in ("other", "nothing"):
            return self.remark(at)
        if self.owner is not None and kind in ("name", "other", "state-other"):
            return self.take_mixture(at)
        self.joint(at, after)
        if not self.depth:
            self._begin_after_and(at, after, kind)
        return after

    def _begin_after_and(self, at: int, after: int, kind: str) -> None:
        """Begin the thing that "and" adds; with no amount of its own it shares the one before,
        unless that counts pieces."""
        lead = self.draft.leader or self.draft
        counted = lead.unit is None and lead.quantity is not None
        if kind == "name":
            shares = lead.amount_written and (lead.each or not counted)
            self.next_item(shares=shares and not self._fills_up(after))
        elif kind == "part" and not self._part_goes_on(after):
            self.next_item()
        elif kind in ("other", "state-other") and at == self.draft.name_to:
            self.next_item(shares=lead.amount_written and (lead.each or not counted))

    def _fills_up(self, at: int) -> bool:
        """Tell whether what is added fills a measure: "1 tbsp vinegar plus milk to make 1 cup"."""
        far = min(self.count - 1, at + FARTHEST)
        while at < far and not self.stops(at):
            if self.key(at) == "to" and self.key(at + 1) in grammar.FILLS:
                return True
            at += 1
        return False

    def _part_goes_on(self, at: int) -> bool:
        """Tell whether a second part is said of the same thing: "6 eggs, whites and yolks apart"."""
        found = self.at(at)
        if not found.part or not self.draft.parts or not self.draft.parts[-1].after:
            return False
        after = at + found.part_length
        return after >= self.count or not (self.words[after].key == "of" or self.numbers.starts(after))

    def _is_same_amount(self, at: int) -> bool:
        """Tell whether nothing but an amount fills the rest of a bracket: "10 eggs (or 1 lb.)"."""
        amount = self.numbers.read(at) if self.depth and self.numbers.starts(at) else None
        if amount is None:
            return False
        unit, after = self.unit_at(amount.stop)
        ends = after >= self.count or not CLOSERS.isdisjoint(self.words[after].gap)
        return unit is not None and ends

    def _or(self, at: int) -> int:
        """Take "or" after a name: an alternative, a choice of states, or the start of a remark."""
        after = at + 1
        if after >= self.count:
            self.ends_with_or = True
            return self.joint(at, after)
        kind, key = self.starts_item(after), self.words[after].key
        if kind != "number" and (key in grammar.TAILS or key in grammar.ABOUT):
            return self.remark(at)
        self.joint(at, after)
        if kind == "number" and self._is_same_amount(after):
            return after
        if kind != "state":
            self.open_alternative()
        else:
            self.choosing = bool(self.draft.states)
        return after
