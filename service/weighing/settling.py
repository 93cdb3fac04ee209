"""A line of a formula settled: its text read, its ingredient found, its items weighed.

Nothing here knows where in a formula the line stands, so that a settled line is kept and serves
every formula that has the same line under the same customs.
"""

from __future__ import annotations

from dataclasses import replace
from typing import NamedTuple, Protocol

from service.domain.formula import Line
from service.domain.quantity import Quantity, read_fraction, write_fraction
from service.domain.reading import Assumed, Problem, ReadItem, ReadLine
from service.tables.cupboard import Cupboard
from service.tables.rows import NameRow
from service.units.measures import Measures
from service.weighing.customs import OTHER_MEASURES, USUAL_MEASURES, Customs
from service.weighing.mass import LineScale, Note, Weight


class LineReader(Protocol):
    """What reads a text line (``service.reading.reader``)."""

    def read_line(self, text: str, system: str, language: str) -> ReadLine:
        """Read one line under a system of measures and a language."""
        ...


class Settled(NamedTuple):
    """One item of a line, weighed. ``other_measures``: how many grams it would move if its cups or
    spoons were those of the likeliest other system. ``otherwise``: the codes of the ingredients that
    its name may mean as well; ``text_says``: of those that its text names, where the fields name
    another."""

    line: Line
    code: str | None
    name: str
    as_written: str
    weight: Weight
    notes: tuple[Note, ...]
    alternatives: tuple[Settled, ...] = ()
    other_measures: float = 0.0
    otherwise: tuple[str, ...] = ()
    text_says: tuple[str, ...] = ()

    @property
    def quiet(self) -> bool:
        """Whether there is nothing to say of it beside its mass."""
        return not (self.notes or self.alternatives or self.line.optional or self.weight.problems)


class Settlement(NamedTuple):
    """All items of a line, and what reading had to say of it."""

    items: tuple[Settled, ...]
    problems: tuple[Problem, ...] = ()


#: Fields of which reading may have assumed something.
_PARTS = ("ingredient", "quantity", "unit", "state", "part")
#: Problems of reading that fall away where a field names the ingredient.
_OF_NAMES = frozenset({"unknown-ingredient", "no-ingredient"})
_NOT_READ = Weight(None, None, "not-understood")
_REMARK = Weight(None, None, "not-an-ingredient")


def write_quantity(quantity: Quantity) -> str:
    """Write an amount or a range as people do: ``2 1/4``, ``2 to 3``."""
    low = write_fraction(quantity.low)
    return low if quantity.low == quantity.high else f"{low} to {write_fraction(quantity.high)}"


def written(line: Line, name: str) -> str:
    """Give the line as it was written, or its fields in the order in which people write them."""
    if line.text is not None:
        return line.text
    amount = write_quantity(line.quantity) if line.quantity is not None else None
    level = None if line.level == "level" else line.level
    words = (amount, level, line.unit, *line.state, name, line.part)
    return " ".join(word for word in words if word)


def is_bare(line: Line) -> bool:
    """Tell whether a line is text and nothing else."""
    return (
        line.ingredient is None
        and line.quantity is None
        and line.unit is None
        and not line.state
        and line.part is None
        and line.level is None
        and line.equivalent is None
        and line.optional is None
        and not line.alternatives
        and line.note is None
        and line.contains is None
        and line.may_contain is None
        and line.declaration_complete is None
    )


def _filled(line: Line, read: Line, text: str | None) -> Line:
    """Take from the text what the fields leave out."""
    return Line(
        text=text,
        ingredient=line.ingredient if line.ingredient is not None else read.ingredient,
        quantity=line.quantity if line.quantity is not None else read.quantity,
        unit=line.unit if line.unit is not None else read.unit,
        level=line.level if line.level is not None else read.level,
        state=line.state or read.state,
        part=line.part if line.part is not None else read.part,
        equivalent=line.equivalent if line.equivalent is not None else read.equivalent,
        optional=line.optional if line.optional is not None else read.optional,
        alternatives=line.alternatives or read.alternatives,
        note=line.note if line.note is not None else read.note,
        contains=line.contains,
        may_contain=line.may_contain,
        declaration_complete=line.declaration_complete,
    )


def _merged(line: Line, read: ReadLine) -> tuple[ReadItem, ...]:
    """Give the items of a line with both text and fields; the fields decide.

    Fields that name an ingredient make it one item; the others hold for every item. What reading
    assumed for a part that the fields state is no assumption any more.
    """
    stated = {part for part in _PARTS if getattr(line, part)}
    items: tuple[ReadItem, ...] = read.items
    if line.ingredient is not None:
        first = items[0] if items else ReadItem(Line())
        same = next((i for i in items if i.line.ingredient == line.ingredient), first)
        items = (ReadItem(replace(same.line, text=line.text), same.assumed),)
    return tuple(
        ReadItem(
            _filled(line, item.line, item.line.text),
            tuple(a for a in item.assumed if a.part not in stated),
        )
        for item in items
    )


def _meant_otherwise(assumed: Assumed, line: Line) -> Line | None:
    """Give the line as it reads when the assumption is wrong; ``None`` where that is not told."""
    if not assumed.instead:
        return None
    other = assumed.instead[0]
    if assumed.part == "state":
        return replace(line, state=tuple(other.split("+")) if other else ())
    if assumed.part == "unit":
        return replace(line, unit=other)
    if assumed.part == "part":
        return replace(line, part=other or None)
    if assumed.part == "quantity":
        amount = read_fraction(other)
        return None if amount is None else replace(line, quantity=Quantity.of(amount))
    return None


def _otherwise(row: NameRow | None, assumed: tuple[Assumed, ...]) -> tuple[str, ...]:
    """Give the codes that a line's name, or an alternative's, may mean as well."""
    named = row.instead if row is not None else ()
    read = (code for one in assumed if one.part == "ingredient" for code in one.instead)
    return tuple(dict.fromkeys((*named, *read)))


class Settler:
    """Settles lines."""

    def __init__(self, cupboard: Cupboard, measures: Measures, reader: LineReader) -> None:
        self._cupboard = cupboard
        self._measures = measures
        self._reader = reader
        self.scale = LineScale(cupboard, measures)

    def settle(self, line: Line, customs: Customs) -> Settlement:
        """Read a line where it has text, and weigh every item that it names."""
        if line.text is None:
            settled = self._settle_item(line, (), customs, read=False)
            return Settlement((settled,), self._name_problems(settled, customs))
        return self.settle_text(line, line.text, customs, bare=self.says_its_text(line, customs))

    def says_its_text(self, line: Line, customs: Customs) -> bool:
        """Tell whether a line says no more than its text: it has no fields, or those, all of them,
        that its text reads as. So a card keeps what was assumed for it after it was read to fields.
        """
        if line.text is None or is_bare(line):
            return line.text is not None
        items = self._reader.read_line(line.text, customs.system, customs.language).items
        return len(items) == 1 and items[0].line == line

    def settle_text(self, line: Line, text: str, customs: Customs, *, bare: bool) -> Settlement:
        """Read a line's text and weigh every item; ``bare``: the line is text and nothing else."""
        read = self._reader.read_line(text, customs.system, customs.language)
        items: tuple[ReadItem, ...] = read.items if bare else _merged(line, read)
        if not items:
            weight = _NOT_READ if read.kind == "ingredient" else _REMARK
            nothing = Settled(line, None, text.strip(), text, weight, ())
            return Settlement((nothing,), read.problems)
        settled = tuple([self._settle_item(i.line, i.assumed, customs, read=bare) for i in items])
        if bare or line.ingredient is None:
            return Settlement(settled, read.problems)
        said = self._said_otherwise(settled[0], read, customs)
        if said:
            settled = (settled[0]._replace(text_says=said), *settled[1:])
        if settled[0].code is None:
            return Settlement(settled, read.problems)
        return Settlement(settled, tuple(p for p in read.problems if p.code not in _OF_NAMES))

    def _said_otherwise(self, settled: Settled, read: ReadLine, customs: Customs) -> tuple[str, ...]:
        """Give the codes that a text names, where none is what the fields say."""
        lines = (each for item in read.items for each in (item.line, *item.line.alternatives))
        codes = {
            code
            for each in lines
            for whole in (self._find(each, customs)[0],)
            for code in (whole, self._part_of(whole, each.part))
            if code
        }
        return () if settled.code in codes else tuple(sorted(codes))

    def _name_problems(self, settled: Settled, customs: Customs) -> tuple[Problem, ...]:
        """Say of a name in a field what reading says of it in a text: that no table knows it, and
        which names are near."""
        name = settled.line.ingredient
        if settled.code is not None or not name:
            return ()
        read = self._reader.read_line(name, customs.system, customs.language)
        return tuple(Problem(p.code, p.detail) for p in read.problems if p.code == "unknown-ingredient")

    def _find(self, line: Line, customs: Customs) -> tuple[str | None, NameRow | None]:
        """Find the ingredient that a line names, as a code or by any name."""
        name = line.ingredient
        if not name:
            return None, None
        if name in self._cupboard.ingredients:
            return name, None
        row = self._cupboard.find_name(name, customs.system, customs.language)
        return (None, None) if row is None else (row.code, row)

    def _part_of(self, code: str | None, part: str | None) -> str | None:
        """Give what a part of an ingredient is: the white of an egg is ``egg-white``."""
        if code is None or not part:
            return code
        row = self._cupboard.parts.get((code, part))
        return code if row is None else row.becomes

    def _settle_item(
        self, line: Line, assumed: tuple[Assumed, ...], customs: Customs, *, read: bool
    ) -> Settled:
        """Weigh one item; ``read``: all its fields, alternatives included, come from its text."""
        whole, row = self._find(line, customs)
        if row is not None and (row.state or row.part):
            line = replace(
                line,
                state=line.state or ((row.state,) if row.state else ()),
                part=line.part or row.part or None,
            )
        code = self._part_of(whole, line.part) if line.part else whole
        weight = self.scale.weigh(line, code, customs)
        name = self._cupboard.ingredients[code].name if code else line.ingredient or line.text or ""
        settled = Settled(line, code, name, written(line, name), weight, weight.notes)
        others = line.alternatives
        if not (assumed or others or (row is not None and row.instead) or customs.measures is None):
            return settled
        alternatives = tuple(
            [one for other in others for one in self._alternative(other, line, customs, read=read)]
        )
        return self._told(settled, whole, row, assumed, customs, alternatives)

    def _told(
        self, settled: Settled, whole: str | None, row: NameRow | None,
        assumed: tuple[Assumed, ...], customs: Customs, alternatives: tuple[Settled, ...],
    ) -> Settled:  # fmt: skip
        """Add what reading assumed, the alternatives, and what other measures would be worth."""
        notes = [self._note(one, settled, alternatives, customs) for one in assumed]
        if row is not None and row.instead and whole is not None:
            detail = f"“{settled.line.ingredient}” may mean several things"
            worth = self._worth_of_name(settled, row.instead[0], customs)
            notes.append(Note("ambiguous-name", "ingredient", whole, worth, detail))
        return Settled(
            settled.line, settled.code, settled.name, settled.as_written, settled.weight,
            (*notes, *settled.notes), alternatives, self._other_measures(settled, customs),
            _otherwise(row, assumed),
        )  # fmt: skip

    def _alternative(
        self, line: Line, base: Line, customs: Customs, *, read: bool
    ) -> tuple[Settled, ...]:
        """Weigh an alternative; one that states no amount takes that of the line."""
        if read:
            return (self._settle_item(line, (), customs, read=True),)
        items = self.settle(line, customs).items
        if base.quantity is None or any(item.line.quantity is not None for item in items):
            return items
        detail = "the alternative states no amount; taken as much as of the line's own"
        note = Note("alternative-amount", "quantity", write_quantity(base.quantity), None, detail)
        found = []
        for item in items:
            as_much = replace(
                item.line, quantity=base.quantity, unit=base.unit, level=base.level, alternatives=()
            )
            again = self._settle_item(as_much, (), customs, read=False)
            found.append(again._replace(notes=(note, *again.notes)))
        return tuple(found)

    def _note(
        self, assumed: Assumed, settled: Settled, alternatives: tuple[Settled, ...], customs: Customs
    ) -> Note:
        """Tell what a reading's assumption is worth, for the item or the alternative that it means."""
        meant = settled
        if assumed.part == "ingredient" and assumed.value != settled.line.ingredient:
            named = (one for one in alternatives if one.line.ingredient == assumed.value)
            meant = next(named, settled)
        if assumed.part == "ingredient" and assumed.instead:
            worth = self._worth_of_name(meant, assumed.instead[0], customs)
        else:
            other = _meant_otherwise(assumed, meant.line)
            worth = None if other is None else self._worth(meant, other, meant.code, customs)
        return Note(assumed.code, assumed.part, assumed.value, worth, assumed.detail)

    def _worth_of_name(self, settled: Settled, other: str, customs: Customs) -> float | None:
        """Tell by how many grams the line differs where its name means another ingredient."""
        return self._worth(settled, settled.line, self._part_of(other, settled.line.part), customs)

    def _worth(self, settled: Settled, other: Line, code: str | None, customs: Customs) -> float | None:
        """Tell by how many grams another reading differs; ``None`` where one does not weigh."""
        mine = settled.weight
        if mine.grams is None:
            return None
        weight = self.scale.weigh(other, code, customs)
        return None if weight.grams is None else weight.grams.value - mine.grams.value

    def _other_measures(self, settled: Settled, customs: Customs) -> float:
        line, grams = settled.line, settled.weight.grams
        if customs.measures is not None or grams is None or not line.unit:
            return 0.0
        basis = settled.weight.basis
        if basis is None or basis.kind in ("written-mass", "equivalent"):
            return 0.0
        mine = self._measures.find(line.unit, USUAL_MEASURES)
        other = self._measures.find(line.unit, OTHER_MEASURES)
        if mine is None or other is None or mine.kind != "volume" or other.kind != "volume":
            return 0.0
        return grams.value * (other.size / mine.size - 1)
