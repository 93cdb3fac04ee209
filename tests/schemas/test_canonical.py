"""Canonical bytes against RFC 8785's own examples and against the ``rfc8785`` package."""

from __future__ import annotations

import hashlib
import json

import rfc8785
from hypothesis import given
from hypothesis import strategies as st

from schemas.canonical import LARGEST_INTEGER, canonical, digest_of

#: RFC 8785, section 3.2.2 (the sample object) and section 3.2.3 (its canonical form).
SAMPLE = (
    '{"numbers": [333333333.33333329, 1E30, 4.50, 2e-3, 0.000000000000000000000000001],'
    ' "string": "\\u20ac$\\u000F\\u000aA\'\\u0042\\u0022\\u005c\\\\\\"\\/",'
    ' "literals": [null, true, false]}'
)
SORTED = (
    '{"literals":[null,true,false],"numbers":[333333333.3333333,1e+30,4.5,0.002,1e-27],'
    '"string":"€$\\u000f\\nA\'B\\"\\\\\\\\\\"/"}'
)


def test_sample_of_the_standard() -> None:
    assert canonical(json.loads(SAMPLE)) == SORTED.encode()


def test_keys_sort_by_utf16_units() -> None:
    # RFC 8785, section 3.2.3: the sample of property sorting; U+FB33 sorts after the surrogate pair.
    keys = ["\u20ac", "\r", "\ufb33", "1", "\U0001f600", "\u0080", "\u00f6"]
    ordered = ["\r", "1", "\u0080", "\u00f6", "\u20ac", "\U0001f600", "\ufb33"]
    assert list(json.loads(canonical(dict.fromkeys(keys, 0)))) == ordered


def test_digest_is_sha256_of_the_canonical_bytes() -> None:
    # The SHA-256 of b'{}' as sha256sum (GNU coreutils) prints it.
    assert digest_of({}) == "44136fa355b3678a1146ad16f7e8649e94fb4fc21fe77e8310c060f61caaff8a"
    assert digest_of({"b": 1, "a": "x"}) == hashlib.sha256(b'{"a":"x","b":1}').hexdigest()


words = st.text(st.characters(exclude_categories=["Cs"]))
documents = st.recursive(
    st.none()
    | st.booleans()
    | st.integers(-LARGEST_INTEGER, LARGEST_INTEGER)
    | st.floats(allow_nan=False, allow_infinity=False)
    | words,
    lambda inner: st.lists(inner, max_size=4) | st.dictionaries(words, inner, max_size=5),
    max_leaves=25,
)


@given(documents)
def test_both_ways_give_the_same_bytes(document: object) -> None:
    assert canonical(document) == rfc8785.dumps(document)  # type: ignore[arg-type]
