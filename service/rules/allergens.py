"""Which of a market's allergens a formula brings, by which lines, and which stay undetermined.

Three answers are kept apart: an allergen is *contained* where a line's ingredient always holds it or
its supplier declared it; it *may be contained* where a supplier declared cross-contact; it is
*undetermined* where a line may hide it: an ingredient that no table knows, a blend without a complete
declaration, a pack that may hold it, a stretch of text that was not understood, or a market whose
list was not read at its source. What is not known never becomes absence.

Sources: tables ``market_allergens`` (the law), ``ingredient_allergens`` (what an ingredient brings).
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from service.domain.formula import Line
from service.domain.weighed import Weighed, WeighedLine
from service.domain.words import key_of
from service.errors import Fault, Invalid
from service.tables.cupboard import Cupboard
from service.tables.rows import MarketAllergenRow

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
    """What was found for one market. ``complete``: no line hides anything."""

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
    hides: bool = False


def check_declarations(lines: Iterable[WeighedLine], cupboard: Cupboard) -> None:
    """Refuse a declaration that names an allergen that no table knows.

    Raises: Invalid, pointing at each such name.
    """
    faults = []
    for line in lines:
        for member in ("contains", "may_contain"):
            for position, key in enumerate(getattr(line.line, member) or ()):
                if key not in cupboard.allergens:
                    detail = f"There is no allergen {key!r}; see the catalogue of markets."
                    pointer = f"{line.pointer}/{member}/{position}"
                    faults.append(Fault("unknown-allergen", detail, pointer=pointer))
    if faults:
        raise Invalid("A declaration names an allergen that is not known.", faults=tuple(faults))


def derive(weighed: Weighed, market: str, cupboard: Cupboard) -> Derived:
    """Give what a formula contains, may contain and may hide of a market's allergens.

    Lines that state no amount count like any other. Raises: Invalid (an unknown declared allergen).
    """
    check_declarations(weighed.lines, cupboard)
    law = _Market(market, cupboard)
    found = _Found({}, {}, {})
    for line in weighed.lines:
        if line.reason == "not-an-ingredient":
            continue
        _look_at(line, law, found, if_used=bool(line.line.optional))
        for other in line.alternatives:
            _look_at(other, law, found, if_used=True)
    _unread(weighed, law, found)
    _unread_law(law, found)
    contains = _in_order(found.contains, law, ())
    taken = {listed.key for listed in contains}
    groups = {cupboard.allergens[key].group for key in taken}
    may = _in_order(found.may_contain, law, taken)
    hidden = _in_order(found.hidden, law, taken | (groups & law.rows.keys()))
    return Derived(contains, may, hidden, not found.hides)


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
    _declared(line, line.line, law, found, if_used)
    closed = bool(line.line.declaration_complete)
    if line.line.note and not closed:
        _noted(line, line.line.note, law, found)
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
        found.hides = found.hides or any(law.listed(key) for key in row.conditional)


def _declared(line: WeighedLine, said: Line, law: _Market, found: _Found, if_used: bool) -> None:
    for keys, into, reason in (
        (said.contains, found.contains, "declared by its supplier"),
        (said.may_contain, found.may_contain, "cross-contact declared by its supplier"),
    ):
        ground = Ground(line.pointer, line.name, line.code, "declaration", reason, if_used)
        _note(keys or (), law, into, ground)


def _noted(line: WeighedLine, note: str, law: _Market, found: _Found) -> None:
    """Enter what a line's note names beside its ingredient ("dates, stuffed with walnuts")."""
    words = key_of(note).split()
    for start in range(len(words)):
        for stop in range(start + 1, min(start + law.cupboard.longest_name, len(words)) + 1):
            name = law.cupboard.find_name(" ".join(words[start:stop]), "us")
            row = law.cupboard.brings.get(name.code) if name and name.code != line.code else None
            keys = row.contains + row.conditional if row else ()
            if name is None or not any(law.listed(key) for key in keys):
                continue
            basis, reason = f"ingredient_allergens:{name.code}", "named in the line's note"
            _note(keys, law, found.hidden, Ground(line.pointer, line.name, name.code, basis, reason))
            found.hides = True


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
    """Enter stretches of text that were not understood, unless the line's supplier declared it whole."""
    closed = {line.pointer for line in weighed.lines if line.line.declaration_complete}
    for problem in weighed.problems:
        if problem.code not in HIDING or problem.line in closed:
            continue
        ground = Ground(problem.line, problem.detail, None, "none", "text that was not understood")
        for key in law.asked:
            found.hidden.setdefault(key, []).append(ground)
        found.hides = True


def _unread_law(law: _Market, found: _Found) -> None:
    """Enter rows of a law that were not read at their source: absence cannot rest on them."""
    for key, row in law.rows.items():
        if row.status != KIND and not READ & set(row.evidence):
            reason = "the market's list was not read at its source"
            found.hidden.setdefault(key, []).append(
                Ground(None, row.declare_as, None, row.source, reason)
            )
            found.hides = True
