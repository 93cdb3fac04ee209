"""The running server held against its own OpenAPI document, by requests made from it.

The made requests are the same each time. Oracle: schemathesis and its stock checks; what is set for
single operations stands, with its reason, in ``schemathesis.toml``.
"""

from __future__ import annotations

import subprocess
import sys
from pathlib import Path

HERE = Path(__file__).resolve().parent


def test_the_server_keeps_what_its_document_promises(port: int) -> None:
    command = [
        Path(sys.executable).with_name("schemathesis"), "--config-file", HERE / "schemathesis.toml",
        "run", f"http://127.0.0.1:{port}/openapi.json", "--phases", "examples,coverage,fuzzing",
        "--max-examples", "5", "--seed", "1", "--generation-deterministic", "--workers", "1",
        "--warnings", "off", "--no-color",
    ]  # fmt: skip
    done = subprocess.run(
        command, cwd=HERE.parents[1], capture_output=True, text=True, timeout=300, check=False
    )
    assert done.returncode == 0, done.stdout[-12_000:]
