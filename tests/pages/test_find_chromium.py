"""The browser is found, or its absence told in one line."""

from __future__ import annotations

import shutil
import subprocess
from pathlib import Path

import pytest

ROOT = Path(__file__).parents[2]
SCRIPT = 'set -euo pipefail; source deploy/find-chromium; find_chromium; echo "$TAREBOOK_CHROMIUM"'


def found(path: Path) -> subprocess.CompletedProcess[str]:
    bash = shutil.which("bash")
    assert bash
    return subprocess.run(
        [bash, "-c", SCRIPT],
        cwd=ROOT,
        env={"PATH": str(path)},
        capture_output=True,
        text=True,
        check=False,
    )


def program(path: Path, name: str) -> Path:
    made = path / name
    made.write_text("#!/bin/sh\nexit 1\n", "ascii")
    made.chmod(0o755)
    return made


@pytest.mark.parametrize("name", ["chromium", "google-chrome"])
def test_a_browser_on_the_path_is_taken(tmp_path: Path, name: str) -> None:
    made = program(tmp_path, name)
    assert found(tmp_path).stdout.strip() == str(made)


def test_no_browser_is_one_clear_line(tmp_path: Path) -> None:
    done = found(tmp_path)
    assert done.returncode == 1
    assert len(done.stderr.splitlines()) == 1
    assert "chromium" in done.stderr


def test_an_install_that_fails_is_told(tmp_path: Path) -> None:
    program(tmp_path, "apt-get")
    who = program(tmp_path, "id")
    who.write_text("#!/bin/sh\necho 0\n", "ascii")
    done = found(tmp_path)
    assert done.returncode == 1
    assert "install one" in done.stderr.splitlines()[-1]
