"""The cupboard: every table indexed, where the rest of the service looks things up.

A cupboard never changes. A house's own rows make a new one (``with_rows``), with its own digest.
"""

from __future__ import annotations

import hashlib
from collections import defaultdict
from collections.abc import Iterable, Mapping
from dataclasses import fields
from operator import attrgetter
from pathlib import Path
from typing import Any

from service import __version__
from service.domain.words import key_of
from service.errors import TableFault
from service.tables import image
from service.tables.law_rows import (
    AllergenRow,
    IngredientAllergenRow,
    MarketAllergenRow,
    MarketRow,
    PublicTargetRow,
)
from service.tables.loader import load_tables, tables_digest
from service.tables.rows import (
    TABLES,
    AcidityRow,
    CardWordRow,
    CompositionRow,
    CompoundRow,
    EggRow,
    IngredientRow,
    LevelRow,
    MeantByMeasureRow,
    NameRow,
    PartRow,
    PartWordRow,
    StateRow,
    UnitRow,
    WeightRow,
)
from service.tables.rule_rows import (
    AltitudeRow,
    ClassRow,
    ClassWordRow,
    ConstantRow,
    LeavenerRow,
    LeftOutRow,
    LimitRow,
    StyleRow,
    StyleWordRow,
    UndoingRow,
    UsualAmountRow,
)

Tables = Mapping[str, tuple[Any, ...]]


def _grouped(rows: Iterable[Any], *columns: str) -> dict[Any, tuple[Any, ...]]:
    """Index rows by one column's value, or by a tuple of several."""
    found: dict[Any, list[Any]] = defaultdict(list)
    for row in rows:
        key = tuple(getattr(row, column) for column in columns)
        found[key if len(key) > 1 else key[0]].append(row)
    return {key: tuple(several) for key, several in found.items()}


def _single(table: str, rows: Iterable[Any], *columns: str) -> dict[Any, Any]:
    """Index rows that must be unique in a column. Raises: TableFault."""
    found = _grouped(rows, *columns)
    for key, several in found.items():
        if len(several) > 1:
            raise TableFault(f"{table}: {key!r} has {len(several)} rows")
    return {key: several[0] for key, several in found.items()}


class Cupboard:
    """All rows, indexed. Look-ups named ``find_…`` give ``None`` or an empty tuple for a miss."""

    def __init__(self, tables: Tables, knowledge: str) -> None:
        self.tables = tables
        #: The digest of tables, house rows and program version: the contract's ``knowledge``.
        self.knowledge = knowledge
        #: What follows from these rows alone, by what works it out (``service.tables.once``).
        self.facts: dict[object, object] = {}
        self._index_single(tables)
        self._index_several(tables)
        self._index_words(tables)
        self._check_references()

    def _index_single(self, tables: Tables) -> None:
        """Index the tables of which a key has one row. Raises: TableFault."""

        def single(table: str, *columns: str) -> dict[Any, Any]:
            return _single(table, tables[table], *columns)

        self.ingredients: dict[str, IngredientRow] = single("ingredients", "code")
        self.units: dict[str, UnitRow] = single("units", "code")
        self.composition: dict[str, CompositionRow] = single("composition", "ingredient")
        self.acidity: dict[str, AcidityRow] = single("acidity", "ingredient")
        self.leaveners: dict[str, LeavenerRow] = single("leaveners", "ingredient")
        self.allergens: dict[str, AllergenRow] = single("allergens", "key")
        self.brings: dict[str, IngredientAllergenRow] = single("ingredient_allergens", "ingredient")
        self.markets: dict[str, MarketRow] = single("markets", "market")
        self.constants: dict[str, ConstantRow] = single("constants", "code")
        self.undoings: tuple[UndoingRow, ...] = self.tables["undoings"]
        self.left_out: tuple[LeftOutRow, ...] = self.tables["left_out"]
        self.usual_amounts: dict[tuple[str, str], UsualAmountRow] = single(
            "usual_amounts", "unit", "role"
        )
        self.classes: dict[str, ClassRow] = single("classes", "code")
        self.styles: dict[str, StyleRow] = single("styles", "code")
        self.style_words: tuple[StyleWordRow, ...] = self.tables["style_words"]
        self.eggs: dict[tuple[str, str], EggRow] = single("eggs", "grade", "part")
        self.levels: dict[tuple[str, str], LevelRow] = single("levels", "level", "measure_class")
        self.parts: dict[tuple[str, str], PartRow] = single("parts", "ingredient", "part")

    def _index_several(self, tables: Tables) -> None:
        """Index the tables of which a key may have several rows."""
        self.meant_by_measure: dict[str, tuple[MeantByMeasureRow, ...]] = _grouped(
            tables["meant_by_measure"], "code"
        )
        self.weights: dict[str, tuple[WeightRow, ...]] = _grouped(tables["weights"], "ingredient")
        self.compounds: dict[str, tuple[CompoundRow, ...]] = _grouped(tables["compounds"], "ingredient")
        self.market_allergens: dict[str, tuple[MarketAllergenRow, ...]] = _grouped(
            tables["market_allergens"], "market"
        )
        self.public_targets: dict[str, tuple[PublicTargetRow, ...]] = _grouped(
            tables["public_targets"], "product_class"
        )
        self.limits: dict[str, tuple[LimitRow, ...]] = _grouped(tables["limits"], "rule")
        self._limits_by_class: dict[tuple[str, str], tuple[LimitRow, ...]] = _grouped(
            tables["limits"], "rule", "product_class"
        )
        self.altitude: dict[str, tuple[AltitudeRow, ...]] = _grouped(tables["altitude"], "rule")

    def _index_words(self, tables: Tables) -> None:
        """Index the tables of words, by the key under which a name is found (``words.key_of``)."""
        self.names: dict[str, tuple[NameRow, ...]] = self._by_key(tables["names"], "name")
        #: How many words the longest name has: readers need look no further.
        self.longest_name = max((key.count(" ") + 1 for key in self.names), default=1)
        #: The languages that the names are in (BCP 47, without region).
        self.languages = frozenset(row.language.split("-")[0] for row in tables["names"])
        self.states: dict[str, tuple[StateRow, ...]] = self._by_key(tables["states"], "word")
        self.class_words: dict[str, tuple[ClassWordRow, ...]] = self._by_key(
            tables["class_words"], "word"
        )
        #: How many words the longest phrase that tells a class has.
        self.longest_class_word = max((key.count(" ") + 1 for key in self.class_words), default=1)
        self.card_words: dict[str, tuple[CardWordRow, ...]] = self._by_key(tables["card_words"], "word")
        self.part_words: dict[str, tuple[PartWordRow, ...]] = self._by_key(tables["part_words"], "word")
        #: The allergens' own names: a note may say "salmon" though no ingredient is called so.
        self.allergen_names: dict[str, str] = {
            key_of(word): row.key for row in tables["allergens"] for word in (row.name, row.key)
        }

    @staticmethod
    def _by_key(rows: Iterable[Any], column: str) -> dict[str, tuple[Any, ...]]:
        found: dict[str, list[Any]] = defaultdict(list)
        for row in rows:
            found[key_of(getattr(row, column))].append(row)
        return {key: tuple(several) for key, several in found.items()}

    def _check_references(self) -> None:
        """Refuse rows that name an ingredient, unit or allergen that no row defines."""
        for table, column, known in (
            ("names", "code", self.ingredients),
            ("meant_by_measure", "code", self.ingredients),
            ("meant_by_measure", "becomes", self.ingredients),
            ("meant_by_measure", "measure", {"", *self.units}),
            ("weights", "ingredient", self.ingredients),
            ("weights", "measure", self.units),
            ("composition", "ingredient", self.ingredients),
            ("acidity", "ingredient", self.ingredients),
            ("compounds", "ingredient", self.ingredients),
            ("ingredient_allergens", "ingredient", self.ingredients),
            ("leaveners", "ingredient", self.ingredients),
            ("parts", "ingredient", self.ingredients),
            ("parts", "becomes", self.ingredients),
            ("market_allergens", "allergen", self.allergens),
            ("market_allergens", "market", self.markets),
            ("public_targets", "market", self.markets),
            ("public_targets", "product_class", self.classes),
        ):
            for row in self.tables[table]:
                if getattr(row, column) not in known:
                    raise TableFault(f"{table}: {column} {getattr(row, column)!r} is defined nowhere")
        for row in self.tables["ingredient_allergens"]:
            for key in row.contains + row.conditional:
                if key not in self.allergens:
                    raise TableFault(f"ingredient_allergens: {row.ingredient}: no allergen {key!r}")
        for word in self.tables["card_words"]:
            if word.kind == "brings" and word.meaning not in self.ingredients | self.allergens:
                raise TableFault(f"card_words: {word.word}: {word.meaning!r} is defined nowhere")

    def find_name(self, name: str, measures: str, language: str = "en") -> NameRow | None:
        """Find the ingredient that a name means under a system of measures and a language.

        A row for this system goes before one for all, a row for this language variety before one
        for the language. An ingredient's code and its table name are names too.
        """
        rows = self.names.get(key_of(name), ())
        best: tuple[int, int] | None = None
        found: NameRow | None = None
        for row in rows:
            if row.measures and measures not in row.measures:
                continue
            if not language.startswith(row.language.split("-")[0]):
                continue
            if "-" in row.language and "-" in language and row.language != language:
                continue
            rank = (2 if row.measures else 0, 1 if row.language == language else 0)
            if best is None or rank > best:
                best, found = rank, row
        return found

    def limit_rows(self, rule: str, product_class: str | None) -> tuple[LimitRow, ...]:
        """Give the limits of a rule for a class: its own rows, with those for ``all`` where none of its
        own is for the class at large."""
        own = self._limits_by_class.get((rule, product_class or ""), ())
        if any(not row.style for row in own):
            return own
        return (*self._limits_by_class.get((rule, "all"), ()), *own)

    def with_rows(self, extra: Mapping[str, tuple[Any, ...]], digest: str) -> Cupboard:
        """Give a cupboard in which a house's rows stand before the tables' own.

        Shape: ``extra`` maps table names to rows; a row replaces the table's rows of the same
        ingredient (and, in ``weights``, of the same state and measure). ``digest`` tells the house
        rows apart and goes into ``knowledge``. Raises: TableFault.
        """
        merged = dict(self.tables)
        for table, rows in extra.items():
            merged[table] = _merged(table, self.tables[table], rows)
        joined = hashlib.sha256(f"{self.knowledge}\0{digest}".encode()).hexdigest()
        return Cupboard(merged, joined)


_IDENTITY: dict[str, tuple[str, ...]] = {
    "ingredients": ("code",),
    "weights": ("ingredient", "state", "measure"),
    "names": ("name", "language", "measures"),
}


def _merged(table: str, rows: tuple[Any, ...], house: tuple[Any, ...]) -> tuple[Any, ...]:
    columns = _IDENTITY.get(table, ("ingredient",))
    taken = {tuple(getattr(row, c) for c in columns) for row in house}
    return tuple(row for row in rows if tuple(getattr(row, c) for c in columns) not in taken) + house


def _with_own_names(tables: dict[str, tuple[Any, ...]]) -> dict[str, tuple[Any, ...]]:
    """Add each ingredient's code and table name to the names, where no row claims them."""
    claimed = {key_of(row.name) for row in tables["names"]}
    own = []
    for row in tables["ingredients"]:
        for name in (row.name, row.code):
            if key_of(name) not in claimed:
                claimed.add(key_of(name))
                own.append(
                    NameRow(name, row.code, "en", (), "", "", (), False, row.source, row.evidence)
                )
    return {**tables, "names": tables["names"] + tuple(own)}


def _cells_of_tables() -> dict[str, list[tuple[Any, ...]]]:
    """Read all tables, check each row, and give the rows' values. Raises: TableFault."""
    found = {}
    for table, rows in _with_own_names(load_tables()).items():
        values = attrgetter(*(field.name for field in fields(TABLES[table])))
        found[table] = [values(row) for row in rows]
    return found


def open_cupboard() -> Cupboard:
    """Read all tables, or the image that was made of them, and index them. Raises: TableFault."""
    digest = tables_digest()
    programs = image.sources(sorted(Path(__file__).parent.glob("*.py")))
    cells = image.kept("tables", image.key_for(digest, programs), _cells_of_tables)
    tables = {table: tuple(TABLES[table](*row) for row in rows) for table, rows in cells.items()}
    knowledge = hashlib.sha256(f"{__version__}\0{digest}".encode()).hexdigest()
    return Cupboard(tables, knowledge)
