"""JSON in our sense: RFC 8259 without what two readers could understand differently.

Beyond syntax, a body is refused for NaN and Infinity, a key that appears twice in one object, half a
surrogate pair, nesting beyond 32 and numbers that no double holds; always with line and column
(both from 1, columns count characters). Numbers with a fraction arrive as ``Decimal``, so that 0.1
stays one tenth. The rules are those of RFC 7493 (I-JSON), sections 2.1 to 2.3.
"""

from __future__ import annotations

import json
import re
from decimal import Decimal
from typing import TypeAlias

from service.errors import NotUnderstood

DEEPEST = 32

#: A decoded document.
Json: TypeAlias = "dict[str, Json] | list[Json] | str | int | float | Decimal | bool | None"

_TOKEN = re.compile(r'"(?:[^"\\]|\\.)*"|[{}\[\],:]|[^\s{}\[\],:"]+', re.DOTALL)
_SURROGATE = re.compile(r"\\u[dD][89a-fA-F]")
_HALF = re.compile(r"\\u[dD][89abAB][0-9a-fA-F]{2}(?!\\u[dD][c-fC-F])|\\u[dD][c-fC-F][0-9a-fA-F]{2}")
_PAIR = re.compile(r"\\u[dD][89abAB][0-9a-fA-F]{2}\\u[dD][c-fC-F][0-9a-fA-F]{2}")
_ESCAPE = re.compile(r"\\(?:u[0-9a-fA-F]{4}|.)", re.DOTALL)


class _Refused(ValueError):
    """A rule of ours is broken somewhere in the text."""


def _once(pairs: list[tuple[str, Json]]) -> dict[str, Json]:
    found = dict(pairs)
    if len(found) != len(pairs):
        raise _Refused
    return found


def _decimal(text: str) -> Decimal:
    if not _held(text):
        raise _Refused
    return Decimal(text)


def _integer(text: str) -> int:
    if not _held(text):
        raise _Refused
    return int(text)


def _held(text: str) -> bool:
    """Tell whether a double holds a number: neither infinite nor, unless it is zero, zero."""
    value = float(text)
    if value in (float("inf"), float("-inf")):
        return False
    return value != 0 or not re.search("[1-9]", re.split("[eE]", text)[0])


def _constant(text: str) -> None:
    raise _Refused


_DECODER = json.JSONDecoder(
    object_pairs_hook=_once, parse_float=_decimal, parse_int=_integer, parse_constant=_constant
)


def read_json(body: bytes) -> Json:
    """Decode a body. Raises: NotUnderstood, with line and column."""
    text = _text_of(body)
    if not text or text.isspace():
        raise _refusal(text, 0, "The body is empty.")
    try:
        document: Json = _DECODER.decode(text)
    except json.JSONDecodeError as error:
        # A rule of ours may be broken before the place where the syntax breaks.
        raise _located(text, error.pos) or _refusal(text, error.pos, f"{error.msg}.") from None
    except (_Refused, RecursionError):
        raise _located(text, len(text)) or _refusal(text, 0, "The body is not JSON.") from None
    if ("\\u" in text and _SURROGATE.search(text)) or _deeper_than(document, DEEPEST):
        refusal = _located(text, len(text))
        if refusal is not None:
            raise refusal
    return document


def _text_of(body: bytes) -> str:
    try:
        return body.decode("utf-8")
    except UnicodeDecodeError as error:
        before = body[: error.start].decode("utf-8")
        raise _refusal(before, len(before), "The bytes are not UTF-8.") from None


def _deeper_than(document: Json, deepest: int) -> bool:
    level: list[Json] = [document] if isinstance(document, (dict, list)) else []
    for _ in range(deepest):
        if not level:
            return False
        level = [
            value
            for each in level
            for value in (each.values() if isinstance(each, dict) else each)  # type: ignore[union-attr]
            if isinstance(value, (dict, list))
        ]
    return bool(level)


def _refusal(text: str, position: int, says: str) -> NotUnderstood:
    line = text.count("\n", 0, position) + 1
    column = position - (text.rfind("\n", 0, position) + 1) + 1
    return NotUnderstood(f"Line {line}, column {column}: {says}", line=line, column=column)


def _located(text: str, end: int) -> NotUnderstood | None:
    """Walk the text's tokens up to ``end`` for the first that breaks a rule of ours."""
    open_keys: list[set[str] | None] = []
    expects_key = False
    for token in _TOKEN.finditer(text, 0, end):
        word, start = token.group(), token.start()
        if word in "{[":
            open_keys.append(set() if word == "{" else None)
            if len(open_keys) > DEEPEST:
                return _refusal(text, start, f"The body is nested more than {DEEPEST} deep.")
            expects_key = word == "{"
        elif word in "}]":
            if open_keys:
                open_keys.pop()
            expects_key = False
        elif word in ",:":
            expects_key = word == "," and bool(open_keys) and open_keys[-1] is not None
        elif word[0] == '"':
            refusal = _wrong_string(text, word, start, open_keys[-1] if expects_key else None)
            if refusal is not None:
                return refusal
            expects_key = False
        elif (says := _wrong_number(word)) is not None:
            return _refusal(text, start, says)
    return None


def _wrong_string(text: str, word: str, start: int, keys: set[str] | None) -> NotUnderstood | None:
    for escape in _ESCAPE.finditer(_PAIR.sub(lambda pair: "." * len(pair.group()), word)):
        if _HALF.match(escape.group()):
            return _refusal(text, start + escape.start(), "Half a surrogate pair stands alone.")
    if keys is None:
        return None
    try:
        key = json.loads(word)
    except json.JSONDecodeError:
        return None
    if key in keys:
        return _refusal(text, start, f"The key {json.dumps(key, ensure_ascii=False)} appears twice.")
    keys.add(key)
    return None


def _wrong_number(word: str) -> str | None:
    if word in ("NaN", "Infinity", "-Infinity"):
        return f"{word} is not a JSON number."
    if not re.fullmatch(r"-?[0-9]+(?:\.[0-9]+)?(?:[eE][+-]?[0-9]+)?", word):
        return None
    return None if _held(word) else "A number is beyond what a double holds."
