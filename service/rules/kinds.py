"""What one gram of a thing brings to a baked group, by what it does there.

A line's grams go to several kinds at once: butter is ``fat`` as it is, ``pure_fat`` by its fat,
``water`` by its water, ``salt`` by its sodium. The shares come from the ingredient's role, its
composition and its leavener's row; nothing here knows an ingredient by name.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable

from service.domain.record import record
from service.domain.weighed import WeighedLine
from service.tables.cupboard import Cupboard
from service.tables.once import once
from service.tables.rows import CompositionRow, IngredientRow
from service.tables.rule_rows import LeavenerRow
from service.weighing.totals import hydration_of

#: Every kind, with what it counts. Units: grams, but ``sodium`` in milligrams.
KINDS: dict[str, str] = {
    "total": "everything",
    "flour": "flour, by the share that counts; dry cereals, plain dry crumbs and starch stand in for it",
    "meal": "flour and dry cereals, without starch",
    "starch": "starch alone",
    "dry_sugar": "dry sugar as it is",
    "syrup": "molasses, treacle, honey and other syrups as they are",
    "sugar": "dry sugar, the solids of syrups, the sugars of chocolate",
    "fat": "butter and other fats as they are, the fat of chocolate, cocoa, cream and fresh cheese",
    "butter": "butter and other fats as they are",
    "pure_fat": "fats by their fat alone, and the fat of chocolate, cocoa and cream",
    "egg": "whole egg, white and yolk as they are",
    "white": "white, and the white of whole eggs",
    "yolk": "yolk, and the yolk of whole eggs",
    "whole_egg": "whole egg",
    "egg_white_alone": "white that came without its yolk",
    "egg_yolk_alone": "yolk that came without its white",
    "liquid": "milk, water and other liquids as they are",
    "milk": "milk and its kin as they are",
    "cream": "liquids rich in fat, as they are",
    "water": "water of eggs, liquids, fats, syrups and mashed fruit; not that of flour",
    "liquid_water": "water of liquids, syrups and mashed fruit",
    "milk_solids": "milk's and fresh cheese's solids, and dry milk",
    "milk_fat": "the fat among the milk's solids",
    "cocoa": "cocoa, and chocolate without its sugar",
    "cocoa_solids": "cocoa, and chocolate without its sugar and fat",
    "cocoa_powder": "cocoa as it is",
    "chocolate": "chocolate as it is",
    "puree_water": "water of that pulp, of which it may keep some",
    "puree": "fruit and vegetables mashed to pulp",
    "gel": "gelatin and other gelling things",
    "alcohol": "wine and spirits as they are",
    "nut": "nuts",
    "grain": "cereals that stand for flour without being ground to it: oats, bran, crumbs",
    "fruit": "dried, candied and fresh fruit, in pieces or mashed",
    "salt": "salt, and the salt that fats bring",
    "salt_alone": "salt as it is",
    "sodium": "sodium of everything, mg",
    "soda": "soda; other carbonates as the soda that takes up as much acid",
    "powder": "baking powder as it is",
    "ammonia": "baking ammonia as it is",
    "acid_salt": "dry leavening acids as they are",
    "yeast": "yeast, as fresh yeast",
    "leaven": "sourdough, poolish and other leavens as they are",
}
#: The shelf of flours and whole cereals.
_CEREALS = "flours"
#: The shelf of bread, biscuits and what is crushed of them.
_CRUMBS = "crumbs"
#: The shelf of milk and its kin, and of what is poured in its place.
_DAIRY = "dairy"
#: What a line brings even where it is folded in whole.
_OF_ANYTHING = ("total", "sodium")
#: States of chocolate that is folded in as it is.
IN_PIECES = frozenset({"chips", "chunks"})
MASHED = frozenset({"mashed", "pureed", "grated", "shredded", "crushed", "cooked", "sauce"})
#: States of fruit that stays in pieces, whatever is usually done with it.
CUT = frozenset({"sliced", "diced", "chopped", "cubes", "chunks", "halves", "pieces", "slivered"})

Shares = tuple[tuple[str, float], ...]


class _Facts:
    """An ingredient's rows, in shares of one gram. What the source has no value for is zero here:
    a balance of a formula is not a nutrition table."""

    def __init__(self, row: IngredientRow, made_of: CompositionRow | None) -> None:
        self.row = row
        self.known = made_of is not None
        self.water = self._of(made_of.water if made_of else None)
        self.fat = self._of(made_of.fat if made_of else None)
        self.sugars = self._of(made_of.sugars if made_of else None)
        self.protein = self._of(made_of.protein if made_of else None)
        #: Milligrams a gram.
        self.sodium = self._of(made_of.sodium_mg if made_of else None)

    @staticmethod
    def _of(per_hundred: float | None) -> float:
        return (per_hundred or 0.0) / 100


def _fat(facts: _Facts, cupboard: Cupboard) -> Iterable[tuple[str, float]]:
    salt = facts.sodium / 1000 * cupboard.constants["salt_per_sodium"].value
    pure = facts.fat or 1 - facts.water
    return (
        ("fat", 1.0), ("butter", 1.0), ("pure_fat", pure), ("water", facts.water),
        ("salt", salt),
    )  # fmt: skip


def _liquid(facts: _Facts, cupboard: Cupboard) -> Iterable[tuple[str, float]]:
    rich = facts.fat if facts.fat >= cupboard.constants["rich_liquid_fat"].value else 0.0
    shares = [("liquid", 1.0), ("water", facts.water), ("liquid_water", facts.water)]
    if rich:
        shares += [("cream", 1.0), ("fat", rich), ("pure_fat", rich)]
    if facts.protein > 0 and facts.row.group == _DAIRY:
        shares += [("milk", 1.0), ("milk_solids", max(0.0, 1 - facts.water - rich))]
        shares += [("milk_fat", 0.0 if rich else facts.fat)]
    return shares


def _curd(facts: _Facts, cupboard: Cupboard) -> Iterable[tuple[str, float]]:
    """Count dry milk as the solids that it is; a fresh cheese brings water too, and its fat as fat."""
    if facts.water <= cupboard.constants["dry_cereal_water"].value:
        return (("milk_solids", 1.0), ("milk_fat", facts.fat))
    rich = facts.fat if facts.fat >= cupboard.constants["rich_liquid_fat"].value else 0.0
    return (
        ("milk_solids", max(0.0, 1 - facts.water - rich)), ("milk_fat", facts.fat - rich),
        ("fat", rich), ("pure_fat", rich), ("water", facts.water), ("liquid_water", facts.water),
    )  # fmt: skip


def _egg(facts: _Facts, cupboard: Cupboard) -> Iterable[tuple[str, float]]:
    """Count an egg or a part of one as liquid egg: a dried one by its solids."""
    fresh, alone = _FRESH_EGG[facts.row.role]
    wet = cupboard.composition.get(fresh)
    liquid = 1.0
    if wet is not None and wet.water is not None and facts.known and facts.row.code != fresh:
        liquid = (1 - facts.water) / (1 - wet.water / 100)
    white = cupboard.constants["white_share_of_egg"].value
    yolk = cupboard.constants["yolk_share_of_egg"].value
    parts = {"egg": (white, yolk), "white": (1.0, 0.0), "yolk": (0.0, 1.0)}[facts.row.role]
    return (
        ("egg", liquid), (alone, liquid), ("water", facts.water),
        ("white", liquid * parts[0]), ("yolk", liquid * parts[1]),
    )  # fmt: skip


#: The fresh thing whose solids an egg's part has, and the kind that it is alone.
_FRESH_EGG = {
    "egg": ("egg", "whole_egg"),
    "white": ("egg-white", "egg_white_alone"),
    "yolk": ("egg-yolk", "egg_yolk_alone"),
}


def _syrup(facts: _Facts, cupboard: Cupboard) -> Iterable[tuple[str, float]]:
    return (
        ("syrup", 1.0), ("sugar", 1 - facts.water), ("water", facts.water),
        ("liquid_water", facts.water),
    )  # fmt: skip


def _sour(facts: _Facts, cupboard: Cupboard) -> Iterable[tuple[str, float]]:
    """Count what is sour and poured, juice and vinegar, as the liquid that it is; a dry acid is none."""
    if facts.water < cupboard.constants["poured_acid_water"].value:
        return ()
    return (("liquid", 1.0), ("water", facts.water), ("liquid_water", facts.water))


def _chocolate(facts: _Facts, cupboard: Cupboard) -> Iterable[tuple[str, float]]:
    cocoa = max(0.0, 1 - facts.sugars)
    return (
        ("chocolate", 1.0), ("sugar", facts.sugars), ("fat", facts.fat), ("pure_fat", facts.fat),
        ("cocoa", cocoa), ("cocoa_solids", max(0.0, cocoa - facts.fat)),
    )  # fmt: skip


_BY_ROLE: dict[str, Callable[[_Facts, Cupboard], Iterable[tuple[str, float]]]] = {
    "sugar": lambda facts, cupboard: (("dry_sugar", 1.0), ("sugar", 1.0)),
    "syrup": _syrup,
    "fat": _fat,
    "liquid": _liquid,
    "acid": _sour,
    "water": lambda facts, cupboard: (("liquid", 1.0), ("water", 1.0), ("liquid_water", 1.0)),
    "alcohol": lambda facts, cupboard: (
        ("alcohol", 1.0), ("liquid", 1.0), ("water", facts.water), ("liquid_water", facts.water)
    ),
    "egg": _egg,
    "white": _egg,
    "yolk": _egg,
    "cocoa": lambda facts, cupboard: (
        ("cocoa", 1.0), ("cocoa_solids", 1.0), ("cocoa_powder", 1.0), ("fat", facts.fat),
        ("pure_fat", facts.fat),
    ),
    "chocolate": _chocolate,
    "milk-solids": _curd,
    "salt": lambda facts, cupboard: (("salt", 1.0), ("salt_alone", 1.0)),
    "starch": lambda facts, cupboard: (("starch", 1.0), ("flour", 1.0)),
    "gel": lambda facts, cupboard: (("gel", 1.0),),
    "nut": lambda facts, cupboard: (("nut", 1.0),),
    "fruit": lambda facts, cupboard: (("fruit", 1.0),),
}  # fmt: skip

_BY_LEAVENER: dict[str, str] = {
    "carbonate": "soda", "powder": "powder", "ammonia": "ammonia", "acid": "acid_salt",
}  # fmt: skip


def _drinks_as_flour(facts: _Facts, cupboard: Cupboard) -> bool:
    """Tell whether it is a dry cereal, rolled or cut, or dry crumbs of bread and plain crackers: it
    takes up liquid and carries fat as flour. Sweet and fat crumbs do not."""
    row, most = facts.row, cupboard.constants["plain_crumb"].value
    plain = row.group == _CRUMBS and facts.fat <= most and facts.sugars <= most
    return (
        (row.group == _CEREALS or plain)
        and row.role == "filler"
        and facts.known
        and facts.water <= cupboard.constants["dry_cereal_water"].value
    )


#: The carbonate by which others are counted.
_SODA = "baking-soda"


def _leavener(row: LeavenerRow, is_flour: bool, cupboard: Cupboard) -> Iterable[tuple[str, float]]:
    if row.kind == "yeast":
        return (("yeast", row.fresh_yeast or 0.0),)
    if row.kind == "carbonate" and row.ingredient != _SODA:
        soda = cupboard.leaveners[_SODA].carbonate_meq
        return (("soda", (row.carbonate_meq or 0.0) / soda if soda else 1.0),)
    return () if is_flour else ((_BY_LEAVENER[row.kind], 1.0),)


#: What a line touches beside kinds: the acid-base ledger, in it the gas of leaveners, and, where there
#: is a carbonate that foods' acid or alkali meets, the gas that comes of that.
LEDGER, GAS, SOURED_GAS = "ledger", "gas", "soured-gas"
#: How many things in forms are kept: a leaven's form is any number that a line states.
_MOST_KEPT = 1024


@record
class Gram:
    """What one gram brings: pairs of kind and share (units: g, but ``sodium`` mg), and all that its
    mass ``moves``: those kinds, and ``ledger`` where it stands in the ledger."""

    shares: Shares
    moves: frozenset[str]


#: A thing that no table knows brings its mass alone.
_STRANGE = Gram((("total", 1.0),), frozenset(("total",)))


class Contents:
    """What a gram of each thing brings, by a cupboard's rows; worked out once a thing and form."""

    def __init__(self, cupboard: Cupboard) -> None:
        self._cupboard = cupboard
        self._plain: dict[str | None, Gram] = {None: _STRANGE}
        self._formed: dict[tuple[str, str], Gram] = {}
        #: The rows of things that a form changes.
        self._changing = {c: row for c, row in cupboard.ingredients.items() if row.role in _FORMS}

    def of(self, line: WeighedLine) -> Gram:
        """Give what a gram of a line brings."""
        code = line.code
        if code is not None and code in self._changing:
            row = self._changing[code]
            form = _FORMS[row.role](line, row)
            if form:
                return self._in_form(code, form)
        return self._plain.get(code) or self.of_code(code or "")

    def of_code(self, code: str) -> Gram:
        """Give what a gram of an ingredient brings, in no form that changes it."""
        if code not in self._plain:
            self._plain[code] = self._work_out(code, "")
        return self._plain[code]

    def _in_form(self, code: str, form: str) -> Gram:
        if len(self._formed) >= _MOST_KEPT:
            self._formed.clear()
        if (code, form) not in self._formed:
            self._formed[code, form] = self._work_out(code, form)
        return self._formed[code, form]

    def _work_out(self, code: str, form: str) -> Gram:
        shares, cupboard = _worked_out(code, cupboard=self._cupboard), self._cupboard
        if form == "pieces":
            shares = tuple(each for each in shares if each[0] in _OF_ANYTHING)
        elif form == "pulp":
            shares += _pulp(code, cupboard)
        elif form:
            shares = _leaven(1 / (1 + float(form))) + tuple(
                each for each in shares if each[0] == "sodium"
            )
        moves = {kind for kind, share in shares if share}
        if code in cupboard.leaveners:
            moves |= {LEDGER, GAS}
        elif code in cupboard.acidity:
            moves |= {LEDGER, SOURED_GAS}
        return Gram(shares, frozenset(moves))


@once
def contents_of(cupboard: Cupboard) -> Contents:
    """Give the contents by a cupboard."""
    return Contents(cupboard)


def _form_of_chocolate(line: WeighedLine, row: IngredientRow) -> str:
    """Tell whether it is chocolate that stays in pieces: like nuts and raisins it is folded in, and
    neither sweetens nor shortens the crumb around it."""
    words = {word for state in line.line.state or (row.usual_state,) for word in state.split("+")}
    return "pieces" if words & IN_PIECES and "melted" not in words else ""


def _form_of_fruit(line: WeighedLine, row: IngredientRow) -> str:
    """Tell whether it is fruit that is mashed to pulp: the line says so, or it usually is ("3 ripe
    bananas") and the line cuts it to no pieces."""
    words = {word for state in line.line.state for word in state.split("+")}
    usual = frozenset(row.usual_state.split("+")) if words.isdisjoint(CUT) else frozenset()
    return "pulp" if (words | usual) & MASHED else ""


def _pulp(code: str, cupboard: Cupboard) -> Shares:
    """Give what mashed fruit brings beside its mass: its water is water of the batter."""
    made_of = cupboard.composition.get(code)
    water = (made_of.water or 0.0) / 100 if made_of else 0.0
    if water < cupboard.constants["puree_water"].value:
        return ()
    return (("puree", 1.0), ("puree_water", water), ("water", water), ("liquid_water", water))


def _form_of_leaven(line: WeighedLine, row: IngredientRow) -> str:
    """Give how much water the line says a leaven has, grams to a gram of its flour."""
    stated = hydration_of(line.line) if row.flour else None
    return "" if stated is None else str(stated)


#: By role, what tells the form in which a line brings other than its plain thing does.
_FORMS = {"chocolate": _form_of_chocolate, "fruit": _form_of_fruit, "yeast": _form_of_leaven}


def _leaven(flour: float) -> Shares:
    """Give what a leaven of so much flour brings: the rest of it is water."""
    water = 1 - flour
    return (
        ("total", 1.0), ("leaven", 1.0), ("flour", flour), ("meal", flour), ("liquid", water),
        ("water", water), ("liquid_water", water),
    )  # fmt: skip


def _worked_out(code: str, cupboard: Cupboard) -> Shares:
    row = cupboard.ingredients.get(code)
    if row is None:
        return (("total", 1.0),)
    facts, leavener = _Facts(row, cupboard.composition.get(code)), cupboard.leaveners.get(code)
    if row.role == "yeast" and row.flour:
        return (*_leaven(row.flour), ("sodium", facts.sodium))
    shares = [("total", 1.0)]
    if row.flour or _drinks_as_flour(facts, cupboard):
        shares += [("flour", row.flour or 1.0), ("meal", row.flour or 1.0)]
        shares += [] if row.flour else [("grain", 1.0)]
    if row.role in _BY_ROLE and not (row.role == "starch" and row.flour):
        shares += _BY_ROLE[row.role](facts, cupboard)
    if leavener is not None:
        shares += _leavener(leavener, row.flour > 0, cupboard)
    elif row.role == "yeast":
        shares.append(("leaven", 1.0))
    sodium = facts.sodium if facts.known or leavener is None else leavener.sodium_mg or 0.0
    return (*((kind, share) for kind, share in shares if share), ("sodium", sodium))
