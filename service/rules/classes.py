"""Which class a group is judged by: the stated one, else the one that its words tell.

The title is asked first: of an English title the noun stands last, before what begins with *with*,
*for*, *in* or a comma ("Muffins, Graham"), so the phrase that ends last decides, and of those the
longest. Where it leaves several classes open, the method narrows them, then composition breaks the tie;
neither overrules a title. What a biscuit is depends on the country, which the measures tell. A title may
name a thing for which there is no class (a popover, a pudding): then none is proposed. Words stand in
the table ``class_words``.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator
from dataclasses import replace
from typing import NamedTuple
from weakref import WeakKeyDictionary

from service.domain.formula import Component, Formula
from service.domain.words import key_of
from service.rules.judged import BAKED, Judged
from service.rules.measures import MEASURES
from service.rules.styles import class_rows, styles_of
from service.tables.cupboard import Cupboard

#: In a row of words: a thing that has no class.
NO_CLASS = "none"
Kinds = tuple[str, ...]
Classes = tuple[str, ...]
_GAS = ("soda", "powder", "ammonia")
_BATTER: tuple[tuple[Kinds, ...], Kinds] = ((("flour",), _GAS), ("yeast",))
#: A batter that yeast may raise as well: raised pancakes and waffles are styles of their class.
_RAISED: tuple[tuple[Kinds, ...], Kinds] = ((("flour",), (*_GAS, "yeast", "leaven")), ())
_SUGAR = ("dry_sugar", "syrup")
_CREAMED: tuple[tuple[Kinds, ...], Kinds] = ((("flour",), ("fat",), _SUGAR), ("yeast",))
_COOKIE: tuple[tuple[Kinds, ...], Kinds] = ((("flour",), _SUGAR), ("yeast",))
#: What a tie asks of a group: kinds of which it holds one of each, and kinds that the class never has.
_ASKS: dict[str, tuple[tuple[Kinds, ...], Kinds]] = {
    "angel": ((("flour",), ("egg_white_alone",), _SUGAR), ("yeast", "butter")),
    "chiffon": ((("egg",),), ("yeast",)),
    "sponge": ((("flour",), ("egg",), _SUGAR), ("yeast", "butter", "cream")),
    "genoise": ((("flour",), ("egg",), _SUGAR), ("yeast", *_GAS)),
    "butter-cake": _CREAMED,
    "high-ratio": _CREAMED,
    "pound": (_CREAMED[0], ("yeast", "milk")),
    "chocolate-cake": ((("flour",), ("cocoa",), _SUGAR), ("yeast",)),
    "gingerbread": ((("flour",), ("syrup",)), ("yeast",)),
    "muffin": _BATTER,
    "quick-bread": _BATTER,
    "pancake": _RAISED,
    "waffle": _RAISED,
    "scone": _BATTER,
    "drop-cookie": _COOKIE,
    "rolled-cookie": _COOKIE,
    "brownie": ((("cocoa",),), ("yeast",)),
    "short-pastry": ((("flour",), ("fat",)), ("yeast",)),
    "choux": ((("flour",), ("egg",)), ("yeast", "powder", "ammonia")),
    "lean-bread": ((("yeast",),), ("egg",)),
    "enriched-bread": ((("yeast",), ("fat",), _SUGAR, ("milk", "milk_solids", "egg")), ()),
    "flatbread": ((("flour",),), ()),
    "doughnut": ((("flour",),), ()),
    "meringue": ((("egg_white_alone",),), ("flour",)),
}
#: Roles of what is baked within another: a preferment called sponge makes no sponge cake.
_WITHIN = ("preferment", "swirl")
#: Classes of one name with a kin that differs by amounts alone: a cake of equal weights and one with
#: less butter, a cookie that is dropped and one that is rolled.
_RICHER = {"pound": "butter-cake", "drop-cookie": "rolled-cookie"}
#: The class of those for which nothing but air need raise it.
_UNLEAVENED = "pound"
#: What follows the noun of a title: "Icing for Layer Cake", "Cake, Angel", "Rusk (Zwieback)".
_AFTER = re.compile(r"[,;:(/]|\s[-–—]\s|\b(?:with|without|for|in|on|from|or|baked)\b", re.IGNORECASE)
#: The usage of words in the countries whose measures a formula is written in.
_USAGE = {
    "us": "us", "us-label": "us", "ca": "us",
    "imperial": "gb", "metric": "gb", "au": "gb",
}  # fmt: skip


def noun_last(title: str) -> str:
    """Put what follows the noun of a title before it.

    >>> noun_last("Cake, Angel"), noun_last("Icing for Layer Cake")
    ('Angel Cake', 'for Layer Cake Icing')
    """
    joint = _AFTER.search(title)
    if joint is None or not title[: joint.start()].strip():
        return title
    return f"{title[joint.start() :].strip(',;:()/ -–—')} {title[: joint.start()]}".strip()


def classes_by_title(title: str, measures: str | None, cupboard: Cupboard) -> Classes:
    """Give the classes that a title tells, the likeliest first; empty where no phrase is known."""
    usage = f"title {_USAGE.get(measures or '', '')}"
    words = key_of(noun_last(title)).split()
    for end in range(len(words), 0, -1):
        for length in range(min(cupboard.longest_class_word, end), 0, -1):
            phrase = " ".join(words[end - length : end])
            found = _classes(phrase, usage, cupboard) or _classes(phrase, "title", cupboard)
            if found:
                return found
    return ()


def classes_by_method(steps: Iterable[str], cupboard: Cupboard) -> tuple[tuple[bool, Classes], ...]:
    """Give what each known phrase of a method tells: whether it tells by itself, and its classes. Those
    stand first that may mean a thing of no class, then those that only narrow, the longest first."""
    found = [hit for step in steps for hit in _phrases(key_of(step).split(), cupboard)]
    found.sort(key=lambda hit: (NO_CLASS not in hit.classes, hit.tells, -len(hit.words)))
    return tuple(dict.fromkeys((hit.tells, hit.classes) for hit in found))


class _Phrase(NamedTuple):
    """A phrase of a method: its words, whether it tells by itself, and its classes."""

    words: list[str]
    tells: bool
    classes: Classes


#: The phrases of methods by their first word, the longest first.
_KNOWN: WeakKeyDictionary[Cupboard, dict[str, tuple[_Phrase, ...]]] = WeakKeyDictionary()


def _known(cupboard: Cupboard) -> dict[str, tuple[_Phrase, ...]]:
    if cupboard not in _KNOWN:
        _KNOWN[cupboard] = _by_first_word(cupboard)
    return _KNOWN[cupboard]


def _by_first_word(cupboard: Cupboard) -> dict[str, tuple[_Phrase, ...]]:
    found: dict[str, list[_Phrase]] = {}
    for key, rows in cupboard.class_words.items():
        for row in rows:
            if row.where in ("method", "narrows"):
                words = key.split()
                phrase = _Phrase(words, row.where == "method", row.classes)
                found.setdefault(words[0], []).append(phrase)
    return {first: tuple(sorted(found[first], key=lambda each: -len(each.words))) for first in found}


def _phrases(words: list[str], cupboard: Cupboard) -> Iterator[_Phrase]:
    """Give the longest known phrase from each place of a step on."""
    known, place = _known(cupboard), 0
    while place < len(words):
        for phrase in known.get(words[place], ()):
            if words[place : place + len(phrase.words)] == phrase.words:
                yield phrase
                place += len(phrase.words) - 1
                break
        place += 1


def _classes(phrase: str, where: str, cupboard: Cupboard) -> Classes:
    rows = cupboard.class_words.get(phrase, ())
    return next((row.classes for row in rows if row.where == where), ())


def _holds(kinds: Kinds, judged: Judged) -> bool:
    """Tell whether one of the kinds is in the group; flour may bring its own powder."""
    if any(judged.amounts.of(kind).value > 0 for kind in kinds):
        return True
    return "powder" in kinds and judged.ledger.gas["powder"].value > 0


def excluded(product_class: str, judged: Judged) -> bool:
    """Tell whether the group holds what a class never has."""
    return _holds(_ASKS.get(product_class, ((), ()))[1], judged)


def lacking(product_class: str, judged: Judged) -> int:
    """Count what a class has and the group does not hold."""
    asked = _ASKS.get(product_class, ((), ()))[0]
    return sum(not _holds(kinds, judged) for kinds in asked)


def fits(product_class: str, judged: Judged) -> bool:
    """Tell whether the group holds all that a class has, and nothing that it never has."""
    return not excluded(product_class, judged) and not lacking(product_class, judged)


def distance(product_class: str, judged: Judged) -> float:
    """Give how far a group lies from the centres of a class's ranges, in widths, on the mean: by that of
    its styles to which it lies nearest."""
    styles = styles_of(product_class, judged.cupboard)
    return min(_distance(product_class, style, judged) for style in styles)


def _distance(product_class: str, style: str | None, judged: Judged) -> float:
    """Give how far a group lies from the centres of one style's own rows."""
    total, count = 0.0, 0
    for _, name, rows in class_rows(product_class, style, judged.cupboard):
        for row in rows:
            if row.product_class != product_class or row.typical is None or row.high is None:
                continue
            band = MEASURES[name].of(judged)
            width = row.high - (row.low or 0.0)
            if band is not None and width > 0:
                total += min(4.0, abs(band.value - row.typical) / width)
                count += 1
    return total / count if count else 4.0


def settle_tie(classes: Classes, judged: Judged) -> str | None:
    """Choose among classes that the words leave open, by what the group holds; ``None`` where they may
    name a thing of no class and the group is none of the others.

    What stands before ``none`` is left only for what the group holds and the class never has: a
    griddle cake that lacks its soda is a griddle cake.
    """
    named = tuple(each for each in classes if each != NO_CLASS)
    if len(classes) == 1:
        return named[0] if named else None
    fitting = [each for each in named if fits(each, judged)]
    if fitting:
        return _or_richer(fitting, judged)
    before = classes[: classes.index(NO_CLASS)] if NO_CLASS in classes else classes
    kept = [each for each in before if not excluded(each, judged)]
    if not kept and NO_CLASS in classes:
        return None
    return min(kept or named, key=lambda each: lacking(each, judged))


def _or_richer(fitting: list[str], judged: Judged) -> str:
    """Give the likeliest class, or its kin where the group lies nearer to that; what no gas raises is
    the one that needs none."""
    if fitting[0] == _UNLEAVENED and not _holds(_GAS, judged):
        return fitting[0]
    kin = [each for each in fitting if each in (fitting[0], _RICHER.get(fitting[0]))]
    return min(kin, key=lambda each: distance(each, judged)) if len(kin) > 1 else kin[0]


def narrowed(classes: Classes, told: Iterable[Classes], judged: Judged) -> Classes:
    """Narrow the classes of a title by the phrases of the method, one after the other.

    A phrase is passed over that leaves nothing possible, or that goes against the powder or soda in the
    group ("let rise", of a powdered cake that fits its title).
    """
    for phrase in told:
        both = tuple(each for each in classes if each in phrase)
        if _holds(_GAS, judged) and _any_fits(classes, judged):
            sound = _any_fits(both, judged)
        else:
            sound = any(not excluded(each, judged) for each in both)
        if sound or NO_CLASS in both:
            classes = both
    return classes


def _any_fits(classes: Iterable[str], judged: Judged) -> bool:
    return any(each != NO_CLASS and fits(each, judged) for each in classes)


def agreed(told: Iterable[Classes]) -> Classes:
    """Give the classes in which all phrases of a method agree."""
    phrases = tuple(told)
    return tuple(c for c in (phrases[0] if phrases else ()) if all(c in each for each in phrases))


def propose(judged: Judged, titles: Iterable[str]) -> tuple[str | None, str]:
    """Give the class that a group's words tell and what told it: title | method | none.

    ``titles`` are the names that the group goes by, the most telling first. No class and ``title``:
    the title names a thing for which there is none.
    """
    cupboard, measures = judged.cupboard, judged.formula.measures
    phrases = classes_by_method(judged.method, cupboard)
    told = tuple(classes for _, classes in phrases)
    known = False
    for title in titles:
        by_title = classes_by_title(title, measures, cupboard)
        known = known or bool(by_title)
        found = settle_tie(narrowed(by_title, told, judged), judged) if by_title else None
        if found is not None:
            return found, "title"
    if known:
        return None, "title"
    by_method = agreed(classes for tells, classes in phrases if tells)
    return (settle_tie(by_method, judged), "method") if by_method else (None, "none")


def stated_class(formula: Formula, components: Iterable[Component], baked: bool) -> str | None:
    """Give the class that the group's components state, else, for what is baked, the formula's."""
    own = next((c.product_class for c in components if c.product_class), None)
    return own or (formula.product_class if baked else None)


def _by_role(judged: Judged) -> str | None:
    """Give the class that the roles of the group's components tell."""
    roles = sorted({c.role for c in judged.components if c.role})
    told = (_classes(role, "role", judged.cupboard) for role in roles)
    return next((settle_tie(each, judged) for each in told if each), None)


def _beside(judged: Judged, names: tuple[str, ...]) -> tuple[str | None, str]:
    """Give the class of what is not baked with the rest: its role's, unless its name tells another
    that fits it (a topping of meringue)."""
    proposed, told_by = propose(judged, names)
    by_role = _by_role(judged) or "filling"
    if proposed is None or proposed == by_role or not fits(proposed, judged):
        return by_role, "role"
    return proposed, told_by


def with_class(judged: Judged) -> tuple[Judged, str]:
    """Give the group with its class, and where the class comes from: stated | title | method | role
    | none."""
    baked = judged.group == BAKED
    stated = stated_class(judged.formula, judged.components, baked)
    if stated is not None:
        return replace(judged, product_class=stated, class_stated=True), "stated"
    names = tuple(c.name for c in judged.components if c.name and c.role not in _WITHIN)
    if baked:
        proposed, told_by = propose(judged, (judged.formula.name, *names))
    else:
        proposed, told_by = _beside(judged, names)
    return replace(judged, product_class=proposed, class_stated=False), told_by
