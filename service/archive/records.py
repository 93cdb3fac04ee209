"""Cut an NDJSON input into records without ever holding more than one.

Empty lines are no records and are not counted (the NDJSON convention allows them between records).
"""

from __future__ import annotations

from collections.abc import Callable, Iterator

#: The largest record, in bytes without its line end (contract, section 3).
LARGEST_RECORD = 1 << 20


def read_records(readline: Callable[[int], bytes]) -> Iterator[bytes]:
    """Give each record's bytes, without its line end.

    Shape: ``readline`` takes the most bytes that it may give, as ``io.BufferedReader.readline`` does.
    A record beyond the bound comes cut off one byte above it, so that its reader sees that it is too
    large; the rest of it is passed over.
    """
    while line := readline(LARGEST_RECORD + 2):
        record = line.rstrip(b"\r\n")
        if len(record) > LARGEST_RECORD:
            _pass_over(line, readline)
            yield record[: LARGEST_RECORD + 1]
        elif record.strip():
            yield record


def _pass_over(line: bytes, readline: Callable[[int], bytes]) -> None:
    """Read on to the end of a line."""
    while line and not line.endswith(b"\n"):
        line = readline(1 << 16)
