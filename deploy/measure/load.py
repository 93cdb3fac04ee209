"""A load generator: one thread, a few kept connections, so little work a request that the server's
worker is what is measured."""

from __future__ import annotations

import selectors
import socket
import time

#: Two keep one worker busy all the time. More of them make its threads quarrel over the interpreter,
#: and rounds of one route then differ by half.
CONNECTIONS = 2


class Unequal(Exception):
    """An answer was not the one that was expected."""


def _request(path: str, headers: str = "") -> bytes:
    return f"GET {path} HTTP/1.1\r\nHost: 127.0.0.1\r\n{headers}\r\n".encode()


def fetch(port: int, path: str, headers: str = "") -> bytes:
    """Give the whole answer to one request, head and body. Raises: Unequal, where it is no 200."""
    with socket.create_connection(("127.0.0.1", port), timeout=10) as line:
        line.sendall(_request(path, f"Connection: close\r\n{headers}"))
        answer = b"".join(iter(lambda: line.recv(1 << 16), b""))
    if answer.split(b" ", 2)[1] != b"200":
        raise Unequal(answer[:200].decode("latin-1"))
    return answer


def rate(port: int, path: str, seconds: float, headers: str = "") -> float:
    """Give the answers a second over some kept connections. Raises: Unequal.

    All answers of a route have one length, so counting bytes is enough to tell them apart.
    """
    request = _request(path, headers)
    with selectors.DefaultSelector() as ready:
        lines = [_opened(port) for _ in range(CONNECTIONS)]
        length = _one_length(lines[0], request)
        for line in lines:
            ready.register(line, selectors.EVENT_READ, [0])
            line.sendall(request)
        count, until = 0, time.perf_counter() + seconds
        started = time.perf_counter()
        while time.perf_counter() < until:
            for key, _ in ready.select(1):
                count += _take(key, length, request)
        took = time.perf_counter() - started
        for line in lines:
            line.close()
    return count / took


def _opened(port: int) -> socket.socket:
    line = socket.create_connection(("127.0.0.1", port), timeout=10)
    line.setsockopt(socket.IPPROTO_TCP, socket.TCP_NODELAY, 1)
    return line


def _one_length(line: socket.socket, request: bytes) -> int:
    """Send one request and give the length of its whole answer."""
    line.sendall(request)
    answer = b""
    while b"\r\n\r\n" not in answer:
        answer += line.recv(1 << 16)
    head, _, body = answer.partition(b"\r\n\r\n")
    sizes = [
        part.split(b":")[1] for part in head.split(b"\r\n") if part.lower().startswith(b"content-length")
    ]
    length = int(sizes[0]) if sizes else 0
    while len(body) < length:
        body += line.recv(1 << 16)
    return len(head) + 4 + length


def _take(key: selectors.SelectorKey, length: int, request: bytes) -> int:
    """Take what has come on a connection; at the end of an answer send the next request."""
    line: socket.socket = key.fileobj  # type: ignore[assignment]
    seen = key.data
    chunk = line.recv(1 << 16)
    if not chunk:
        raise Unequal("the server closed a kept connection")
    seen[0] += len(chunk)
    if seen[0] < length:
        return 0
    if seen[0] > length:
        raise Unequal(f"an answer of {seen[0]} bytes, not {length}")
    seen[0] = 0
    line.sendall(request)
    return 1
