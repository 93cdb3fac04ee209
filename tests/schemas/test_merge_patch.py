"""Merge patches: every example of RFC 7396, Appendix A, as the RFC prints it."""

from __future__ import annotations

import json

import pytest
from hypothesis import given
from hypothesis import strategies as st

from schemas.merge_patch import merged

EXAMPLES = [
    ('{"a":"b"}', '{"a":"c"}', '{"a":"c"}'),
    ('{"a":"b"}', '{"b":"c"}', '{"a":"b","b":"c"}'),
    ('{"a":"b"}', '{"a":null}', "{}"),
    ('{"a":"b","b":"c"}', '{"a":null}', '{"b":"c"}'),
    ('{"a":["b"]}', '{"a":"c"}', '{"a":"c"}'),
    ('{"a":"c"}', '{"a":["b"]}', '{"a":["b"]}'),
    ('{"a":{"b":"c"}}', '{"a":{"b":"d","c":null}}', '{"a":{"b":"d"}}'),
    ('{"a":[{"b":"c"}]}', '{"a":[1]}', '{"a":[1]}'),
    ('["a","b"]', '["c","d"]', '["c","d"]'),
    ('{"a":"b"}', '["c"]', '["c"]'),
    ('{"a":"foo"}', "null", "null"),
    ('{"a":"foo"}', '"bar"', '"bar"'),
    ('{"e":null}', '{"a":1}', '{"e":null,"a":1}'),
    ("[1,2]", '{"a":"b","c":null}', '{"a":"b"}'),
    ("{}", '{"a":{"bb":{"ccc":null}}}', '{"a":{"bb":{}}}'),
]


@pytest.mark.parametrize(("target", "patch", "result"), EXAMPLES)
def test_examples_of_the_standard(target: str, patch: str, result: str) -> None:
    assert merged(json.loads(target), json.loads(patch)) == json.loads(result)


names = st.sampled_from(["a", "b", "c"])
documents = st.recursive(
    st.integers(0, 3) | st.text("xy", max_size=2),
    lambda inner: st.dictionaries(names, inner, max_size=3) | st.lists(inner, max_size=2),
    max_leaves=8,
)


@given(documents, documents)
def test_a_patch_twice_is_a_patch_once(target: object, patch: object) -> None:
    once = merged(target, patch)  # type: ignore[arg-type]
    assert merged(once, patch) == once  # type: ignore[arg-type]


@given(st.dictionaries(names, documents, max_size=3))
def test_an_empty_patch_of_an_object_changes_nothing(target: dict[str, object]) -> None:
    assert merged(target, {}) == target  # type: ignore[arg-type]
