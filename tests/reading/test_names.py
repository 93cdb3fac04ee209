"""Names of the tables as lines of cards write them."""

from __future__ import annotations

from service.domain.words import key_of
from service.kitchen import Kitchen
from service.reading.scan import scan


def test_a_name_has_the_key_of_its_words_in_a_line(kitchen: Kitchen) -> None:
    """A name such as "T55 flour" is found by the words that the tokeniser makes of it."""
    rows = kitchen.cupboard.tables["names"]
    lost = [
        row.name
        for row in rows
        if " ".join(word.key for word in scan(row.name)[0]).replace(" %", "%") != key_of(row.name)
    ]
    assert lost == []
