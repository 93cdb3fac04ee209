"""JSON in our sense. Source of each refusal: RFC 8259 (grammar), RFC 7493 sections 2.1–2.3 (I-JSON:
UTF-8, no lone surrogates, no twice-named members, no numbers beyond a double); the depth of 32 is the
contract's, section 6. Lines and columns were counted by hand."""

from __future__ import annotations

import json
from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from schemas.json_in import read_json
from service.errors import NotUnderstood

REFUSED = [
    (b"", 1, 1, "nothing"),
    (b'{"a": }', 1, 7, "a value is missing"),
    (b'{"a": 1,\n "b": 2,}', 2, 9, "a comma before the end"),
    (b'{"a": 1} x', 1, 10, "more than one value"),
    (b"[01]", 1, 3, "a leading zero"),
    (b'["\t"]', 1, 3, "a control character in a string"),
    (b"[NaN]", 1, 2, "NaN"),
    (b"[1,\n-Infinity]", 2, 1, "Infinity"),
    (b'{"a": 1,\n "a": 2}', 2, 2, "a key twice"),
    (b'[{"a": {"b": 1, "\\u0062": 2}}]', 1, 17, "a key twice, once escaped"),
    (b'["\\ud800"]', 1, 3, "a high surrogate alone"),
    (b'["x\\udc00"]', 1, 4, "a low surrogate alone"),
    (b'{"\\ud83dx": 1}', 1, 3, "a surrogate alone in a key"),
    (b"[1e400]", 1, 2, "a number beyond a double"),
    (b"[-" + b"9" * 400 + b"]", 1, 2, "an integer beyond a double"),
    (b"[1e-400]", 1, 2, "a number too near to zero for a double"),
    (b"[" * 33 + b"]" * 33, 1, 33, "33 deep"),
    (b'{"a":' * 33 + b"1" + b"}" * 33, 1, 161, "33 objects deep"),
    (b"[" * 200_000, 1, 33, "deep beyond any stack"),
    (b'{"a": "\xff"}', 1, 8, "not UTF-8"),
    (b"\xef\xbb\xbf{}", 1, 1, "a byte order mark"),
    ('{"ä": 1, "ä": 2}'.encode(), 1, 10, "columns count characters, not bytes"),
]


@pytest.mark.parametrize(("body", "line", "column", "why"), REFUSED, ids=[row[3] for row in REFUSED])
def test_refuses_with_line_and_column(body: bytes, line: int, column: int, why: str) -> None:
    with pytest.raises(NotUnderstood) as refusal:
        read_json(body)
    assert (refusal.value.line, refusal.value.column) == (line, column), why
    assert f"Line {line}, column {column}" in refusal.value.detail


@pytest.mark.parametrize("body", [b"", b" \r\n\t"])
def test_an_empty_body_is_said_to_be_empty(body: bytes) -> None:
    with pytest.raises(NotUnderstood, match="The body is empty"):
        read_json(body)


def test_takes_what_is_just_inside() -> None:
    assert read_json(b"[" * 32 + b"]" * 32) is not None
    assert read_json(b'["\\ud83d\\ude00", "\\\\ud800", 0e-999]') == ["😀", "\\ud800", Decimal("0e-999")]


def test_a_decimal_fraction_stays_exact() -> None:
    assert read_json(b"[0.1]") == [Decimal("0.1")]


def test_hostile_text_is_read_in_linear_time() -> None:
    # A walk that went back for each quote would take hours here.
    with pytest.raises(NotUnderstood):
        read_json(b'["' + b'\\"' * 400_000)


#: Texts in which a surrogate may stand alone: two high ones never make a pair.
words = st.text(st.characters() | st.sampled_from("\ud800\udbff"))
values = st.recursive(
    st.none() | st.booleans() | st.integers(-(10**20), 10**20) | words,
    lambda inner: st.lists(inner, max_size=4) | st.dictionaries(words, inner, max_size=4),
    max_leaves=20,
)


@given(values, st.booleans())
def test_reads_what_the_standard_library_reads(value: object, escaped: bool) -> None:
    text = json.dumps(value, ensure_ascii=escaped)
    try:
        body = text.encode()
    except UnicodeEncodeError:
        return  # a lone surrogate that stands unescaped is no UTF-8 at all
    if any(0xD800 <= ord(c) <= 0xDFFF for c in _texts(value)):
        with pytest.raises(NotUnderstood):
            read_json(body)
    else:
        assert read_json(body) == json.loads(text)


def _texts(value: object) -> str:
    if isinstance(value, str):
        return value
    if isinstance(value, dict):
        return "".join(key + _texts(inner) for key, inner in value.items())
    return "".join(map(_texts, value)) if isinstance(value, list) else ""
