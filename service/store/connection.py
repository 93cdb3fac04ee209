"""Connections: one a thread, opened after any fork; writes that happen whole or not at all.

Why so (each was tried): a connection shared by threads loses rows; a deferred transaction that reads
and then writes fails at once when another process wrote in between, where ``BEGIN IMMEDIATE`` waits;
``with connection`` of the standard library groups nothing here.
"""

from __future__ import annotations

import os
import sqlite3
import threading
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Any

from sqlite_utils import Database

from service.errors import StoreBusy, StoreFull
from service.store.layout import EDITIONS

#: How long a writer waits for another. Units: seconds.
PATIENCE = 5.0
_FULL = ("SQLITE_FULL", "SQLITE_IOERR_WRITE", "SQLITE_IOERR_SHMSIZE", "SQLITE_IOERR_FSYNC")

Row = tuple[Any, ...]


class Connections:
    """The door to one database file."""

    def __init__(self, path: Path, *, most_pages: int | None = None) -> None:
        self._path = path
        self._most_pages = most_pages
        self._local = threading.local()

    def _open(self) -> Database:
        connection = sqlite3.connect(self._path, timeout=PATIENCE, isolation_level=None)
        database = Database(connection)
        connection.execute("PRAGMA journal_mode = WAL")
        connection.execute("PRAGMA synchronous = FULL")
        connection.execute("PRAGMA foreign_keys = ON")
        if self._most_pages is not None:
            connection.execute(f"PRAGMA max_page_count = {int(self._most_pages)}")
        return database

    def database(self) -> Database:
        """Give this thread's database. Raises: StoreBusy, StoreFull."""
        local = self._local
        if getattr(local, "process", None) != os.getpid():
            with translated():
                local.database = self._open()
            local.process = os.getpid()
        found: Database = local.database
        return found

    def close(self) -> None:
        """Close this thread's connection, if it has one; the next call opens it again."""
        if getattr(self._local, "process", None) == os.getpid():
            self._local.database.close()
        self._local.process = None

    def row(self, sql: str, *values: object) -> Row | None:
        """Give the first row of a query, or ``None``. Raises: StoreBusy."""
        try:
            found: Row | None = self.database().conn.execute(sql, values).fetchone()
        except sqlite3.DatabaseError as error:
            raise refusal_of(error) from error
        return found

    def rows(self, sql: str, *values: object) -> list[Row]:
        """Give all rows of a query. Raises: StoreBusy."""
        try:
            return list(self.database().conn.execute(sql, values))
        except sqlite3.DatabaseError as error:
            raise refusal_of(error) from error

    @contextmanager
    def writing(self) -> Iterator[sqlite3.Connection]:
        """Write as one: everything inside is stored when the block ends, nothing if it raises.

        Raises: StoreBusy where another writer keeps the store for too long, StoreFull.
        """
        connection: sqlite3.Connection = self.database().conn
        with translated():
            connection.execute("BEGIN IMMEDIATE")
            try:
                yield connection
                connection.execute("COMMIT")
            except BaseException:
                if connection.in_transaction:
                    connection.execute("ROLLBACK")
                raise

    def prepare(self) -> None:
        """Bring the file to the newest edition of the layout, then close it again, so that a process
        that forks later hands no open connection on. Raises: StoreBusy, StoreFull."""
        self._path.parent.mkdir(parents=True, exist_ok=True)
        with self.writing() as connection:
            (edition,) = connection.execute("PRAGMA user_version").fetchone()
            for statements in EDITIONS[edition:]:
                for statement in statements:
                    connection.execute(statement)
            if edition == 0:
                _enable_search(connection)
            connection.execute(f"PRAGMA user_version = {len(EDITIONS)}")
        self.close()


def _enable_search(connection: sqlite3.Connection) -> None:
    """Let searches go through the shelf's names and words, accents aside."""
    Database(connection).table("shelf").enable_fts(
        ["name", "words"], create_triggers=True, tokenize="unicode61 remove_diacritics 2"
    )


def refusal_of(error: sqlite3.DatabaseError) -> StoreBusy | StoreFull:
    """Say in our words what SQLite raised."""
    if getattr(error, "sqlite_errorname", "") in _FULL:
        return StoreFull("There is no room left on the disk; nothing was stored.")
    if isinstance(error, sqlite3.OperationalError):
        return StoreBusy("The store cannot be used just now; nothing was stored.")
    return StoreBusy("The store cannot be read; nothing was stored.")


@contextmanager
def translated() -> Iterator[None]:
    """Turn what SQLite raises into refusals of ours; a broken rule of the layout is no refusal."""
    try:
        yield
    except sqlite3.IntegrityError:
        raise
    except sqlite3.DatabaseError as error:
        raise refusal_of(error) from error
