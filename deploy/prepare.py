"""Make the environment from the locked requirements, and refuse early what cannot work.

Called by ``deploy/run`` and ``deploy/test`` with a bare Python, so it needs the standard library
alone. ``prepare.py run`` installs what the service runs on, ``prepare.py test`` the tests' tools too.
What is in place already is left alone: that takes milliseconds.
"""

from __future__ import annotations

import fcntl
import hashlib
import importlib.util
import shutil
import subprocess
import sys
from pathlib import Path

ROOT = Path(__file__).resolve().parent.parent
REQUIREMENTS = ROOT / "deploy" / "requirements"
ENVIRONMENT = ROOT / ".venv"
#: The Python underneath, where this one belongs to an environment itself.
PYTHON = Path(sys.executable).resolve()
STAMP = ENVIRONMENT / ".stamp"
#: What each set holds: the tests' set is the service's and more.
ENOUGH = {"run": ("run", "test"), "test": ("test",)}


class CannotPrepare(Exception):
    """The environment cannot be made; the message is one line for people."""


def wanted_digest() -> str:
    """Give the SHA-256 of all locked files, this Python and the place where it all stands."""
    digest = hashlib.sha256(f"{sys.version}\0{PYTHON}\0{ROOT}".encode())
    for name in ("run.txt", "test.txt"):
        digest.update((REQUIREMENTS / name).read_bytes())
    return digest.hexdigest()


def in_place(wanted: str, digest: str) -> bool:
    """Tell whether the environment already holds the wanted set."""
    return stamped(digest) in ENOUGH[wanted]


def stamped(digest: str) -> str | None:
    """Give the name of the set that was installed under this digest, ``None`` for any other."""
    try:
        name, made_from = STAMP.read_text("ascii").split()
    except (OSError, ValueError):
        return None
    return name if made_from == digest else None


def make_environment() -> None:
    """Make an empty environment in place of a broken or outdated one. Raises: CannotPrepare."""
    missing = [name for name in ("venv", "ensurepip") if importlib.util.find_spec(name) is None]
    if missing:
        raise CannotPrepare(
            f"this Python ({PYTHON}) lacks the module {missing[0]!r}; Debian and Ubuntu have it"
            " in the package python3-venv"
        )
    try:
        shutil.rmtree(ENVIRONMENT, ignore_errors=True)
        ENVIRONMENT.mkdir(exist_ok=True)
    except OSError as error:
        raise CannotPrepare(f"cannot write in the folder {ROOT}: {error.strerror}") from error
    run([str(PYTHON), "-m", "venv", str(ENVIRONMENT)], "could not make .venv")


def run(command: list[str], fault: str) -> None:
    """Run a command silently; its output is shown only when it fails. Raises: CannotPrepare."""
    pipe, merged = subprocess.PIPE, subprocess.STDOUT
    done = subprocess.run(command, cwd=ROOT, stdout=pipe, stderr=merged, text=True, check=False)
    if done.returncode != 0:
        sys.stderr.write(done.stdout)
        raise CannotPrepare(fault)


def write_command() -> None:
    """Put the command ``tarebook`` into the environment."""
    command = ENVIRONMENT / "bin" / "tarebook"
    command.write_text(
        f'#!/bin/sh\nPYTHONPATH="{ROOT}" exec "{ENVIRONMENT}/bin/python" -m service.cli "$@"\n', "utf-8"
    )
    command.chmod(0o755)


def prepare(wanted: str) -> None:
    """Install the wanted set where it is not in place. Raises: CannotPrepare."""
    digest = wanted_digest()
    if in_place(wanted, digest):
        return
    with (REQUIREMENTS / "run.txt").open() as lock:
        fcntl.flock(lock, fcntl.LOCK_EX)
        if in_place(wanted, digest):
            return
        print(f"making .venv from deploy/requirements/{wanted}.txt …", file=sys.stderr)
        if stamped(digest) is None:
            make_environment()
        STAMP.unlink(missing_ok=True)
        install = [str(ENVIRONMENT / "bin" / "python"), "-m", "pip", "install", "--quiet"]
        locked = ["--require-hashes", "--only-binary", ":all:", "--no-deps", "-r"]
        command = [*install, *locked, str(REQUIREMENTS / f"{wanted}.txt")]
        run(command, "could not install the requirements")
        write_command()
        # Compiled once here, so that starts are quick even where nobody may write byte code later.
        run(
            [install[0], "-m", "compileall", "-q", "service", "schemas"], "could not compile the service"
        )
        STAMP.write_text(f"{wanted} {digest}\n", "ascii")


def main() -> int:
    """Prepare, or say in one line why not."""
    try:
        prepare(sys.argv[1])
    except (CannotPrepare, OSError) as error:
        print(f"tarebook: {error}", file=sys.stderr)
        return 1
    return 0


if __name__ == "__main__":
    sys.exit(main())
