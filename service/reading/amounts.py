"""Read amounts: numbers as people write them, exact, and the ranges between two.

Numbers stand in digits (``2``, ``1.5``, ``1,000``), as fractions (``¾``, ``3/4``, ``2 1/4``, ``1-1/2``)
or in words (``one-half``, ``half a``, ``two and a half``, ``a dozen``).
"""

from __future__ import annotations

from dataclasses import dataclass, field
from fractions import Fraction
from functools import lru_cache

from service.domain.quantity import LARGEST as LARGEST_AMOUNT
from service.domain.quantity import VULGAR, Quantity
from service.domain.reading import Assumed
from service.reading.scan import DIGITS, FRACTION, LETTERS, Word

LONGEST_NUMBER = 12
LARGEST = int(LARGEST_AMOUNT)
DASHES = frozenset("-‐‑‒–—−")
SLASHES = frozenset("/⁄\\")
NUMBER_WORDS = {
    "one": 1, "two": 2, "three": 3, "four": 4, "five": 5, "six": 6, "seven": 7, "eight": 8,
    "nine": 9, "ten": 10, "eleven": 11, "twelve": 12, "thirteen": 13, "fourteen": 14,
    "fifteen": 15, "sixteen": 16, "seventeen": 17, "eighteen": 18, "nineteen": 19,
    "twenty": 20, "thirty": 30, "forty": 40, "fifty": 50, "sixty": 60, "ninety": 90,
}  # fmt: skip
SHARE_WORDS = {"half": 2, "third": 3, "quarter": 4, "fourth": 4, "fifth": 5, "sixth": 6, "eighth": 8}
ARTICLES = frozenset(("a", "an"))
#: Words that count several: "a dozen", "a couple".
SEVERAL = {"dozen": 12, "doz": 12, "dz": 12, "couple": 2, "pair": 2, "score": 20}


@dataclass(slots=True)
class Amount:
    """An amount as read: the range ``low`` to ``high`` (equal for a single number), the word after
    it, and what was assumed. ``quantity`` is ``None`` where the number is beyond the bounds."""

    low: Fraction
    high: Fraction
    stop: int
    assumed: list[Assumed] = field(default_factory=list)

    @property
    def quantity(self) -> Quantity | None:
        """The amount as a quantity, or ``None`` where it is no more than zero or too large."""
        low, high = self.low, self.high
        if low.numerator <= 0 or high.numerator > LARGEST * high.denominator:
            return None
        if low is not high and high < low:
            return None
        return Quantity(low, high)


@lru_cache(maxsize=4096)
def _ratio(numerator: int, denominator: int) -> Fraction:
    return Fraction(numerator, denominator)


def _is_share(word: Word) -> bool:
    """Tell whether a word is a share by itself: "half", but not "halves"."""
    return word.key in SHARE_WORDS and not word.text.endswith(("s", "S"))


class Numbers:
    """Reads numbers from the words of one line. ``english``: whether a comma groups thousands."""

    def __init__(self, text: str, words: list[Word], english: bool) -> None:
        self.text = text
        self.words = words
        self.count = len(words)
        self.english = english

    def starts(self, at: int) -> bool:
        """Tell whether a number may start at a word."""
        word = self.words[at]
        if word.kind == DIGITS or word.kind == FRACTION:
            return True
        if word.kind != LETTERS:
            return False
        if word.key in NUMBER_WORDS or _is_share(word) or self._article(at):
            return True
        if word.key != "between" or at + 1 >= self.count:
            return False
        after = self.words[at + 1]
        return after.kind in (DIGITS, FRACTION) or after.key in NUMBER_WORDS

    def _article(self, at: int) -> bool:
        """Tell whether "a" or "an" begins a number: "a half", "a dozen"."""
        if self.words[at].key not in ARTICLES or at + 1 >= self.count:
            return False
        after = self.words[at + 1]
        return after.gap == "" and (after.key in SHARE_WORDS or after.key in SEVERAL)

    def read(self, at: int) -> Amount | None:
        """Read an amount, single or a range; ``None`` where no number starts."""
        if self.words[at].key == "between":
            return self._between(at)
        first = self.number(at)
        if first is None:
            return None
        second = self._second(first.stop)
        if second is None:
            return first
        if second.low < first.low:
            if second.low < 1 and first.low.denominator == 1 and self._dashed(first.stop):
                return Amount(first.low + second.low, first.low + second.low, second.stop, first.assumed)
            if self._dashed(first.stop):
                return first
            first, second = second, Amount(first.low, first.high, second.stop, first.assumed)
        return Amount(first.low, second.low, second.stop, first.assumed + second.assumed)

    def _between(self, at: int) -> Amount | None:
        """Read "between 2 and 3"."""
        first = self.number(at + 1)
        if first is None or first.stop + 1 >= self.count or self.words[first.stop].key != "and":
            return first
        second = self.number(first.stop + 1)
        if second is None or second.low < first.low:
            return first
        return Amount(first.low, second.low, second.stop, first.assumed + second.assumed)

    def _dashed(self, at: int) -> bool:
        return at < self.count and bool(DASHES & set(self.words[at].gap))

    def _second(self, at: int) -> Amount | None:
        """Read the far end of a range: "-3", "to 3", "or 3"."""
        if at >= self.count:
            return None
        word = self.words[at]
        if word.gap and word.gap in DASHES:
            return self.number(at) if word.kind in (DIGITS, FRACTION) or self.starts(at) else None
        if word.key in ("to", "or", "bis") and word.gap == "" and at + 1 < self.count:
            after = self.words[at + 1]
            if after.gap == "" and self.starts(at + 1):
                return self.number(at + 1)
        return None

    def number(self, at: int) -> Amount | None:
        """Read one number; ``None`` where none starts."""
        word = self.words[at]
        if word.kind == FRACTION:
            value = VULGAR[word.text]
            return self._finish(value, at + 1)
        if word.kind == DIGITS:
            return self._digits(at)
        if word.kind != LETTERS:
            return None
        return self._in_words(at)

    def _digits(self, at: int) -> Amount | None:
        word = self.words[at]
        if len(word.text) > LONGEST_NUMBER:
            return None
        if word.gap.endswith(".") and self._begins_with_point(at):
            return self._finish(Fraction(f"0.{word.text}"), at + 1)
        whole = int(word.text)
        after = self.words[at + 1] if at + 1 < self.count else None
        if after is None:
            return Amount(_ratio(whole, 1), _ratio(whole, 1), at + 1)
        if after.kind == FRACTION and after.gap in ("", "+"):
            value = VULGAR[after.text]
            return self._finish(
                _ratio(whole * value.denominator + value.numerator, value.denominator), at + 2
            )
        if after.kind == DIGITS:
            if after.gap in SLASHES and not after.text.strip("0"):
                return None
            found = self._digit_pair(at, whole, after)
            if found is not None:
                return found
        return self._finish(_ratio(whole, 1), at + 1)

    def _begins_with_point(self, at: int) -> bool:
        """Tell whether the point before a number is its own: ".5 cup", not "lb. 5" nor "... 5"."""
        start = self.words[at].start
        before = self.text[max(0, start - 2) : start]
        return before[-1:] == "." and (len(before) < 2 or before[0].isspace() or before[0] in "(-–/")

    def _digit_pair(self, at: int, whole: int, after: Word) -> Amount | None:
        """Read what two runs of digits make together: 1.5, 1,000, 3/4, 2 1/4."""
        if len(after.text) > LONGEST_NUMBER:
            return None
        tight = self.words[at].end + 1 == after.start
        if after.gap in SLASHES and after.gap:
            return self._finish(_ratio(whole, int(after.text)), at + 2)
        if tight and after.gap == "." and self.words[at].gap[-1:] != ".":
            return self._decimal(at, after)
        if tight and after.gap == ",":
            return self._comma(at)
        if not after.gap and len(after.text) == 3 and after.text.startswith("0"):
            return self._blank(at, after)
        if after.gap in ("", "+") or after.gap in DASHES:
            third = self.words[at + 2] if at + 2 < self.count else None
            if third is not None and third.kind == DIGITS and third.gap and third.gap in SLASHES:
                above, below = int(after.text), int(third.text[:LONGEST_NUMBER])
                if 0 < above < below:
                    return self._finish(_ratio(whole * below + above, below), at + 3)
        return None

    def _decimal(self, at: int, after: Word) -> Amount:
        """Read a decimal point; where no English is spoken, three digits after it may be a group."""
        word = self.words[at]
        value = Fraction(f"{word.text}.{after.text}")
        if self.english or len(after.text) != 3 or word.text.startswith("0"):
            return self._finish(value, at + 2)
        grouped = Fraction(word.text + after.text)
        taken = Assumed("thousands-point", "quantity", str(grouped), (str(float(value)),))
        return Amount(grouped, grouped, at + 2, [taken])

    def _blank(self, at: int, after: Word) -> Amount | None:
        """Read a blank between groups of three digits: "1 000"."""
        text = self.words[at].text
        if len(text) > 3 or text.startswith("0"):
            return None
        value = Fraction(text + after.text)
        taken = Assumed("thousands-blank", "quantity", str(value), (text,))
        return Amount(value, value, at + 2, [taken])

    def _comma(self, at: int) -> Amount:
        """Read a comma between digits: a group of thousands in English where three digits follow,
        else a decimal comma. Both are assumptions (contract, section 3)."""
        text, stop = self.words[at].text, at + 1
        groups = [text]
        while stop < self.count and len(groups) < 4:
            word = self.words[stop]
            tight = self.words[stop - 1].end + 1 == word.start
            if word.kind != DIGITS or word.gap != "," or not tight or len(word.text) > LONGEST_NUMBER:
                break
            groups.append(word.text)
            stop += 1
        in_threes = all(len(group) == 3 for group in groups[1:]) and len(text) <= 3
        if in_threes and not text.startswith("0") and (self.english or len(groups) > 2):
            value = Fraction("".join(groups))
            other = f"{text}.{groups[1]}"
            return Amount(
                value, value, stop, [Assumed("thousands-comma", "quantity", str(value), (other,))]
            )
        value = Fraction(f"{text}.{groups[1]}")
        other = "".join(groups[:2])
        return Amount(
            value, value, at + 2, [Assumed("decimal-comma", "quantity", str(float(value)), (other,))]
        )

    def _in_words(self, at: int) -> Amount | None:
        """Read a number in words: "three", "one-half", "half a", "a dozen", "two and a half"."""
        key = self.words[at].key
        if self._article(at):
            at += 1
            key = self.words[at].key
            if key in SEVERAL:
                return self._of_several(Fraction(1), at)
            return self._finish(_ratio(1, SHARE_WORDS[key]), at + 1)
        if _is_share(self.words[at]):
            return self._finish(_ratio(1, SHARE_WORDS[key]), at + 1)
        if key in NUMBER_WORDS:
            value, stop = NUMBER_WORDS[key], at + 1
            if value >= 20 and stop < self.count and self.words[stop].gap in ("", "-"):
                ones = NUMBER_WORDS.get(self.words[stop].key, 10)
                if ones < 10:
                    value, stop = value + ones, stop + 1
            return self._finish(_ratio(value, 1), stop)
        return None

    def _of_several(self, count: Fraction, at: int) -> Amount:
        """Read "two dozen", "a dozen and a half"."""
        size, stop = SEVERAL[self.words[at].key], at + 1
        if stop < self.count:
            added = self._and_share(count, stop)
            if added is not None:
                count, stop = added.low, added.stop
        return Amount(count * size, count * size, stop)

    def _finish(self, value: Fraction, stop: int) -> Amount:
        """Take in what belongs to the number after it: shares, "and a half", "dozen"."""
        if stop < self.count:
            word = self.words[stop]
            if word.kind == LETTERS or word.key == "&":
                if value.denominator == 1 and word.key in SHARE_WORDS and word.gap in ("", "-"):
                    spoken = self.words[stop - 1].kind == LETTERS or word.key == "half"
                    if spoken:
                        return self._finish(value / SHARE_WORDS[word.key], stop + 1)
                added = self._and_share(value, stop)
                if added is not None:
                    return added
                if word.key in SEVERAL and word.gap in ("", "-"):
                    return self._of_several(value, stop)
                if self._article(stop) and value < 1 and self.words[stop + 1].key in SEVERAL:
                    return self._of_several(value, stop + 1)
        return Amount(value, value, stop)

    def _and_share(self, value: Fraction, stop: int) -> Amount | None:
        """Read "and a half", "and ½" or "& 1/2" after a whole number."""
        if self.words[stop].key not in ("and", "&") or value.denominator != 1:
            return None
        if stop + 1 >= self.count or self.words[stop + 1].gap:
            return None
        share, after = self._share(stop + 1)
        return None if share is None else Amount(value + share, value + share, after)

    def _share(self, at: int) -> tuple[Fraction | None, int]:
        """Read a proper fraction and nothing else: "½", "1/2", "a half", "three-quarters"."""
        word = self.words[at]
        after = self.words[at + 1] if at + 1 < self.count else None
        if word.kind == FRACTION:
            return VULGAR[word.text], at + 1
        if after is None:
            return None, at
        if word.kind == DIGITS and after.kind == DIGITS and after.gap and after.gap in SLASHES:
            above, below = int(word.text[:LONGEST_NUMBER]), int(after.text[:LONGEST_NUMBER])
            return (_ratio(above, below), at + 2) if 0 < above < below else (None, at)
        above = 1 if word.key in ARTICLES else NUMBER_WORDS.get(word.key, 0)
        below = SHARE_WORDS.get(after.key, 0) if after.gap in ("", "-") else 0
        return (_ratio(above, below), at + 2) if 0 < above < below else (None, at)
