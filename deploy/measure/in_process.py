"""What needs no server, against J: ``json.loads`` and ``json.dumps`` of the same two documents."""

from __future__ import annotations

import json
import subprocess
import sys
import time
from collections.abc import Sequence

import orjson

from deploy.measure.cards import BAKES, BATCHES, PLAIN, archive, batch, formula
from schemas.answers import document_of
from schemas.formula import load
from schemas.json_in import read_json
from service.archive.pipeline import Asked, answers
from service.kitchen import Kitchen, open_kitchen
from service.views.registry import all_views
from service.views.work import Work

WEIGHTS = Asked(views=("weights",))


def weigh(kitchen: Kitchen, body: bytes, name: str = "weights") -> bytes:
    """Do in process what a POST of a formula to the view does: bytes to bytes."""
    view = all_views()[name]
    work = Work(kitchen, load(read_json(body)))
    return orjson.dumps(document_of(view.run(work, view.params())))


def seconds_of_j(pairs: Sequence[tuple[bytes, bytes]]) -> float:
    """Give the seconds that J takes for all pairs of documents, asked and answered."""
    answered = [json.loads(answer) for _, answer in pairs]
    started = time.process_time()
    for (asked, _), answer in zip(pairs, answered, strict=True):
        json.loads(asked)
        json.dumps(answer)
    return time.process_time() - started


def cold_weights(rounds: int, cards: int) -> list[float]:
    """Give the cost of weights in J, a round each: a new kitchen, and no line twice."""
    costs = []
    bodies = [json.dumps(formula(number)).encode() for number in range(cards)]
    for _ in range(rounds):
        kitchen = open_kitchen()
        weigh(kitchen, json.dumps(formula(PLAIN - 1)).encode())
        started = time.process_time()
        given = [weigh(kitchen, body) for body in bodies]
        took = time.process_time() - started
        costs.append(took / seconds_of_j(list(zip(bodies, given, strict=True))))
    return costs


def findings_over_weights(rounds: int, *, slip: bool) -> list[float]:
    """Give the cost of the whole answer of findings over that of weights, for the same formulas of
    twelve lines, sound ones or each with a ``slip``, a round each: a new kitchen for either, and no
    line of a bake twice. What follows from the tables alone is worked out before."""
    bodies = [
        json.dumps(batch(bake, times, slip=slip)).encode()
        for times in range(1, BATCHES + 1)
        for bake in BAKES
    ]
    return [_seconds(bodies, "findings") / _seconds(bodies, "weights") for _ in range(rounds)]


def _seconds(bodies: Sequence[bytes], name: str) -> float:
    kitchen = open_kitchen()
    for bake in BAKES:
        weigh(kitchen, json.dumps(batch(bake, BATCHES + 1, slip=False)).encode(), name)
    started = time.process_time()
    for body in bodies:
        weigh(kitchen, body, name)
    return time.process_time() - started


def archive_share(rounds: int, cards: int, times: int) -> list[float]:
    """Give the archive's records a second as a share of J's, a round each, on one core.

    ``times`` is how often each line comes; each round begins with a new kitchen.
    """
    shares = []
    sent = archive(cards, times)
    for _ in range(rounds):
        kitchen = open_kitchen()
        started = time.process_time()
        given = list(answers(sent, WEIGHTS, kitchen))[:-1]
        took = time.process_time() - started
        shares.append(seconds_of_j(list(zip(sent, given, strict=True))) / took)
    return shares


def archive_growth(first: int, last: int) -> float:
    """Give how many MiB the peak grows between two records of one archive, in a process of its own."""
    command = [sys.executable, "-m", "deploy.measure.peak", str(first), str(last)]
    return float(subprocess.run(command, check=True, capture_output=True, text=True).stdout)
