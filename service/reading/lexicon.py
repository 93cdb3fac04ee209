"""The words of the tables, found at their longest in the words of a line.

One lexicon serves one system of measures and one language. It answers what may begin at a word: a
name of an ingredient, a unit, a state, a part of an egg or fruit, each with the number of words that
it takes. ``nearest`` names what an unknown ingredient may have meant; a reading never takes it.
"""

from __future__ import annotations

from collections import Counter, defaultdict
from functools import cached_property

from service.domain.words import key_of
from service.reading.grammar import ARTICLES
from service.reading.scan import CODE, DIGITS, LETTERS, SIGN, Word
from service.tables.cupboard import Cupboard
from service.tables.rows import NameRow, StateRow
from service.units.measures import Measures, Unit

#: Kinds of unit that measure an ingredient; a length or a temperature never does.
MEASURING = frozenset(("mass", "volume", "count", "percent"))
#: Counts that are numbers in a line: ``amounts`` reads them.
NUMBERS = frozenset(("each", "dozen", "half_dozen", "half", "quarter", "pair", "score"))
LONGEST_QUERY = 60
LEAST_LIKENESS = 0.34
MOST_NEAR = 3
MOST_WORDS_TURNED = 4
MOST_SUGGESTED = 1024


class Found:
    """What begins at a word: each kind's longest match, with how many words it takes."""

    __slots__ = ("name", "name_length", "part", "part_length", "state", "state_length", "unit",
                 "unit_length")  # fmt: skip

    def __init__(self) -> None:
        self.name: NameRow | None = None
        self.unit: Unit | None = None
        self.state: StateRow | None = None
        self.part: str | None = None
        self.name_length = self.unit_length = self.state_length = self.part_length = 0

    def take(self, other: Found, length: int) -> None:
        """Take what a phrase of ``length`` words means, where nothing longer was found."""
        if other.name is not None and self.name is None:
            self.name, self.name_length = other.name, length
        if other.unit is not None and self.unit is None:
            self.unit, self.unit_length = other.unit, length
        if other.state is not None and self.state is None:
            self.state, self.state_length = other.state, length
        if other.part is not None and self.part is None:
            self.part, self.part_length = other.part, length


NOTHING = Found()


class Lexicon:
    """Every phrase of the tables under one system and language."""

    def __init__(self, cupboard: Cupboard, measures: Measures, system: str, language: str) -> None:
        self.cupboard = cupboard
        self.measures = measures
        self.system = system
        self.phrases: dict[str, Found] = {}
        self.longest: dict[str, int] = {}
        self._comma_names: set[str] = set()
        self._signs: dict[str, Unit] = {}
        self._near: dict[str, tuple[str, ...]] = {}
        self._add_names(language)
        self._add_states_and_parts()
        self._add_units()

    def _phrase(self, key: str) -> Found:
        found = self.phrases.get(key)
        if found is None:
            found = self.phrases[key] = Found()
            first, blanks = key.partition(" ")[0], key.count(" ")
            self.longest[first] = max(self.longest.get(first, 0), blanks + 1)
        return found

    def _add_names(self, language: str) -> None:
        """Add the names, but for those with an article: "white of an egg" is an amount of a part."""
        for key, rows in self.cupboard.names.items():
            row: NameRow | None = rows[0]
            if len(rows) > 1 or rows[0].measures or not language.startswith(rows[0].language):
                row = self.cupboard.find_name(rows[0].name, self.system, language)
            if row is not None and key and ARTICLES.isdisjoint(key.split()[1:]):
                found = self._phrase(key)
                found.name, found.name_length = row, key.count(" ") + 1
                if "," in row.name and self._is_another_thing(row):
                    self._comma_names.add(key)

    def _is_another_thing(self, row: NameRow) -> bool:
        """Tell whether "almonds, blanched" is another thing than almonds; where it is not, the words
        after the comma are states and say more than the name."""
        plain = self.cupboard.names.get(key_of(row.name.partition(",")[0]), ())
        return all(one.code != row.code for one in plain)

    def _add_states_and_parts(self) -> None:
        for key, states in self.cupboard.states.items():
            found = self._phrase(key)
            found.state, found.state_length = states[0], key.count(" ") + 1
        for key, parts in self.cupboard.part_words.items():
            found = self._phrase(key)
            found.part, found.part_length = parts[0].part, key.count(" ") + 1

    def _add_units(self) -> None:
        for row in self.cupboard.units.values():
            if row.kind not in MEASURING or row.code in NUMBERS:
                continue
            for word in (*row.words, row.name, row.code):
                unit = self.measures.find(word, self.system)
                key = key_of(word)
                if unit is None or unit.kind not in MEASURING:
                    continue
                if len(word) == 1 or not key:
                    self._signs[word] = unit
                elif self._phrase(key).unit is None:
                    found = self.phrases[key]
                    found.unit, found.unit_length = unit, key.count(" ") + 1

    def at(self, words: list[Word], start: int, stop: int) -> Found:
        """Give what may begin at word ``start``, looking no further than word ``stop``."""
        word = words[start]
        if word.kind == LETTERS:
            longest = self.longest.get(word.key)
            if longest is None or (longest == 1 and len(word.text) > 1):
                found = self.phrases.get(word.key, NOTHING)
            else:
                found = self._longest(words, start, min(stop, start + longest), word.key)
            return self._short(word) if len(word.text) == 1 and found is NOTHING else found
        if word.kind == DIGITS:
            return self._numbered(words, start, stop)
        return self._short(word) if word.kind in (CODE, SIGN) else NOTHING

    def _short(self, word: Word) -> Found:
        """Give what a single character or a UCUM code means: units only, as written."""
        unit = self._signs.get(word.text)
        if unit is None and word.kind == CODE:
            unit = self.measures.find(word.text, self.system)
        if unit is None:
            return NOTHING
        found = Found()
        found.unit, found.unit_length = unit, 1
        return found

    def _numbered(self, words: list[Word], start: int, stop: int) -> Found:
        """Give the name that begins with a number or a percentage: "00 flour", "2% milk"."""
        after, key = start + 1, words[start].text
        if after < stop and words[after].kind == SIGN and words[after].text == "%":
            if f"{key}%" in self.longest:
                longest = self.longest[f"{key}%"]
                return self._longest(words, start, min(stop, after + longest), f"{key}%", after)
            return NOTHING
        longest = self.longest.get(key, 0)
        return self._longest(words, start, min(stop, start + longest), key) if longest else NOTHING

    def _longest(
        self, words: list[Word], start: int, stop: int, key: str, last: int | None = None
    ) -> Found:
        """Try ever longer runs of words and keep the longest match of each kind."""
        at = (start if last is None else last) + 1
        keys = [(key, at - start)]
        crossed = False
        while at < stop:
            word = words[at]
            gap = word.gap
            if gap and gap not in ("-", ".", "‑", "‐"):
                if gap != "," or crossed:
                    break
                crossed = True
                keys.append(("", 0))
            key = f"{key} {word.key}"
            if not crossed or key in self._comma_names:
                keys.append((key, at - start + 1))
            at += 1
        found: Found | None = None
        for key, length in reversed(keys):
            phrase = self.phrases.get(key)
            if phrase is not None and length:
                if found is None:
                    found = Found()
                found.take(phrase, length)
        return found or NOTHING

    def name_of(self, words: list[Word]) -> NameRow | None:
        """Find the name that these words make together, whatever stands between them."""
        return self.name_by_key(" ".join(word.key for word in words).replace(" %", "%"))

    def turned(
        self, words: list[Word], at: int, shortest: int, name: list[Word]
    ) -> tuple[NameRow, int] | None:
        """Find the name that words after a comma make with the name before it ("flour, all-purpose"),
        and the word after them. No run of ``shortest`` words or fewer counts: it is a state."""
        end, far = at + 1, min(len(words), at + MOST_WORDS_TURNED)
        while end < far and words[end].gap in ("", "-", ","):
            end += 1
        for stop in range(end, at + shortest, -1):
            row = self.name_of([*words[at:stop], *name])
            if row is not None:
                return row, stop
        return None

    def name_by_key(self, key: str) -> NameRow | None:
        """Find the name with a key (``service.domain.words``)."""
        found = self.phrases.get(key)
        return None if found is None else found.name

    @cached_property
    def _grams(self) -> dict[str, list[str]]:
        """The names by the runs of three letters that they hold."""
        index: dict[str, list[str]] = defaultdict(list)
        for key, found in self.phrases.items():
            if found.name is not None:
                for gram in _grams_of(key):
                    index[gram].append(key)
        return index

    def nearest(self, name: str) -> tuple[str, ...]:
        """Give the known names that look most like a name, best first: suggestions, no more."""
        key = key_of(name[:LONGEST_QUERY])
        found = self._near.get(key)
        if found is None:
            if len(self._near) >= MOST_SUGGESTED:
                self._near.clear()
            found = self._near[key] = self._look_alikes(key)
        return found

    def _look_alikes(self, key: str) -> tuple[str, ...]:
        own = _grams_of(key)
        shared: Counter[str] = Counter()
        for gram in sorted(own):
            shared.update(self._grams.get(gram, ()))
        scored = []
        for other, common in shared.most_common(40):
            likeness = 2 * common / (len(own) + len(_grams_of(other)))
            if likeness >= LEAST_LIKENESS:
                scored.append((-likeness, other))
        names: list[str] = []
        for _, other in sorted(scored):
            row = self.phrases[other].name
            if row is not None and row.code not in names:
                names.append(row.code)
        return tuple(names[:MOST_NEAR])


def shortest_turned(found: Found) -> int:
    """Give how many words after a comma are no more than a state: what a thing is ("milk, dry") or was
    packed as ("pineapple, canned") may make it another thing, what was done to it does not."""
    row = found.state
    return 0 if row is not None and row.kind in ("quality", "pack") else found.state_length


def _grams_of(key: str) -> set[str]:
    padded = f"  {key} "
    return {padded[i : i + 3] for i in range(len(padded) - 2)}
