"""The archive in blocks: many records at a time to worker processes, answers back in order.

A block travels as joined bytes, which costs far less than a list of records. At most a few blocks a
worker are under way, so that memory stays flat and the order holds.
"""

from __future__ import annotations

from collections import deque
from collections.abc import Iterable, Iterator
from concurrent.futures import Future, ProcessPoolExecutor
from dataclasses import dataclass
from multiprocessing import get_context

from service.archive.counts import Counts
from service.archive.pipeline import Asked, answer
from service.kitchen import Kitchen, open_kitchen

#: Records in a block. The first block is a single record, so that the first answer comes at once.
BLOCK = 500
#: Bytes after which a block is closed however few records it holds.
FULL = 8 << 20
#: Blocks under way for each worker.
WINDOW = 2


@dataclass(frozen=True, slots=True)
class Answered:
    """A block's answers, joined, and their tally."""

    lines: bytes
    counts: Counts


@dataclass(frozen=True, slots=True)
class Block:
    """Records with the number of the first; joined by line feeds, which no record holds."""

    first: int
    records: bytes


def cut_blocks(records: Iterable[bytes], first: int = 1) -> Iterator[Block]:
    """Join records into blocks; ``first`` is the number of the first record."""
    held: list[bytes] = []
    size, start = 0, first
    for number, record in enumerate(records, start=first):
        held.append(record)
        size += len(record)
        if number == first or len(held) == BLOCK or size >= FULL:
            yield Block(start, b"\n".join(held))
            held, size, start = [], 0, number + 1
    if held:
        yield Block(start, b"\n".join(held))


def answer_block(block: Block, asked: Asked, kitchen: Kitchen) -> Answered:
    """Answer a block's records in order."""
    counts = Counts()
    lines = []
    for number, record in enumerate(block.records.split(b"\n"), start=block.first):
        line, one = answer(number, record, asked, kitchen)
        lines.append(line)
        counts.add(one)
    return Answered(b"".join(lines), counts)


def answer_blocks(blocks: Iterable[Block], asked: Asked, jobs: int) -> Iterator[Answered]:
    """Answer blocks in order, on this process alone or on several workers."""
    if jobs == 1:
        kitchen = open_kitchen()
        for block in blocks:
            yield answer_block(block, asked, kitchen)
        return
    context = get_context("spawn")
    with ProcessPoolExecutor(jobs, context, initializer=_open, initargs=(asked,)) as pool:
        under_way: deque[Future[Answered]] = deque()
        for block in blocks:
            under_way.append(pool.submit(_answer, block))
            if len(under_way) >= WINDOW * jobs:
                yield under_way.popleft().result()
        while under_way:
            yield under_way.popleft().result()


class _Desk:
    """What a worker process keeps from block to block."""

    kitchen: Kitchen
    asked: Asked


def _open(asked: Asked) -> None:
    _Desk.kitchen, _Desk.asked = open_kitchen(), asked


def _answer(block: Block) -> Answered:
    return answer_block(block, _Desk.asked, _Desk.kitchen)
