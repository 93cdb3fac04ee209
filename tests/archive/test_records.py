"""Records are cut one at a time, whatever the input is like."""

from __future__ import annotations

import io

import pytest
from hypothesis import given
from hypothesis import strategies as st

from service.archive.records import LARGEST_RECORD, read_records


@pytest.mark.parametrize(
    ("text", "records"),
    [
        (b"", []),
        (b"a\nb\n", [b"a", b"b"]),
        (b"a\nb", [b"a", b"b"]),
        (b"a\r\nb\r\n", [b"a", b"b"]),
        (b"\n\n  \na\n\n", [b"a"]),
    ],
    ids=["empty", "closed", "open end", "carriage returns", "empty lines are no records"],
)
def test_lines_become_records(text: bytes, records: list[bytes]) -> None:
    assert list(read_records(io.BytesIO(text).readline)) == records


@pytest.mark.parametrize("more", [0, 1, 2, 70_000])
def test_a_record_beyond_the_bound_comes_cut_off_and_the_next_one_whole(more: int) -> None:
    long = b"x" * (LARGEST_RECORD + more)
    first, second = read_records(io.BytesIO(long + b"\nnext\n").readline)
    assert len(first) == LARGEST_RECORD + min(more, 1)
    assert second == b"next"


@given(st.lists(st.binary(min_size=1).filter(lambda b: b.strip() and not set(b) & set(b"\r\n"))))
def test_what_was_joined_is_cut_again(records: list[bytes]) -> None:
    assert list(read_records(io.BytesIO(b"\n".join(records)).readline)) == records
