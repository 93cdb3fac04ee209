"""Every figure of the bench: measured in turns with its baseline, told beside its target.

``python -m deploy.measure.report [--quick] [--json FILE]``. Ratios travel from machine to machine;
absolute numbers do not, so none is a target but those that people feel (start) or pay for (memory).
"""

from __future__ import annotations

import argparse
import json
import statistics
from collections.abc import Callable, Sequence
from dataclasses import asdict, dataclass
from functools import partial
from pathlib import Path

from deploy.measure.in_process import (
    archive_growth,
    archive_share,
    cold_weights,
    findings_over_weights,
)
from deploy.measure.load import fetch, rate
from deploy.measure.served import served

VIEW = "/v1/formulas/whistle-stop-walnut-cookies/weights"


@dataclass(frozen=True)
class Figure:
    """A measured figure: its rounds, and the target that it should come to some day."""

    name: str
    unit: str
    target: str
    rounds: list[float]

    @property
    def median(self) -> float:
        """Give the middle round."""
        return statistics.median(self.rounds)


def stored_views(rounds: int, seconds: float) -> list[Figure]:
    """Measure a stored view, and its 304, against a bare Flask route of the same size."""
    with served(workers=1) as (port, _):
        size = len(fetch(port, VIEW).partition(b"\r\n\r\n")[2])
    side_by_side = "deploy.measure.side_by_side:create()"
    with served(side_by_side, workers=1, BARE_BYTES=str(size)) as (port, _):
        tag = _tag(fetch(port, VIEW))
        whole, unchanged = [], []
        for _ in range(rounds):
            baseline = rate(port, "/bare", seconds)
            whole.append(rate(port, VIEW, seconds) / baseline)
            unchanged.append(rate(port, VIEW, seconds, f"If-None-Match: {tag}\r\n") / baseline)
    of = f"of a bare Flask route of {size} bytes"
    return [
        Figure("stored view, GET", of, "≥ 0.75", whole),
        Figure("stored view, 304", of, "≥ 0.75", unchanged),
    ]


def _tag(answer: bytes) -> str:
    for line in answer.partition(b"\r\n\r\n")[0].split(b"\r\n"):
        name, _, value = line.partition(b":")
        if name.lower() == b"etag":
            return value.strip().decode()
    raise ValueError("a view's answer lacks its ETag")


def starts(rounds: int) -> list[Figure]:
    """Measure from the start of the server to its first answer, with a new store each time."""
    took = []
    for _ in range(rounds):
        with served(workers=2) as (_, seconds):
            took.append(seconds)
    return [Figure("start to first answer", "seconds", "≤ 0.5", took)]


def inside(rounds: int, cards: int) -> list[Figure]:
    """Measure what needs no server. An old cookbook has each of its lines 2.6 times."""
    rate_of = "of J's rate, a core"
    findings = partial(findings_over_weights, rounds)
    return [
        Figure("weights of 12 text lines, cold", "J", "≤ 5", cold_weights(rounds, cards)),
        Figure("findings of 12 lines, sound, cold", "of weights", "≤ 2", findings(slip=False)),
        Figure("findings of 12 lines, with a slip, cold", "of weights", "≤ 2", findings(slip=True)),
        Figure("archive with weights, no line twice", rate_of, "≥ 0.2", archive_share(rounds, cards, 1)),
        Figure("archive with weights, lines 3 times", rate_of, "≥ 0.2", archive_share(rounds, cards, 3)),
    ]


def memory(records: int) -> list[Figure]:
    """Measure how far the archive's peak memory grows from its length to fifty times it."""
    growth = archive_growth(records, 50 * records)
    name = f"archive's peak memory, {50 * records} records over {records}"
    return [Figure(name, "MiB more", "≤ 8", [growth])]


def table(figures: Sequence[Figure]) -> str:
    """Set the figures as a table for people."""
    rows = [("figure", "median", "least", "most", "target", "unit")]
    for one in figures:
        least, most = min(one.rounds), max(one.rounds)
        numbers = (f"{one.median:.2f}", f"{least:.2f}", f"{most:.2f}")
        rows.append((one.name, *numbers, one.target, one.unit))
    widths = [max(len(row[column]) for row in rows) for column in range(6)]
    return "\n".join("  ".join(c.ljust(w) for c, w in zip(row, widths, strict=True)) for row in rows)


def main() -> None:
    """Measure everything and print it."""
    parser = argparse.ArgumentParser(prog="deploy/bench", description=__doc__)
    parser.add_argument("--quick", action="store_true", help="few rounds: a first look, no evidence")
    parser.add_argument("--json", type=Path, metavar="FILE", help="write the figures here too")
    given = parser.parse_args()
    quick = given.quick
    parts: list[Callable[[], list[Figure]]] = [
        lambda: stored_views(2 if quick else 9, 0.3 if quick else 1.0),
        lambda: inside(2 if quick else 7, 20 if quick else 200),
        lambda: memory(20 if quick else 1000),
        lambda: starts(1 if quick else 5),
    ]
    figures = [figure for part in parts for figure in part()]
    print(table(figures))
    if given.json:
        told = [{**asdict(figure), "median": figure.median} for figure in figures]
        given.json.write_text(json.dumps(told, indent=2, ensure_ascii=False) + "\n", "utf-8")


if __name__ == "__main__":
    main()
