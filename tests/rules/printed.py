"""Printed formulas, fixed before the checks were run on them, and what the checks say of them.

``python -m tests.rules.printed [CLASS …]`` prints how many are warned, and how many of the slips
injected into them are told, by class and by kind of slip. Each row of a set names its source.
"""

from __future__ import annotations

import json
import sys
from collections import Counter
from collections.abc import Iterable, Sequence
from functools import cache
from pathlib import Path
from typing import Any

from rich.console import Console
from rich.table import Table

from schemas.formula import load
from service.domain.finding import Finding
from service.domain.formula import Formula
from service.kitchen import open_kitchen
from service.rules.judging import Verdict, groups_of, verdict_of
from service.rules.registry import run_rules
from tests.rules.slips import KINDS, inject

VECTORS = Path(__file__).parents[1] / "vectors"
KITCHEN = open_kitchen()
Entry = dict[str, Any]


@cache
def printed(*names: str) -> tuple[Entry, ...]:
    """The formulas of some sets: ``sound_formulas`` (the first, to which the rules were tuned),
    ``held_formulas_a`` and ``…_b`` (later, by other hands), ``read_formulas_…`` (on which rows of the
    limits rest)."""
    lines = [
        line for name in names for line in (VECTORS / f"{name}.ndjson").read_text("utf-8").splitlines()
    ]
    return tuple(json.loads(line) for line in lines if line.strip())


def look(formula: Formula) -> tuple[str, list[Finding]]:
    """Judge without remedies: they change no verdict."""
    groups = groups_of(KITCHEN.scales.weigh(formula), KITCHEN.cupboard, KITCHEN.measures)
    verdicts = [Verdict(judged, told_by, run_rules(judged)) for judged, told_by in groups]
    return verdict_of(verdicts), [finding for each in verdicts for finding in each.findings]


def loud(findings: Iterable[Finding]) -> set[str]:
    """The rules that warn or call an error."""
    return {finding.rule for finding in findings if finding.severity != "note"}


def report(entries: Sequence[Entry], classes: Sequence[str]) -> None:
    """Print the shares by class and by kind of slip."""
    chosen = [entry for entry in entries if not classes or entry["class"] in classes]
    number, warned, flagged = Counter[str](), Counter[str](), Counter[tuple[str, bool]]()
    kinds = Counter[tuple[str, bool]]()
    for entry in chosen:
        number[entry["class"]] += 1
        warned[entry["class"]] += bool(loud(look(load(entry["formula"]))[1]))
        for slip in inject(entry):
            told = look(load(slip.document))[0] != "sound"
            flagged[entry["class"], told] += 1
            kinds[slip.kind, told] += 1
    table = Table("class", "formulas", "warned", "slips", "told")
    for name in sorted(number):
        slips = flagged[name, True] + flagged[name, False]
        share = f"{flagged[name, True] / slips:.2f}" if slips else ""
        table.add_row(name, str(number[name]), str(warned[name]), str(slips), share)
    table.add_row("all", str(number.total()), str(warned.total()), str(flagged.total()), "")
    told = Table("kind of slip", "slips", "told")
    for kind in KINDS:
        slips = kinds[kind, True] + kinds[kind, False]
        if slips:
            told.add_row(kind, str(slips), f"{kinds[kind, True] / slips:.2f}")
    console = Console()
    console.print(table, told)


if __name__ == "__main__":
    report(printed("sound_formulas", "held_formulas_a", "held_formulas_b"), sys.argv[1:])
