"""What was answered under an idempotency key (IETF draft, The Idempotency-Key HTTP Header Field).

A key is kept in the transaction that stores what it stands for: either both are there or neither.
"""

from __future__ import annotations

import sqlite3
from collections.abc import Callable
from typing import Any

from service.errors import KeyReused
from service.store.values import Answered, Key

#: How many of the oldest keys go when a new one comes, once there are more than ``MOST_KEPT``.
MOST_KEPT = 100_000
_AT_ONCE = 100


def recall(find: Callable[..., tuple[Any, ...] | None], key: Key) -> Answered | None:
    """Give what was answered under a key, if anything was. Raises: KeyReused."""
    row = find("SELECT request, formula, answer FROM keys WHERE name = ?", key.name)
    if row is None:
        return None
    if row[0] != key.request:
        raise KeyReused("This Idempotency-Key came before with another request.")
    return Answered(row[1], row[2])


def remember(connection: sqlite3.Connection, key: Key, formula: str, answer: bytes, now: str) -> None:
    """Keep an answer under a key; the oldest keys go where there are too many."""
    connection.execute(
        "INSERT INTO keys (name, request, formula, answer, created) VALUES (?, ?, ?, ?, ?)",
        (key.name, key.request, formula, answer, now),
    )
    (newest,) = connection.execute("SELECT max(rowid) FROM keys").fetchone()
    connection.execute(
        "DELETE FROM keys WHERE rowid IN (SELECT rowid FROM keys WHERE rowid <= ? LIMIT ?)",
        (newest - MOST_KEPT, _AT_ONCE),
    )
