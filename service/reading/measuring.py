"""Take amounts: a number with its unit, and what a second amount beside the first means.

A second amount is the size of what is counted ("1 8 oz can"), more of it ("1 cup plus 2 tbsp"), less
("1 cup less 2 tbsp"), the far end of a range ("2 cups to 2½ cups"), the same in another measure
("1 lb (450 g)"), or it belongs to the next thing.
"""

from __future__ import annotations

from service.domain.quantity import Quantity
from service.domain.reading import Assumed
from service.reading import grammar
from service.reading.amounts import DASHES, SHARE_WORDS
from service.reading.draft import Draft, Measure
from service.reading.equivalents import Equivalents, Written
from service.reading.scan import DIGITS
from service.reading.sheet import CLOSERS
from service.units.measures import Unit

#: No sum of two amounts is taken for exact beyond this denominator (contested measures).
FINEST = 1000
HALF = "half"
#: What stands between a list of things and the amount of all of them.
LISTED = frozenset((",", ":", *DASHES))


class Measuring(Equivalents):
    """A line whose amounts can be taken. ``halves``: the half of an amount that waits for the second of
    two things; ``waits``: what has an amount and waits for the name after a second one."""

    halves: tuple[Quantity, Unit] | None = None
    waits: Draft | None = None

    def take_amount(self, at: int) -> int:
        """Take a number and what belongs to it; gives the word after it."""
        amount = self.numbers.read(at)
        draft = self.draft
        if amount is None:
            self.problem("number-not-read", "not a number that can be read", at, at + 1)
            draft.amount_written = True
            return at + 1
        stop = amount.stop
        heat = self.key(at - 1) == "@" and self.key(stop) in grammar.SCALES
        if heat or self.key(stop) in grammar.NOT_AMOUNTS or (draft.named and self.is_times(stop)):
            return self._no_amount(at, stop)
        quantity = amount.quantity
        if quantity is None:
            self.problem("quantity-out-of-bounds", "more than 0 and at most a million", at, stop)
            draft.amount_written = True
            return stop
        if not draft.named and not draft.amount_written:
            return self._first(Written(at, stop, stop, quantity, None, amount.assumed))
        unit, after = self.unit_at(stop)
        if unit is None and draft.named and not draft.amount_written:
            unit, after = self._unit_past_levels(stop)
        written = Written(at, stop, after, quantity, unit, amount.assumed)
        return self._after_name(written) if draft.named else self._before_name(written)

    def _unit_past_levels(self, stop: int) -> tuple[Unit | None, int]:
        """Give the measure after levels: "Flour, 2 level cups"."""
        at = self.past_levels(stop)
        unit, after = self.unit_at(at) if at > stop else (None, stop)
        return (unit, after) if unit is not None and unit.kind == "volume" else (None, stop)

    def _no_amount(self, at: int, stop: int) -> int:
        """Keep a length, a time or a temperature as a remark: "cut in 1 inch pieces", "20°C"."""
        end = stop + 1
        while end < self.count and not self.words[end].gap and self.key(end) in grammar.SCALES:
            end += 1
        if not self.draft.named:
            if self.key(stop) in grammar.LENGTHS:
                detail = "a thing given by its length is not weighed"
                self.problem("length-not-weighed", detail, at, end)
            return self.note(at, end)
        while not self.stops(end) and (not self.numbers.starts(end) or self.key(end - 1) == "to"):
            end += 1
        return self.note(at, end)

    def set_quantity(self, draft: Draft, written: Written) -> None:
        """Take a number as the draft's own."""
        draft.quantity, draft.amount_written, draft.inherits = written.quantity, True, False
        draft.assumed += written.assumed
        self.mark("quantity", written.at, written.stop)

    def _set_measure(self, written: Written, quantity: Quantity, unit: Unit | None) -> int:
        """Take a sum, a difference or a range as the draft's amount; gives the word after it."""
        self.draft.quantity, self.draft.unit = quantity, unit
        self.mark("quantity", written.at, written.stop)
        if written.after > written.stop:
            self.mark("unit", written.stop, written.after)
        return written.after

    def _first(self, written: Written) -> int:
        self.set_quantity(self.draft, written)
        return self._size_after_count(written)

    def _size_after_count(self, written: Written) -> int:
        """Take "2 x 400 g tins" for two of 400 g, "1-8 oz can" for one can of eight ounces."""
        stop = written.stop
        if stop >= self.count:
            return stop
        if self.words[stop].key == "x" or "×" in self.words[stop].gap:
            return self._times(written)
        quantity = written.quantity
        if quantity.low == quantity.high or quantity.low.denominator != 1:
            return stop
        unit, after = self.unit_at(stop)
        if unit is None or unit.kind not in ("mass", "volume") or self.unit_at(after)[0] is None:
            return stop
        if all(DASHES.isdisjoint(word.gap) for word in self.words[written.at + 1 : stop]):
            return stop
        self.marks.pop()
        self.mark("quantity", written.at, written.at + 1)
        self.draft.quantity = Quantity.of(quantity.low)
        size = Quantity.of(quantity.high)
        return self._size(Written(written.at + 1, stop, after, size, unit, []))

    def _times(self, written: Written) -> int:
        """Take the size after "x": "2 x 400 g"."""
        stop = written.stop
        times = stop + 1 if self.words[stop].key == "x" else stop
        amount = self.numbers.read(times) if times < self.count and self.numbers.starts(times) else None
        if amount is None or amount.quantity is None:
            return stop
        unit, after = self.unit_at(amount.stop)
        if unit is None:
            return stop
        if times > stop:
            self.joint(stop, times)
        return self._size(Written(times, amount.stop, after, amount.quantity, unit, amount.assumed))

    def _size(self, written: Written) -> int:
        """Take the size of one of what is counted: "1 8 oz can"; of "1 000 g" one number."""
        draft, unit = self.draft, written.unit
        if unit is None:
            self.loose.extend(range(written.at, written.stop))
            return written.stop
        if self._is_share_of_one(written):
            self.draft.quantity = written.quantity
            return self.mark("quantity", written.at, written.stop)
        if self._is_group_of_thousands(written) and draft.quantity is not None:
            text = self.words[written.at].text
            value = draft.quantity.low * 1000 + int(text)
            draft.assumed.append(Assumed("thousands-blank", "quantity", str(value), (text,)))
            draft.quantity = Quantity.of(value)
            return self.mark("quantity", written.at, written.stop)
        draft.equivalent = Measure(written.quantity, unit, each=not draft.parts)
        return self.mark("equivalent", written.at, written.after)

    def _is_share_of_one(self, written: Written) -> bool:
        """Tell whether a share is what is measured: "one scant half cup", "one small half teaspoon"."""
        draft, unit = self.draft, written.unit
        qualified = draft.level is not None or any(use.row.kind == "size" for use in draft.states)
        measured = unit is not None and unit.kind == "volume" and self.key(written.at) in SHARE_WORDS
        return qualified and measured and draft.quantity == Quantity.of(1)

    def _is_group_of_thousands(self, written: Written) -> bool:
        """Tell whether "1 000 g" is one number: three digits, and nothing counted after them."""
        word, before = self.words[written.at], self.words[written.at - 1]
        grouped = word.kind == DIGITS and len(word.text) == 3 and not word.gap
        leads = before.kind == DIGITS and len(before.text) <= 3
        return grouped and leads and self.unit_at(written.after)[0] is None

    def _before_name(self, written: Written) -> int:
        """Take a second amount before the name."""
        draft = self.draft
        if draft.parts and draft.unit is None and not self.depth:
            self.next_item()
            self.set_quantity(self.draft, written)
            return written.stop
        if draft.unit is None or draft.quantity is None:
            return self._size(written)
        return self._further(written)

    def _after_name(self, written: Written) -> int:
        """Take an amount after the name: the thing's own, the same in another measure, or the next
        thing's."""
        draft, unit = self.draft, written.unit
        ends = self.ends_at(written.after)
        percent = unit is not None and unit.kind == "percent"
        if percent and self._is_content(written):
            return self._content(written)
        if not draft.amount_written and (ends or self.depth or self._is_its_own(written)):
            self.set_quantity(draft, written)
            after = self._set_unit(written)
            self._share_with_listed(written)
            if self.owner is not None and not self.owner.amount_written:
                self.owner.take_amount_of(draft)
            return after
        if percent and not ends:
            return self.remark(written.at)
        adds = self._adds(written)
        if self.owner is not None and self._joins_a_mixture(written):
            return self.take_mixture(written.at)
        if self.depth:
            if self.goes_on_in_bracket(written):
                return self.change_equivalent(written)
            return self.equal(written) if unit else self.remark(written.at, written.stop)
        if ends:
            return self._ending(written, adds)
        return self._of_the_next(written)

    def _share_with_listed(self, written: Written) -> None:
        """Let an amount after a list be that of all of it: "cloves and mace, 1/2 teaspoonful"."""
        draft = self.draft
        if self.owner is not None or not self.drafts or self.words[written.at].gap not in LISTED:
            return
        if draft.each or draft.leader is not None or draft.name_from < 1:
            return
        before = self.drafts[-1]
        listed = before.named and not before.amount_written and not before.vague and not before.notes
        if listed and self.key(draft.name_from - 1) in grammar.ADDS:
            draft.leader, draft.inherits = before.leader or before, True

    def _adds(self, written: Written) -> bool:
        """Tell whether an amount is added to what stands before it: "plus 2 tbsp", "+ 2 tbsp"."""
        return self.key(written.at - 1) in grammar.ADDS or "+" in self.words[written.at].gap

    def _joins_a_mixture(self, written: Written) -> bool:
        """Tell whether an amount belongs to an alternative: "or 1 cup milk plus 1 tbsp vinegar"."""
        before = self.key(written.at - 1)
        if before not in grammar.ADDS and before != "with":
            return False
        return self.draft.amount_written or before != "and"

    def _is_its_own(self, written: Written) -> bool:
        """Tell whether an amount after a name is that thing's: a dash before it, or nothing to weigh
        after it."""
        dashed = not DASHES.isdisjoint(self.words[written.at].gap)
        return dashed or (written.unit is not None and not self.names_soon(written.after))

    def _is_content(self, written: Written) -> bool:
        """Tell whether a percentage is what the thing holds: "82% fat", or "55%" before a mass."""
        after = written.after
        if self.key(after) in grammar.CONTENTS:
            return True
        return after < self.count and not self.draft.amount_written and self.is_measured(after)

    def _content(self, written: Written) -> int:
        """Keep a percentage that is no amount as a remark: "82% fat", "70% cocoa solids"."""
        after = written.after
        while after < self.count and self.key(after) in grammar.CONTENTS:
            after += 1
        return self.note(written.at, after)

    def _set_unit(self, written: Written) -> int:
        if written.unit is not None:
            self.draft.unit = written.unit
            self.mark("unit", self.take_levels(written.stop), written.after)
        return written.after

    def _ending(self, written: Written, adds: bool) -> int:
        """Take an amount that ends its clause: "plus 2 tbsp", "less 2 tbsp", "about 2 cups"."""
        draft, first = self.draft, self.draft.quantity
        if written.unit is not None:
            changes = adds or self.key(written.at - 1) in grammar.LESS or self._goes_on(written)
            if draft.unit is not None and changes:
                return self._further(written)
            return self.equal(written)
        if adds and first is not None and (draft.unit is None or written.quantity.high < 1):
            more = written.quantity
            return self._set_measure(
                written, Quantity(first.low + more.low, first.high + more.high), draft.unit
            )
        self.loose.extend(range(written.at, written.stop))
        return written.stop

    def _goes_on(self, written: Written) -> bool:
        """Tell whether a smaller unit goes on with the amount: "Flour 2 lb 8 oz"."""
        own, unit = self.draft.unit, written.unit
        if own is None or unit is None or own.kind != unit.kind or unit.kind == "percent":
            return False
        plain = not self.words[written.at].gap.strip(". ")
        return plain and unit.exact < own.exact and self.follows_unit(written.at)

    def _of_the_next(self, written: Written) -> int:
        """Begin the next thing; of "one pound of sugar, one of flour" both are pounds."""
        before, halves = self.draft, self.halves
        if self._tells_of_halves(written):
            return self.remark(written.at)
        self.next_item()
        self.set_quantity(self.draft, written)
        if halves is not None and self.key(written.at) == HALF and written.unit is None:
            self.draft.quantity, self.draft.unit = halves
            self.halves = None
            return written.stop
        if self.key(written.stop) == "of" and not self.words[written.stop].gap:
            self.draft.unit = before.unit
        return self._size_after_count(written)

    def _tells_of_halves(self, written: Written) -> bool:
        """Tell whether "half" says what the thing is made of: "1 cup sugar, half white, half brown"."""
        stop = written.stop
        if self.words[written.at].gap != "," or self.key(stop - 1) != HALF or stop >= self.count:
            return False
        if written.unit is not None or self.words[stop].key in grammar.ARTICLES:
            return False
        row, each = self.at(stop).name, self.shelf.measures.find("each", self.shelf.system)
        return row is None or each is None or not self.shelf.is_weighed_by(row.code, each)

    def _further(self, written: Written) -> int:
        """Take a second amount with a unit beside a first that has one."""
        draft, own, unit = self.draft, self.draft.unit, written.unit
        first, second = draft.quantity, written.quantity
        if own is None or first is None:
            return self.equal(written)
        if self.depth and self.goes_on_in_bracket(written):
            return self.change_equivalent(written)
        if unit is None:
            return self._without_unit(written, first, own)
        before, gap = self.key(written.at - 1), self.words[written.at].gap.strip(". ")
        if own.code == unit.code and (before in ("to", "or") or (gap and gap in DASHES)):
            far = Quantity(min(first.low, second.low), max(first.high, second.high))
            return self._set_measure(written, far, own)
        if before in grammar.LESS or before == "than":
            return self._take_away(written, first, own, unit)
        if self.marks and self.marks[-1][0] == "equivalent" and self.marks[-1][2] == written.at:
            return self.more_of_the_same(written, unit) if gap in ("", "+") else self.equal(written)
        adds = before in grammar.ADDS or (gap in ("", "+") and before != "or")
        adds = adds or (gap == "," and self._is_rest(written, own, unit))
        return self._add(written, first, own, unit) if adds and not self.depth else self.equal(written)

    def _is_rest(self, written: Written, own: Unit, unit: Unit) -> bool:
        """Tell whether a smaller mass is the rest of one: "2 pounds, 2 ounces flour"."""
        small = own.kind == unit.kind == "mass" and unit.exact < own.exact
        return small and written.quantity.high * unit.exact < own.exact and self.names_at(written.after)

    def _without_unit(self, written: Written, first: Quantity, own: Unit) -> int:
        """Take a fraction of the measure just named ("one cup and a half of sugar"), or the count of
        what has been weighed ("10 oz (6 eggs)")."""
        more = written.quantity
        if self._is_half_of_two(written):
            self.draft.quantity = first.times(more.low)
            self.halves = self.draft.quantity, own
            return self.mark("quantity", written.at, written.stop)
        if more.high < 1 and self.key(written.at - 1) in grammar.ADDS and not self.depth:
            total = Quantity(first.low + more.low, first.high + more.high)
            return self._set_measure(written, total, own)
        each = self.shelf.measures.find("each", self.shelf.system)
        if own.kind == "mass" and self.depth and self.names_at(written.stop) and each is not None:
            self.draft.equivalent = Measure(more, each)
            return self.mark("equivalent", written.at, written.stop)
        return self.equal(written)

    def _is_half_of_two(self, written: Written) -> bool:
        """Tell whether an amount is halved between two things: "1 cup half milk and half water"."""
        at, after = written.at, written.stop
        if self.key(at) != HALF or self.depth or not self.names_at(after):
            return False
        then = after + self.at(after).name_length
        return self.key(then) in grammar.AND and self.key(then + 1) == HALF and self.names_at(then + 2)

    def _add(self, written: Written, first: Quantity, own: Unit, unit: Unit) -> int:
        """Take "1 cup plus 2 tablespoons"; what does not add up exactly is an amount apart."""
        draft = self.draft
        ratio = unit.exact / own.exact if unit.kind == own.kind != "percent" else None
        if ratio is not None and ratio.denominator <= FINEST:
            more = written.quantity.times(ratio)
            return self._set_measure(
                written, Quantity(first.low + more.low, first.high + more.high), own
            )
        if not self._adds(written):
            return self.equal(written)
        if not draft.named:
            self.waits = draft
        self.next_item()
        self.set_quantity(self.draft, written)
        return written.stop

    def _take_away(self, written: Written, first: Quantity, own: Unit, unit: Unit) -> int:
        """Take "1 cup less 2 tablespoons", and "2 tablespoons less than 1 cup" turned round."""
        if own.kind != unit.kind:
            return self.equal(written)
        whole, part, measure = first, written.quantity.times(unit.exact / own.exact), own
        if self.key(written.at - 1) == "than":
            whole, part, measure = written.quantity, first.times(own.exact / unit.exact), unit
        if whole.low <= part.high:
            detail = "nothing is left of the amount"
            self.problem("quantity-out-of-bounds", detail, written.at, written.after)
            return written.after
        rest = Quantity(whole.low - part.high, whole.high - part.low)
        return self._set_measure(written, rest, measure)

    def take_mixture(self, at: int) -> int:
        """Take the rest as part of an alternative that is a mixture: it has no one name."""
        draft, stop = self.draft, at + 1
        while stop < self.count and (self.depth == 0 or CLOSERS.isdisjoint(self.words[stop].gap)):
            stop += 1
        start = draft.name_from if draft.name_from >= 0 else at
        draft.name, draft.unknown = None, self.slice(start, stop)
        draft.name_text = draft.unknown
        detail = f"“{draft.unknown}” is a mixture: its parts are not weighed apart"
        self.problem("mixed-alternative", detail, start, stop)
        return self.mark("alternative", at, stop)
