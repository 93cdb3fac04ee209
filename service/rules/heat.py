"""Heat that makes raw things safe: whether what stands in a group is baked or cooked, as far as its
role, its class and the method say. What nobody tells is taken as raw.

A method may heat one thing and not another: chocolate is melted over boiling water, and the yolks that
are beaten into it stay raw. So a clause whose heat goes to another thing tells nothing.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator

from service.domain.formula import BAKED_ROLES
from service.domain.words import key_of
from service.rules.judged import BAKED, Judged

#: Words of heat, and words that hold them and tell of none.
_HEATED = re.compile(
    r"\b(?:(?:cook|boil|scald|simmer|heat|toast|roast|poach|steam|microwav)(?:e|es|s|ed|ing)?"
    r"|bak(?:e|es|ed|ing)|fr(?:y|ies|ied|ying)|brown(?:s|ed|ing)?|double boiler|bain[- ]marie)\b"
)
_NOT_HEATED = re.compile(
    r"\b(?:not|never|without|no|un)[ -]?(?:to be )?(?:cook|bak|heat|boil)\w*"
    r"|\bbaking (?:powder|soda|sheet|paper|tin|tray|parchment|dish|pan)|\bcooking (?:oil|chocolate)"
    r"|\bbrown sugar|\bboiling water|\bheat ?proof|\bheat[- ]treated|\bboiled (?:custard|milk|water)"
    r"|\b(?:off|from) the heat"
)
#: Water that heats what stands over it, and is not heated for itself.
_OVER_WATER = re.compile(r"\bover (?:\w+ )?(?:simmering|boiling|hot) water\b")
_UNBAKED = re.compile(
    r"\b(?:not|never|without|no|un)[ -]?(?:to be )?(?:cook|bak)(?:e|ed|ing)?\b(?! powder)"
)
#: Words of a title that say that a dough is eaten as it is.
_EATEN_RAW = re.compile(r"\bno[- ]bake\b|\bedible (?:\w+ ){0,2}(?:dough|batter)\b")
#: Classes of which a part may well be left raw: only its role or the method tells that it is not.
_MAY_BE_RAW = ("filling", "meringue")
_FILLING = "filling"
_SAID_RAW = "said to be raw"

#: Where one act ends and another begins.
_CLAUSE = re.compile(r"[.;:!?]|\bthen\b")
#: What is put in after the heat, to the end of its clause.
_PUT_IN = re.compile(r"\b(?:pour|add|fold|beat|whisk|stir)(?:s|ed|ing)? ")
#: What is heated by itself, close before or behind the word of heat.
_OTHER = (
    r"(?:milk|cream|water|syrup|sugar|honey|molasses|butter|margarine|lard|fat|oil|chocolate|cocoa"
    r"|gelatine?|nuts?|almonds?|walnuts?|pecans?|hazelnuts?|coconut|oats|raisins|fruit|apples?|cherries"
    r"|berries|juice|coffee|tea|rum|brandy|wine)"
)
_OTHER_HEATED = re.compile(
    rf"\b(?:place|put|set|stand|stir)(?:s|ed|ing)?(?: [\w-]+){{0,4}}? {_OTHER}\b(?: [\w-]+){{0,4}}"
    rf" (?:{_HEATED.pattern})"
    rf"|(?:{_HEATED.pattern})(?: [\w-]+){{0,4}}? {_OTHER}\b|\bmelt(?:s|ed|ing)?\b"
)
#: The whole mix, by whatever name, or the thing just spoken of.
_MIX = re.compile(
    r"\b(?:mixture|mix|all|everything|ingredients|batter|dough|custard|filling|icing|frosting|sauce|paste)\b"
    rf"|(?:{_HEATED.pattern}) (?:it|them|this)\b"
)
#: What goes into or upon what is baked, and what parts that from the oven.
_PLACED = re.compile(
    r"\b(?:fill|pour|spread|top|cover|sprinkle|put|turn|spoon|roll|lay|place|strew|scatter|line|dot"
    r"|brush|glaze|drop|wash)\w*"
)
_COOLED = re.compile(r"\b(?:cool|cold|chill|serve|frost|ice)\w*")
_OVEN = re.compile(r"\b(?:bak(?:e|es|ed|ing)|oven)\b")


def of_the_oven(judged: Judged) -> bool:
    """Tell whether a group is of what is baked: it stands with the rest, is a batter or dough beside it,
    or states a class that is baked. A filling is not, nor what has no class and no flour (a mousse)."""
    flour = judged.amounts.has("flour") or judged.flour_left_open
    unknown = judged.product_class is None and not flour
    if judged.product_class == _FILLING or unknown:
        return False
    if judged.group == BAKED or any(each.role in BAKED_ROLES for each in judged.components):
        return True
    return judged.class_stated and judged.product_class not in _MAY_BE_RAW


def is_heated(judged: Judged, words: re.Pattern[str]) -> bool:
    """Tell whether a group is baked, or a method heats what some ``words`` name in it.

    What is of the oven is taken as baked, unless its title or method says that it is not.
    """
    own = tuple(step for component in judged.components for step in component.method)
    whole = judged.formula.method
    if of_the_oven(judged):
        said_raw = _is_said_to_be_raw(judged, (*own, *whole))
        return not said_raw or any(_heats(each, words) for each in _clauses((*own, *whole)))
    if judged.group == BAKED:
        heated = any(_heats(each, words) for each in _clauses((*own, *whole)))
        return heated or judged.formula.bake is not None
    return any(_heats(each, words) for each in _clauses(own)) or _heated_by_name(judged, _clauses(whole))


def _clauses(steps: Iterable[str]) -> tuple[str, ...]:
    return tuple(each.strip() for step in steps for each in _CLAUSE.split(step.lower()))


def _is_said_to_be_raw(judged: Judged, steps: tuple[str, ...]) -> bool:
    """Tell whether a title or step says that what is of the oven is not baked; looked up once."""
    if _SAID_RAW not in judged.memo:
        names = (judged.formula.name, *(each.name or "" for each in judged.components))
        said = " ".join((*names, *steps)).lower()
        raw = _UNBAKED.search(said) or _EATEN_RAW.search(said)
        judged.memo[_SAID_RAW] = raw is not None and judged.formula.bake is None
    return bool(judged.memo[_SAID_RAW])


def _heats(clause: str, words: re.Pattern[str]) -> bool:
    """Tell whether a clause heats what some words name: it speaks of heat, and not of another thing
    alone."""
    told = _NOT_HEATED.sub(" ", _OVER_WATER.sub("over heat", clause))
    ends = [found.end() for found in _HEATED.finditer(told)]
    if not ends:
        return False
    put_in = _PUT_IN.search(told, ends[-1])
    told = told[: put_in.start()] if put_in else told
    return not _OTHER_HEATED.search(told) or bool(words.search(told) or _MIX.search(told))


def _named(judged: Judged) -> Iterator[str]:
    """Give the words that name a part in the formula's own method: its role, and the noun of its
    name."""
    for component in judged.components:
        yield from (component.role,) if component.role else ()
        yield from key_of(component.name or "").split()[-1:]


def _heated_by_name(judged: Judged, clauses: tuple[str, ...]) -> bool:
    """Tell whether the formula's method heats a part that it names, or puts it into what is baked
    afterwards."""
    part = re.compile(rf"\b(?:{'|'.join(map(re.escape, _named(judged)))})", re.IGNORECASE)
    placed = False
    for clause in clauses:
        told = _NOT_HEATED.sub(" ", clause)
        named = part.search(told)
        if named and _HEATED.search(told) and not _OVEN.search(told):
            return True
        behind = told[named.end() :] if named else told
        placed = placed or bool(named and _PLACED.search(told))
        oven = _OVEN.search(behind)
        cooled = _COOLED.search(behind)
        if placed and oven and not (cooled and cooled.start() < oven.start()):
            return True
        placed = placed and not cooled
    return False
