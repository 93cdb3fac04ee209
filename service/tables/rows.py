"""One row type a table: its fields are the file's columns, in the same order.

A field typed ``float`` must be filled, ``float | None`` may be empty (empty means: the source has no
value), ``tuple[str, ...]`` is a list with ``;`` between, ``bool`` is ``yes`` or ``no``. Every row has
``source`` (publication and place in it) and ``evidence`` (R read in the source, G a regulator's page,
T a third party's summary, M from memory, J derived or judged; H, which no file has, is a house's own
word, see ``house``).
"""

from __future__ import annotations

from dataclasses import dataclass

from service.tables.law_rows import (
    AllergenRow,
    IngredientAllergenRow,
    MarketAllergenRow,
    MarketRow,
    PublicTargetRow,
)
from service.tables.rule_rows import (
    AltitudeRow,
    CautionRow,
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

#: The evidence letter of a house's own rows.
HOUSE = "H"


@dataclass(frozen=True, slots=True)
class IngredientRow:
    """An ingredient: table ``ingredients``.

    ``code`` is a slug of its plain name; ``group`` is the shelf it stands on; ``role`` what it does
    in a formula (flour | starch | sugar | syrup | fat | liquid | egg | white | yolk | leavener |
    acid | yeast | salt | cocoa | chocolate | milk-solids | flavour | fruit | nut | gel | alcohol |
    filler | water); ``flour``: the share that counts as flour in baker's percentages, 0 to 1;
    ``usual_state``: what an unstated measure of it means: empty, a state, or ``handling`` where the
    formula's ``handling`` decides; ``pack``: the bought pack decides what is in it.
    """

    code: str
    name: str
    group: str
    role: str
    flour: float
    usual_state: str
    pack: bool
    note: str
    source: str
    evidence: str


@dataclass(frozen=True, slots=True)
class NameRow:
    """A name of an ingredient: table ``names``.

    ``language``: a BCP 47 tag, ``en`` for all English; ``measures``: systems under which the name
    means this (empty: all); ``state`` and ``part``: what the name itself says ("powdered cocoa" says
    nothing, "whites" says part white); ``instead``: codes that the same name may mean elsewhere: a
    reading that takes this row says so as an assumption; ``old``: found in old books.
    """

    name: str
    code: str
    language: str
    measures: tuple[str, ...]
    state: str
    part: str
    instead: tuple[str, ...]
    old: bool
    source: str
    evidence: str


@dataclass(frozen=True, slots=True)
class MeantByMeasureRow:
    """What an ambiguous name means by its measure: table ``meant_by_measure``. A name that the tables
    take for ``code``, and that may also mean ``becomes``, means the latter where it is counted in a
    ``measure``, or measured by volumes of at least ``least_millilitres``: yeast by the cube is fresh, by
    the cup it is liquid."""

    code: str
    becomes: str
    measure: str
    least_millilitres: float | None
    source: str
    evidence: str


@dataclass(frozen=True, slots=True)
class StateRow:
    """A word or phrase that says how a thing is: table ``states``.

    ``kind``: handling (how it was put in the measure: counts only before the ingredient's name),
    measured (the same, said so that it counts wherever it stands), form (how it is cut or ground),
    temper (melted, softened, cold: how warm), size (of a piece), pack (drained, in syrup), process
    (beaten, scalded: says what was done, changes no mass), quality (dry, fresh: the same of what the
    thing is; after a comma it may make another name with the one before it), manner (an adverb: finely).
    ``state`` is the canonical word, or several joined by ``+``, under which ``weights`` keeps its rows.
    """

    word: str
    state: str
    kind: str
    source: str
    evidence: str


@dataclass(frozen=True, slots=True)
class PartWordRow:
    """A word for a part of an egg or a fruit: table ``part_words`` ("whites" → ``white``)."""

    word: str
    part: str
    source: str
    evidence: str


@dataclass(frozen=True, slots=True)
class PartRow:
    """What a part of an ingredient is: table ``parts`` (lemon, juice → lemon-juice)."""

    ingredient: str
    part: str
    becomes: str
    source: str
    evidence: str


@dataclass(frozen=True, slots=True)
class UnitRow:
    """A unit or household measure: table ``units``.

    ``code`` is unique (``cup_us``); ``name`` the trade name that a formula writes (``cup``), shared
    by the rows of several systems; ``kind``: mass | volume | count | length | temperature | percent;
    ``system``: any, or one of the formula's ``measures``, or ``old`` (household measures of old books,
    found under any system when the system has none of that name); ``definition``: the size in terms of
    the registry's units (``231 * inch ** 3 / 16``), empty for counts; ``low`` and ``high``: the band
    of the size in mL or g where it is contested; ``ucum``: the UCUM code; ``words``: every spelling
    that a line may use; ``measure_class``: cup | spoon | other (what a ``level`` word means for it).
    """

    code: str
    name: str
    kind: str
    system: str
    definition: str
    low: float | None
    high: float | None
    ucum: str
    words: tuple[str, ...]
    measure_class: str
    source: str
    evidence: str
    note: str


@dataclass(frozen=True, slots=True)
class LevelRow:
    """How much a scant, rounded or heaped measure holds: table ``levels``. Units: times level."""

    level: str
    measure_class: str
    factor: float
    low: float
    high: float
    source: str
    evidence: str


@dataclass(frozen=True, slots=True)
class WeightRow:
    """The mass of a measure of an ingredient in a state: table ``weights``.

    ``measure`` is a unit's code (``cup_us``, ``tsp_us``, ``each``, ``slice``, ``stick`` …), ``amount``
    how many of it weigh ``grams`` (band ``low``–``high``, same amount). ``state`` is empty for the
    thing as it is. ``rank`` 1 is the row that is taken; rivals of the same ingredient, state and
    measure have 2, 3 … and widen the band.
    """

    ingredient: str
    state: str
    measure: str
    amount: float
    grams: float
    low: float
    high: float
    rank: int
    source: str
    evidence: str
    note: str


@dataclass(frozen=True, slots=True)
class EggRow:
    """An egg by grade: table ``eggs``. ``part``: shell (with shell), whole (without), white, yolk.
    Units: grams an egg."""

    grade: str
    part: str
    grams: float
    low: float
    high: float
    source: str
    evidence: str
    note: str


@dataclass(frozen=True, slots=True)
class CompositionRow:
    """What 100 g of an ingredient hold: table ``composition``. Units: g, but ``energy_kcal``,
    ``sodium_mg``. Empty means that the source has no value: unknown, never zero. ``same_as``: the
    code whose row this one shares, and then ``why``. ``entry`` is the source's own id."""

    ingredient: str
    water: float | None
    energy_kcal: float | None
    protein: float | None
    fat: float | None
    saturated: float | None
    carbohydrate: float | None
    fibre: float | None
    sugars: float | None
    starch: float | None
    sodium_mg: float | None
    alcohol: float | None
    same_as: str
    why: str
    entry: str
    source: str
    evidence: str


@dataclass(frozen=True, slots=True)
class AcidityRow:
    """The acid that 100 g of an ingredient bring against soda: table ``acidity``. Units:
    milliequivalents; negative where it is alkaline."""

    ingredient: str
    meq: float
    low: float
    high: float
    source: str
    evidence: str
    note: str


@dataclass(frozen=True, slots=True)
class CompoundRow:
    """A part of a compound ingredient, in the usual descending order: table ``compounds``.

    ``part`` is an ingredient's code where the tables know it, else plain words; ``low`` and ``high``
    the share in percent where a standard says so; ``market`` where it holds (empty: anywhere)."""

    ingredient: str
    position: int
    part: str
    low: float | None
    high: float | None
    market: str
    source: str
    evidence: str
    note: str


@dataclass(frozen=True, slots=True)
class SpoonSetRow:
    """A cup, spoon or other measure as kitchens have it: table ``spoon_sets``.

    ``system`` is a formula's ``measures``, or ``any`` for what keeps its own measure; ``position``
    orders the measures of a system from large to small; the measure shows the multiples of its
    ``steps`` (exact amounts, ``1/4``); ``least`` and ``most`` bound the amounts for which it is taken.
    ``unit`` is a unit's code, ``egg``, or ``other`` for whatever has no row.
    """

    system: str
    unit: str
    position: int
    steps: tuple[str, ...]
    least: float
    most: float | None
    source: str
    evidence: str
    note: str


@dataclass(frozen=True, slots=True)
class CardWordRow:
    """A word on a card beside its ingredients: table ``card_words``.

    ``kind``: oven (how hot an oven is, ``low`` to ``high`` in ``unit``) | role (of a component, in its
    heading) | shape (of a pan) | preparation (of a pan) | pan (the thing itself) | brings (a word that
    tells of a thing's use: "buttered"; ``meaning`` is its ingredient, or an allergen's key) | act (an
    ingredient's name that is a verb here: "cream the"); of a method: mixes (a word that puts what
    follows into the mix) | mixed (its participle) | spares (puts it elsewhere: "grease", "bake") |
    hushes (denies, allows, refers or finishes: "no", "may", "same", "brush") | aside (does so as the
    first word) | elsewhere (all that follows speaks of another thing) | mixture (what is being mixed) |
    melts (melts what is named beside it) | states (says how much) | not-meant (behind a name: it is
    something else, "egg beater") | by-need (behind a name: as much as is wanted, "to taste"); else
    ``meaning`` is the formula document's own word."""

    word: str
    kind: str
    meaning: str
    low: float | None
    high: float | None
    unit: str
    source: str
    evidence: str


@dataclass(frozen=True, slots=True)
class PanWordRow:
    """A word of a method about a pan: table ``pan_words``.

    ``kind``: does (prepares it: "grease"; ``meaning`` the preparation) | done (its participle) | rubs
    (does so with a ``fat``) | pan, side, base (what is prepared) | between (may stand between the two)
    | stuff (what lines one: "greased paper" greases none) | other (what is no pan) | denies | shape
    (``meaning`` the shape) | inverts | upright (a phrase),
    with a word that ``rests`` | turns-out (a phrase), with one of at-once and none of cold."""

    word: str
    kind: str
    meaning: str
    source: str
    evidence: str


@dataclass(frozen=True, slots=True)
class MixNeedRow:
    """What a method may say goes into the mix: table ``mix_needs``.

    It is named by one of the ``ingredients``, by one that brings one of the ``kinds`` (see
    ``service.rules.kinds``), or by one of the ``words``, as they are written; not behind a word of
    ``not_after`` ("in water" may be a bath), and not in one part of a sentence with a word of
    ``not_beside`` ("melt butter in the pan"). A line meets it that brings a kind of ``answered`` or is
    an ingredient of ``answered_by``."""

    code: str
    ingredients: tuple[str, ...]
    kinds: tuple[str, ...]
    words: tuple[str, ...]
    answered: tuple[str, ...]
    answered_by: tuple[str, ...]
    not_after: tuple[str, ...]
    not_beside: tuple[str, ...]
    source: str
    evidence: str


#: Every table by name, with its row type. A table's file or folder has the same name.
TABLES: dict[str, type] = {
    "ingredients": IngredientRow,
    "names": NameRow,
    "states": StateRow,
    "meant_by_measure": MeantByMeasureRow,
    "part_words": PartWordRow,
    "card_words": CardWordRow,
    "pan_words": PanWordRow,
    "mix_needs": MixNeedRow,
    "parts": PartRow,
    "units": UnitRow,
    "levels": LevelRow,
    "weights": WeightRow,
    "eggs": EggRow,
    "composition": CompositionRow,
    "acidity": AcidityRow,
    "compounds": CompoundRow,
    "ingredient_allergens": IngredientAllergenRow,
    "allergens": AllergenRow,
    "markets": MarketRow,
    "market_allergens": MarketAllergenRow,
    "public_targets": PublicTargetRow,
    "limits": LimitRow,
    "altitude": AltitudeRow,
    "constants": ConstantRow,
    "leaveners": LeavenerRow,
    "cautions": CautionRow,
    "classes": ClassRow,
    "styles": StyleRow,
    "style_words": StyleWordRow,
    "undoings": UndoingRow,
    "left_out": LeftOutRow,
    "class_words": ClassWordRow,
    "spoon_sets": SpoonSetRow,
    "usual_amounts": UsualAmountRow,
    "roundings": ConstantRow,
}
