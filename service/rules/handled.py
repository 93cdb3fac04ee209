"""How a method, in its own words, has pans prepared and the cake cooled in them.

Words stand in the table ``pan_words``. What a pan's own fields say goes before; a word that is denied
("do not grease") counts as its opposite or not at all, and where any sentence turns the pan over
nothing else that is said of cooling is heard: a cake that hung is turned out in the end.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping
from dataclasses import dataclass

from service.domain.formula import Pan
from service.rules.judged import Judged
from service.tables.cupboard import Cupboard
from service.tables.once import once

#: How far from a word of preparation its pan stands, and how far before a word its denial, in words.
REACH, DENIED = 8, 3
#: Preparations, the slightest first.
_STRENGTH = ("greased", "floured", "lined")
_TOKEN = re.compile(r"[^\W\d_]+(?:'[^\W\d_]+)*")
_SENTENCE = re.compile(r"(?<!\d)[.;!]|[.;!](?!\d)")

Words = Mapping[str, Mapping[str, str]]


@dataclass(frozen=True, slots=True)
class Handled:
    """A pan as it is handled. ``pointers``: JSON Pointers to the pan, where one is stated, and to the
    sentence of the method that says it. ``pan.shape`` is empty where nothing tells it."""

    pan: Pan
    pointers: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class _Told:
    """What one sentence says: a preparation or a cooling."""

    value: str
    pointer: str


@once
def _words(cupboard: Cupboard) -> Words:
    by_kind: dict[str, dict[str, str]] = {}
    for row in cupboard.tables["pan_words"]:
        by_kind.setdefault(row.kind, {})[row.word] = row.meaning
    return by_kind


def handled_pans(judged: Judged) -> tuple[Handled, ...]:
    """Give the pans of a group as its fields and its method say that they are handled; a pan that only
    the method speaks of is one without sizes. Worked out once, for a group and for its trials: a
    change of lines moves no pan."""
    if judged.base is not None:
        return handled_pans(judged.base)
    if "handled" not in judged.memo:
        judged.memo["handled"] = _handled(judged)
    return judged.memo["handled"]  # type: ignore[return-value]


def _handled(judged: Judged) -> tuple[Handled, ...]:
    words = _words(judged.cupboard)
    steps = tuple(_steps(judged))
    prepared = _prepared(steps, words)
    cooled = _cooled(steps, words)
    pans = judged.formula.pans
    if pans:
        return tuple(_with_words(pan, at, prepared, cooled) for at, pan in enumerate(pans))
    if prepared is None and cooled is None:
        return ()
    told = tuple(dict.fromkeys(each.pointer for each in (prepared, cooled) if each))
    pan = Pan(
        _shape_told(steps, words),
        preparation=prepared.value if prepared else None,
        cooling=cooled.value if cooled else None,
    )
    return (Handled(pan, told),)


def _with_words(pan: Pan, at: int, prepared: _Told | None, cooled: _Told | None) -> Handled:
    """Give a stated pan with what the method says of it where its own fields say nothing."""
    heard = [
        prepared if pan.preparation is None else None,
        cooled if pan.cooling is None else None,
    ]
    pointers = (f"/pans/{at}", *(each.pointer for each in heard if each))
    said = Pan(
        pan.shape, pan.diameter, pan.length, pan.width, pan.depth, pan.tube_diameter, pan.volume,
        pan.size, pan.count, pan.fill,
        heard[0].value if heard[0] else pan.preparation,
        heard[1].value if heard[1] else pan.cooling,
    )  # fmt: skip
    return Handled(said, tuple(dict.fromkeys(pointers)))


def _steps(judged: Judged) -> Iterator[tuple[str, str]]:
    """Give each step of the group's method with its pointer."""
    indices = dict.fromkeys(line.component for line in judged.lines)
    for index in indices:
        for at, step in enumerate(judged.formula.components[index].method):
            yield f"/components/{index}/method/{at}", step
    for at, step in enumerate(judged.formula.method):
        yield f"/method/{at}", step


def _sentences(steps: tuple[tuple[str, str], ...]) -> Iterator[tuple[str, list[str]]]:
    for pointer, step in steps:
        for sentence in _SENTENCE.split(step.casefold().replace("’", "'")):
            yield pointer, _TOKEN.findall(sentence)


def _prepared(steps: tuple[tuple[str, str], ...], words: Words) -> _Told | None:
    """Give how the method prepares the pan: the strongest that it says; ``None`` where it says
    nothing, or denies it."""
    told = [each for pointer, tokens in _sentences(steps) for each in _told_of(tokens, pointer, words)]
    papered = next((each for each in told if each.value == "lined-base"), None)
    sided = [each for each in told if each.value in _STRENGTH]
    return max(sided, key=lambda each: _STRENGTH.index(each.value), default=papered)


def _told_of(tokens: list[str], pointer: str, words: Words) -> Iterator[_Told]:
    """Give what a sentence says of the preparation of a pan."""
    for at, token in enumerate(tokens):
        value = words["does"].get(token) or words["done"].get(token)
        if token in words["rubs"] and _with_fat(tokens[at:], words):
            value = words["rubs"][token]
        if value is None or _denied(tokens, at, words):
            continue
        place = _pan_of(tokens, at, words)
        if place is None:
            continue
        if _base_alone(tokens, place, words):
            if value == "lined":
                yield _Told("lined-base", pointer)
        else:
            yield _Told(value, pointer)


def _with_fat(tokens: list[str], words: Words) -> bool:
    """Tell whether words go on to name a fat: "brush the tin with butter"."""
    return "with" in tokens and any(token in words["fat"] for token in tokens[tokens.index("with") :])


def _pan_of(tokens: list[str], at: int, words: Words) -> int | None:
    """Give the place of the pan, or of the part of one, that a word of preparation speaks of: behind
    it, with nothing between that is none of a pan's, or, of a participle, before it."""
    if tokens[at] in words["done"] and tokens[at + 1 : at + 2] and tokens[at + 1] in words["stuff"]:
        return None
    parts = {**words["pan"], **words["side"], **words["base"]}
    for place in range(at + 1, min(at + 1 + REACH, len(tokens))):
        token = tokens[place]
        if token in parts:
            return None if _of_other(tokens, place, words) else place
        if not any(token in words[kind] for kind in ("between", "does", "done", "shape")):
            break
    if tokens[at] in words["done"]:
        before = range(max(0, at - REACH // 2), at)
        return next((place for place in before if tokens[place] in parts), None)
    return None


def _of_other(tokens: list[str], place: int, words: Words) -> bool:
    """Tell whether sides are those of another thing: "oil the sides of a bowl"."""
    return any(token in words["other"] for token in tokens[place : place + DENIED + 2])


def _base_alone(tokens: list[str], place: int, words: Words) -> bool:
    """Tell whether a sentence speaks of a pan's base and not of its sides, too."""
    near = tokens[place : place + REACH]
    base = next((at for at, token in enumerate(near) if token in words["base"]), None)
    if base is None:
        return False
    sides = (at for at, token in enumerate(near) if token in words["side"])
    return not any(not _denied(near, at, words) for at in sides)


def _denied(tokens: list[str], at: int, words: Words) -> bool:
    return any(token in words["denies"] for token in tokens[max(0, at - DENIED) : at])


def _shape_told(steps: tuple[tuple[str, str], ...], words: Words) -> str:
    """Give the one shape that the method's pans are called by; empty where it names none or several."""
    shapes = {
        words["shape"][token]
        for _, tokens in _sentences(steps)
        for at, pan in enumerate(tokens)
        if pan in words["pan"]
        for token in tokens[max(0, at - DENIED) : at + 1]
        if token in words["shape"]
    }
    return shapes.pop() if len(shapes) == 1 else ""


def _cooled(steps: tuple[tuple[str, str], ...], words: Words) -> _Told | None:
    """Give how the method cools the cake in its pan; ``None`` where it does not say plainly."""
    found: _Told | None = None
    for pointer, tokens in _sentences(steps):
        value = _cooling_of(tokens, words)
        if value == "inverted":
            return _Told(value, pointer)
        if value is not None and found is None:
            found = _Told(value, pointer)
    return found


def _cooling_of(tokens: list[str], words: Words) -> str | None:
    turned = [at for at, token in enumerate(tokens) if token in words["inverts"]]
    if any(not _denied(tokens, at, words) for at in turned):
        return "inverted"
    if turned:
        return "upright"
    text = f" {' '.join(tokens)} "
    for phrase in words["upright"]:
        at = _at(phrase, tokens)
        if (
            at is not None
            and not _denied(tokens, at, words)
            and not words["rests"].keys().isdisjoint(tokens[:at])
        ):
            return "upright"
    soon = any(f" {phrase} " in text for phrase in words["at-once"])
    if not soon or any(f" {phrase} " in text for phrase in words["cold"]):
        return None
    for phrase in words["turns-out"]:
        at = _at(phrase, tokens)
        if at is not None and not _denied(tokens, at, words):
            return "turned-out"
    return None


def _at(phrase: str, tokens: list[str]) -> int | None:
    """Give the place at which a phrase begins among some words."""
    said = phrase.split()
    last = len(tokens) - len(said)
    return next((at for at in range(last + 1) if tokens[at : at + len(said)] == said), None)
