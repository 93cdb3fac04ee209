"""The archive over a real server, with clients of every habit."""

from __future__ import annotations

import http.client
import json
import socket
from collections.abc import Iterator
from typing import Any

GOOD = {"title": "Guard's Van Drops", "lines": ["2 cups sugar", "Whites 3 eggs", "1 cup flour"]}
MEDIA = {"Content-Type": "application/x-ndjson"}


def ask(port: int, body: bytes | Iterator[bytes], path: str = "/v1/archive?views=weights") -> list[Any]:
    """Post an archive (an iterator goes out chunked) and give the answers."""
    line = http.client.HTTPConnection("127.0.0.1", port, timeout=60)
    line.request("POST", path, body, MEDIA)
    answer = line.getresponse()
    text = answer.read()
    line.close()
    assert answer.status == 200, text
    assert answer.headers.get_content_type() == "application/x-ndjson"
    return [json.loads(each) for each in text.splitlines()]


def test_answers_come_in_order_and_the_summary_last(port: int) -> None:
    records = [{**GOOD, "title": f"Card {number}"} for number in range(1, 51)]
    answers = ask(port, "\n".join(map(json.dumps, records)).encode())
    assert [each["record"] for each in answers[:-1]] == list(range(1, 51))
    assert [each["formula"]["name"] for each in answers[:-1]] == [each["title"] for each in records]
    assert answers[-1]["summary"]["records"] == 50


def test_a_broken_record_costs_itself_alone(port: int) -> None:
    broken = [
        b"{",
        b"[]",
        b'"text"',
        b'{"title": "no lines"}',
        b'{"name": "x", "components": []}',
        b'{"a": 1, "a": 2}',
        b"\xff\xfe",
        b'{"@type": "Recipe"}',
        b'{"title": "' + b"x" * (1 << 20) + b'", "lines": []}',
        b"[" * 5000,
    ]
    good = json.dumps(GOOD).encode()
    body = b"\n".join(part for each in broken for part in (each, good))
    *answers, last = ask(port, body)
    assert [each["status"] for each in answers[0::2]] == ["refused"] * len(broken)
    assert [each["status"] for each in answers[1::2]] == [answers[1]["status"]] * len(broken)
    assert answers[1]["status"] != "refused"
    assert all(each["problems"] and each["formula"] is None for each in answers[0::2])
    assert last["summary"]["refused"] == len(broken)


def test_chunks_may_end_anywhere(port: int) -> None:
    text = "\n".join(json.dumps(GOOD) for _ in range(20)).encode()
    chunks = (text[start : start + 7] for start in range(0, len(text), 7))
    assert ask(port, chunks)[-1]["summary"]["records"] == 20


def test_a_caller_may_send_everything_before_it_reads(port: int) -> None:
    count = 1500
    record = json.dumps({**GOOD, "method": "Stir. " * 1000}).encode() + b"\n"
    head = (
        "POST /v1/archive HTTP/1.1\r\nHost: 127.0.0.1\r\nConnection: close\r\n"
        f"Content-Type: application/x-ndjson\r\nContent-Length: {len(record) * count}\r\n\r\n"
    )
    with socket.create_connection(("127.0.0.1", port), timeout=60) as line:
        line.sendall(head.encode())
        for _ in range(count):
            line.sendall(record)
        answer = b"".join(iter(lambda: line.recv(1 << 16), b""))
    assert b"200 OK" in answer.split(b"\r\n", 1)[0]
    assert b'"summary"' in answer[-2000:]
    assert answer.count(b'{"record":') == count


def test_an_empty_archive_has_a_summary(port: int) -> None:
    assert [each["summary"]["records"] for each in ask(port, b"")] == [0]


def test_an_unknown_view_is_refused_before_anything_is_read(port: int) -> None:
    line = http.client.HTTPConnection("127.0.0.1", port, timeout=60)
    line.request("POST", "/v1/archive?views=wieghts", json.dumps(GOOD).encode(), MEDIA)
    answer = line.getresponse()
    problem = json.loads(answer.read())
    line.close()
    assert answer.status == 422
    assert problem["errors"][0]["parameter"] == "views"
    assert "weights" in problem["errors"][0]["detail"]
