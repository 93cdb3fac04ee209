"""How names are compared: without case, punctuation or number."""

from __future__ import annotations

import re
import unicodedata
from functools import lru_cache

_BETWEEN = re.compile(r"[^\w%&’]+")
_LETTER_TO_DIGIT = re.compile(r"(?<=[^\W\d_])(?=\d)|(?<=\d)(?=[^\W\d_])")
_IRREGULAR = {
    "leaves": "leaf", "halves": "half", "loaves": "loaf", "knives": "knife", "geese": "goose",
    "molasses": "molasses", "grass": "grass", "swiss": "swiss", "hummus": "hummus",
    "asparagus": "asparagus", "couscous": "couscous", "citrus": "citrus", "oats": "oat",
    "quatre": "quatre", "less": "less", "bitters": "bitter", "potatoes": "potato",
    "tomatoes": "tomato", "mangoes": "mango", "cookies": "cookie", "brownies": "brownie",
    "calories": "calorie", "pies": "pie", "ties": "tie", "species": "species",
}  # fmt: skip


def singular(word: str) -> str:
    """Give the singular of an English word by its ending; a word without one is itself."""
    if word in _IRREGULAR:
        return _IRREGULAR[word]
    if len(word) < 4 or not word.endswith("s") or word.endswith(("ss", "us", "is")):
        return word
    if word.endswith("ies"):
        return word[:-3] + "y"
    if word.endswith(("shes", "ches", "xes", "zes", "sses")):
        return word[:-2]
    return word[:-1]


@lru_cache(maxsize=8192)
def fold(text: str) -> str:
    """Fold a word for comparison: compatibility form, no case, no accent, no apostrophe.

    >>> fold("Confectioners’")
    'confectioner'
    """
    plain = text.casefold()
    if not plain.isascii():
        plain = unicodedata.normalize("NFKD", plain).casefold()
        plain = "".join(c for c in plain if not unicodedata.combining(c))
    for mark in ("'s", "’s"):
        plain = plain.removesuffix(mark)
    return singular(plain.replace("'", "").replace("’", ""))


def key_of(name: str) -> str:
    """Give the key under which a name is found: its folded words, one blank between. Letters and
    digits are words apart, as in the words of a line.

    >>> key_of("Corn-Starch"), key_of("walnut meats"), key_of("10X sugar")
    ('corn starch', 'walnut meat', '10 x sugar')
    """
    kept = name.replace("'", "’")
    return " ".join(_fold_runs(word) for word in _BETWEEN.split(kept) if word.strip("’_"))


@lru_cache(maxsize=8192)
def _fold_runs(word: str) -> str:
    """Fold the runs of letters and of digits in a word, one blank between."""
    return " ".join(fold(run) for run in _LETTER_TO_DIGIT.split(word))
