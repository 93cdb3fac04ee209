"""What was told is kept: a writer killed in the middle, and a disk that fills, lose and halve nothing.

The promise is the store's own (durability of a commit: SQLite documentation, "PRAGMA synchronous",
FULL); the check needs no authority beyond the operating system's SIGKILL and RLIMIT_FSIZE.
"""

from __future__ import annotations

import os
import signal
import subprocess
import sys
from pathlib import Path

from service.store.shelf import Shelf
from service.store.values import Key, Search

ROOT = Path(__file__).parents[2]
WRITER = """
import resource, sys
from pathlib import Path
from service.errors import StoreFull
from service.store.shelf import Shelf
from service.store.values import Draft, Key

path, room = Path(sys.argv[1]), int(sys.argv[2])
if room:
    resource.setrlimit(resource.RLIMIT_FSIZE, (room, room))
shelf = Shelf(path, lambda: "2026-03-01T08:00:00Z")
number = 0
while True:
    body = b"%d " % number * 200
    draft, key = Draft(body, str(number), "k", "Cake"), Key(str(number), "r")
    try:
        told = shelf.add("cake", draft, lambda version: version.body, key)
    except StoreFull:
        print("full", flush=True)
        break
    print(number, told.formula, flush=True)
    number += 1
"""


def writer(path: Path, room: int = 0) -> subprocess.Popen[str]:
    environment = {**os.environ, "PYTHONPATH": str(ROOT)}
    command = [sys.executable, "-c", WRITER, str(path), str(room)]
    return subprocess.Popen(command, stdout=subprocess.PIPE, text=True, env=environment)


def prepared(path: Path) -> Shelf:
    shelf = Shelf(path, lambda: "2026-03-01T08:00:00Z")
    shelf.prepare()
    return shelf


def hold_to_what_was_told(shelf: Shelf, told: list[str]) -> None:
    """Each formula that was told is whole, each key has its formula, and nothing more than one
    commit, which was on its way out, is there that nobody was told of."""
    for line in told:
        number, formula = line.split()
        assert shelf.newest(formula).body == b"%d " % int(number) * 200
        answered = shelf.recall(Key(number, "r"))
        assert answered is not None
        assert answered.formula == formula
    there = shelf.page(Search(limit=100_000))
    assert 0 <= len(there) - len(told) <= 1
    for entry in there:
        assert shelf.recall(Key(shelf.newest(entry.formula).digest, "r")) is not None


def test_a_killed_writer_loses_nothing_that_was_told(tmp_path: Path) -> None:
    path = tmp_path / "tarebook.sqlite"
    shelf = prepared(path)
    with writer(path) as process:
        assert process.stdout is not None
        told = [process.stdout.readline() for _ in range(40)]
        process.send_signal(signal.SIGKILL)
        told += [line for line in process.stdout.read().splitlines(keepends=True) if line.endswith("\n")]
    hold_to_what_was_told(shelf, told)


def test_a_disk_that_fills_halves_nothing(tmp_path: Path) -> None:
    path = tmp_path / "tarebook.sqlite"
    shelf = prepared(path)
    with writer(path, room=400_000) as process:
        assert process.stdout is not None
        *told, last = process.stdout.read().splitlines()
    assert last == "full"
    assert told
    hold_to_what_was_told(shelf, told)
