"""A run over an archive file: progress for people, answers to a file, and going on after a stop.

While a run with an output file is under way a small file beside it (``OUT.progress``) says how far
it came. ``--resume`` cuts what was written beyond that, passes over the records that are answered
and goes on; the tally goes on too.
"""

from __future__ import annotations

import hashlib
import json
import os
import sys
from collections.abc import Iterator
from contextlib import ExitStack, contextmanager
from dataclasses import dataclass
from itertools import islice
from pathlib import Path
from typing import BinaryIO, Protocol

from service.archive.blocks import answer_blocks, cut_blocks
from service.archive.counts import Counts
from service.archive.pipeline import Asked, summary
from service.archive.records import read_records
from service.errors import Conflict


@dataclass(frozen=True, slots=True)
class Run:
    """What to run: input and output (``-`` is the standard one), what is asked, how many workers,
    and whether an earlier run is to be gone on with."""

    file: str
    out: str
    asked: Asked
    jobs: int = 1
    resume: bool = False


@dataclass(slots=True)
class _Place:
    """How far a run came: bytes of answers written, and their tally."""

    written: int
    counts: Counts


class _Ticker(Protocol):
    """What shows progress: told of the bytes read so far and of the tally."""

    def __call__(self, read: int, counts: Counts) -> None: ...


def run_archive(run: Run) -> Counts:
    """Answer every record of a file. Raises: Conflict (nothing to resume), OSError."""
    with ExitStack() as stack:
        source = stack.enter_context(_open_source(run.file))
        place = _place(run)
        if place is None:
            return _finished(Path(run.out))
        sink = stack.enter_context(_open_sink(run.out, place.written))
        tick = stack.enter_context(_progress(run.file))
        records = islice(read_records(source.readline), place.counts.records, None)
        blocks = cut_blocks(records, place.counts.records + 1)
        for answered in answer_blocks(blocks, run.asked, run.jobs):
            sink.write(answered.lines)
            sink.flush()
            place.written += len(answered.lines)
            place.counts.add(answered.counts)
            _keep(run, place)
            tick(source.tell() if source.seekable() else 0, place.counts)
        sink.write(summary(place.counts))
    if run.out != "-":
        _progress_file(run).unlink(missing_ok=True)
    return place.counts


@contextmanager
def _open_source(file: str) -> Iterator[BinaryIO]:
    if file == "-":
        yield sys.stdin.buffer
    else:
        with Path(file).open("rb") as source:
            yield source


@contextmanager
def _open_sink(out: str, written: int) -> Iterator[BinaryIO]:
    """Open the output with what was answered before in it and nothing else."""
    if out == "-":
        yield sys.stdout.buffer
        return
    with Path(out).open("r+b" if written else "wb") as sink:
        sink.truncate(written)
        sink.seek(written)
        yield sink


def _progress_file(run: Run) -> Path:
    return Path(f"{run.out}.progress")


def _mark(run: Run) -> str:
    """Tell runs apart that ask for different things or read different files."""
    size = Path(run.file).stat().st_size if run.file != "-" else 0
    return hashlib.sha256(f"{run.asked!r}\0{size}".encode()).hexdigest()


def _place(run: Run) -> _Place | None:
    """Find where to begin; ``None`` where an earlier run came to its end."""
    start = _Place(0, Counts())
    if not run.resume:
        return start
    if run.out == "-" or run.file == "-":
        raise Conflict("--resume needs a file to read and --out: there is nothing to go on with")
    try:
        kept = json.loads(_progress_file(run).read_text("utf-8"))
    except FileNotFoundError:
        if not Path(run.out).exists():
            return start
        return None
    if kept["mark"] != _mark(run):
        raise Conflict(f"{run.out} was begun with another file or other views")
    return _Place(kept["written"], Counts.of(kept["counts"]))


def _finished(out: Path) -> Counts:
    """Give the tally of a run that came to its end. Raises: Conflict, where it did not."""
    with out.open("rb") as answers:
        answers.seek(max(0, out.stat().st_size - (1 << 16)))
        last = answers.read().rstrip(b"\n").rpartition(b"\n")[2]
    if not last.startswith(b'{"summary":'):
        raise Conflict(f"{out} is there and holds no run that could be gone on with")
    return Counts.of(json.loads(last)["summary"])


def _keep(run: Run, place: _Place) -> None:
    """Say in the file beside the output how far the run came."""
    if run.out == "-":
        return
    state = {"mark": _mark(run), "written": place.written, "counts": place.counts.document()}
    fresh = Path(f"{run.out}.progress-new")
    fresh.write_text(json.dumps(state), "utf-8")
    os.replace(fresh, _progress_file(run))


@contextmanager
def _progress(file: str) -> Iterator[_Ticker]:
    """Show a bar on the standard error where that is a terminal."""
    if not sys.stderr.isatty():
        yield lambda read, counts: None
        return
    from rich.console import Console
    from rich.progress import Progress

    size = Path(file).stat().st_size if file != "-" else None
    with Progress(console=Console(stderr=True)) as bar:
        task = bar.add_task("archive", total=size)

        def tick(read: int, counts: Counts) -> None:
            share = counts.weighed / counts.stating_an_amount if counts.stating_an_amount else 0
            says = f"{counts.records} records, {share:.1%} of lines weighed"
            bar.update(task, completed=read, description=says)

        yield tick
