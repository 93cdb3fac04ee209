"""The commands of README's first page, and what they say when they cannot do their work."""

from __future__ import annotations

import importlib.util
import os
import socket
import subprocess
import sys
from collections.abc import Mapping
from pathlib import Path
from types import ModuleType

import pytest

ROOT = Path(__file__).resolve().parents[2]
DEPLOY = ROOT / "deploy"


def run(*words: str, **settings: str) -> subprocess.CompletedProcess[str]:
    environment = {**os.environ, **settings}
    return subprocess.run(
        words, cwd=ROOT, env=environment, capture_output=True, text=True, timeout=120, check=False
    )


def serve(**settings: str) -> subprocess.CompletedProcess[str]:
    """Start the server as ``deploy/run`` does, where it is expected to refuse at once."""
    config = str(DEPLOY / "gunicorn.conf.py")
    return run(sys.executable, "-m", "gunicorn", "--config", config, **settings)


def one_line(done: subprocess.CompletedProcess[str]) -> str:
    """Give the one line in which a command refuses."""
    assert done.returncode != 0
    lines = done.stderr.splitlines()
    assert len(lines) == 1, done.stderr
    assert lines[0].startswith("tarebook: ")
    return lines[0]


def preparing() -> ModuleType:
    """Give ``deploy/prepare.py`` as a module of its own."""
    spec = importlib.util.spec_from_file_location("prepare", DEPLOY / "prepare.py")
    assert spec is not None
    assert spec.loader is not None
    module = importlib.util.module_from_spec(spec)
    spec.loader.exec_module(module)
    return module


def test_the_main_job_is_done_once_over_http(tmp_path: Path) -> None:
    with socket.socket() as probe:
        probe.bind(("127.0.0.1", 0))
        port = str(probe.getsockname()[1])
    settings = {**os.environ, "TAREBOOK_PORT": port, "TAREBOOK_DATA": "shelf/data"}
    done = subprocess.run(
        ["bash", DEPLOY / "run", "--check"],
        cwd=tmp_path, env=settings, capture_output=True, text=True, timeout=120, check=False,
    )  # fmt: skip
    assert done.returncode == 0, done.stderr
    assert done.stdout.endswith("the main job was done\n")
    assert list((tmp_path / "shelf" / "data").iterdir()) == []


def test_a_port_in_use_is_one_line(tmp_path: Path) -> None:
    with socket.socket() as taken:
        taken.bind(("127.0.0.1", 0))
        taken.listen()
        port = str(taken.getsockname()[1])
        settings = {"TAREBOOK_PORT": port, "TAREBOOK_DATA": str(tmp_path)}
        refusal = one_line(serve(**settings))
        checked = one_line(run("bash", "deploy/run", "--check", **settings))
    assert refusal == checked == f"tarebook: port {port} is in use"


@pytest.mark.parametrize("port", ["0", "65536", "-1", "eighty"])
def test_what_is_no_port_is_one_line(port: str, tmp_path: Path) -> None:
    refusal = one_line(serve(TAREBOOK_PORT=port, TAREBOOK_DATA=str(tmp_path)))
    assert refusal == f"tarebook: TAREBOOK_PORT={port} is not a port"


def test_a_data_folder_that_cannot_be_written_is_one_line(tmp_path: Path) -> None:
    (tmp_path / "file").touch()
    data = tmp_path / "file" / "data"
    refusal = one_line(serve(TAREBOOK_DATA=str(data)))
    assert refusal == f"tarebook: cannot write in the data folder {data}: Not a directory"


def test_a_check_in_such_a_folder_is_one_line_too(tmp_path: Path) -> None:
    (tmp_path / "file").touch()
    data = tmp_path / "file" / "data"
    done = run("bash", "deploy/run", "--check", TAREBOOK_DATA=str(data))
    assert one_line(done).startswith(f"tarebook: cannot write in the data folder {data}")


def test_an_old_python_is_one_line(tmp_path: Path) -> None:
    old = '#!/bin/sh\ncase "$1" in -V) echo "Python 3.9.2" ;; *) exit 1 ;; esac\n'
    for name in ("python3", "python3.11", "python3.12", "python3.13", "python3.14"):
        (tmp_path / name).write_text(old, "utf-8")
        (tmp_path / name).chmod(0o755)
    path = f"{tmp_path}:{os.environ['PATH']}"
    refusal = one_line(run("bash", "deploy/run", PATH=path, TAREBOOK_PYTHON=""))
    assert refusal == "tarebook: needs Python 3.11 or later; found Python 3.9.2"


@pytest.mark.parametrize("missing", ["venv", "ensurepip"])
def test_a_missing_module_is_one_line(
    missing: str, monkeypatch: pytest.MonkeyPatch, tmp_path: Path
) -> None:
    prepare = preparing()
    find = importlib.util.find_spec
    monkeypatch.setattr(
        importlib.util, "find_spec", lambda name: None if name == missing else find(name)
    )
    monkeypatch.setattr(prepare, "ENVIRONMENT", tmp_path / ".venv")
    with pytest.raises(prepare.CannotPrepare, match=f"lacks the module '{missing}'") as refusal:
        prepare.make_environment()
    assert "\n" not in str(refusal.value)


def test_a_folder_without_room_for_the_environment_is_one_line(
    monkeypatch: pytest.MonkeyPatch, tmp_path: Path
) -> None:
    prepare = preparing()
    (tmp_path / "file").touch()
    monkeypatch.setattr(prepare, "ENVIRONMENT", tmp_path / "file" / ".venv")
    with pytest.raises(prepare.CannotPrepare, match="cannot write in the folder"):
        prepare.make_environment()


def test_what_is_in_place_is_left_alone(monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> None:
    prepare = preparing()
    monkeypatch.setattr(prepare, "STAMP", tmp_path / ".stamp")
    digest = prepare.wanted_digest()
    cases: Mapping[str, tuple[bool, bool]] = {
        f"run {digest}": (True, False),
        f"test {digest}": (True, True),
        f"test {'0' * 64}": (False, False),
        "": (False, False),
    }
    for stamp, (runs, tests) in cases.items():
        (tmp_path / ".stamp").write_text(stamp, "ascii")
        assert prepare.in_place("run", digest) is runs
        assert prepare.in_place("test", digest) is tests


def test_a_word_that_no_command_knows_is_refused() -> None:
    done = run("bash", "deploy/run", "--chekc")
    assert done.returncode == 2
    assert done.stderr == "usage: bash deploy/run [--check]\n"


def test_locked_requirements_hold_hashes_and_no_address() -> None:
    for file in sorted((DEPLOY / "requirements").glob("*.txt")):
        text = file.read_text("utf-8")
        assert "://" not in text
        assert "--index" not in text
        pins = [line for line in text.splitlines() if line and line[0] not in " #"]
        assert all("==" in pin for pin in pins)
        assert text.count("--hash=sha256:") >= len(pins)


def test_the_service_runs_on_what_the_project_names() -> None:
    import tomllib

    project = tomllib.loads((ROOT / "pyproject.toml").read_text("utf-8"))["project"]
    lines = (DEPLOY / "requirements" / "run.in").read_text("utf-8").splitlines()
    wanted = {line for line in lines if line and not line.startswith("#")}
    assert wanted == set(project["dependencies"])
