"""Which class a group is judged by: the stated one, else the one that its words tell.

The title is asked first, then the method; the longest phrase wins, of two as long the last (an
English title's noun stands last). Where the words leave several classes open, composition breaks the
tie; it never overrules a word. Words stand in the table ``class_words``.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import replace

from service.domain.formula import Component, Formula
from service.domain.words import key_of
from service.rules.judged import BAKED, Judged
from service.rules.measures import MEASURES
from service.tables.cupboard import Cupboard

#: What a class's chief means of rising asks of a group's amounts: kinds of which there must be some,
#: and kinds of which there must be none.
_MEANS: dict[str, tuple[tuple[str, ...], tuple[str, ...]]] = {
    "yeast": (("yeast",), ()),
    "gas": (("soda", "powder", "ammonia"), ("yeast",)),
    "foam": (("egg",), ("yeast", "butter")),
    "cream": (("butter",), ("yeast",)),
    "steam": ((), ()),
    "none": ((), ()),
}


def classes_by_words(text: str, where: str, cupboard: Cupboard) -> tuple[str, ...]:
    """Give the classes that a text tells, the likeliest first; empty where no phrase is known."""
    words = key_of(text).split()
    best: tuple[int, int] = (0, -1)
    found: tuple[str, ...] = ()
    longest = cupboard.longest_class_word
    for start in range(len(words)):
        for length in range(min(longest, len(words) - start), 0, -1):
            if (length, start) < best:
                continue
            rows = cupboard.class_words.get(" ".join(words[start : start + length]), ())
            fitting = next((row for row in rows if row.where == where), None)
            if fitting is not None:
                best, found = (length, start), fitting.classes
                break
    return found


def means_present(product_class: str, judged: Judged) -> bool:
    """Tell whether what chiefly raises a class is in the group."""
    needs, without = _MEANS[judged.cupboard.classes[product_class].raised_by[0]]
    amounts = judged.amounts
    if needs and amounts.of(*needs).value <= 0 and not _leavened_flour(needs, judged):
        return False
    return not any(amounts.of(kind).value > 0 for kind in without)


def _leavened_flour(needs: tuple[str, ...], judged: Judged) -> bool:
    """Tell whether a flour brings its own powder, where powder is asked for."""
    return "powder" in needs and judged.ledger.gas["powder"].value > 0


def distance(product_class: str, judged: Judged) -> float:
    """Give how far a group lies from the centres of a class's ranges, in widths, on the mean."""
    total, count = 0.0, 0
    for rows in judged.cupboard.limits.values():
        for row in rows:
            if row.product_class != product_class or row.typical is None or row.high is None:
                continue
            measure = MEASURES.get(row.measure)
            band = measure.of(judged) if measure else None
            width = row.high - (row.low or 0.0)
            if band is not None and width > 0:
                total += min(4.0, abs(band.value - row.typical) / width)
                count += 1
    return total / count if count else 4.0


def settle_tie(classes: tuple[str, ...], judged: Judged) -> str | None:
    """Choose among classes that the words leave open, by what the group holds."""
    fitting = tuple(each for each in classes if means_present(each, judged)) or classes
    if len(fitting) <= 1:
        return fitting[0] if fitting else None
    return min(fitting, key=lambda each: (distance(each, judged), fitting.index(each)))


def propose(judged: Judged, title: str) -> tuple[str | None, str]:
    """Give the class that a group's words tell and what told it: title | method | role | none."""
    cupboard = judged.cupboard
    roles = {c.role for c in judged.components if c.role}
    for role in sorted(roles):
        by_role = classes_by_words(role, "role", cupboard)
        if by_role:
            return settle_tie(by_role, judged), "role"
    by_title = classes_by_words(title, "title", cupboard)
    by_method = classes_by_words(" ".join(judged.method), "method", cupboard)
    both = tuple(each for each in by_title if each in by_method)
    if by_title:
        return settle_tie(both or by_title, judged), "title"
    if by_method:
        return settle_tie(by_method, judged), "method"
    return None, "none"


def stated_class(formula: Formula, components: Iterable[Component], baked: bool) -> str | None:
    """Give the class that the group's components state, else, for what is baked, the formula's."""
    own = next((c.product_class for c in components if c.product_class), None)
    return own or (formula.product_class if baked else None)


def with_class(judged: Judged) -> tuple[Judged, str]:
    """Give the group with its class, and where the class comes from: stated | title | method | role
    | none."""
    baked = judged.group == BAKED
    stated = stated_class(judged.formula, judged.components, baked)
    if stated is not None:
        return replace(judged, product_class=stated, class_stated=True), "stated"
    named = next((c.name for c in judged.components if c.name), None)
    title = judged.formula.name if baked else (named or judged.group)
    proposed, told_by = propose(judged, title)
    if proposed is None and not baked:
        proposed, told_by = "filling", "role"
    return replace(judged, product_class=proposed, class_stated=False), told_by
