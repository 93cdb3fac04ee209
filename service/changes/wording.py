"""A changed line in its own words: the amount is replaced where it stands, the rest is kept.

The fields of a line decide, but its text must not say otherwise. New words are taken only when
reading them gives the new fields; else the line is written anew from its fields; and where even
that is not read back, the line goes without text and its old words stay in its note.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import replace

from service.changes.amounts import Style, spell_quantity, style_of
from service.changes.bench import Bench
from service.domain.formula import Equivalent, Formula, Line
from service.domain.quantity import VULGAR, Quantity
from service.domain.reading import ReadLine, Span
from service.domain.words import key_of, singular
from service.units.measures import Unit
from service.weighing.customs import Customs, customs_of

_DIGIT = f"0-9{''.join(VULGAR)}"
_NUMBER = re.compile(rf"[{_DIGIT}](?:[{_DIGIT}.,/\u2044 ]*[{_DIGIT}])?")
_EMPTY = re.compile(r"\(\s*\)|\[\s*\]")
_BLANKS = re.compile(r"\s{2,}")
_LOOSE = re.compile(r"\s+(?=[,;.)])|(?<=\()\s+")
_JOINT = re.compile(r"[\s,;]*(?:or)\s+", re.IGNORECASE)
#: Kinds of units that are written with decimals rather than with fractions.
_DECIMAL_UCUM = frozenset(("g", "kg", "mg", "mL", "cL", "dL", "L", "%"))

#: What a rewriting may leave as it stands.
NOTHING: frozenset[str] = frozenset()
EQUIVALENT, ALTERNATIVES = frozenset(("equivalent",)), frozenset(("alternative",))
BOTH = EQUIVALENT | ALTERNATIVES


class Wording:
    """Words lines of a formula ``given`` as they are after a change, in the formula ``done``.

    ``household`` is the style for cups, spoons and pieces, where it is not the line's own.
    """

    def __init__(
        self, bench: Bench, given: Formula, done: Formula, household: Style | None = None
    ) -> None:
        self._household = household
        self._scales = bench.scales
        self._old, self._new = customs_of(given), customs_of(done)

    def reworded(self, old: Line, new: Line, amount: str | None = None) -> Line:
        """Give a changed line its text; a line that did not change is the same object.

        ``amount``: the words for its amount and unit, where they are not the plain ones.
        """
        alternatives = new.alternatives
        if len(alternatives) == len(old.alternatives):
            pairs = zip(old.alternatives, alternatives, strict=True)
            alternatives = tuple(self.reworded(one, other) for one, other in pairs)
        new = replace(new, text=old.text, alternatives=alternatives)
        if old.text is None or new.ingredient is None:
            return old if new == old else new
        if amount is None and new == old and self._agrees(old.text, new):
            return old
        for text in self._candidates(old, new, amount):
            worded = replace(new, text=text)
            if self._agrees(text, new) and self._stands(worded):
                return worded
        said = new.note if new.note and new.note not in old.text else None
        return replace(new, text=None, note=f"{said}; {old.text}" if said else old.text)

    def anew(self, line: Line) -> Line:
        """Give a line words of its own where it has none that say it."""
        for text in (*((line.text,) if line.text else ()), *self._anew(line, None)):
            worded = replace(line, text=text)
            if self._agrees(text, line) and self._stands(worded):
                return worded
        return replace(line, text=None)

    def _candidates(self, old: Line, new: Line, amount: str | None) -> Iterator[str]:
        text = old.text or ""
        read = self._scales.reader.read_line(text, self._old.system, self._old.language)
        for keep in (ALTERNATIVES, NOTHING, BOTH, EQUIVALENT):
            own = self._rewritten(text, read, old, new, amount, keep)
            if own is not None:
                yield own
        yield from self._anew(new, amount)

    def _agrees(self, text: str, line: Line) -> bool:
        """Tell whether a text alone is read as a line's fields."""
        items = self._scales.reader.read_line(text, self._new.system, self._new.language).items
        return len(items) == 1 and self._alike(items[0].line, line)

    def _alike(self, one: Line, other: Line) -> bool:
        plain = (one.level or "level", one.ingredient, one.part, one.quantity)
        if plain != (other.level or "level", other.ingredient, other.part, other.quantity):
            return False
        if sorted(one.state) != sorted(other.state) or not self._same_unit(one.unit, other.unit):
            return False
        first, second = one.equivalent, other.equivalent
        if (first is None) != (second is None) or len(one.alternatives) != len(other.alternatives):
            return False
        if first is not None and second is not None:
            same = first.quantity == second.quantity and self._same_unit(first.unit, second.unit)
            if not same:
                return False
        pairs = zip(one.alternatives, other.alternatives, strict=True)
        if bool(one.optional) != bool(other.optional):
            return False
        return all(
            a.ingredient == b.ingredient and a.quantity == b.quantity and self._same_unit(a.unit, b.unit)
            for a, b in pairs
        )

    def _same_unit(self, one: str | None, other: str | None) -> bool:
        first, second = self._unit(one, self._new), self._unit(other, self._new)
        return first is not None and second is not None and first.code == second.code

    def _unit(self, word: str | None, customs: Customs) -> Unit | None:
        measures = self._scales.measures
        return measures.find(word, customs.system) if word else measures.by_code["each"]

    def _stands(self, line: Line) -> bool:
        """Tell whether text and fields together are read as the fields alone."""
        items = self._scales.weigh_line(line, self._new)
        return len(items) == 1 and items[0].line == line

    def _rewritten(
        self, text: str, read: ReadLine, old: Line, new: Line, amount: str | None = None,
        keep: frozenset[str] = frozenset(),
    ) -> str | None:  # fmt: skip
        """Replace in a text what changed, where it stands; ``None`` where it does not say it.

        ``keep`` names parts that stay as they are: what one of several cans holds is not scaled,
        and an alternative without an amount follows the line's own.
        """
        quantities = [span for span in read.spans if span.part == "quantity"]
        if len(read.items) != 1 or (not quantities and new.quantity != old.quantity):
            return None
        spans, has_unit = read.spans, any(span.part == "unit" for span in read.spans)
        if amount is not None or len(quantities) > 1:
            spans, amount = _joined(spans), amount or self._plain_amount(new)
        pieces, end = [], 0
        alternatives = iter(zip(old.alternatives, new.alternatives, strict=False))
        for index, span in enumerate(spans):
            said = text[span.start : span.end]
            pieces.append(text[end : span.start])
            end = span.end
            if span.part == "alternative":
                pair = next(alternatives, None)
                said = "" if pair is None else self._alternative(said, *pair, keep)
            elif span.part == "joint" and not new.alternatives and _leads_on(spans, index):
                said = ""
            elif span.part == "quantity" and amount is not None:
                said = amount
            elif span.part not in keep:
                said = self._part(span, said, old, new, has_unit=has_unit)
            if span.part == "unit" and said != text[span.start : end] and text[end : end + 1] == ".":
                end += 1
            pieces.append(said)
        pieces.append(text[end:])
        return _tidied("".join(pieces))

    def _plain_amount(self, line: Line) -> str:
        """Give the words of a line's amount and unit."""
        if line.quantity is None:
            return ""
        level = line.level if line.level not in (None, "level") else ""
        unit = "" if self._is_each(line.unit) else self._word(line.unit, line.quantity)
        words = (self._amount(line.quantity, "", line.unit), level, unit)
        return " ".join(word for word in words if word)

    def _part(self, span: Span, said: str, old: Line, new: Line, *, has_unit: bool) -> str:
        """Give the new words of one part of a line."""
        if span.part == "quantity" and new.quantity is not None:
            amount = self._amount(new.quantity, said, new.unit)
            if not has_unit and not self._is_each(new.unit):
                return f"{amount} {self._word(new.unit, new.quantity)}"
            return amount
        if span.part == "unit":
            return self._unit_word(said, old, new)
        if span.part == "optional":
            return said if new.optional else ""
        if span.part == "level":
            return "" if new.level is None else said
        if span.part == "state":
            return "" if self._dropped(said, old, new) else said
        if span.part == "equivalent":
            return self._equivalent(said, old.equivalent, new.equivalent)
        if span.part == "ingredient" and not has_unit and self._is_each(new.unit):
            return _numbered(said, new.quantity)
        return said

    def _amount(self, quantity: Quantity, said: str, word: str | None) -> str:
        unit = self._unit(word, self._new)
        style = style_of(said, Style.FRACTION)
        if unit is not None and unit.ucum in _DECIMAL_UCUM:
            style = Style.DECIMAL
        elif self._household is not None and style is Style.DECIMAL:
            style = self._household
        spelt = spell_quantity(quantity, style)
        return spelt if self._new.language.startswith("en") else spelt.replace(".", ",")

    def _is_each(self, word: str | None) -> bool:
        return word is None or word == "each"

    def _word(self, word: str | None, quantity: Quantity) -> str:
        """Give the word that a text has for a unit."""
        unit = self._unit(word, self._new)
        if unit is None or self._is_each(word):
            return word or ""
        return self._numbered_unit((word or "").replace("-", " "), unit, quantity)

    def _numbered_unit(self, said: str, unit: Unit, quantity: Quantity) -> str:
        """Put a unit's word in the plural or the singular; an abbreviation stays."""
        if not set(said) & set("aeiou") or len(said) < 3 or " " in said:
            return said
        if (quantity.high > 1) == said.endswith("s"):
            return said
        other = f"{said}s" if quantity.high > 1 else said[:-1]
        found = self._scales.measures.find(other, self._new.system)
        return other if found is not None and found.code == unit.code else said

    def _unit_word(self, said: str, old: Line, new: Line) -> str:
        if new.quantity is None:
            return said
        before, after = self._unit(old.unit, self._old), self._unit(new.unit, self._new)
        if before is not None and after is not None and before.name == after.name:
            return self._numbered_unit(said, after, new.quantity)
        return "" if self._is_each(new.unit) else self._word(new.unit, new.quantity)

    def _dropped(self, said: str, old: Line, new: Line) -> bool:
        """Tell whether a state's words name a state that the line has no longer."""
        rows = self._scales.cupboard.states.get(key_of(said), ())
        gone = set(old.state) - set(new.state)
        return any(row.state in gone for row in rows)

    def _equivalent(self, said: str, old: Equivalent | None, new: Equivalent | None) -> str:
        if new is None or old is None:
            return ""
        number = _NUMBER.search(said)
        if number is None:
            return said
        amount = self._amount(new.quantity, number.group(), new.unit)
        rest = said[number.end() :]
        if not self._same_unit(old.unit, new.unit) or old.unit != new.unit:
            rest = f" {self._word(new.unit, new.quantity)}" + ")" * rest.count(")")
        return said[: number.start()] + amount + rest

    def _alternative(self, said: str, old: Line, new: Line, keep: frozenset[str]) -> str:
        """Give an alternative its new words: its own rewritten, else all of them anew."""
        joint = _JOINT.match(said)
        start = joint.end() if joint else 0
        text = said[start:]
        read = self._scales.reader.read_line(text, self._old.system, self._old.language)
        own = self._rewritten(text, read, replace(old, alternatives=()), replace(new, alternatives=()))
        if own is None and "alternative" not in keep:
            own = new.text
        return said if own is None else said[:start] + own

    def _anew(self, line: Line, amount: str | None) -> Iterator[str]:
        """Write a line from its fields, states before the name and after it."""
        if line.quantity is None or line.ingredient is None:
            return
        row = self._scales.cupboard.ingredients.get(line.ingredient)
        name = row.name if row is not None else line.ingredient
        part = self._scales.cupboard.parts.get((line.ingredient, line.part or ""))
        names = [f"{name} {line.part}" if line.part else name]
        if part is not None:
            names.insert(0, self._scales.cupboard.ingredients[part.becomes].name)
        same = line.equivalent
        beside = f"({self._amount(same.quantity, '', same.unit)} {same.unit})" if same else ""
        measure, states = amount or self._plain_amount(line), " ".join(line.state)
        rest = " (optional)" if line.optional else ""
        rest += "".join(f" or {other.text}" for other in line.alternatives if other.text)
        for said in names:
            for ending in (f"{states} {said}", f"{said}, {states}"):
                yield " ".join(word for word in (measure, beside, ending.strip(" ,") + rest) if word)


def _leads_on(spans: tuple[Span, ...], index: int) -> bool:
    """Tell whether a joint leads to an alternative."""
    return index + 1 < len(spans) and spans[index + 1].part == "alternative"


def _joined(spans: tuple[Span, ...]) -> tuple[Span, ...]:
    """Join the amounts of a line and their units to one stretch ("1 cup plus 2 tbsp")."""
    places = [i for i, span in enumerate(spans) if span.part in ("quantity", "unit", "level")]
    first = next(i for i in places if spans[i].part == "quantity")
    last = max(places)
    whole = Span("quantity", spans[first].start, spans[last].end)
    return (*spans[:first], whole, *spans[last + 1 :])


def _numbered(said: str, quantity: Quantity | None) -> str:
    """Put the name of what is counted in the plural or the singular, as its amount asks."""
    if quantity is None or not said:
        return said
    last = said.split()[-1].lower()
    bare = singular(last)
    if quantity.high > 1 and bare == last and singular(f"{bare}s") == bare:
        return f"{said}s"
    return said[:-1] if quantity.high <= 1 and last == f"{bare}s" else said


def _tidied(text: str) -> str:
    """Take away what a removed part leaves behind: empty brackets, blanks, loose marks."""
    return _LOOSE.sub("", _BLANKS.sub(" ", _EMPTY.sub("", text))).strip(" ,;")
