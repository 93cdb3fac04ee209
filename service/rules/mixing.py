"""What the sentences of a method put into the mix: "sift flour and baking powder together".

A sentence is read from left to right. A word for mixing ("sift", "add") opens the mix, a word for
another use ("grease", "bake") or for a vessel closes it; what is named while it is open goes into it.
Nothing is read between semicolons beside a word that denies, allows, refers or finishes ("no", "if",
"same as", "brush"), and nothing more at all once a sentence speaks of an icing or a filling. What a
sentence itself gives an amount of ("a little milk") it brings itself.

Sources: ``card_words`` (its kinds are named below), ``mix_needs``, and the names of the ingredients.
"""

from __future__ import annotations

import re
from collections import defaultdict
from collections.abc import Iterable, Iterator
from dataclasses import dataclass

from service.domain.words import fold
from service.rules.kinds import contents_of
from service.tables.cupboard import Cupboard
from service.tables.once import once
from service.tables.rows import MixNeedRow

#: Kinds of ``card_words``: words that open the mix, participles that do where nothing closed it, words
#: that close it, words that silence a part of a sentence, that do so as its first word, and that silence
#: all that follows; words for what is being mixed, that say how much, and behind a name that it is
#: something else, or that it goes by need.
MIXES, MIXED, SPARES, HUSHES, ASIDE, ELSEWHERE, MIXTURE, STATES, NOT_MEANT, BY_NEED = (
    "mixes", "mixed", "spares", "hushes", "aside", "elsewhere", "mixture", "states", "not-meant",
    "by-need",
)  # fmt: skip
_KINDS = frozenset(
    (MIXES, MIXED, SPARES, HUSHES, ASIDE, ELSEWHERE, MIXTURE, STATES, NOT_MEANT, BY_NEED, "pan")
)
_CLOSES = frozenset((SPARES, "pan"))
_NOTHING: frozenset[str] = frozenset()
#: Names, as sets of words, with the codes of the needs that each may be.
Naming = tuple[tuple[frozenset[str], frozenset[str]], ...]

_SENTENCES = re.compile(r"[.!?\n]+")
_ASIDE = re.compile(r"\([^()]*\)")
_TOKEN = re.compile(r"\d+|[^\W\d_]+(?:['’][^\W\d_]+)*|[¼½¾⅓⅔⅛⅜⅝⅞]|[,;:]")
_WORD = re.compile(r"[^\W\d_]+(?:['’][^\W\d_]+)*")
_STOPS = frozenset(",;:")
_AMOUNT = re.compile(r"\d+|[¼½¾⅓⅔⅛⅜⅝⅞]")
_LINKS = frozenset(
    ("in", "into", "to", "with", "on", "upon", "over", "under", "by", "from", "of", "for")
)
_ADVERBS = frozenset(("in", "on"))
_THE = frozenset(("the", "this", "these", "remaining", "rest"))
_A, _OR, _AND, _OF, _PART = frozenset(("a", "an")), "or", "and", "of", ";"
#: How many words before a name may describe it.
_FURTHEST = 6


@dataclass(frozen=True, slots=True)
class Put:
    """A thing that a sentence puts into the mix: the ``words`` as written, the ingredient's ``code``
    (``None``: by a word of its own, "whites"), and the ``needs`` that it may be; none where the sentence
    brings it itself, or where nothing rests on it."""

    words: str
    code: str | None
    needs: tuple[MixNeedRow, ...]

    def unless_beside(self, words: frozenset[str]) -> Put:
        """Give the thing without the needs that it is not beside some words."""
        needs = tuple(row for row in self.needs if words.isdisjoint(row.not_beside))
        return self if len(needs) == len(self.needs) else Put(self.words, self.code, needs)


@dataclass(frozen=True, slots=True)
class Mixing:
    """A sentence with what it ``puts`` into the mix, at a JSON Pointer; ``of_mixture``: it speaks of the
    mixture, the batter or the dough."""

    pointer: str
    puts: tuple[Put, ...]
    of_mixture: bool


class _Words:
    """The words that tell of mixing, and the names, by their first words."""

    def __init__(self, cupboard: Cupboard) -> None:
        self._cupboard = cupboard
        kinds: dict[str, set[str]] = defaultdict(set)
        for key, rows in cupboard.card_words.items():
            kinds[key].update(row.kind for row in rows if row.kind in _KINDS)
        self.kinds = {key: frozenset(found) for key, found in kinds.items() if found}
        #: Words, as written, with which a sentence speaks of another thing.
        self.turning = frozenset(key for key, found in self.kinds.items() if ELSEWHERE in found)
        lengths: dict[str, set[int]] = defaultdict(set)
        self._ending: dict[str, list[str]] = defaultdict(list)
        for key in cupboard.names:
            parts = key.split(" ")
            lengths[parts[0]].add(len(parts))
            self._ending[parts[-1]].append(key)
        #: How many words the names have that begin with a word, the most first.
        self._lengths = {first: sorted(counts, reverse=True) for first, counts in lengths.items()}
        self.rows: tuple[MixNeedRow, ...] = cupboard.tables["mix_needs"]
        self._by_word = {word: tuple(r for r in self.rows if word in r.words)
                         for row in self.rows for word in row.words}  # fmt: skip
        self._by_code: dict[str, tuple[MixNeedRow, ...]] = {}
        #: Words, as written, that name a need by themselves.
        self.own = {word: frozenset(row.code for row in rows) for word, rows in self._by_word.items()}
        self._naming: dict[str, Naming] = {}

    def needs_of(self, code: str) -> tuple[MixNeedRow, ...]:
        """Give what an ingredient is needed as."""
        if code not in self._by_code:
            moves = contents_of(self._cupboard).of_code(code).moves
            self._by_code[code] = tuple(
                row for row in self.rows if code in row.ingredients or not moves.isdisjoint(row.kinds)
            )
        return self._by_code[code]

    def naming(self, last: str) -> Naming:
        """Give the names that end with a folded word and may be needed, as all their words and the codes
        of the needs; without those that the word alone says too ("sour milk"). A single word that tells
        of mixing ("cream") is no name."""
        found = self._naming.get(last)
        if found is None:
            keys = self._ending.get(last)
            if keys is None:
                return ()
            found = self._naming[last] = self._named(last, keys)
        return found

    def _named(self, last: str, keys: Iterable[str]) -> Naming:
        needs = {key: self._needs_of_name(key) for key in keys if key not in self.kinds}
        alone = needs.get(last, _NOTHING)
        return tuple(
            (frozenset(key.split(" ")), found)
            for key, found in needs.items()
            if found and (key == last or not found <= alone)
        )

    def _needs_of_name(self, key: str) -> frozenset[str]:
        codes = {row.code for row in self._cupboard.names[key]}
        return frozenset(need.code for code in codes for need in self.needs_of(code))

    def name_at(self, keys: list[str], raw: list[str], at: int) -> tuple[int, Put] | None:
        """Find the longest name that begins at a word, with how many words it has."""
        for length in self._lengths.get(keys[at], ()):
            phrase = " ".join(keys[at : at + length])
            if phrase in self._cupboard.names and at + length <= len(keys):
                row = self._cupboard.find_name(phrase, "us")
                if row is not None:
                    said = " ".join(raw[at : at + length])
                    return length, Put(said, row.code, self.needs_of(row.code))
        needs = self._by_word.get(raw[at])
        return None if needs is None else (1, Put(raw[at], None, needs))


@once
def _words(cupboard: Cupboard) -> _Words:
    return _Words(cupboard)


class _Reading:
    """One sentence, in small letters: what it ``puts`` into the mix; whether it ``ends`` the reading."""

    def __init__(self, text: str, words: _Words) -> None:
        self._words = words
        self._raw = _TOKEN.findall(text)
        self._keys = [fold(token) for token in self._raw]
        self.puts: list[Put] = []
        self.of_mixture = self.ends = self._silent = False
        #: Whether the mix is open; ``None``: no word has opened or closed it yet.
        self._open: bool | None = None
        self._waiting: list[Put] = []
        #: Where this part of the sentence begins, and how many things were put before it.
        self._from, self._kept = 0, 0
        self._last: tuple[int, bool] = (-2, False)
        self._read()

    def _kinds(self, at: int) -> frozenset[str]:
        return self._words.kinds.get(self._keys[at], _NOTHING) if 0 <= at < len(self._keys) else _NOTHING

    def _pair(self, at: int) -> frozenset[str]:
        """Give the kinds of two words together: "to taste"."""
        return self._words.kinds.get(" ".join(self._keys[at : at + 2]), _NOTHING)

    def _read(self) -> None:
        at = 0
        while at < len(self._keys) and not self.ends:
            kinds, found = self._kinds(at), self._words.name_at(self._keys, self._raw, at)
            if found is not None and (found[0] > 1 or not kinds):
                self._take(at, *found)
                at += found[0]
                continue
            self._silent |= at == self._from and ASIDE in kinds
            self._turn(kinds | self._pair(at))
            at += 1
            if self._keys[at - 1] == _PART:
                self._end_part(at)
        self._end_part(at)

    def _end_part(self, at: int) -> None:
        """Keep what a part of the sentence puts, unless it was silenced, and begin another."""
        keys, put = frozenset(self._keys[self._from : at]), self.puts[self._kept :]
        self.puts[self._kept :] = () if self._silent else [each.unless_beside(keys) for each in put]
        self._from, self._kept, self._silent, self._waiting = at, len(self.puts), False, []
        self._open = self._open or None

    def _turn(self, kinds: frozenset[str]) -> None:
        """Open or close the mix at a word."""
        self._silent |= HUSHES in kinds
        self.ends |= ELSEWHERE in kinds
        self.of_mixture |= MIXTURE in kinds
        if MIXES in kinds:
            self._open = True
        elif MIXED in kinds and self._open is None:
            self._open = True
            self.puts += self._waiting
        elif kinds & _CLOSES:
            self._open = False

    def _take(self, at: int, length: int, put: Put) -> None:
        """Take a thing named at a word into the mix, where it is open."""
        link, stated = self._before(at)
        follows = self._keys[at - 1] == _AND and self._last[0] == at - 1 if at else False
        stated = stated or (follows and self._last[1])
        self._last = (at + length, stated)
        if stated or self._is_other(at, at + length):
            put = Put(put.words, put.code, ())
        elif put.needs:
            put = Put(put.words, put.code, tuple(row for row in put.needs if link not in row.not_after))
        if self._open is None:
            self._waiting.append(put)
        elif self._open:
            self.puts.append(put)

    def _before(self, at: int) -> tuple[str, bool]:
        """Give the word that links a thing to what stands before it, and whether an amount is stated."""
        for place in range(at - 1, max(-1, at - 1 - _FURTHEST), -1):
            key, kinds = self._keys[place], self._kinds(place)
            if STATES in kinds or _AMOUNT.fullmatch(key):
                return "", True
            if key in _LINKS and not self._is_no_link(place):
                return key, False
            if key in _STOPS or key == _AND or MIXES in kinds:
                break
        return "", False

    def _is_no_link(self, at: int) -> bool:
        """Tell whether a word belongs to what stands before it: "stir in", "a cup of"."""
        before, key = self._kinds(at - 1), self._keys[at]
        return STATES in before if key == _OF else MIXES in before and key in _ADVERBS

    def _is_other(self, start: int, end: int) -> bool:
        """Tell whether a name means something else there ("egg beater", "butter the tin"), is one of
        several to choose from, or is taken by need ("flour to make a soft dough")."""
        if NOT_MEANT in self._kinds(end) or BY_NEED in self._pair(end) or BY_NEED in self._kinds(end):
            return True
        if end < len(self._keys) and self._keys[end] in (_THE if self._keys[end] == "the" else _A):
            return STATES not in self._kinds(end + 1)
        return _OR in (
            self._keys[start - 1] if start else "",
            self._keys[end] if end < len(self._keys) else "",
        )


def mixings(
    texts: Iterable[tuple[str, str]], needs: frozenset[str], cupboard: Cupboard
) -> Iterator[Mixing]:
    """Give the sentences that put something into the mix, of texts with their JSON Pointers; only
    sentences that may name one of some needs (by their codes) are read."""
    words = _words(cupboard)
    for pointer, text in texts:
        for said in _SENTENCES.split(_ASIDE.sub(" ", text).lower()):
            each = set(_WORD.findall(said))
            if words.turning.isdisjoint(each) and needs.isdisjoint(_named(each, words)):
                continue
            reading = _Reading(said, words)
            if reading.puts:
                yield Mixing(pointer, tuple(reading.puts), reading.of_mixture)
            if reading.ends:
                return


def _named(said: set[str], words: _Words) -> frozenset[str]:
    """Give the codes of the needs that words (as written, in any order) may name."""
    keys = set(map(fold, said))
    found = [needs for key in keys for parts, needs in words.naming(key) if parts <= keys]
    return _NOTHING.union(*found, *(words.own[word] for word in words.own.keys() & said))


def needs_that_may_be_named(texts: Iterable[tuple[str, str]], cupboard: Cupboard) -> frozenset[str]:
    """Give the codes of all needs that texts may name, at a first look: by their words alone."""
    said = {word for _, text in texts for word in _WORD.findall(text.lower())}
    return _named(said, _words(cupboard))


def needs_named(text: str, cupboard: Cupboard) -> frozenset[str]:
    """Give the codes of what a text names, in whatever way, of what a mix may need."""
    words = _words(cupboard)
    raw = _TOKEN.findall(text.lower())
    keys, at, found = [fold(token) for token in raw], 0, set[str]()
    while at < len(keys):
        named = words.name_at(keys, raw, at)
        if named is not None:
            found.update(need.code for need in named[1].needs)
        at += named[0] if named else 1
    return frozenset(found)
