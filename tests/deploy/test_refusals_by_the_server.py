"""What the server refuses before a request comes to the application is a problem document too
(RFC 9457; contract, section 6). The codes are those of RFC 9110, section 15.5, RFC 6585, section 5,
and RFC 9112, sections 3, 6.1 and 7.1."""

from __future__ import annotations

import json
import socket

import pytest

HOST = b"Host: localhost\r\nConnection: close\r\n"
JSON = b"Content-Type: application/json\r\n"
BROKEN_CHUNK = b"Transfer-Encoding: chunked\r\n\r\nzz\r\nabc\r\n0\r\n\r\n"


@pytest.mark.parametrize(
    ("sent", "status"),
    [
        (b"GET /v1/formulas?q=" + b"a" * 9000 + b" HTTP/1.1\r\n" + HOST + b"\r\n", 414),
        (b"GET /healthz HTTP/1.1\r\n" + HOST + b"X: " + b"a" * 9000 + b"\r\n\r\n", 431),
        (b"GET /healthz HTTP/1.1\r\n" + HOST + b"X: a\r\n" * 120 + b"\r\n", 431),
        (b"get /healthz HTTP/1.1\r\n" + HOST + b"\r\n", 400),
        (b"GET /healthz HTTP/9.1\r\n" + HOST + b"\r\n", 400),
        (b"GET /healthz HTTP/1.1\r\n" + HOST + b"no colon\r\n\r\n", 400),
        (b"\x16\x03\x01\x00\r\n\r\n", 400),
        (b"POST /v1/weights HTTP/1.1\r\n" + HOST + b"Content-Length: x\r\n\r\n", 400),
        (b"POST /v1/weights HTTP/1.1\r\n" + HOST + b"Transfer-Encoding: jam\r\n\r\n", 501),
        (b"POST /v1/weights HTTP/1.1\r\n" + HOST + b"Expect: jam\r\n\r\n", 417),
        (b"POST /v1/weights HTTP/1.1\r\n" + HOST + JSON + BROKEN_CHUNK, 400),
        (
            b"POST /v1/archive HTTP/1.1\r\n" + HOST + b"Content-Type: application/x-ndjson\r\n"
            + BROKEN_CHUNK,
            400,
        ),
    ],
)  # fmt: skip
def test_the_server_refuses_in_problem_documents(port: int, sent: bytes, status: int) -> None:
    head, _, body = _answer(port, sent).partition(b"\r\n\r\n")
    assert int(head.split()[1]) == status
    assert b"content-type: application/problem+json" in head.lower()
    problem = json.loads(body)
    assert problem["status"] == status
    assert problem["type"].startswith("/problems/")


def test_a_header_is_no_word_of_a_proxy(port: int) -> None:
    """A caller cannot move the service to another path by a header."""
    sent = b"GET /healthz HTTP/1.1\r\n" + HOST + b"SCRIPT_NAME: /elsewhere\r\n\r\n"
    assert _answer(port, sent).startswith(b"HTTP/1.1 200")


def test_a_long_query_comes_through(port: int) -> None:
    """RFC 9110, section 4.1: at least 8000 octets of an address are to be taken."""
    sent = b"GET /v1/formulas?q=" + b"a" * 7900 + b" HTTP/1.1\r\n" + HOST + b"\r\n"
    assert _answer(port, sent).startswith(b"HTTP/1.1 422")


def _answer(port: int, sent: bytes) -> bytes:
    with socket.create_connection(("127.0.0.1", port), 10) as caller:
        caller.sendall(sent)
        answer = b""
        while data := caller.recv(1 << 16):
            answer += data
    return answer
