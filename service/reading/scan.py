"""Cut a line of text into words: the one tokeniser of the service.

A word is a run of letters, a run of digits, a single vulgar fraction, a UCUM code in square
brackets, or a single sign that means something (``%``, ``&``, ``#`` or a sign that no one knows).
Blanks and punctuation are no words: they are kept as the ``gap`` before the word that follows.
Every character is looked at once, so that the time grows with the length of the line and no faster.
"""

from __future__ import annotations

import re
from functools import lru_cache
from typing import NamedTuple

from service.domain.quantity import VULGAR
from service.domain.words import fold

LETTERS, DIGITS, FRACTION, CODE, SIGN = range(1, 6)
LONGEST_WORD = 64
#: The key of "#" before a number: "#2 can".
NUMBER_SIGN = "no"

_VULGAR = "".join(VULGAR)
_TOKEN = re.compile(
    rf"([^\W\d_{_VULGAR}](?:[^\W\d_{_VULGAR}]|[\u0300-\u036f]|['’‘](?=[^\W\d_{_VULGAR}]))*)"
    rf"|([0-9]+)|([{_VULGAR}])|(\[[A-Za-z_]{{1,16}}\])"
    "|([^\\s,;:.()\\[\\]{}\\-‐‑‒–—―−/⁄\"“”„'’‘!?¡¿*•·▪◦_+=~×|<>\\\\ʼ«»‹›…′″☐☑▢□◻❏✓✔])"
)

#: Blanks and the apostrophe of a plural ("confectioners’ sugar") say nothing between words.
_SILENT = " \t\r\n\f\v\u00a0\u2007\u2009\u202f\u3000\ufeff\u200b'’‘ʼ"


class Word(NamedTuple):
    """A word of a line: its ``kind``, its ``text`` as written, its ``key`` for comparison, where it
    starts and ends (code points), and the punctuation between the word before it and itself."""

    kind: int
    text: str
    key: str
    start: int
    end: int
    gap: str


Scanned = tuple[list[Word], str]
#: Makes a word as ``Word(…)`` does, without its detour.
_new = tuple.__new__


@lru_cache(maxsize=8192)
def _key(text: str) -> str:
    return fold(text)


def scan(text: str) -> Scanned:
    """Give the words of a line and the punctuation after the last one."""
    words: list[Word] = []
    at = 0
    for match in _TOKEN.finditer(text):
        kind = match.lastindex or 0
        start, end = match.span()
        written = match[0]
        plain = start == at or (start == at + 1 and text[at] == " ")
        gap = "" if plain else text[at:start].strip(_SILENT)
        key = _key(written) if kind == LETTERS and end - start < LONGEST_WORD else written
        if written == "#" and text[end : end + 1].isdecimal():
            kind, key = LETTERS, NUMBER_SIGN
        words.append(_new(Word, (kind, written, key, start, end, gap)))
        at = end
    return words, text[at:].strip(_SILENT)
