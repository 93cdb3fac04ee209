"""A gunicorn of our own on a free port, for as long as it is needed."""

from __future__ import annotations

import os
import socket
import subprocess
import sys
import tempfile
import time
from collections.abc import Iterator
from contextlib import contextmanager

from deploy.measure.load import Unequal, fetch


def free_port() -> int:
    """Give a port that nobody listens on."""
    with socket.socket() as probe:
        probe.bind(("127.0.0.1", 0))
        return int(probe.getsockname()[1])


@contextmanager
def served(app: str | None = None, workers: int = 1, **settings: str) -> Iterator[tuple[int, float]]:
    """Serve on a free port with an empty store; give the port and the seconds to the first answer."""
    port = free_port()
    with tempfile.TemporaryDirectory() as data:
        own = {"TAREBOOK_PORT": str(port), "TAREBOOK_DATA": data, "TAREBOOK_WORKERS": str(workers)}
        command = [sys.executable, "-m", "gunicorn", "--config", "deploy/gunicorn.conf.py"]
        started = time.perf_counter()
        with subprocess.Popen(
            command + ([app] if app else []),
            env={**os.environ, **own, **settings},
            stdout=subprocess.DEVNULL,
        ) as server:
            try:
                yield port, _first_answer(server, port) - started
            finally:
                server.terminate()


def _first_answer(server: subprocess.Popen[bytes], port: int) -> float:
    """Wait for the first good answer and give its time. Raises: Unequal."""
    until = time.perf_counter() + 60
    while time.perf_counter() < until and server.poll() is None:
        try:
            fetch(port, "/healthz")
        except (OSError, IndexError):
            time.sleep(0.005)
        else:
            return time.perf_counter()
    raise Unequal("the server did not start")
