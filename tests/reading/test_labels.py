"""Lines labelled by reading them, against what the reader makes of them."""

from __future__ import annotations

import pytest

from service.kitchen import Kitchen
from tests.reading.labelled import Rows, differences, read_labels

ARCHIVE = read_labels("archive_labels.csv")
LINES = read_labels("reading_lines.csv")
#: Lines of the archive that are read otherwise than labelled, and how.
OTHERWISE = {
    "2 pounded cardamon seeds": "cardamom seeds have a code of their own, and pounded is a state",
    "½ cup cooked rice": "cooked rice has a code of its own, so that the state is said by it",
    "⅔ cup raisins seeded, and cut in pieces": "seeded raisins have a code of their own",
}
#: The share of archive lines that are read just as they were labelled.
FLOOR = 0.97


def test_the_archive_is_read_as_labelled(kitchen: Kitchen) -> None:
    misread = {
        rows[0]["text"]: said
        for rows in ARCHIVE
        if (said := differences(kitchen, rows, kitchen.reader.read_line(rows[0]["text"])))
    }
    assert len(ARCHIVE) == 100
    assert 1 - len(misread) / len(ARCHIVE) >= FLOOR, misread
    assert set(misread) <= set(OTHERWISE), misread


@pytest.mark.parametrize("rows", LINES, ids=[rows[0]["text"] for rows in LINES])
def test_each_kind_of_line_is_read(kitchen: Kitchen, rows: Rows) -> None:
    text = rows[0]["text"]
    read = kitchen.reader.read_line(text)
    assert differences(kitchen, rows, read) == [], (text, rows[0]["source"])


def test_every_label_has_its_source() -> None:
    assert all(row["source"] for rows in (*ARCHIVE, *LINES) for row in rows)
