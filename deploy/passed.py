"""Remember which tree passed every test, so that asking again of the same tree takes no minutes.

``passed.py same`` exits with 0, and says what passed, where every file and the environment are as they
were when all tests passed; ``passed.py keep FILE`` remembers this tree with the closing line of FILE.
"""

from __future__ import annotations

import hashlib
import sys
from pathlib import Path

ROOT = Path(__file__).resolve().parent.parent
KEPT = ROOT / ".venv" / ".passed"
#: What a run makes for itself, and what is no part of the project.
PASSED_OVER = frozenset((
    ".git", ".venv", "data", "__pycache__", ".hypothesis", ".schemathesis", ".pytest_cache",
    ".mypy_cache", ".ruff_cache",
))  # fmt: skip


def tree_digest() -> str:
    """Give the SHA-256 of every file of the project, names and bytes, and of the environment."""
    digest = hashlib.sha256((ROOT / ".venv" / ".stamp").read_bytes())
    for path in sorted(ROOT.rglob("*")):
        inside = path.relative_to(ROOT)
        if path.is_file() and not PASSED_OVER.intersection(inside.parts):
            digest.update(f"{inside}\0{path.stat().st_mode & 0o111}\0".encode())
            digest.update(hashlib.sha256(path.read_bytes()).digest())
    return digest.hexdigest()


def is_same() -> bool:
    """Tell whether this very tree passed; says so where it did."""
    try:
        kept, said = KEPT.read_text("utf-8").split("\n", 1)
    except (OSError, ValueError):
        return False
    if kept != tree_digest():
        return False
    print(
        f"nothing changed since this tree passed: {said.strip()} (bash deploy/test --again repeats it)"
    )
    return True


def keep(run: Path) -> None:
    """Remember this tree, with the last line that a run printed."""
    lines = [line for line in run.read_text("utf-8").splitlines() if line.strip()]
    KEPT.write_text(f"{tree_digest()}\n{lines[-1] if lines else 'all tests'}\n", "utf-8")


if __name__ == "__main__":
    if sys.argv[1] == "keep":
        keep(Path(sys.argv[2]))
        sys.exit(0)
    sys.exit(0 if is_same() else 1)
