"""Say what the words of an ingredient line mean: one pass from left to right, one draft at a time.

A line has a head (amount, unit, states, parts, up to the name) and a tail (what follows the name:
states, remarks, equivalents, alternatives, further things). ``_head`` and ``_tail`` take one word or
phrase of the tables each; ``amount`` takes a number with what belongs to it. Whatever no step
understands is kept as a note and named as a problem.
"""

from __future__ import annotations

from service.domain.quantity import Quantity
from service.domain.reading import Assumed, Problem, Span
from service.reading import grammar
from service.reading.amounts import DASHES, Amount, Numbers
from service.reading.draft import Draft, Measure, PartUse, StateUse
from service.reading.lexicon import NOTHING, Found, Lexicon
from service.reading.scan import DIGITS, LETTERS, SIGN, Word, scan
from service.reading.shelf import Shelf
from service.tables.rows import NameRow
from service.units.measures import Unit

OPENERS, CLOSERS, STOPS = frozenset("([{"), frozenset(")]}"), frozenset(",;:()[]{}")
FARTHEST_LOOK = 12
TIES = (" in", " with")


class LineScanner:
    """Reads one line. After ``run``: ``drafts``, ``spans``, ``problems``, ``ends_with_or``."""

    def __init__(self, text: str, lexicon: Lexicon, shelf: Shelf, language: str) -> None:
        self.text = text
        self.lexicon = lexicon
        self.shelf = shelf
        self.words, self.after = scan(text)
        self.count = len(self.words)
        self._found: list[Found | None] = [None] * self.count
        self.numbers = Numbers(self.words, language.startswith("en"))
        self.drafts: list[Draft] = []
        self.draft = Draft(0)
        self.owner: Draft | None = None
        self.depth = 0
        self.tied = False
        self.loose: list[int] = []
        self.marks: list[tuple[str, int, int]] = []
        self.problems: list[Problem] = []
        self.ends_with_or = False

    # -- the pass ------------------------------------------------------------------------------

    def run(self) -> None:
        """Read all words."""
        at, words = 0, self.words
        while at < self.count:
            word = words[at]
            if word.gap:
                self._cross(word.gap, at)
            at = self._step(at)
        self._close()

    def at(self, at: int) -> Found:
        """Give what the tables have that may begin at a word."""
        found = self._found[at]
        if found is None:
            found = self._found[at] = self.lexicon.at(self.words, at, self.count)
        return found

    def _step(self, at: int) -> int:
        draft = self.draft
        if self.numbers.starts(at):
            found = self.at(at)
            if found.name_length < 2 or draft.named:
                if found.unit_length < 2:
                    return self._amount(at)
        if draft.named:
            return self._tail(at)
        return self._head(at)

    def _cross(self, gap: str, at: int) -> None:
        """Take notice of the punctuation before a word."""
        for mark in gap:
            if mark in OPENERS:
                self.depth += 1
            elif mark in CLOSERS and self.depth:
                self.depth -= 1
        if self.draft.unread and not self.draft.named and not STOPS.isdisjoint(gap):
            self._name_unknown(self.draft, at)

    def mark(self, part: str, start: int, stop: int) -> None:
        """Note which part of the line the words from ``start`` to before ``stop`` give."""
        if self.owner is not None:
            part = "alternative"
        self.marks.append((part, start, stop))

    def slice(self, start: int, stop: int) -> str:
        """Give the text of the words from ``start`` to before ``stop``."""
        return self.text[self.words[start].start : self.words[stop - 1].end]

    def problem(self, code: str, detail: str, start: int, stop: int) -> None:
        """Report the words from ``start`` to before ``stop``."""
        place = self.words[start].start, self.words[stop - 1].end
        self.problems.append(Problem(code, detail, *place))

    # -- amounts -------------------------------------------------------------------------------

    def _amount(self, at: int) -> int:
        """Take a number and what belongs to it."""
        amount = self.numbers.read(at)
        quantity = None if amount is None else amount.quantity
        if amount is None:
            self.problem("number-not-read", "not a number that can be read", at, at + 1)
            self.draft.amount_written = True
            return at + 1
        stop = amount.stop
        if stop < self.count and self.words[stop].key in grammar.NOT_AMOUNTS:
            return self._remark(at, None if self.draft.named else stop + 1)
        if quantity is None:
            self.problem("quantity-out-of-bounds", "more than 0 and at most a million", at, stop)
            self.draft.amount_written = True
            return stop
        if self.draft.named:
            return self._amount_after_name(at, amount, quantity)
        return self._amount_before_name(at, amount, quantity)

    def _unit_at(self, at: int) -> tuple[Unit | None, int]:
        """Give the unit that follows an amount and the word after it: "½ of a cup"."""
        start = at
        while at < self.count and at < start + 2 and not self.words[at].gap:
            if self.words[at].key != "of" and self.words[at].key not in grammar.ARTICLES:
                break
            at += 1
        if at >= self.count or self.words[at].gap not in ("", "-", "."):
            return None, start
        found = self.at(at)
        if found.unit is None or found.name_length > found.unit_length:
            return None, start
        return found.unit, at + found.unit_length

    def _amount_before_name(self, at: int, amount: Amount, quantity: Quantity) -> int:
        draft, stop = self.draft, amount.stop
        if not draft.amount_written:
            self._set_quantity(draft, at, amount, quantity)
            return self._size_after_count(at, amount, quantity)
        if draft.parts and draft.unit is None and not self.depth:
            self._next_item(at)
            self._set_quantity(self.draft, at, amount, quantity)
            return stop
        unit, after = self._unit_at(stop)
        if unit is None or draft.quantity is None:
            self.loose.extend(range(at, stop))
            return stop
        if draft.unit is None:
            return self._size(at, stop, after, quantity, unit)
        return self._further_amount(at, after, quantity, unit, amount)

    def _set_quantity(self, draft: Draft, at: int, amount: Amount, quantity: Quantity) -> None:
        draft.quantity, draft.amount_written, draft.inherits = quantity, True, False
        draft.assumed += amount.assumed
        self.mark("quantity", at, amount.stop)

    def _size_after_count(self, at: int, amount: Amount, quantity: Quantity) -> int:
        """Take "1-8 oz can" for one can of eight ounces, "2 x 400 g tins" for two of 400 g."""
        stop = amount.stop
        if stop < self.count and (self.words[stop].key in ("x", "×") or "×" in self.words[stop].gap):
            times = stop + 1 if self.words[stop].key == "x" else stop
            if times < self.count and self.numbers.starts(times):
                second = self.numbers.read(times)
                unit, after = (None, 0) if second is None else self._unit_at(second.stop)
                if second is not None and second.quantity is not None and unit is not None:
                    self.mark("joint", stop, times)
                    return self._size(times, second.stop, after, second.quantity, unit)
        if quantity.low == quantity.high or quantity.low.denominator != 1:
            return stop
        unit, after = self._unit_at(stop)
        if unit is None or unit.kind not in ("mass", "volume") or self._unit_at(after)[0] is None:
            return stop
        if not any(DASHES & set(word.gap) for word in self.words[at + 1 : stop]):
            return stop
        self.marks.pop()
        self.mark("quantity", at, at + 1)
        self.draft.quantity = Quantity.of(quantity.low)
        return self._size(at + 1, stop, after, Quantity.of(quantity.high), unit)

    def _size(self, at: int, stop: int, after: int, quantity: Quantity, unit: Unit) -> int:
        """Take the size of one of what is counted: "1 8 oz can"; of "1 000 g" one number."""
        draft = self.draft
        word = self.words[at]
        counted = self._unit_at(after)[0]
        if len(word.text) == 3 and word.kind == DIGITS and not word.gap and counted is None:
            before = self.words[at - 1]
            if before.kind == DIGITS and len(before.text) <= 3 and draft.quantity is not None:
                value = draft.quantity.low * 1000 + int(word.text)
                draft.quantity = Quantity.of(value)
                taken = Assumed("thousands-blank", "quantity", str(value), (word.text,))
                draft.assumed.append(taken)
                self.mark("quantity", at, stop)
                return stop
        draft.equivalent = Measure(quantity, unit, each=True)
        self.mark("equivalent", at, after)
        return after

    def _further_amount(
        self, at: int, after: int, quantity: Quantity, unit: Unit, amount: Amount
    ) -> int:
        """Take a second amount beside the first: the far end of a range, more of it, or the same in
        another measure."""
        draft, own = self.draft, self.draft.unit
        first = draft.quantity
        if own is None or first is None:
            return self._equal(at, after, quantity, unit)
        before = self.words[at - 1].key if at else ""
        gap = self.words[at].gap
        if own.code == unit.code and (before in ("to", "or") or (gap and gap in DASHES)):
            draft.quantity = Quantity(min(first.low, quantity.low), max(first.high, quantity.high))
            self.mark("quantity", at, amount.stop)
            self.mark("unit", amount.stop, after)
            return after
        if before in grammar.LESS or before == "than":
            return self._take_away(at, after, quantity, unit, amount, turned=before == "than")
        if self.marks and self.marks[-1][0] == "equivalent" and self.marks[-1][2] == at:
            return self._more_of_the_same(at, after, quantity, unit)
        if (before in grammar.ADDS or gap in ("", "+")) and before != "or" and not self.depth:
            ratio = unit.exact / own.exact if unit.kind == own.kind else None
            if ratio is not None and ratio.denominator <= 1000 and own.kind != "percent":
                more = quantity.times(ratio)
                draft.quantity = Quantity(first.low + more.low, first.high + more.high)
                self.mark("quantity", at, amount.stop)
                self.mark("unit", amount.stop, after)
                return after
            if before in grammar.ADDS:
                self._add_apart(at, amount, quantity)
                return amount.stop
        return self._equal(at, after, quantity, unit)

    def _take_away(
        self, at: int, after: int, quantity: Quantity, unit: Unit, amount: Amount, *, turned: bool
    ) -> int:
        """Take "1 cup less 2 tablespoons" or, turned, "2 tablespoons less than 1 cup"."""
        draft, own, first = self.draft, self.draft.unit, self.draft.quantity
        if own is None or first is None or own.kind != unit.kind:
            return self._equal(at, after, quantity, unit)
        whole, part = (quantity, first) if turned else (first, quantity)
        ratio = own.exact / unit.exact if turned else unit.exact / own.exact
        rest = Quantity(whole.low - part.high * ratio, whole.high - part.low * ratio)
        if rest.low <= 0:
            self.problem("quantity-out-of-bounds", "nothing is left of the amount", at, after)
            return after
        draft.quantity = rest
        draft.unit = unit if turned else own
        self.mark("quantity", at, amount.stop)
        self.mark("unit", amount.stop, after)
        return after

    def _more_of_the_same(self, at: int, after: int, quantity: Quantity, unit: Unit) -> int:
        """Add to an equivalent of two units: the "4oz" of "1kg/2lb 4oz"."""
        held = self.draft.equivalent
        if held is not None and held.unit.kind == unit.kind and unit.kind in ("mass", "volume"):
            more = quantity.times(unit.exact / held.unit.exact)
            total = Quantity(held.quantity.low + more.low, held.quantity.high + more.high)
            self.draft.equivalent = Measure(total, held.unit, held.each)
            self.mark("equivalent", at, after)
            return after
        return self._equal(at, after, quantity, unit)

    def _add_apart(self, at: int, amount: Amount, quantity: Quantity) -> None:
        """Open another amount of the same thing, where the two do not add up exactly."""
        self._next_item(at)
        self._set_quantity(self.draft, at, amount, quantity)

    def _equal(self, at: int, after: int, quantity: Quantity, unit: Unit) -> int:
        """Take the same amount in another measure: "(450 g)"."""
        draft = self.draft
        if unit.kind == "percent":
            draft.notes.append(self.slice(at, after))
            self.mark("note", at, after)
            return after
        each = after < self.count and self.words[after].key == grammar.EACH
        if draft.equivalent is None or (unit.kind == "mass" and draft.equivalent.unit.kind != "mass"):
            draft.equivalent = Measure(quantity, unit, each)
        if each:
            after += 1
        self.mark("equivalent", at, after)
        return after

    def _amount_after_name(self, at: int, amount: Amount, quantity: Quantity) -> int:
        draft, stop = self.draft, amount.stop
        unit, after = self._unit_at(stop)
        ends = self._ends_at(after)
        if not draft.amount_written and (ends or self.depth or self._pair_ends(at)):
            self._set_quantity(draft, at, amount, quantity)
            if unit is not None:
                draft.unit = unit
                self.mark("unit", stop, after)
            return after
        if unit is not None and unit.kind == "percent" and not ends:
            return self._remark(at)
        before = self.words[at - 1].key if at else ""
        if self.owner is not None and before in grammar.ADDS and draft.amount_written:
            return self._mixture(at)
        if unit is not None and (ends or self.depth):
            adds = before in grammar.ADDS or before in grammar.LESS
            if adds and not self.depth and draft.unit is not None:
                return self._further_amount(at, after, quantity, unit, amount)
            return self._equal(at, after, quantity, unit)
        if self.depth:
            return self._remark(at)
        if ends:
            if before in grammar.ADDS and draft.unit is None and draft.quantity is not None:
                first = draft.quantity
                draft.quantity = Quantity(first.low + quantity.low, first.high + quantity.high)
                self.mark("quantity", at, stop)
            else:
                self.loose.extend(range(at, stop))
            return stop
        self._next_item(at)
        self._set_quantity(self.draft, at, amount, quantity)
        if stop < self.count and self.words[stop].key == "of" and not self.words[stop].gap:
            self.draft.unit = draft.unit
        return self._size_after_count(at, amount, quantity)

    def _pair_ends(self, at: int) -> bool:
        """Tell whether a name stands before its amount: "Flour: 500 g", "Butter, 2 cups"."""
        return bool(self.words[at].gap) and not DASHES.isdisjoint(self.words[at].gap)

    def _ends_at(self, at: int) -> bool:
        """Tell whether nothing to weigh follows before the clause ends."""
        far = min(self.count, at + FARTHEST_LOOK)
        while at < far:
            word = self.words[at]
            if word.gap and not STOPS.isdisjoint(word.gap):
                return True
            if word.key in grammar.TAILS or word.key == grammar.EACH or word.key in grammar.OPTIONAL:
                return True
            if word.key == grammar.OR or word.key in grammar.ADDS:
                return True
            found = self.at(at)
            if not found.state_length or found.name_length > found.state_length:
                return False
            at += found.state_length
        return at >= self.count

    # -- before the name -----------------------------------------------------------------------

    def _head(self, at: int) -> int:
        found = self.at(at)
        unit = self._unit_in_head(at, found)
        if unit:
            return unit
        part_length = found.part_length
        if part_length and part_length >= found.name_length and self._is_part(at, found):
            return self._take_part(at, found)
        name, state = found.name_length, found.state_length
        if name and (name > state or not self._names_at(at + state)):
            return self._take_name(at, found)
        if state:
            return self._take_state(at, found, before=True)
        return self._head_word(at, self.words[at])

    def _unit_in_head(self, at: int, found: Found) -> int:
        """Take a unit where one is due; 0 where none is."""
        draft, unit, length = self.draft, found.unit, found.unit_length
        if unit is not None and draft.unit is not None and unit.kind == "count":
            plain = not found.name_length and not found.state_length
            if plain and self._names_soon(at + length):
                draft.notes.append(self.slice(at, at + length))
                self.mark("note", at, at + length)
                return at + length
        if unit is None or draft.unit is not None or length < found.name_length:
            return 0
        if length < found.state_length and draft.quantity is None:
            return 0
        follows = at + length
        if unit.kind == "count" and length > 1 and draft.quantity is not None:
            taken = self._unit_of_its_own(at, found)
            if taken:
                return taken
        ends = follows >= self.count or not STOPS.isdisjoint(self.words[follows].gap)
        if draft.quantity is None and draft.vague and not draft.amount_written:
            draft.notes[-1] = f"{draft.notes[-1]} {self.slice(at, follows)}"
            self.mark("note", at, follows)
            return follows
        if draft.quantity is None and not self._implies_one(at, unit, follows, ends):
            return 0
        if unit.kind == "count" and ends and not self._opens(follows) and not draft.named:
            return self._unit_that_names(at, found)
        if unit.kind == "count" and found.state_length and not self._names_soon(follows):
            return 0
        draft.unit = unit
        if draft.quantity is None and not draft.amount_written:
            draft.quantity, draft.amount_written = Quantity.of(1), True
        self.mark("unit", at, follows)
        return follows

    def _opens(self, at: int) -> bool:
        return at < self.count and not OPENERS.isdisjoint(self.words[at].gap) and self._names_soon(at)

    def _implies_one(self, at: int, unit: Unit, follows: int, ends: bool) -> bool:
        """Tell whether a unit without a number means one: "Pinch of salt", "Few grains salt"."""
        short = follows == at + 1 and len(self.words[at].text) == 1
        if self.draft.amount_written or ends or short:
            return False
        if unit.kind == "count":
            return self.words[follows].key == "of"
        return unit.kind != "percent"

    def _unit_that_names(self, at: int, found: Found) -> int:
        """Take a unit with nothing after it for what it is of: "1 yeast cake", "4 cloves"."""
        draft = self.draft
        if found.name is None:
            if found.state_length:
                return 0
            draft.unit = found.unit
            self.mark("unit", at, at + found.unit_length)
            return at + found.unit_length
        return self._take_name(at, found)

    def _unit_of_its_own(self, at: int, found: Found) -> int:
        """Take a unit that names what it is of: "yeast cake", "gelatine leaf"; 0 for another."""
        first, after = self.words[at], at + found.unit_length
        shorter = self.lexicon.phrases.get(first.key)
        if shorter is None or shorter.name is None or self._names_at(after):
            return 0
        draft = self.draft
        draft.unit = found.unit
        draft.name, draft.name_text = shorter.name, first.text
        draft.name_from, draft.name_to = at, at + 1
        self.mark("ingredient", at, at + 1)
        self.mark("unit", at + 1, after)
        return after

    def _is_part(self, at: int, found: Found) -> bool:
        """Tell whether a part word stands for a part here, and is not a mere adjective."""
        after = at + found.part_length
        if after >= self.count or self.words[after].gap:
            return True
        word = self.words[after]
        if word.key in ("of", "from", "&", "and", "or") or self.numbers.starts(after):
            return True
        if word.key in grammar.ARTICLES or word.key in grammar.TAILS or word.key in grammar.ADDS:
            return True
        following = self.at(after)
        if following.name is not None:
            return self.shelf.has_part(following.name.code, found.part or "")
        return following.state is not None and not self._names_soon(after)

    def _take_part(self, at: int, found: Found) -> int:
        draft, after = self.draft, at + found.part_length
        if draft.named:
            draft.parts.append(PartUse(found.part or "", [], after=True))
        else:
            draft.parts.append(PartUse(found.part or "", draft.states))
            draft.states = []
        self.mark("part", at, after)
        return after

    def _names_at(self, at: int) -> bool:
        if at >= self.count or self.words[at].gap:
            return False
        return self.at(at).name is not None

    def _names_soon(self, at: int) -> bool:
        """Tell whether a name, or a word that may be one, follows in this clause."""
        far = min(self.count, at + FARTHEST_LOOK)
        start = at
        while at < far:
            word = self.words[at]
            if at > start and word.gap and not STOPS.isdisjoint(word.gap):
                return False
            found = self.at(at)
            if found.name is not None:
                return True
            if found is NOTHING and word.key not in grammar.SMALL and word.kind == LETTERS:
                return True
            at += max(1, found.state_length)
        return False

    def _head_word(self, at: int, word: Word) -> int:
        """Take a small word before the name, or keep a word that no table knows."""
        draft, key = self.draft, word.key
        if key in grammar.LEVEL_WORDS:
            draft.level = grammar.LEVEL_WORDS[key]
            self.mark("level", at, at + 1)
            return at + 1
        if key in grammar.ARTICLES and not draft.unread:
            return self._article(at)
        if key in grammar.VAGUE and not draft.unread:
            draft.notes.append(word.text)
            draft.vague = True
            self.mark("note", at, at + 1)
            return at + 1
        if key == grammar.EACH:
            draft.each = True
            self.mark("joint", at, at + 1)
            return at + 1
        if key in grammar.OPTIONAL:
            return self._optional(at, at + 1)
        if key == grammar.OR:
            return self._or_before_name(at)
        if key in grammar.ADDS and not draft.unread:
            self.mark("joint", at, at + 1)
            return at + 1
        if (key in grammar.JOINTS or key in grammar.ABOUT) and not draft.unread:
            self.mark("joint", at, at + 1)
            return at + 1
        if key == "to" and at + 1 < self.count and self.numbers.starts(at + 1):
            self.mark("joint", at, at + 1)
            return at + 1
        if key in grammar.LESS and draft.unit is not None:
            return self._less(at)
        if key in grammar.TAILS and (draft.unread or draft.parts or at):
            return self._tail_before_name(at)
        if word.kind == SIGN and not word.text.isalnum():
            self.problem("unread-words", f"no meaning is known for “{word.text}”", at, at + 1)
            return at + 1
        draft.unread.append(at)
        return at + 1

    def _less(self, at: int) -> int:
        """Take "less" or "less than" before an amount; without one it begins a remark."""
        after = at + 1
        if after < self.count and self.words[after].key == "than":
            after += 1
        if after >= self.count or not self.numbers.starts(after):
            return self._remark(at)
        self.mark("joint", at, after)
        return after

    def _article(self, at: int) -> int:
        """Take "a" for one where a unit or a thing follows, else for a small word."""
        draft = self.draft
        after = self.words[at + 1] if at + 1 < self.count else None
        one = not draft.amount_written and after is not None and not after.gap
        if one and after is not None and after.key in grammar.VAGUE:
            draft.notes.append(self.slice(at, at + 2))
            draft.vague = True
            self.mark("note", at, at + 2)
            return at + 2
        if one:
            draft.quantity, draft.amount_written = Quantity.of(1), True
            self.mark("quantity", at, at + 1)
        else:
            self.mark("joint", at, at + 1)
        return at + 1

    def _tail_before_name(self, at: int) -> int:
        """Take a remark that begins before any name was known."""
        draft = self.draft
        if draft.unread:
            self._name_unknown(draft, at)
        if draft.named:
            return self._tail(at)
        return self._remark(at)

    def _or_before_name(self, at: int) -> int:
        draft = self.draft
        if at + 1 >= self.count:
            self.ends_with_or = True
            self.mark("joint", at, at + 1)
            return at + 1
        if draft.unread:
            return self._alternative(at)
        self.mark("joint", at, at + 1)
        return at + 1

    def _take_name(self, at: int, found: Found) -> int:
        """Take a name; words after it that belong to it make it a name that no table knows."""
        draft, stop = self.draft, at + found.name_length
        end = self._compound_end(stop)
        draft.name_from, draft.name_to = at, end
        draft.name_text = self.slice(at, end)
        self.mark("ingredient", at, end)
        if end > stop:
            draft.unknown = draft.name_text
            self._report_unknown(draft, at, end)
            return end
        draft.name = found.name
        if draft.unread:
            self._weigh_modifiers(draft)
        self._share_noun(draft)
        return self._after_name(stop)

    def _compound_end(self, at: int) -> int:
        """Give the end of a run of nouns: "almond paste sauce" is no almond paste."""
        while at < self.count:
            word = self.words[at]
            if word.gap not in ("", "-") or word.key in grammar.SMALL or word.kind != LETTERS:
                break
            if word.key in grammar.LEVEL_WORDS or word.key in grammar.INSTRUCTIONS:
                break
            found = self.at(at)
            if found.state or found.unit or found.part or self.numbers.starts(at):
                break
            at += max(1, found.name_length)
        return at

    def _after_name(self, at: int) -> int:
        """Take a counted unit or a part right after the name: "yeast cakes", "egg whites"."""
        draft = self.draft
        if draft.quantity is not None and draft.unit is None and draft.name is not None:
            draft.unit = self._counted_by(draft, draft.name.code)
        if at >= self.count or self.words[at].gap not in ("", "-") or draft.name is None:
            return at
        found = self.at(at)
        if found.part and not draft.parts and self.shelf.has_part(draft.name.code, found.part):
            return self._take_part(at, found)
        unit = found.unit
        if unit is not None and unit.kind == "count" and draft.unit is None and draft.quantity:
            if not found.state_length and not found.name_length:
                draft.unit = unit
                self.mark("unit", at, at + found.unit_length)
                return at + found.unit_length
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

    def _share_noun(self, draft: Draft) -> None:
        """Complete the name before "or" from the one after it: "Graham or entire wheat flour"."""
        owner = self.owner
        if owner is None or owner.unknown is not None or owner.alternatives[0] is not draft:
            return
        if owner.name is not None:
            self._share_noun_with_name(owner, draft)
            return
        left = [self.words[place] for place in owner.unread]
        for start in range(draft.name_from + 1, draft.name_to):
            row = self.lexicon.name_of([*left, *self.words[start : draft.name_to]])
            if row is not None:
                owner.name = row
                owner.name_text = f"{self.slice(owner.unread[0], owner.unread[-1] + 1)} " + self.slice(
                    start, draft.name_to
                )
                owner.name_from, owner.name_to = owner.unread[0], owner.unread[-1] + 1
                self.marks.append(("ingredient", owner.unread[0], owner.unread[-1] + 1))
                owner.unread = []
                return

    def _share_noun_with_name(self, owner: Draft, draft: Draft) -> None:
        """Read "200 g milk or dark chocolate" as two chocolates: no liquid is weighed out beside a
        solid that lends it a noun. An assumption."""
        held, unit = owner.name, owner.unit
        if held is None or unit is None or unit.kind == "volume" or not self.shelf.is_liquid(held.code):
            return
        left = self.words[owner.name_from : owner.name_to]
        for start in range(draft.name_from + 1, draft.name_to):
            row = self.lexicon.name_of([*left, *self.words[start : draft.name_to]])
            if row is not None and not self.shelf.is_liquid(row.code):
                owner.name = row
                owner.name_text = f"{owner.name_text} {self.slice(start, draft.name_to)}"
                detail = f"the noun is taken from “{draft.name_text}”"
                taken = Assumed("shared-noun", "ingredient", row.code, (held.code,), detail)
                owner.assumed.append(taken)
                return

    def _weigh_modifiers(self, draft: Draft) -> None:
        """Judge unknown words before a known name: a place or a maker ("Porto Rico molasses") leaves
        the thing what it is and is reported; any other word may make it another thing."""
        unread, draft.unread = draft.unread, []
        name = self.words[draft.name_from : draft.name_to]
        together = self.lexicon.name_of([*(self.words[at] for at in unread), *name])
        if together is not None:
            draft.name = together
            for at in unread:
                self.mark("ingredient", at, at + 1)
            return
        first = self.words[draft.name_from].text
        proper = unread[0] > 0 and first[:1].islower()
        proper = proper and all(self.words[at].text[:1].isupper() for at in unread)
        start, stop = unread[0], unread[-1] + 1
        if proper:
            draft.notes.append(self.slice(start, stop))
            detail = f"“{self.slice(start, stop)}” is not in the tables: taken for a place or a maker"
            self.problem("unread-words", detail, start, stop)
            return
        known = draft.name
        draft.name = None
        draft.name_from = start
        draft.unknown = draft.name_text = self.slice(start, draft.name_to)
        for at in unread:
            self.mark("ingredient", at, at + 1)
        self._report_unknown(draft, start, draft.name_to, (known.code,) if known else ())

    def _name_unknown(self, draft: Draft, at: int) -> None:
        """Take the words that no table knows for a name."""
        start, stop = draft.unread[0], draft.unread[-1] + 1
        draft.unknown = draft.name_text = self.slice(start, stop)
        draft.name_from, draft.name_to = start, stop
        for place in draft.unread:
            self.mark("ingredient", place, place + 1)
        draft.unread = []
        self._report_unknown(draft, start, stop)

    def _report_unknown(self, draft: Draft, start: int, stop: int, near: tuple[str, ...] = ()) -> None:
        name = draft.unknown or ""
        near = tuple(dict.fromkeys((*near, *self.lexicon.nearest(name))))[:3]
        hint = f"; near names: {', '.join(near)}" if near else ""
        self.problem("unknown-ingredient", f"no table knows “{name}”{hint}", start, stop)

    def _take_state(self, at: int, found: Found, *, before: bool) -> int:
        after = at + found.state_length
        row = found.state
        if row is not None:
            use = StateUse(row, before, self.slice(at, after))
            held = self.draft.states
            if held and held[-1].row.kind == "manner" and self.marks and self.marks[-1][2] == at:
                if not self.words[at].gap.strip("-"):
                    use.text = f"{held.pop().text} {use.text}"
            held.append(use)
            if self.draft.inherits and not before:
                for other in self._beside(self.draft):
                    other.states.append(use)
            self.tied = row.word.endswith(TIES)
            self.mark("state" if row.state else "note", at, after)
        return after

    def _beside(self, draft: Draft) -> list[Draft]:
        """Give the things that share a draft's amount and so what is said after all of them."""
        if self.owner is not None:
            return [self.owner]
        return [other for other in self.drafts if draft.leader in (other, other.leader)]

    # -- after the name ------------------------------------------------------------------------

    def _tail(self, at: int) -> int:
        word = self.words[at]
        tied, self.tied = self.tied, False
        if word.gap == ",":
            inverted = self._inverted(at)
            if inverted:
                return inverted
        key = word.key
        if key == grammar.OR:
            return self._or_after_name(at)
        found = self.at(at)
        if found.state_length and found.state_length >= found.name_length:
            return self._take_state(at, found, before=False)
        if found.unit_length > 1 and found.unit is not None and found.unit.kind == "mass":
            return self._size_of(at, found)
        if found.name is not None:
            return self._second_name(at, found, tied)
        if key in grammar.AND:
            return self._and_after_name(at)
        return self._tail_word(at, word, found)

    def _tail_word(self, at: int, word: Word, found: Found) -> int:
        """Take a small word after the name, a remark, or what no table knows."""
        draft, key = self.draft, word.key
        if key in grammar.OPTIONAL:
            return self._optional(at, at + 1)
        if key == "if" and at + 1 < self.count and self.words[at + 1].key in grammar.WISHES:
            return self._optional(at, at + 2)
        if key in grammar.LEVEL_WORDS and draft.level is None:
            draft.level = grammar.LEVEL_WORDS[key]
            self.mark("level", at, at + 1)
            return at + 1
        if key == grammar.EACH:
            self._each_of_all()
            self.mark("joint", at, at + 1)
            return at + 1
        if found.part and draft.name is not None:
            if self.shelf.has_part(draft.name.code, found.part):
                return self._take_part(at, found)
        if key in grammar.ABOUT or key in grammar.ARTICLES or key in grammar.JOINTS:
            if key != "from" and key != "per":
                self.mark("joint", at, at + 1)
                return at + 1
        if key in grammar.LESS:
            return self._less(at)
        if key in grammar.TAILS:
            return self._remark(at)
        self.loose.append(at)
        return at + 1

    def _each_of_all(self) -> None:
        """Let an amount after a list ("sugar and milk, 1 cup each") count for all of it."""
        self.draft.each = True
        for other in reversed(self.drafts):
            if other.amount_written:
                break
            self.draft.leader, self.draft.inherits = other, True

    def _optional(self, at: int, after: int) -> int:
        self.draft.optional = True
        self.mark("optional", at, after)
        return after

    def _size_of(self, at: int, found: Found) -> int:
        """Take "the size of an egg" for a measure."""
        draft, after = self.draft, at + found.unit_length
        if draft.quantity is None:
            draft.quantity, draft.amount_written = Quantity.of(1), True
        draft.unit = found.unit
        self.mark("unit", at, after)
        return after

    def _remark(self, at: int, until: int | None = None) -> int:
        """Take the rest of the clause, or the words before ``until``, as a remark."""
        after = at + 1 if until is None else until
        while until is None and after < self.count:
            word = self.words[after]
            if word.gap and not STOPS.isdisjoint(word.gap):
                break
            if word.key == grammar.OR and after + 1 < self.count and self.numbers.starts(after + 1):
                break
            after += 1
        self.draft.notes.append(self.slice(at, after))
        self.mark("note", at, after)
        return after

    def _clause_end(self, at: int) -> int:
        far = min(self.count, at + FARTHEST_LOOK)
        end = at + 1
        while end < far and (not self.words[end].gap or self.words[end].gap == "-"):
            end += 1
        return end

    def _inverted(self, at: int) -> int:
        """Take "flour, all-purpose" for all-purpose flour; 0 where it is no such name."""
        draft = self.draft
        if draft.name is None or draft.name_to <= draft.name_from:
            return 0
        length = self.at(at).name_length
        if length and (draft.each or self._lists(at + length)):
            return 0
        end = self._clause_end(at)
        name = self.words[draft.name_from : draft.name_to]
        for stop in range(end, at, -1):
            if stop - at > 4:
                continue
            row = self.lexicon.name_of([*self.words[at:stop], *name])
            if row is None:
                continue
            found = self.at(at)
            if found.state_length >= stop - at:
                return 0
            draft.name = row
            self.mark("ingredient", at, stop)
            return stop
        return 0

    def _second_name(self, at: int, found: Found, tied: bool) -> int:
        """Take another name after the first: a gloss, a list, or a thing of its own."""
        draft, row = self.draft, found.name
        after = at + found.name_length
        gap = self.words[at].gap
        if row is None:
            return after
        if tied:
            self._next_item(at)
            return self._take_name(at, found)
        if "/" in gap:
            self._open_alternative(at)
            return self._take_name(at, found)
        gloss = self.depth > 0
        if gloss and draft.name is None and not draft.parts:
            self._adopt(draft, row, at, after)
            return after
        if draft.name is not None and (row.code == draft.name.code or row.code in draft.name.instead):
            self._adopt(draft, row, at, after)
            return after
        lead = draft.leader or draft
        listed = self._lists(after) if gap and not gloss else ""
        if listed == "or" or (self.owner is not None and listed):
            self._open_alternative(at)
            return self._take_name(at, found)
        if not gloss and gap and (lead.each or not lead.amount_written or listed):
            self._next_item(at, shares=(draft.leader or draft).amount_written)
            return self._take_name(at, found)
        detail = f"“{self.slice(at, after)}” is a second name in the same place"
        self.problem("second-name", detail, at, after)
        draft.notes.append(self.slice(at, after))
        return after

    def _adopt(self, draft: Draft, row: NameRow, at: int, after: int) -> None:
        """Let a name in brackets settle what the name before it means."""
        if draft.name is None:
            draft.unknown = None
            self.problems = [p for p in self.problems if p.code != "unknown-ingredient"]
        draft.name = row
        draft.name_text = self.slice(at, after)
        self.mark("ingredient", at, after)

    def _lists(self, at: int) -> str:
        """Tell by which word a list of names ends: "raisins, currants and citron"; empty for none."""
        far = min(self.count, at + FARTHEST_LOOK)
        while at < far:
            word = self.words[at]
            if word.gap and word.gap != ",":
                return ""
            if word.key in ("and", "&", "or"):
                goes_on = at + 1 < self.count and self._starts_item(at + 1) == "name"
                return word.key if goes_on else ""
            found = self.at(at)
            if found is NOTHING:
                return ""
            at += max(1, found.name_length, found.state_length)
        return ""

    def _starts_item(self, at: int) -> str:
        """Say what follows: number, name, part, state (and nothing else), or nothing known."""
        far, start = min(self.count, at + FARTHEST_LOOK), at
        while at < far:
            word = self.words[at]
            if at > start and word.gap not in ("", "-"):
                break
            if self.numbers.starts(at):
                return "number"
            found = self.at(at)
            if found.part and found.part_length >= found.name_length:
                return "part"
            if found.name and found.name_length >= found.state_length:
                return "name"
            if word.key in grammar.ARTICLES:
                return "number"
            if found.unit is not None and found.unit.kind in ("volume", "mass"):
                if at + 1 < self.count and not found.state_length and not self.words[at + 1].gap:
                    return "number"
            if word.key in grammar.LEVEL_WORDS:
                at += 1
                continue
            if not found.state_length:
                return "other" if at == start else "state-other"
            at += found.state_length
        return "state" if at > start else "nothing"

    def _and_after_name(self, at: int) -> int:
        """Take "and", "plus", "with", "in" after a name."""
        word, draft, after = self.words[at], self.draft, at + 1
        if after < self.count and self.words[after].key == grammar.OR:
            self.mark("joint", at, after)
            return after
        kind = self._starts_item(after) if after < self.count else "nothing"
        adds = word.key in grammar.ADDS
        if word.key == "plus" and kind in ("other", "nothing"):
            return self._remark(at)
        if not adds:
            if kind != "number" or self.depth or not self._measured(after):
                return self._remark(at)
        if self.owner is not None and kind in ("name", "other", "state-other"):
            return self._mixture(at)
        self.mark("joint", at, after)
        if kind == "name" and not self.depth:
            lead = draft.leader or draft
            counted = lead.unit is None and lead.quantity is not None
            shares = lead.amount_written and (lead.each or not counted)
            self._next_item(after, shares=shares)
        elif kind == "part" and not self.depth and not self._part_goes_on(after):
            self._next_item(after)
        elif kind in ("other", "state-other") and at == draft.name_to and not self.depth:
            self._next_item(after, shares=draft.amount_written and draft.unit is not None)
        return after

    def _part_goes_on(self, at: int) -> bool:
        """Tell whether a second part is said of the same thing: "6 eggs, whites and yolks apart"."""
        found = self.at(at)
        if not found.part or not self.draft.parts or not self.draft.parts[-1].after:
            return False
        after = at + found.part_length
        return after >= self.count or not (self.words[after].key == "of" or self.numbers.starts(after))

    def _measured(self, at: int) -> bool:
        """Tell whether an amount in a unit of mass or volume stands here."""
        amount = self.numbers.read(at) if self.numbers.starts(at) else None
        if amount is None:
            return False
        unit, _ = self._unit_at(amount.stop)
        return unit is not None and unit.kind in ("mass", "volume")

    def _mixture(self, at: int) -> int:
        """Take the rest as part of an alternative that is a mixture: it has no one name."""
        draft, stop = self.draft, at + 1
        while stop < self.count and (self.depth == 0 or CLOSERS.isdisjoint(self.words[stop].gap)):
            stop += 1
        start = draft.name_from if draft.name_from >= 0 else at
        draft.name, draft.unknown = None, self.slice(start, stop)
        draft.name_text = draft.unknown
        self.mark("alternative", at, stop)
        detail = f"“{draft.unknown}” is a mixture: its parts are not weighed apart"
        self.problem("mixed-alternative", detail, start, stop)
        return stop

    def _or_after_name(self, at: int) -> int:
        after = at + 1
        if after >= self.count:
            self.ends_with_or = True
            self.mark("joint", at, after)
            return after
        kind = self._starts_item(after)
        key = self.words[after].key
        if key in grammar.TAILS or key in grammar.ABOUT:
            if kind != "number":
                return self._remark(at)
        if kind == "state":
            self.mark("joint", at, after)
            return after
        return self._alternative(at)

    def _alternative(self, at: int) -> int:
        self.mark("joint", at, at + 1)
        self._open_alternative(at + 1)
        return at + 1

    def _open_alternative(self, at: int) -> None:
        """Begin what may be taken instead; without an amount of its own it takes the last one's."""
        last = self.draft
        owner = self.owner or last
        self._flush()
        last.stop = at
        self.owner = owner
        self.draft = Draft(at, inherits=True)
        owner.alternatives.append(self.draft)

    # -- ends ----------------------------------------------------------------------------------

    def _next_item(self, at: int, *, shares: bool = False) -> None:
        """Close the draft at hand and begin the next thing to weigh."""
        last = self.owner or self.draft
        self._close()
        self.draft = Draft(at)
        if shares:
            self.draft.leader = last.leader or last
            self.draft.inherits = True
            self.draft.each = last.each

    def _close(self) -> None:
        self._flush()
        self.draft.stop = self.count
        for draft in [self.owner, *self.owner.alternatives] if self.owner else [self.draft]:
            if draft is not None and draft.unread and not draft.named:
                self._name_unknown(draft, self.count)
        self.drafts.append(self.owner or self.draft)
        self.owner = None

    def _flush(self) -> None:
        """Report the words after the name that were not understood, one run a problem."""
        run: list[int] = []
        for at in self.loose:
            if run and at != run[-1] + 1:
                self._report_loose(run)
                run = []
            run.append(at)
        if run:
            self._report_loose(run)
        self.loose = []

    def _report_loose(self, run: list[int]) -> None:
        start, stop = run[0], run[-1] + 1
        words = self.slice(start, stop)
        self.draft.notes.append(words)
        self.problem("unread-words", f"“{words}” was not understood", start, stop)

    def spans(self) -> tuple[Span, ...]:
        """Give the spans in the order of the text, neighbours of one part joined."""
        found: list[Span] = []
        before, end = "", -1
        words, marks = self.words, self.marks
        if any(marks[n][1] < marks[n - 1][1] for n in range(1, len(marks))):
            marks.sort(key=_start_of_mark)
        for part, start, stop in marks:
            if part == before and end == start and (part == "alternative" or not words[start].gap):
                found[-1] = Span(part, found[-1].start, words[stop - 1].end)
            else:
                found.append(Span(part, words[start].start, words[stop - 1].end))
            before, end = part, stop
        return tuple(found)


def _start_of_mark(mark: tuple[str, int, int]) -> int:
    return mark[1]
