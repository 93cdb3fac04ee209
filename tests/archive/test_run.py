"""The command over a file: workers, a stop in the middle, and going on after it."""

from __future__ import annotations

import json
import os
import signal
import subprocess
import sys
import time
from pathlib import Path

import pytest

from deploy.measure.cards import long_archive
from service.archive.blocks import BLOCK, cut_blocks
from service.cli import main

ROOT = Path(__file__).resolve().parents[2]
COUNT = 2 * BLOCK + 7


@pytest.fixture(scope="module")
def cards(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """An archive of three blocks and the single first one."""
    file = tmp_path_factory.mktemp("archive") / "cards.ndjson"
    file.write_bytes(b"\n".join(long_archive(COUNT)) + b"\n")
    return file


@pytest.fixture(scope="module")
def answered(cards: Path) -> bytes:
    """What an undisturbed run of one process writes."""
    out = cards.with_name("whole.ndjson")
    assert main(["archive", str(cards), "--out", str(out)]) == 0
    return out.read_bytes()


def test_every_record_has_its_answer_in_order(answered: bytes) -> None:
    *lines, last = answered.splitlines()
    assert [json.loads(line)["record"] for line in lines] == list(range(1, COUNT + 1))
    assert json.loads(last)["summary"]["records"] == COUNT


def test_workers_write_the_same_bytes(cards: Path, answered: bytes, tmp_path: Path) -> None:
    out = tmp_path / "out.ndjson"
    assert main(["archive", str(cards), "--out", str(out), "--jobs", "2"]) == 0
    assert out.read_bytes() == answered
    assert list(tmp_path.iterdir()) == [out]


def test_a_killed_run_goes_on_where_it_stopped(cards: Path, answered: bytes, tmp_path: Path) -> None:
    out = tmp_path / "out.ndjson"
    progress = Path(f"{out}.progress")
    command = [sys.executable, "-m", "service.cli", "archive", str(cards), "--out", str(out)]
    with subprocess.Popen(command, cwd=ROOT) as running:
        until = time.monotonic() + 60
        while not progress.exists() and time.monotonic() < until:
            os.sched_yield()
        running.send_signal(signal.SIGKILL)
    kept = json.loads(progress.read_text("utf-8"))
    assert 0 < kept["counts"]["records"] < COUNT
    with out.open("ab") as torn:
        torn.write(b'{"record": half of an answ')
    assert main(["archive", str(cards), "--out", str(out), "--resume"]) == 0
    assert out.read_bytes() == answered
    assert not progress.exists()


def test_going_on_begins_where_nothing_was_begun(cards: Path, answered: bytes, tmp_path: Path) -> None:
    out = tmp_path / "out.ndjson"
    for _ in range(2):  # the second time there is nothing left to do
        assert main(["archive", str(cards), "--out", str(out), "--resume"]) == 0
        assert out.read_bytes() == answered


@pytest.mark.parametrize(
    ("found", "words", "says"),
    [
        ("a list of errands\n", [], "holds no run that could be gone on with"),
        (None, ["--views", "weights"], "was begun with another file or other views"),
    ],
    ids=["not ours", "other views"],
)
def test_going_on_with_something_else_is_refused(
    found: str | None, words: list[str], says: str,
    cards: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str],
) -> None:  # fmt: skip
    out = tmp_path / "out.ndjson"
    out.write_text(found or "", "utf-8")
    if found is None:
        kept = {"mark": "of another run", "written": 0, "counts": {}}
        Path(f"{out}.progress").write_text(json.dumps(kept), "utf-8")
    assert main(["archive", str(cards), "--out", str(out), "--resume", *words]) == 1
    assert says in capsys.readouterr().err
    assert out.read_text("utf-8") == (found or "")


@pytest.mark.parametrize(
    ("words", "says"),
    [
        (["--views", "wieghts"], "weights"),
        (["--views", "allergens"], "market"),
        (["--ask", "market"], "name=value"),
        (["--resume"], "there is nothing to go on with"),
    ],
)
def test_a_wrong_word_is_told(
    words: list[str], says: str, cards: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    assert main(["archive", str(cards), *words]) == 1
    told = capsys.readouterr()
    assert told.out == ""
    assert says in told.err


def test_a_file_that_is_not_there_is_one_line(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    missing = tmp_path / "none.ndjson"
    assert main(["archive", str(missing)]) == 1
    assert capsys.readouterr().err == f"tarebook: {missing}: No such file or directory\n"


def test_the_first_block_is_a_single_record() -> None:
    blocks = list(cut_blocks(iter([b"{}"] * (BLOCK + 2))))
    assert [(block.first, block.records.count(b"{}")) for block in blocks] == [
        (1, 1),
        (2, BLOCK),
        (BLOCK + 2, 1),
    ]
