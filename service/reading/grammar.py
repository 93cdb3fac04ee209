"""The small words that tie a line together: the closed class of the language, not of the trade.

What the trade names (ingredients, units, states, parts) stands in the tables.
"""

from __future__ import annotations

#: Words that only tie others together.
OTHER = "other"
JOINTS = frozenset(("of", "the", "from", "both", "piece", "per", "taken", "my", "your"))
AND = frozenset(("and", "&", "plus", "with", "in", "und"))
#: Of these, the ones that add an amount to the one before it.
ADDS = frozenset(("and", "&", "plus"))
OR = "or"
EACHES = frozenset(("each", "ea", "apiece"))
#: Words between a number and its unit: "half of a cup", "half the size of an egg".
BEFORE_UNITS = frozenset(("of", "a", "an", "the"))
#: What a percentage may be of, that is no amount of the line: "82% fat".
CONTENTS = frozenset(
    ("fat", "cocoa", "cacao", "butterfat", "milkfat", "hydration", "protein", "solid", "alcohol", "abv",
     "moisture", "vol", "proof", "pure", "natural")
)  # fmt: skip
#: Lengths: a thing given by length is not weighed.
LENGTHS = frozenset(("inch", "cm", "mm", "centimetre", "centimeter"))
SCALES = frozenset(("f", "c", "fahrenheit", "celsiu", "centigrade", "°"))
OPTIONAL = frozenset(("optional", "optionally"))
WISHES = frozenset(("desired", "liked", "wanted", "wished", "preferred", "you", "available", "needed"))
ARTICLES = frozenset(("a", "an", "another"))
#: Words that say an amount without a number: it is left to the cook.
VAGUE = frozenset(
    ("little", "few", "some", "several", "enough", "sufficient", "plenty", "bit", "touch", "trace")
)
ABOUT = frozenset(
    ("about", "approximately", "approx", "around", "circa", "ca", "nearly", "roughly",
     "least", "most", "up", "max", "maximum", "min", "minimum")
)  # fmt: skip
LESS = frozenset(("less", "minus"))
LEVEL_WORDS = {
    "scant": "scant", "scanty": "scant", "level": "level", "leveled": "level", "levelled": "level",
    "rounded": "rounded", "rounding": "rounded", "heaped": "heaped", "heaping": "heaped",
    "mounded": "heaped", "mounding": "heaped", "generous": "rounded", "bare": "scant",
    "barely": "scant", "even": "level", "exact": "level",
}  # fmt: skip
#: Words right before a measure that say how full it is: "a full cup", "a slight pinch".
OF_MEASURES = {
    "full": "level", "brimming": "heaped", "overflowing": "heaped", "slight": "scant", "tiny": "scant",
}  # fmt: skip
#: What a size says of a measure that it stands before: "a small teaspoon", "a good half cup".
SIZES_OF_MEASURES = {
    "small": "scant", "extra-small": "scant", "large": "rounded", "extra-large": "rounded",
    "good": "rounded",
}  # fmt: skip
#: Words after "to" by which a thing fills up a measure: "milk to make 1 cup".
FILLS = frozenset(("make", "fill", "equal", "measure"))
#: First words of what is taken beside the rest: "extra flour for dusting".
EXTRA = frozenset(("extra", "additional", "more"))
#: Words before an amount that say it is more or less: "rather more than 1 ounce".
NEARLY = frozenset(("rather", "slightly", "somewhat", "more", "less", "over", "under", "than", "just"))
#: The word for a share of something else: "1 cup shortening (part butter)".
PART = "part"
#: The word before "as" that begins a list of examples.
SUCH = "such"
#: Words after "or" that leave an amount as it is: "1 cup or more of flour".
OR_SO = frozenset(("more", "so", "less", "thereabout"))
#: Words after a name that begin a remark on it: for what, until when, with what.
TAILS = frozenset(
    ("for", "to", "at", "as", "until", "till", "if", "on", "more", "extra", "than", "see", "like",
     "when", "while", "which", "that", "not", "no", "left", "such", "per", "by", "into", "over", "in",
     "with", "without", "from", "after", "before", "but", "only", "also", "additional", "according",
     "preferably", "enough", "is", "are", "was", "made", "using", "use", "used", "note", "it", "this",
     "depending", "e", "i", "because", "so", "less", "removed", "rather", "through", "off", "out")
)  # fmt: skip
#: What a number counts that is no amount of an ingredient: lengths, times, heat.
NOT_AMOUNTS = frozenset(
    ("inch", "cm", "mm", "centimetre", "centimeter", "minute", "min", "hour", "hr", "day", "week",
     "month", "year", "degree", "time", "second", "sec", "°", "page", "ply", "percentage")
)  # fmt: skip
#: First words of a line that is an instruction or a reference, not an ingredient.
INSTRUCTIONS = frozenset(
    ("follow", "see", "bake", "serve", "make", "prepare", "use", "mix", "proceed", "note", "preheat",
     "add", "beat", "cream", "sift", "stir", "combine", "fold", "pour", "spread", "cook", "heat",
     "recipe", "makes", "serves", "yield", "yields", "method", "directions", "let", "cover", "knead",
     "roll", "cut", "cool", "turn", "put", "place", "grease", "line", "adapted", "source", "page",
     "step", "from", "dissolve", "blend", "whisk", "brush", "sprinkle", "bring", "boil", "set", "allow",
     "flavor", "flavour", "season", "garnish", "decorate", "top", "fill", "frost", "reserve", "strain",
     "chill", "refrigerate", "freeze", "drain")
)  # fmt: skip
#: Every small word: none of them is part of a name that the tables do not know.
SMALL = (
    JOINTS
    | AND
    | {OR}
    | EACHES
    | OPTIONAL
    | ARTICLES
    | LESS
    | VAGUE
    | ABOUT
    | TAILS
    | frozenset(LEVEL_WORDS)
)
#: Words before which an amount is complete: nothing more is named in its clause.
ENDERS = TAILS | {OR} | EACHES | OPTIONAL | ADDS | LESS
#: Words that tie parts together and say nothing themselves.
TYING = (JOINTS | ABOUT | ADDS) - {"from", "per"}
#: Words after a part that show that it is meant: "whites of", "rind and".
AFTER_PARTS = TAILS | ARTICLES | ADDS | {"of", OR}
