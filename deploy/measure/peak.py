"""Run a long archive and print how many MiB the peak memory grew after a first stretch of it."""

from __future__ import annotations

import resource
import sys

from deploy.measure.cards import long_archive
from deploy.measure.in_process import WEIGHTS
from service.archive.pipeline import answers
from service.kitchen import open_kitchen


def peak() -> float:
    """Give the most memory that this process ever held. Units: MiB (the kernel counts KiB)."""
    return resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024


def main() -> None:
    """Answer records one after the other, keeping none."""
    first, last = int(sys.argv[1]), int(sys.argv[2])
    early = 0.0
    for number, _ in enumerate(answers(long_archive(last), WEIGHTS, open_kitchen()), start=1):
        if number == first:
            early = peak()
    print(f"{peak() - early:.2f}")


if __name__ == "__main__":
    main()
