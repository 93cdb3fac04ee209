"""Run a long archive and print how many MiB the peak memory grew after a first stretch of it."""

from __future__ import annotations

import resource
import sys
from pathlib import Path

from deploy.measure.cards import long_archive
from deploy.measure.in_process import WEIGHTS
from service.archive.pipeline import answers
from service.kitchen import open_kitchen


def peak() -> float:
    """Give the most memory that this program ever held. Units: MiB.

    Linux tells it for the program (VmHWM); its ``ru_maxrss`` may be that of the process it came from.
    """
    status = Path("/proc/self/status")
    if status.exists():
        [line] = [line for line in status.read_text("ascii").splitlines() if line.startswith("VmHWM")]
        return int(line.split()[1]) / 1024
    return resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 2**20


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
