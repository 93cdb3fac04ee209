"""How the service is served: read by gunicorn, started by ``deploy/run``.

Two workers of eight threads share one preloaded application. Threads keep idle and slow callers from
holding up the others, and let an archive's answer outlast the timeout. For the world outside put a
proxy in front: this server listens on the loopback address alone.
"""

from __future__ import annotations

import errno
import os
import socket
import sys
from http import HTTPStatus
from pathlib import Path
from typing import TYPE_CHECKING, Any

from gunicorn import util
from gunicorn.http import errors
from gunicorn.workers.gthread import ThreadWorker

if TYPE_CHECKING:
    from gunicorn.arbiter import Arbiter

ADDRESS = "127.0.0.1"
PORT = os.environ.get("TAREBOOK_PORT") or "8765"
HERE = Path(__file__).resolve().parent
DEMO = HERE / "demo"
DATA = Path(os.environ.get("TAREBOOK_DATA") or "data").resolve()


def refuse(message: str) -> None:
    """Stop before anything is started, in one line."""
    print(f"tarebook: {message}", file=sys.stderr)
    raise SystemExit(1)


def check_number() -> None:
    """Refuse a port that is none."""
    if not (PORT.isascii() and PORT.isdecimal() and 0 < int(PORT) < 65536):
        refuse(f"TAREBOOK_PORT={PORT} is not a port")


def check_port() -> None:
    """Refuse a port that another program has: gunicorn would try for 5 seconds."""
    with socket.socket() as probe:
        probe.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
        try:
            probe.bind((ADDRESS, int(PORT)))
        except OSError as error:
            taken = error.errno == errno.EADDRINUSE
            refuse(f"port {PORT} is in use" if taken else f"port {PORT}: {error.strerror}")


def check_data() -> None:
    """Refuse a data folder that cannot be made or written."""
    trial = DATA / f".trial-{os.getpid()}"
    try:
        DATA.mkdir(parents=True, exist_ok=True)
        trial.touch()
        trial.unlink()
    except OSError as error:
        refuse(f"cannot write in the data folder {DATA}: {error.strerror}")


#: What a request that never comes to the application is refused with, by what was wrong with it.
REFUSALS = (
    (errors.LimitRequestLine, 414, "The address is too long."),
    (errors.LimitRequestHeaders, 431, "The header fields are too long or too many."),
    (errors.ExpectationFailed, 417, "That expectation is not met here."),
    (errors.UnsupportedTransferCoding, 501, "Bodies come whole or chunked, in no other coding."),
    (errors.ParseException, 400, "The request breaks a rule of HTTP."),
)


class Worker(ThreadWorker):
    """Gunicorn's worker, save that what it refuses by itself is a problem document too (RFC 9457)."""

    def handle_error(self, req: Any, client: socket.socket, addr: Any, exc: BaseException) -> None:
        """Answer a request that did not come to the application, or in which it failed."""
        for kind, code, detail in REFUSALS:
            if isinstance(exc, kind):
                status, said = HTTPStatus(code), detail
                self.log.info("refused a request: %s", exc)
                break
        else:
            status, said = HTTPStatus.INTERNAL_SERVER_ERROR, "It is in the log of the service."
            self.log.error("while answering", exc_info=exc)
        try:
            util.write_nonblock(client, _answer(status, said))
        except Exception:
            self.log.debug("The caller has gone.")


def _answer(status: HTTPStatus, detail: str) -> bytes:
    from service.http.problems import MEDIA, outside

    body = outside(status, detail)
    head = (
        f"HTTP/1.1 {status.value} {status.phrase}\r\nConnection: close\r\nContent-Type: {MEDIA}\r\n"
        f"Cache-Control: no-store\r\nContent-Length: {len(body)}\r\n\r\n"
    )
    return head.encode() + body


check_number()
check_data()

wsgi_app = "service.http.app:create_app()"
bind = f"{ADDRESS}:{PORT}"
worker_class = Worker
workers = int(os.environ.get("TAREBOOK_WORKERS", "2"))
threads = 8
preload_app = True
limit_request_line = 8190
#: No header is taken for a word of a proxy: there is none that this server knows of.
forwarder_headers = ""
forwarded_allow_ips = ""
control_socket_disable = True
worker_tmp_dir = "/dev/shm" if os.access("/dev/shm", os.W_OK) else None  # noqa: S108
loglevel = "warning"


def on_starting(server: Arbiter) -> None:
    """Before the first worker: hold the port against others, put the demo book on the shelf.

    The book is loaded in a process of its own, so that no worker inherits an open database.
    """
    if "GUNICORN_PID" in os.environ:  # a successor that takes over the sockets (signal USR2)
        return
    check_port()
    if (child := os.fork()) == 0:
        os._exit(load_demo_book(server))
    if os.waitpid(child, 0)[1] != 0:
        refuse("the demo book could not be loaded")


def load_demo_book(server: Arbiter) -> int:
    """Store what the book holds and the store lacks; give the exit code."""
    from service.http.book import load_book

    try:
        list(load_book(server.app.wsgi(), DEMO))
    except Exception:
        server.log.exception("loading the demo book")
        return 1
    return 0


def when_ready(server: Arbiter) -> None:
    """Print the first calls to try."""
    calls = (HERE / "first_calls.txt").read_text("utf-8")
    print(calls.format(at=f"http://{ADDRESS}:{PORT}"), flush=True)
