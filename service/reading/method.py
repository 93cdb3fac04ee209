"""Read what a method plainly says of baking: how hot, how long, in which pans.

Only plain words count: "bake forty minutes in a moderate oven", "two 9-inch round pans". An oven that
is named by a word is an assumption; where a method bakes twice, its first baking is taken, and said.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from fractions import Fraction

from service.domain.formula import Bake, Dimension, Pan, Range
from service.domain.quantity import Quantity
from service.domain.reading import Assumed
from service.domain.words import key_of
from service.reading.amounts import Numbers
from service.reading.scan import Word, scan
from service.tables.cupboard import Cupboard
from service.tables.rows import CardWordRow

ENDS = frozenset(".;")
MINUTES = {"minute": 1, "min": 1, "hour": 60, "hr": 60}
SCALES = {"f": "[degF]", "fahrenheit": "[degF]", "c": "Cel", "celsiu": "Cel", "centigrade": "Cel"}
LENGTHS = {"inch": "[in_i]", "in": "[in_i]", "cm": "cm", "mm": "mm", "centimetre": "cm"}
TIMES = frozenset(("x", "by"))
#: Beside these a length is none of a pan's.
NO_SIZES = frozenset(("thick", "thickness", "apart", "wide", "long", "high", "length", "piece", "strip"))
MOST_WORDS_BEFORE_PAN = 10


@dataclass(slots=True)
class MethodRead:
    """What a method says: ``bake`` and ``pans`` where it says so, and what was assumed."""

    bake: Bake | None = None
    pans: tuple[Pan, ...] = ()
    assumed: list[tuple[str, Assumed]] = field(default_factory=list)


class MethodReader:
    """Reads methods under the card words of a cupboard."""

    def __init__(self, cupboard: Cupboard) -> None:
        self._ovens: dict[str, CardWordRow] = {}
        self._words: dict[str, dict[str, str]] = {"shape": {}, "preparation": {}, "pan": {}}
        for key, rows in cupboard.card_words.items():
            for row in rows:
                if row.kind == "oven":
                    self._ovens[key] = row
                elif row.kind in self._words:
                    self._words[row.kind][key] = row.meaning

    def read(self, paragraphs: tuple[str, ...]) -> MethodRead:
        """Read a method, one text a paragraph."""
        found = MethodRead()
        temperatures: list[tuple[Range, Assumed | None]] = []
        times: list[Range] = []
        pans: dict[Pan, None] = {}
        for text in paragraphs:
            words, _ = scan(text)
            numbers = Numbers(text, words, english=True)
            for start, stop in _sentences(words):
                self._sentence(words, numbers, start, stop, temperatures, times)
                pans.update(dict.fromkeys(self._pans(words, numbers, start, stop)))
        if temperatures or times:
            found.bake = Bake(
                temperature=temperatures[0][0] if temperatures else None,
                minutes=times[0] if times else None,
            )
            taken = temperatures[0][1] if temperatures else None
            if taken is not None:
                found.assumed.append(("/bake", taken))
            several = len({r for r, _ in temperatures}) > 1 or len(set(times)) > 1
            if several:
                detail = "the method bakes more than once: its first baking is taken"
                found.assumed.append(("/bake", Assumed("first-baking", "bake", "first", (), detail)))
        found.pans = tuple(pans)
        return found

    def _sentence(
        self,
        words: list[Word],
        numbers: Numbers,
        start: int,
        stop: int,
        temperatures: list[tuple[Range, Assumed | None]],
        times: list[Range],
    ) -> None:
        """Take oven and time from one sentence, the time only after the word "bake"."""
        keys = [words[at].key for at in range(start, stop)]
        bakes = "bake" in keys
        if not bakes and "oven" not in keys and "preheat" not in keys:
            return
        after = start + keys.index("bake") if bakes else stop
        at = start
        while at < stop:
            word = words[at]
            if word.key == "oven":
                oven = self._oven_before(words, start, at)
                if oven is not None and (bakes or "preheat" in keys):
                    temperatures.append(oven)
            elif word.key == "gas":
                gas = _gas(numbers, at, stop)
                if gas is not None and not temperatures:
                    temperatures.append((gas, None))
            elif numbers.starts(at):
                at = self._number(words, numbers, at, stop, at > after, temperatures, times)
                continue
            at += 1

    @staticmethod
    def _number(
        words: list[Word],
        numbers: Numbers,
        at: int,
        stop: int,
        timed: bool,
        temperatures: list[tuple[Range, Assumed | None]],
        times: list[Range],
    ) -> int:
        """Take a number for a time or a temperature; gives the place after it."""
        amount = numbers.read(at)
        if amount is None or amount.stop >= stop:
            return at + 1 if amount is None else max(at + 1, amount.stop)
        end = amount.stop
        key = words[end].key
        low, high = float(amount.low), float(amount.high)
        if key in MINUTES:
            if timed:
                size = MINUTES[key]
                more, end = _minutes_after(words, numbers, end + 1, stop) if size > 1 else (0.0, end + 1)
                times.append(Range(low * size + more, high * size + more))
            return max(end, amount.stop)
        while end < stop and words[end].key in ("°", "º", "degree", "deg"):
            end += 1
        scale = SCALES.get(words[end].key) if end < stop else None
        if scale is not None and low >= 50:
            temperatures.append((Range(low, high, scale), None))
            return end + 1
        return amount.stop

    def _oven_before(
        self, words: list[Word], start: int, at: int
    ) -> tuple[Range, Assumed | None] | None:
        """Read the word that says how hot: "in a moderate oven"."""
        for length in (2, 1):
            if at - length < start:
                continue
            row = self._ovens.get(" ".join(word.key for word in words[at - length : at]))
            if row is not None and row.low is not None and row.high is not None:
                detail = f"a {row.word} oven: {row.source}"
                value = f"{row.low:g} to {row.high:g} {row.unit}"
                taken = Assumed("oven-word", "temperature", value, (), detail)
                return Range(row.low, row.high, row.unit), taken
        return None

    def _pans(self, words: list[Word], numbers: Numbers, start: int, stop: int) -> list[Pan]:
        """Read pans of which shape and size are told."""
        pans = []
        last = start
        for at in range(start, stop):
            if words[at].key in self._words["pan"]:
                begin = max(last, at - MOST_WORDS_BEFORE_PAN)
                pan = self._pan(words, numbers, begin, at)
                if pan is not None:
                    pans.append(pan)
                last = at + 1
        return pans

    def _pan(self, words: list[Word], numbers: Numbers, start: int, stop: int) -> Pan | None:
        """Read the size in the words before "pan", back to the last comma."""
        begin = stop
        while begin > start and not words[begin].gap.strip("-x×"):
            begin -= 1
        if any(words[at].key in NO_SIZES for at in range(begin, stop)):
            return None
        sizes: list[Fraction] = []
        unit, count = None, None
        at = begin
        while at < stop:
            amount = numbers.read(at) if numbers.starts(at) else None
            if amount is None or amount.stop > stop:
                at += 1
                continue
            after = words[amount.stop]
            if after.key in LENGTHS:
                unit = LENGTHS[after.key]
                sizes.append(amount.low)
            elif after.key in TIMES or "×" in after.gap:
                sizes.append(amount.low)
            elif amount.low.denominator == 1 and not sizes:
                count = int(amount.low)
            at = amount.stop
        if unit is None or not sizes:
            return None
        return self._shaped(words, begin, stop, sizes, unit, count)

    def _shaped(
        self,
        words: list[Word],
        start: int,
        stop: int,
        sizes: list[Fraction],
        unit: str,
        count: int | None,
    ) -> Pan | None:
        said = [key_of(word.text) for word in words[start:stop]]
        shape = _told(said, self._words["shape"])
        if shape is None and len(sizes) > 1:
            shape = "square" if sizes[0] == sizes[1] else "rectangle"
        if shape is None:
            return None
        sides = [Dimension(Quantity.of(size), unit) for size in sizes]
        preparation = _told(said, self._words["preparation"])
        if shape in ("round", "tube"):
            depth = sides[1] if len(sides) > 1 else None
            return Pan(shape, diameter=sides[0], depth=depth, count=count, preparation=preparation)
        if shape == "square":
            depth = sides[2] if len(sides) > 2 else None
            return Pan(shape, length=sides[0], depth=depth, count=count, preparation=preparation)
        if len(sides) < 2:
            return None
        longer, shorter = sorted(sides[:2], key=lambda side: side.value.low, reverse=True)
        depth = sides[2] if len(sides) > 2 else None
        return Pan(
            shape, length=longer, width=shorter, depth=depth, count=count, preparation=preparation
        )


def _told(said: list[str], words: dict[str, str]) -> str | None:
    """Give what the longest known phrase among some words stands for."""
    for length in (3, 2, 1):
        for at in range(len(said) - length + 1):
            value = words.get(" ".join(said[at : at + length]))
            if value:
                return value
    return None


def _sentences(words: list[Word]) -> list[tuple[int, int]]:
    """Give the sentences of a text as runs of words; a point inside a number ends none."""
    runs, start = [], 0
    for at, word in enumerate(words):
        if at and not ENDS.isdisjoint(word.gap) and words[at - 1].end + 1 != word.start:
            runs.append((start, at))
            start = at
    runs.append((start, len(words)))
    return [(a, b) for a, b in runs if a < b]


def _minutes_after(words: list[Word], numbers: Numbers, at: int, stop: int) -> tuple[float, int]:
    """Read the minutes after an hour: "1 hour 15 minutes", "one hour and ten minutes"."""
    if at < stop and words[at].key == "and":
        at += 1
    if at < stop and numbers.starts(at):
        amount = numbers.read(at)
        if amount is not None and amount.stop < stop and MINUTES.get(words[amount.stop].key) == 1:
            return float(amount.low), amount.stop + 1
    return 0.0, at


def _gas(numbers: Numbers, at: int, stop: int) -> Range | None:
    """Read "gas mark 4" or "gas 4"."""
    at += 1
    if at < stop and numbers.words[at].key == "mark":
        at += 1
    if at < stop and numbers.starts(at):
        amount = numbers.read(at)
        if amount is not None and amount.high <= 10:
            return Range(float(amount.low), float(amount.high), "gas")
    return None
