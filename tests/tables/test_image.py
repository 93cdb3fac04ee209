"""An image counts only whole and under its own key, and nothing depends on there being one."""

from __future__ import annotations

import subprocess
import sys
from pathlib import Path

import pytest

from service.tables import image
from service.tables.cupboard import open_cupboard
from service.tables.loader import load_tables

KEY = image.key_for("what it is made of")
MADE: dict[str, list[tuple[object, ...]]] = {"weights": [("butter", 227.0, None, True, ("a", "b"))]}


class Maker:
    """Counts how often the value is made."""

    def __init__(self) -> None:
        self.times = 0

    def __call__(self) -> dict[str, list[tuple[object, ...]]]:
        """Make the value."""
        self.times += 1
        return MADE


@pytest.fixture(autouse=True)
def folder(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    monkeypatch.setattr(image, "FOLDER", tmp_path / "images")
    return tmp_path / "images"


def test_a_second_asking_makes_nothing() -> None:
    maker = Maker()
    assert [image.kept("one", KEY, maker) for _ in range(2)] == [MADE, MADE]
    assert maker.times == 1


def test_another_key_makes_it_anew() -> None:
    maker = Maker()
    image.kept("one", KEY, maker)
    assert image.kept("one", image.key_for("something else"), maker) == MADE
    assert maker.times == 2


@pytest.mark.parametrize("cut", [0, 1, 40, 70, -1], ids=lambda cut: f"cut at {cut}")
def test_an_image_cut_short_or_altered_is_not_trusted(folder: Path, cut: int) -> None:
    maker = Maker()
    image.kept("one", KEY, maker)
    file = folder / "one.image"
    whole = file.read_bytes()
    file.write_bytes(whole[:cut])
    assert image.kept("one", KEY, maker) == MADE
    file.write_bytes(whole[:cut] + bytes([whole[cut] ^ 1]) + whole[cut:][1:])
    assert image.kept("one", KEY, maker) == MADE
    assert maker.times == 3


def test_where_nobody_may_write_it_is_made_each_time(folder: Path) -> None:
    folder.write_text("a file stands where the folder would be", "utf-8")
    maker = Maker()
    assert [image.kept("one", KEY, maker) for _ in range(2)] == [MADE, MADE]
    assert maker.times == 2


def test_a_cupboard_from_the_image_equals_the_one_from_the_files(folder: Path) -> None:
    made, again = open_cupboard(), open_cupboard()
    assert (folder / "tables.image").is_file()
    assert again.tables == made.tables
    assert again.knowledge == made.knowledge
    for table, rows in load_tables().items():
        assert again.tables[table][: len(rows)] == rows


OPEN = """
import sys
from pathlib import Path
from service.tables import image
image.FOLDER = Path(sys.argv[1])
from service.kitchen import open_kitchen
open_kitchen()
print("pint" in sys.modules)
"""


def test_a_start_with_images_does_not_load_the_units_library(folder: Path) -> None:
    command = [sys.executable, "-c", OPEN, str(folder)]
    said = [
        subprocess.run(command, check=True, capture_output=True, text=True).stdout.strip()
        for _ in range(2)
    ]
    assert said == ["True", "False"]
