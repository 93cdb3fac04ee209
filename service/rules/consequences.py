"""What a measure outside its range does to what is baked: one table of words, by measure and side.

Words for a class stand before those for the measure alone. They are common practice of the trade and
carry no number; where nothing is said that would be true of every class, nothing is said.
"""

from __future__ import annotations

_DOUGHS = ("lean-bread", "enriched-bread", "flatbread")
_COOKIES = ("drop-cookie", "rolled-cookie")
_BARE_FOAMS = ("angel", "sponge", "genoise", "meringue")

_DRY = "the crumb is dry and cracks"
_WET = "the middle stays wet and sinks"
_TOUGH = "it bakes tough and dry"
_WEAK = "it rises and falls again"
_SHORT_OF_ACID = "without acid the whites are less steady, and the crumb is less white"
_SOAPY = "it tastes of soap and browns dark"
_FLAT = "it bakes flat and heavy"

#: By measure, or ``measure/class``: what too little does, and what too much does.
_BY_MEASURE: dict[str, tuple[str, str]] = {
    "sugar_pct": ("pale, tough and soon stale", "it falls in the middle and bakes sticky"),
    "dry_sugar_pct": ("it browns little", "too sweet for its kind; a yeast dough rises slowly"),
    "fat_pct": ("tough, and soon stale", "greasy and heavy; it may not hold together"),
    "egg_pct": ("little egg to hold it together and up", "tough and rubbery, and tasting of egg"),
    "white_pct": ("too little foam to raise it", "dry and tough"),
    "yolk_pct": (
        "less tender, and the fat is badly bound",
        "yolk keeps whites from foaming: it stays low",
    ),
    "water_pct": ("too stiff and dry", "too wet: it does not set"),
    "milk_solids_pct": ("it browns less", "it dries and browns early"),
    "cocoa_pct": ("pale, and little taste of cocoa", "dry and bitter: cocoa drinks water"),
    "syrup_pct": ("it stays pale and mild", "sticky and heavy, and it browns before it is done"),
    "puree_pct": ("little of its taste and moisture", "wet and heavy"),
    "liquid_pct": ("too stiff and dry", "too wet: it does not hold up"),
    "liquid_without_egg_pct": ("too dry to hold together", "too sticky to shape"),
    "powder_pct": (_FLAT, f"{_WEAK}, with a coarse crumb and a taste of powder"),
    "powder_alone_pct": ("hardly enough to raise it; soda may have been meant", _WEAK),
    "soda_pct": (_FLAT, _SOAPY),
    "fat_unleavened_pct": ("with nothing to raise it, it bakes hard", "it crumbles"),
    "salt_pct": ("it tastes flat", "it tastes salty"),
    "salt_of_whole": ("it tastes flat", "it tastes salty"),
    "salt_on_white": ("it tastes flat", "it tastes salty, and the foam weeps"),
    "flour_of_whole": (
        "hardly anything sets it, unless nuts or crumbs stand for flour",
        "it bakes dry and tough",
    ),
    "fat_on_white": ("", "fat keeps whites from foaming"),
    "fat_in_foam": ("", "fat or yolk keeps whites from foaming"),
    "starch_on_white": ("it may weep", "chalky"),
    "sugar_to_white": ("the foam dries out and falls", "heavy and sticky; it weeps or sinks"),
    "sugar_to_egg": ("the foam dries out and falls", "heavy and sticky; it sinks"),
    "sugar_to_egg_alone": ("the foam dries out and falls", "heavy and sticky; it sinks"),
    "foam_sugar_to_white": ("the foam breaks easily", "the foam is slow to come up"),
    "flour_to_white": ("too little to hold the foam up: it sinks", "tough and dry"),
    "flour_to_egg": ("too little to hold the foam up: it sinks", "tough and dry"),
    "flour_to_egg_alone": ("too little to hold the foam up: it sinks", "tough and dry"),
    "egg_to_fat": ("the fat is not carried: it bakes heavy and greasy", "rather tough"),
    "egg_to_pure_fat": ("the fat is not carried: it bakes heavy and greasy", "rather tough"),
    "yolk_to_fat": ("the oil parts from the batter", "rather firm"),
    "fat_to_sugar": ("firm and dry", "heavy and greasy"),
    "sugar_to_fat": ("pale; it spreads little", "hard and brittle; it spreads thin"),
    "liquid_to_flour": (_DRY, _WET),
    "liquid_to_sugar": ("the sugar holds the water: it falls and stays sticky", "dull and bready"),
    "flour_to_sugar": ("too little to hold it up: it falls", "tough and dry"),
    "sugar_to_flour_and_cocoa": ("dry and bitter", "it falls in the middle and bakes sticky"),
    "fat_to_water": ("tough and leathery: it shrinks", "too crumbly to roll"),
    "tough_to_tender": (
        "too much sugar and fat for the flour and egg: it falls or crumbles",
        "too much flour and egg for the sugar and fat: it bakes tough",
    ),
    "dry_to_moist": (
        f"too much egg and liquid for the flour: {_WET}",
        f"too little egg and liquid for the flour: {_DRY}",
    ),
    "tartar_to_white": (_SHORT_OF_ACID, "it tastes sour"),
    "starch_to_milk": ("it stays runny", "stiff and pasty"),
    "flour_to_milk": ("it stays runny", "stiff and pasty"),
    "sugar_to_milk": ("it tastes flat", "too sweet, and softer"),
    "custard_sugar_to_milk": ("it tastes flat", "too sweet, and slow to set"),
    "yolk_to_milk": ("pale and thin", "it tastes of egg and curdles easily"),
    "egg_to_milk": ("it does not set", "firm and rubbery"),
    "cream_to_chocolate": ("stiff; it may part", "too soft to hold"),
    "sugar_to_butter": ("soft and greasy", "stiff and very sweet"),
    "gelatin_pct": ("it does not set", "rubbery"),
    "ammonia_pct": (_FLAT, "it keeps the smell of ammonia"),
    "yeast_pct": ("it rises slowly, or not at all", "it rises too fast and tastes of yeast"),
    "soda_to_syrup": ("it stays sour and pale", _SOAPY),
    "powder_equivalent_pct": (_FLAT, f"{_WEAK}, with a coarse crumb"),
    "gas_pct": (_FLAT, f"{_WEAK}, with a coarse crumb"),
    "soda_left_pct": ("", _SOAPY),
    "acid_left_pct": ("", "it tastes sour"),
    "sour_without_soda_pct": ("", "it tastes sour and browns little; some soda is usual"),
    "water_to_flour_and_cocoa": (
        "cocoa drinks water: the crumb is dry and heavy; take out flour for it, or add water",
        _WET,
    ),
    "water_for_cocoa": ("cocoa drinks water: the crumb is dry and heavy", _WET),
    "oven_celsius": (
        "it dries before it browns, or falls before it sets; see which scale is meant",
        "it burns outside before the middle is done; see which scale is meant",
    ),
    "bake_minutes": ("the middle may be raw", "it dries out"),
    "centre_celsius": ("the middle may be raw", "it dries out"),
    "pan_fill": (
        "it bakes thin and dry; take fewer or smaller pans",
        "it runs over; take more or larger pans",
    ),
    "pan_per_gram": ("it rises over the rim", "the loaf stays low"),
}
_BY_CLASS: tuple[tuple[tuple[str, ...], dict[str, tuple[str, str]]], ...] = (
    (
        (*_DOUGHS,),
        {
            "sugar_pct": ("it browns little", "it slows the yeast and browns early"),
            "fat_pct": ("less soft, and soon stale", "it slows the yeast and weakens the dough"),
            "egg_pct": ("less rich", "the dough is sticky and the crumb dry"),
            "water_pct": (
                "a stiff dough: a tight, dry crumb",
                "a slack dough that does not hold its shape",
            ),
            "salt_pct": (
                "it tastes flat, and the dough is sticky and rises wild",
                "too salty, and it slows the yeast",
            ),
            "dry_to_moist": (
                "too much egg and liquid for the flour: a slack dough",
                "too little egg and liquid for the flour: a stiff dough and a dry crumb",
            ),
            "tough_to_tender": (
                "too much sugar and fat for the flour: it is slow to rise and crumbles",
                "too much flour for the sugar and fat: less soft than its kind",
            ),
        },
    ),
    (
        (*_COOKIES, "brownie"),
        {
            "sugar_pct": ("it is pale and spreads little", "it spreads thin and bakes hard or sticky"),
            "fat_pct": ("hard and dry; it spreads little", "it spreads thin and greasy"),
            "water_pct": ("too dry to hold together", "cakey, or it spreads"),
            "dry_to_moist": (
                "too much egg and liquid for the flour: soft, and it spreads",
                "too little egg and liquid for the flour: it crumbles",
            ),
            "tough_to_tender": (
                "too much sugar and fat for the flour and egg: it spreads",
                "too much flour and egg for the sugar and fat: hard and dry",
            ),
        },
    ),
    (
        ("short-pastry",),
        {
            "fat_pct": ("tough, not short", "too crumbly to roll, and greasy"),
            "water_pct": ("too crumbly to roll", "tough: it shrinks in the oven"),
            "dry_to_moist": ("too wet for the flour: tough, and it shrinks", "too dry to roll"),
            "tough_to_tender": (
                "too much fat and sugar for the flour: too crumbly to roll",
                "too much flour for the fat and sugar: tough, not short",
            ),
        },
    ),
    (
        ("choux",),
        {
            "egg_pct": ("it puffs little", "too slack to pipe: it spreads"),
            "water_pct": ("stiff: it puffs little", "too slack to pipe: it spreads"),
            "liquid_pct": ("stiff: it puffs little", "too slack to pipe: it spreads"),
        },
    ),
    (_BARE_FOAMS, {"fat_pct": ("less tender", "fat breaks the foam: it stays low")}),
)
_WORDS = {
    **_BY_MEASURE,
    **{
        f"{name}/{code}": both
        for codes, some in _BY_CLASS
        for code in codes
        for name, both in some.items()
    },
}
#: What is too little or too much where these words do not fit the measure.
_SIDES = {
    "oven_celsius": ("cool", "hot"),
    "centre_celsius": ("cool", "hot"),
    "bake_minutes": ("short", "long"),
}


def consequence(measure: str, side: str, product_class: str | None) -> str:
    """Say what a measure too ``low`` or too ``high`` does to a class; empty where nothing is told."""
    both = _WORDS.get(f"{measure}/{product_class}") or _WORDS.get(measure) or ("", "")
    return both[side == "high"]


def side_word(measure: str, side: str) -> str:
    """Say what a measure has too much of, in a word: little or much, cool or hot, short or long."""
    return _SIDES.get(measure, ("little", "much"))[side == "high"]


def stated(says: str, value: str, unit: str) -> str:
    """Put a measure and its value into the beginning of a sentence, so that nothing is said twice.

    >>> stated("sugar on flour", "120", "percent of flour")
    'Sugar is 120 percent of flour,'
    >>> stated("egg to fat", "0.5", "g per g")
    '0.5 g of egg to each gram of fat is'
    """
    name, _, other = says.partition(" to ")
    if unit == "g per g" and other:
        over, comma, where = other.partition(",")
        return f"{value} g of {name} to each gram of {over}{comma}{where}{comma} is"
    for base in ("flour", "milk", "egg white", "the whole"):
        says = says.replace(f" on {base}", "", 1).removesuffix(f" to {base}").removesuffix(f" of {base}")
    if unit.endswith("as fresh yeast"):
        says = says.removesuffix(", as fresh yeast")
    if unit == "g per 100 g":
        says, unit = says.removesuffix(", in 100 g as mixed"), "g in 100 g as mixed"
    if unit == "of the pan":
        return f"The batter fills {value} of the pans,"
    says = says.removesuffix(",")
    return f"{says[:1].upper()}{says[1:]}{',' * (', ' in says)} is {value} {unit},"
