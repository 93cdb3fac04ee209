"""The archive: records in, answers out, one line each, whatever the length.

A client that sends everything before it reads anything must not stall, so answers wait in a spool
until the body has been read; what does not fit in memory waits in a file of the data folder that has
no name. Beyond the spool's bound, and with ``flow=duplex`` from the first line on, answers are sent as
they come.
"""

from __future__ import annotations

import io
from collections.abc import Iterator
from dataclasses import dataclass
from tempfile import SpooledTemporaryFile
from typing import IO, Any

from flask import Blueprint, Response, request

from service.archive.asking import read_asked
from service.archive.pipeline import Asked, answers
from service.archive.records import read_records
from service.domain.faults import do_not_fit, faults_in, given_twice, unknown_value
from service.domain.formula import Formula
from service.domain.reading import Problem
from service.domain.weighed import Assumption
from service.errors import StoreFull, TooManyRequests
from service.http.answering import accepted
from service.http.bodies import framed, hold_to_media
from service.http.desk import Desk, desk
from service.http.operations import Operation, Query, operation
from service.http.views import common_queries

blueprint = Blueprint("archive", __name__, url_prefix="/v1/archive")
NDJSON = "application/x-ndjson"
UNBOUNDED = 1 << 62
#: What is read and sent at a time. Units: bytes.
_READ, _SENT = 8 << 10, 64 << 10
_FLOWS = ("spool", "duplex")
_WAIT = 5


@dataclass(frozen=True, slots=True)
class ArchiveLine:
    """One record's answer: ``record`` counts from 1, ``status`` is converted | partial | refused; each
    view that was asked for is a member more, named after it. The last line of an answer is
    ``{"summary": …}`` instead; where it is missing the answer was cut short."""

    record: int
    status: str
    formula: Formula | None
    assumptions: tuple[Assumption, ...]
    problems: tuple[Problem, ...]


class _Body(io.RawIOBase):
    """A request's stream as raw input, so that lines can be read from it through a buffer: line by
    line from the stream itself is a hundred times slower."""

    def __init__(self, stream: IO[bytes]) -> None:
        self._stream = stream

    def readable(self) -> bool:
        """Tell that this can be read."""
        return True

    def readinto(self, buffer: Any) -> int:
        """Fill a buffer as far as the stream gives."""
        data = framed(lambda: self._stream.read(len(buffer)))
        buffer[: len(data)] = data
        return len(data)


@blueprint.post("")
@operation(
    Operation(
        "Answer an archive, record by record",
        answer=ArchiveLine,
        media=(NDJSON,),
        bodies={NDJSON: "ArchiveRecords"},
        body_examples={NDJSON: '{"title": "Drops", "lines": ["Whites 3 eggs", "1/3 cup flour"]}\n'},
        queries=(
            Query(
                "views", "The views to add to each answer, names with commas between.", example="weights"
            ),
            Query(
                "flow",
                "`spool` (the usual): answers wait until the body has been read. `duplex`: they come as"
                " they are made; the caller must read while it sends.",
                values=_FLOWS,
            ),
            Query("market", "For the view allergens: whose law.", table="markets"),
            *common_queries(),
        ),
        statuses={200: "A line of JSON a record, in order, and a summary."},
        problems=(400, 406, 413, 415, 422, 429, 507),
        stream=True,
    )
)
def post() -> Response:
    """Answer every record; a broken record costs itself alone."""
    accepted((NDJSON,))
    hold_to_media(NDJSON)
    the_desk = desk()
    asked, flow = _asked(the_desk)
    if not the_desk.archives.acquire(blocking=False):
        raise TooManyRequests("As many archives as this service takes are under way.", retry_after=_WAIT)
    try:
        request.max_content_length = UNBOUNDED
        lines = _answers(request.stream, asked, the_desk)
        chunks = lines if flow == "duplex" else _spooled(lines, the_desk)
    except BaseException:
        the_desk.archives.release()
        raise
    response = Response(chunks, 200, {"Cache-Control": "no-store"}, content_type=NDJSON)
    response.call_on_close(the_desk.archives.release)
    return response


def _asked(the_desk: Desk) -> tuple[Asked, str]:
    """Read what is asked of every record. Raises: Invalid."""
    words = request.args.to_dict(flat=False)
    views, flow = ",".join(words.pop("views", [])), words.pop("flow", ["spool"])

    def asked() -> Asked:
        return read_asked(views, words, the_desk.kitchen)

    if flow not in [[one] for one in _FLOWS]:
        twice = len(flow) > 1
        fault = given_twice("flow", len(flow)) if twice else unknown_value("flow", flow[0], _FLOWS)
        raise do_not_fit((fault, *faults_in(asked)))
    return asked(), flow[0]


def _answers(stream: IO[bytes], asked: Asked, the_desk: Desk) -> Iterator[bytes]:
    body = io.BufferedReader(_Body(stream), _READ)
    return answers(read_records(body.readline), asked, the_desk.kitchen)


def _spooled(lines: Iterator[bytes], the_desk: Desk) -> Iterator[bytes]:
    """Work through the body now and give what is to be sent. Raises: StoreFull."""
    config = the_desk.config
    spool = SpooledTemporaryFile(config.spool, dir=str(config.data))  # noqa: SIM115 - closed when sent
    held = 0
    try:
        for line in lines:
            held += spool.write(line)
            if held > config.most_spool:
                break
    except OSError as error:
        spool.close()
        raise StoreFull("There is no room left for the archive's answers.") from error
    except BaseException:
        spool.close()
        raise
    spool.seek(0)
    return _sent(spool, lines)


def _sent(spool: SpooledTemporaryFile[bytes], rest: Iterator[bytes]) -> Iterator[bytes]:
    with spool:
        while chunk := spool.read(_SENT):
            yield chunk
    yield from rest
