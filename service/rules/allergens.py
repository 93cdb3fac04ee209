"""Which of a market's allergens a formula brings, by which lines, and which stay undetermined.

Three answers are kept apart: an allergen is *contained* where a line's ingredient always holds it or
its supplier declared it; it *may be contained* where a supplier declared cross-contact; it is
*undetermined* where a line may hide it: an ingredient that no table knows, a blend without a complete
declaration, a pack that may hold it, a name that may mean another thing, a stretch of text that was
not understood, words of a note, a method, a heading or a remark that name what no line brings, or a
market whose list was not read at its source. What is not known never becomes absence.

Sources: tables ``market_allergens`` (the law), ``ingredient_allergens`` (what an ingredient brings).
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass, replace

from service.domain.formula import Line
from service.domain.weighed import Weighed, WeighedLine
from service.domain.words import key_of
from service.errors import Fault, Invalid
from service.rules.named import Named, thing, things_named
from service.tables.cupboard import Cupboard
from service.tables.law_rows import MarketAllergenRow

#: Evidence of a market's row that lets an allergen's absence stand.
READ = frozenset("RG")
#: A row of this status is a kind of another row's allergen (spelt is wheat): it is told where it is
#: found, and never asked for by itself.
KIND = "kind"


@dataclass(frozen=True, slots=True)
class Ground:
    """Why an allergen is listed: the ``line`` (JSON Pointer; ``None`` for the whole market), the
    thing's ``name``, its ingredient's code, the ``basis`` (table row or declaration) and the
    ``reason``; ``if_used``: the line is optional or an alternative that nobody chose."""

    line: str | None
    name: str
    ingredient: str | None
    basis: str
    reason: str
    if_used: bool = False


@dataclass(frozen=True, slots=True)
class Listed:
    """An allergen of the market with its grounds. ``key`` is the allergen that was found, ``row``
    the market's row that lists it."""

    key: str
    row: MarketAllergenRow
    grounds: tuple[Ground, ...]

    @property
    def if_used(self) -> bool:
        """Whether every ground is one that need not be used."""
        return all(ground.if_used for ground in self.grounds)


@dataclass(frozen=True, slots=True)
class Derived:
    """What was found for one market. ``complete``: nothing is hidden but what is contained anyway."""

    contains: tuple[Listed, ...]
    may_contain: tuple[Listed, ...]
    undetermined: tuple[Listed, ...]
    complete: bool


class _Market:
    """A market's rows, found by the allergen or by the wider one that it belongs to."""

    def __init__(self, market: str, cupboard: Cupboard) -> None:
        self.cupboard = cupboard
        self.rows = {row.allergen: row for row in cupboard.market_allergens.get(market, ())}
        #: What the law asks for: what a line may hide.
        self.asked = tuple(key for key, row in self.rows.items() if row.status != KIND)

    def listed(self, key: str) -> list[tuple[str, MarketAllergenRow]]:
        """Give what the market lists of an allergen: itself, the wider one, or, for a wider one, each
        of its kinds that is listed."""
        if key in self.rows:
            return [(key, self.rows[key])]
        group = self.cupboard.allergens[key].group
        if group in self.rows:
            return [(key, self.rows[group])]
        return [
            (row.allergen, row)
            for row in self.rows.values()
            if self.cupboard.allergens[row.allergen].group == key and row.status != KIND
        ]


@dataclass(slots=True)
class _Found:
    contains: dict[str, list[Ground]]
    may_contain: dict[str, list[Ground]]
    hidden: dict[str, list[Ground]]
    #: That something may hide whatever the law lists.
    hides: bool = False


def check_declarations(lines: Iterable[WeighedLine], cupboard: Cupboard) -> None:
    """Refuse a declaration that names an allergen that no table knows.

    Raises: Invalid, pointing at each such name.
    """
    faults = []
    for line in (each for written in lines for each in (written, *written.alternatives)):
        for member in ("contains", "may_contain"):
            for position, key in enumerate(getattr(line.line, member) or ()):
                if key not in cupboard.allergens:
                    detail = f"There is no allergen {key!r}; see the catalogue of markets."
                    pointer = f"{line.pointer}/{member}/{position}"
                    faults.append(Fault("unknown-allergen", detail, pointer=pointer))
    if faults:
        raise Invalid("A declaration names an allergen that is not known.", faults=tuple(faults))


def derive(
    weighed: Weighed, market: str, cupboard: Cupboard, settled: frozenset[str] = frozenset()
) -> Derived:
    """Give what a formula contains, may contain and may hide of a market's allergens.

    Lines that state no amount count like any other. ``settled``: codes of ingredients that the caller
    left out or swapped: a method that still names them hides nothing.
    Raises: Invalid (an unknown declared allergen).
    """
    check_declarations(weighed.lines, cupboard)
    law = _Market(market, cupboard)
    found = _Found({}, {}, {})
    for line in weighed.lines:
        if line.reason == "not-an-ingredient":
            _declared(line, line.line, law, found, if_used=bool(line.line.optional))
            continue
        _look_at(line, law, found, if_used=bool(line.line.optional))
        for other in line.alternatives:
            _look_at(other, law, found, if_used=True)
    _unread(weighed, law, found)
    _told(weighed, law, found, settled)
    _unread_law(law, found)
    contains = _in_order(found.contains, law, ())
    taken = {listed.key for listed in contains}
    groups = {cupboard.allergens[key].group for key in taken}
    may = _in_order(found.may_contain, law, taken)
    hidden = _in_order(found.hidden, law, taken | (groups & law.rows.keys()))
    return Derived(contains, may, hidden, not (found.hides or hidden))


def _in_order(grounds: dict[str, list[Ground]], law: _Market, but: Iterable[str]) -> tuple[Listed, ...]:
    """Put what was found in the order of the market's list."""
    order = {key: position for position, key in enumerate(law.rows)}
    skip = set(but)
    listed = [
        Listed(key, law.listed(key)[0][1], tuple(dict.fromkeys(several)))
        for key, several in grounds.items()
        if key not in skip
    ]
    return tuple(sorted(listed, key=lambda each: (order[each.row.allergen], each.key)))


def _note(keys: Iterable[str], law: _Market, into: dict[str, list[Ground]], ground: Ground) -> None:
    for key in keys:
        for listed, _ in law.listed(key):
            into.setdefault(listed, []).append(ground)


def _look_at(line: WeighedLine, law: _Market, found: _Found, *, if_used: bool) -> None:
    """Enter what one line brings, may bring and may hide."""
    _declared(line, line.line, law, found, if_used=if_used)
    closed = bool(line.line.declaration_complete)
    if not closed:
        _noted(line, law, found)
        _meant_otherwise(line, law, found, if_used=if_used)
    row = law.cupboard.brings.get(line.code or "")
    if row is None:
        if not closed:
            known = line.code in law.cupboard.ingredients
            reason = "no table says what it holds" if known else "the ingredient is not known"
            _hide_all(line, law, found, reason, if_used)
        return
    basis = f"ingredient_allergens:{row.ingredient}"
    always = Ground(line.pointer, line.name, line.code, basis, "always holds it", if_used)
    _note(row.contains, law, found.contains, always)
    if closed:
        return
    if not row.plain:
        _hide_all(line, law, found, "a blend whose supplier has not declared it completely", if_used)
    elif row.conditional:
        pack = Ground(line.pointer, line.name, line.code, basis, "the bought pack may hold it", if_used)
        _note(row.conditional, law, found.hidden, pack)


def _declared(line: WeighedLine, said: Line, law: _Market, found: _Found, *, if_used: bool) -> None:
    for keys, into, reason in (
        (said.contains, found.contains, "declared by its supplier"),
        (said.may_contain, found.may_contain, "cross-contact declared by its supplier"),
    ):
        ground = Ground(line.pointer, line.name, line.code, "declaration", reason, if_used)
        _note(keys or (), law, into, ground)


def _noted(line: WeighedLine, law: _Market, found: _Found) -> None:
    """Enter what a line's note names beside its ingredient ("dates, stuffed with walnuts")."""
    own = _own(line, law.cupboard)
    for named in things_named(line.line.note or "", law.cupboard):
        if named.code is None or named.code != line.code:
            _hide_named(named, line.pointer, "named in the line's note", law, found, but=own)


def _meant_otherwise(line: WeighedLine, law: _Market, found: _Found, *, if_used: bool) -> None:
    """Enter what a line brings if its name means another thing ("nut butter", "bran")."""
    own = _own(line, law.cupboard).union(*(_own(other, law.cupboard) for other in line.alternatives))
    for code in line.otherwise:
        named = thing(code, law.cupboard.ingredients[code].name, law.cupboard)
        reason = f"its name may also mean {named.words}"
        _hide_named(named, line.pointer, reason, law, found, but=own, if_used=if_used)
    for code in line.text_says:
        named = thing(code, law.cupboard.ingredients[code].name, law.cupboard)
        always = replace(named, may_hold=(), plain=True)
        reason = f"its text says {named.words}, its fields another thing"
        _hide_named(always, line.pointer, reason, law, found, but=own, if_used=if_used)


def _own(line: WeighedLine, cupboard: Cupboard) -> frozenset[str]:
    """Give the allergens that a line holds by its ingredient or its declaration."""
    row = cupboard.brings.get(line.code or "")
    return frozenset((*(row.contains if row else ()), *(line.line.contains or ())))


def _hide_named(
    named: Named, pointer: str | None, reason: str, law: _Market, found: _Found,
    *, but: frozenset[str], if_used: bool = False,
) -> None:  # fmt: skip
    """Enter what a named thing brings or may bring, ``but`` what is known to be there. A thing of
    which the tables know neither hides all that the law lists."""
    nothing_known = not named.plain and not named.keys
    keys = law.asked if nothing_known else tuple(key for key in named.keys if key not in but)
    keys = tuple(key for key in keys if law.listed(key))
    if not keys:
        return
    basis = f"ingredient_allergens:{named.code}" if named.code in law.cupboard.brings else "none"
    ground = Ground(pointer, named.words, named.code, basis, reason, if_used)
    _note(keys, law, found.hidden, ground)
    found.hides = found.hides or nothing_known


def _hide_all(line: WeighedLine, law: _Market, found: _Found, reason: str, if_used: bool) -> None:
    basis = f"ingredient_allergens:{line.code}" if line.code else "none"
    ground = Ground(line.pointer, line.name, line.code, basis, reason, if_used)
    for key in law.asked:
        found.hidden.setdefault(key, []).append(ground)
    found.hides = True


#: Problems of reading that may hide an ingredient, by their permanent codes. (An ingredient that no
#: table knows hides by its own line.)
HIDING = frozenset({"unread-words", "second-name", "mixed-alternative", "no-ingredient"})


def _unread(weighed: Weighed, law: _Market, found: _Found) -> None:
    """Enter stretches of text that were not understood, unless the line's supplier declared it whole.
    A formula that names no ingredient at all may hold anything."""
    closed = {line.pointer for line in weighed.lines if line.line.declaration_complete}
    if all(line.reason == "not-an-ingredient" for line in weighed.lines):
        nothing = Named("the formula", None, (), (), plain=False)
        _hide_named(nothing, None, "it names no ingredient", law, found, but=frozenset())
    for problem in weighed.problems:
        if problem.code not in HIDING or problem.line in closed:
            continue
        ground = Ground(problem.line, problem.detail, None, "none", "text that was not understood")
        for key in law.asked:
            found.hidden.setdefault(key, []).append(ground)
        found.hides = True


def _told(weighed: Weighed, law: _Market, found: _Found, settled: frozenset[str]) -> None:
    """Enter what the formula's own words name and no line brings: "brush with beaten egg". A text in
    a language that no name is in may name anything."""
    listed = settled | _codes(weighed.lines)
    made = _made(weighed, law.cupboard)
    brought = frozenset(found.contains)
    language = weighed.formula.language or "en"
    for pointer, text, reason in (*_texts(weighed), *_remarks(weighed)):
        if language.split("-")[0].lower() not in law.cupboard.languages:
            strange = Named(text[:80], None, (), (), plain=False)
            _hide_named(strange, pointer, f"a text in {language[:20]}", law, found, but=brought)
        for named in things_named(text, law.cupboard, language):
            if named.code in listed or _is_of_lines(named, brought, law.cupboard):
                continue
            if not named.plain and named.words.split()[-1] in made:
                continue
            _hide_named(named, pointer, reason, law, found, but=brought)


def _codes(lines: Iterable[WeighedLine]) -> frozenset[str]:
    """Give the codes of lines and of their alternatives, those that a name may mean as well too."""
    several = (each for line in lines for each in (line, *line.alternatives))
    return frozenset(code for each in several for code in (each.code, *each.otherwise) if code)


def _made(weighed: Weighed, cupboard: Cupboard) -> frozenset[str]:
    """Give the words of the formula's name and headings for what is made here, and so no thing that
    is bought: "cool the bread", "spread with the frosting"."""
    headings = (weighed.formula.name, *(part.name or "" for part in weighed.formula.components))
    words = {word for text in headings for word in key_of(text).split()}
    return frozenset(
        word for word in words if any(row.kind == "role" for row in cupboard.card_words.get(word, ()))
    )


def _is_of_lines(named: Named, brought: frozenset[str], cupboard: Cupboard) -> bool:
    """Tell whether a word for one of several kinds ("nuts") means the kind that a line brings."""
    kinds = {key for key in named.may_hold if cupboard.allergens[key].group}
    return not named.contains and len(kinds) > 1 and bool(kinds & brought)


def _texts(weighed: Weighed) -> Iterator[tuple[str, str, str]]:
    """Give the texts of a formula beside its lines: pointer, text, and what a name in it is."""
    formula = weighed.formula
    method, heading = "named in the method, by no line", "named in a heading, by no line"
    for place, component in enumerate(formula.components):
        at = f"/components/{place}"
        if component.name:
            yield f"{at}/name", component.name, heading
        yield from ((f"{at}/method/{n}", text, method) for n, text in enumerate(component.method))
    yield from ((f"/method/{n}", text, method) for n, text in enumerate(formula.method))
    yield from (
        (f"/notes/{n}", text, "named in a note, by no line") for n, text in enumerate(formula.notes)
    )
    for n, pan in enumerate(formula.pans):
        if pan.preparation:
            yield f"/pans/{n}/preparation", pan.preparation, "the pan's preparation, named by no line"


def _remarks(weighed: Weighed) -> Iterator[tuple[str, str, str]]:
    """Give the lines that were read as remarks: "serve with cream"."""
    for line in weighed.lines:
        if line.reason == "not-an-ingredient" and not line.line.declaration_complete:
            yield line.pointer, line.line.text or "", "named in a remark, by no line"


def _unread_law(law: _Market, found: _Found) -> None:
    """Enter rows of a law that were not read at their source: absence cannot rest on them."""
    for key, row in law.rows.items():
        if row.status != KIND and not READ & set(row.evidence):
            reason = "the market's list was not read at its source"
            found.hidden.setdefault(key, []).append(
                Ground(None, row.declare_as, None, row.source, reason)
            )
            found.hides = True
