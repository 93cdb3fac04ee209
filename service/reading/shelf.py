"""What the reader asks the tables about an ingredient: states that count, parts, unit names."""

from __future__ import annotations

from collections import defaultdict
from dataclasses import replace

from service.tables.cupboard import Cupboard
from service.tables.rows import MeantByMeasureRow, NameRow, StateRow
from service.units.measures import Measures, Unit

#: Kinds of state that are said of the measured thing whatever it is.
ALWAYS = frozenset(("handling", "measured", "form", "size"))
LIQUID_ROLES = frozenset(("liquid", "water", "alcohol", "acid"))


class Shelf:
    """The ingredients' side of the tables, for one system of measures."""

    def __init__(self, cupboard: Cupboard, measures: Measures, system: str) -> None:
        self.cupboard = cupboard
        self.measures = measures
        self.system = system
        self._states: dict[str, frozenset[str]] = {
            code: frozenset(state for row in rows for state in row.state.split("+") if state)
            for code, rows in cupboard.weights.items()
        }
        owners: dict[str, set[str]] = defaultdict(set)
        for ingredient, part in cupboard.parts:
            owners[part].add(ingredient)
        self._becomes = {(row.ingredient, row.becomes) for row in cupboard.parts.values()}
        self._implied = {part: next(iter(own)) for part, own in owners.items() if len(own) == 1}
        self._unit_names: dict[str, str] = {}
        self._meant_by_measure = cupboard.meant_by_measure

    def implied(self, part: str | None) -> str | None:
        """Give the only ingredient that has such a part: a yolk is an egg's."""
        return None if part is None else self._implied.get(part)

    def has_part(self, code: str, part: str) -> bool:
        """Tell whether the tables know such a part of an ingredient."""
        return (code, part) in self.cupboard.parts

    def counts(self, row: StateRow, code: str | None, part: str | None, *, counted: bool) -> bool:
        """Tell whether a state says how the measured thing was.

        Handling and form always do, size where pieces are ``counted``, but no liquid is cut or cooked
        into another; warmth and packing do where the ingredient is weighed in that state; what was
        merely done never does.
        """
        if not row.state:
            return False
        if part is not None and code is not None:
            becomes = self.cupboard.parts.get((code, part))
            code = becomes.becomes if becomes else code
        known = self._states.get(code or "", frozenset())
        if row.state in known or ("+" in row.state and known.issuperset(row.state.split("+"))):
            return True
        if row.kind not in ALWAYS or (row.kind == "size" and not counted):
            return False
        ingredient = self.cupboard.ingredients.get(code or "")
        return row.kind != "form" or ingredient is None or ingredient.role not in LIQUID_ROLES

    def is_part_of(self, code: str, whole: str) -> bool:
        """Tell whether an ingredient is a part of another: lemon-rind of a lemon."""
        return (whole, code) in self._becomes

    def is_liquid(self, code: str) -> bool:
        """Tell whether an ingredient is poured."""
        row = self.cupboard.ingredients.get(code)
        return row is not None and row.role in LIQUID_ROLES

    def is_flavour(self, code: str) -> bool:
        """Tell whether an ingredient is an extract or another flavouring."""
        row = self.cupboard.ingredients.get(code)
        return row is not None and row.role == "flavour"

    def is_weighed_by(self, code: str, unit: Unit) -> bool:
        """Tell whether the tables have a weight of one such measure of an ingredient."""
        return any(row.measure == unit.code for row in self.cupboard.weights.get(code, ()))

    def grams_of_piece(self, code: str | None, part: str | None) -> float | None:
        """Give what a piece of an ingredient or of its part usually weighs; ``None``: not known."""
        becomes = self.cupboard.parts.get((code or "", part or ""))
        rows = self.cupboard.weights.get(becomes.becomes if becomes else code or "", ())
        pieces = sorted(row.grams for row in rows if row.measure == "each")
        return pieces[len(pieces) // 2] if pieces else None

    def hangs_on_measure(self, row: NameRow) -> bool:
        """Tell whether what an ambiguous name means hangs on its measure."""
        return any(meant.becomes in row.instead for meant in self._meant_by_measure.get(row.code, ()))

    def meant(self, row: NameRow, unit: Unit | None) -> NameRow:
        """Give what a name means by its measure: yeast by the cup is liquid, by the cube it is fresh.
        What it would mean by another measure is then what it may mean ``instead``."""
        if unit is None or not row.instead:
            return row
        for meant in self._meant_by_measure.get(row.code, ()):
            if meant.becomes in row.instead and _is_by(meant, unit):
                others = tuple(code for code in row.instead if code != meant.becomes)
                return replace(row, code=meant.becomes, instead=(row.code, *others))
        return row

    def plain_name(self, code: str) -> str:
        """Give an ingredient's name, its code where the tables do not know it."""
        row = self.cupboard.ingredients.get(code)
        return row.name if row else code

    def name_of_unit(self, unit: Unit) -> str:
        """Give the word that means this unit under this system: its trade name where that does,
        else its code."""
        name = self._unit_names.get(unit.code)
        if name is None:
            found = self.measures.find(unit.name, self.system)
            name = unit.name if found is not None and found.code == unit.code else unit.code
            self._unit_names[unit.code] = name
        return name


def _is_by(meant: MeantByMeasureRow, unit: Unit) -> bool:
    """Tell whether a measure is one by which a name means something else."""
    if meant.least_millilitres is None:
        return unit.code == meant.measure
    return unit.kind == "volume" and unit.size >= meant.least_millilitres
