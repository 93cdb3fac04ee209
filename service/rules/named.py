"""What the words of a formula name beside its lines: in a note, a method, a heading, a remark.

"Brush with beaten egg" uses an egg that no line may list. The words are compared with the names that
the tables know, the longest first ("almond milk" is no milk), then with the names of the allergens.

Sources: tables ``names``, ``ingredient_allergens``, ``allergens``; ``card_words`` of kind ``brings``
(a word that says a thing was used: "buttered"; a word for a kind: "shellfish") and ``act`` (a name that
is a verb there: "cream the").
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from service.domain.words import key_of
from service.tables.cupboard import Cupboard


@dataclass(frozen=True, slots=True)
class Named:
    """A thing that words name: the ``words`` (folded), its ingredient's ``code`` (``None``: an allergen
    by its own name), the allergen keys that it ``contains`` and that a pack ``may_hold``;
    ``plain``: nothing else can be in it."""

    words: str
    code: str | None
    contains: tuple[str, ...]
    may_hold: tuple[str, ...]
    plain: bool

    @property
    def keys(self) -> tuple[str, ...]:
        """All allergen keys that it brings or may bring."""
        return self.contains + self.may_hold


def thing(code: str, words: str, cupboard: Cupboard) -> Named:
    """Give what an ingredient brings, under the words that name it."""
    row = cupboard.brings.get(code)
    if row is None:
        return Named(words, code, (), (), plain=False)
    return Named(words, code, row.contains, row.conditional, row.plain)


def things_named(text: str, cupboard: Cupboard, language: str = "en") -> Iterator[Named]:
    """Give the things that a text names, in its order.

    >>> from service.tables.cupboard import open_cupboard
    >>> [each.code for each in things_named("Brush with beaten egg.", open_cupboard())]
    ['egg']
    """
    words, at = key_of(text).split(), 0
    while at < len(words):
        taken = 1
        for length in range(min(cupboard.longest_name, len(words) - at), 0, -1):
            key = " ".join(words[at : at + length])
            rows = cupboard.card_words.get(key, ())
            if any(row.kind == "act" for row in rows):
                break
            brings = tuple(row.meaning for row in rows if row.kind == "brings")
            found = _find(key, brings, cupboard, language)
            if found is not None:
                yield found
                taken = length
                break
        at += taken


def _find(key: str, brings: tuple[str, ...], cupboard: Cupboard, language: str) -> Named | None:
    """Find what a phrase names: a word for a use or a kind, a name of an ingredient, or an allergen."""
    if brings and brings[0] in cupboard.ingredients:
        return thing(brings[0], key, cupboard)
    if brings:
        return Named(key, None, brings, (), plain=True)
    row = cupboard.find_name(key, "us", language)
    if row is not None:
        return thing(row.code, key, cupboard)
    allergen = cupboard.allergen_names.get(key)
    return None if allergen is None else Named(key, None, (allergen,), (), plain=True)
