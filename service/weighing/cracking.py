"""How many eggs a formula's counted eggs, whites and yolks come from, and what stays over."""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass

from service.domain.weighed import Weighed
from service.tables.rows import EggRow

#: Counts closer to a whole egg than this are that egg: amounts are exact, grams are not.
ALMOST = 1e-6
#: A word that says of an egg that it comes out of no shell.
NOT_FROM_A_SHELL = "reconstituted"


@dataclass
class Cracked:
    """The eggs of a formula. ``whole``, ``whites`` and ``yolks`` are counted by its lines;
    ``to_crack``: the fewest eggs in the shell that give them, since a white and a yolk come from one
    egg; ``surplus_whites`` and ``surplus_yolks`` stay over of those that are parted. Units: eggs.
    Whites, yolks and eggs that are measured by volume or mass are not counted.
    """

    whole: float
    whites: float
    yolks: float
    to_crack: int
    surplus_whites: float
    surplus_yolks: float


def crack(weighed: Weighed, eggs: Mapping[tuple[str, str], EggRow]) -> Cracked | None:
    """Count the eggs of a weighed formula; ``None`` where it counts none."""
    counts = {"whole": 0.0, "white": 0.0, "yolk": 0.0}
    for line in weighed.lines:
        basis = line.basis
        if line.grams is None or basis is None or basis.kind != "egg-grade":
            continue
        if NOT_FROM_A_SHELL in line.as_written.lower():
            continue
        grade, _, part = basis.row.removeprefix("eggs:").partition("/")
        if part in counts:
            counts[part] += line.grams.value / eggs[grade, part].grams
    whole, whites, yolks = (round(count, 6) for count in counts.values())
    if not whole and not whites and not yolks:
        return None
    parted = math.ceil(max(whites, yolks) - ALMOST)
    return Cracked(
        round(whole, 2),
        round(whites, 2),
        round(yolks, 2),
        math.ceil(whole - ALMOST) + parted,
        round(parted - whites, 2),
        round(parted - yolks, 2),
    )
