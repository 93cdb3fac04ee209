"""Canonical bytes of a document (RFC 8785) and their digest.

Keys that are ASCII and numbers that are small integers sort and print alike in RFC 8785 and in
``orjson`` with sorted keys; such documents, which stored formulas are, take that way. All others
take the ``rfc8785`` package. A property test holds the one against the other.
"""

from __future__ import annotations

import hashlib
from typing import Any

import orjson
import rfc8785

#: The largest integer that every reader of JSON holds exactly (RFC 7493, section 2.2).
LARGEST_INTEGER = 2**53 - 1


def canonical(document: Any) -> bytes:
    """Give the canonical bytes. Raises: ValueError for what JSON cannot say."""
    if _is_plain(document):
        return orjson.dumps(document, option=orjson.OPT_SORT_KEYS)
    return rfc8785.dumps(document)


def digest_of(document: Any) -> str:
    """Give the SHA-256 of the canonical bytes, in hexadecimal."""
    return hashlib.sha256(canonical(document)).hexdigest()


def _is_plain(value: Any) -> bool:
    """Tell whether both ways give the same bytes for a value: no float, no key beyond ASCII."""
    kind = type(value)
    if kind is str or kind is bool or value is None:
        return True
    if kind is dict:
        return all(
            type(key) is str and key.isascii() and _is_plain(inner) for key, inner in value.items()
        )
    if kind is list:
        return all(_is_plain(inner) for inner in value)
    return kind is int and -LARGEST_INTEGER <= value <= LARGEST_INTEGER
