"""The running server held against its own OpenAPI document, by requests made from it.

The made requests are the same each time. Oracle: schemathesis, its stock checks, none left out.
"""

from __future__ import annotations

import subprocess
import sys
from pathlib import Path


def test_the_server_keeps_what_its_document_promises(port: int, tmp_path: Path) -> None:
    command = [
        Path(sys.executable).with_name("schemathesis"), "run", f"http://127.0.0.1:{port}/openapi.json",
        "--phases", "examples,coverage,fuzzing", "--max-examples", "5", "--seed", "1",
        "--generation-deterministic", "--workers", "1", "--warnings", "off", "--no-color",
    ]  # fmt: skip
    done = subprocess.run(
        command, cwd=tmp_path, capture_output=True, text=True, timeout=300, check=False
    )
    assert done.returncode == 0, done.stdout[-12_000:]
