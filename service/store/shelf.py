"""The shelf: formulas by id, each a line of versions that never change."""

from __future__ import annotations

import sqlite3
from collections.abc import Callable
from pathlib import Path

from service.errors import Conflict, Gone, NotFound, PreconditionFailed
from service.store.connection import Connections
from service.store.keys import recall, remember
from service.store.larder import Larder
from service.store.values import Answered, Draft, Entry, Head, Key, Search, Version

_VERSION = "SELECT version, digest, knowledge, created, body FROM versions"
_NEWEST = f"{_VERSION} WHERE formula = ? ORDER BY version DESC, body IS NULL DESC LIMIT 1"
_SEPARATOR = "\x1f"

Answer = Callable[[Version], bytes]


class Shelf:
    """Formulas and their versions in one SQLite file; ``now`` gives the time in RFC 3339, UTC."""

    def __init__(self, path: Path, now: Callable[[], str], *, most_pages: int | None = None) -> None:
        self._connections = Connections(path, most_pages=most_pages)
        self._now = now
        self.larder = Larder(self._connections, now)

    def prepare(self) -> None:
        """Make the file or bring it to this program's layout. Raises: StoreBusy, StoreFull."""
        self._connections.prepare()

    def close(self) -> None:
        """Close this thread's connection."""
        self._connections.close()

    def head(self, formula: str) -> Head:
        """Give the newest version in short. Raises: NotFound, Gone."""
        row = self._connections.row(
            "SELECT version, digest, (SELECT max(seq) FROM house) FROM shelf WHERE formula = ?", formula
        )
        if row is None:
            raise self._missing(formula)
        return Head(row[0], row[1], row[2] or 0)

    def newest(self, formula: str) -> Version:
        """Give the newest version. Raises: NotFound, Gone."""
        row = self._connections.row(_NEWEST, formula)
        if row is None or row[4] is None:
            raise self._missing(formula)
        number, digest, knowledge, created, body = row
        return Version(formula, number, number, digest, knowledge, created, body)

    def version(self, formula: str, number: int) -> Version:
        """Give one version; those of a deleted formula remain. Raises: NotFound."""
        row = self._connections.row(
            "SELECT digest, knowledge, created, body,"
            " (SELECT max(version) FROM versions WHERE formula = v.formula)"
            " FROM versions v WHERE formula = ? AND version = ? AND body IS NOT NULL",
            formula,
            number,
        )
        if row is None:
            raise NotFound(f"There is no version {number} of a formula {formula!r}.")
        digest, knowledge, created, body, newest = row
        return Version(formula, number, newest, digest, knowledge, created, body)

    def versions(self, formula: str, after: int = 0, limit: int = 50) -> tuple[Entry, ...]:
        """List versions in rising order, from the one after a number. Raises: NotFound."""
        rows = self._connections.rows(
            "SELECT version, digest, created, name FROM versions"
            " WHERE formula = ? AND version > ? AND body IS NOT NULL ORDER BY version LIMIT ?",
            formula,
            after,
            limit,
        )
        if not rows and self._connections.row(_NEWEST, formula) is None:
            raise self._missing(formula)
        return tuple(Entry(formula, number, digest, at, name) for number, digest, at, name in rows)

    def page(self, search: Search) -> tuple[Entry, ...]:
        """List formulas in the order of their ids; one more than the limit tells that more follow."""
        where, values = ["formula > ?"], [search.after]
        if search.words:
            where.append("place IN (SELECT rowid FROM shelf_fts WHERE shelf_fts MATCH ?)")
            values.append(_quoted(search.words))
        if search.product_class:
            where.append("class = ?")
            values.append(search.product_class)
        if search.tag:
            where.append("formula IN (SELECT formula FROM tags WHERE tag = ?)")
            values.append(search.tag)
        rows = self._connections.rows(
            "SELECT formula, version, digest, created, name, class, tags FROM shelf"  # noqa: S608
            f" WHERE {' AND '.join(where)} ORDER BY formula LIMIT {int(search.limit) + 1}",
            *values,
        )
        return tuple(_entry(*row) for row in rows)

    def recall(self, key: Key) -> Answered | None:
        """Give what was answered under a key. Raises: KeyReused."""
        return recall(self._connections.row, key)

    def add(self, slug: str, draft: Draft, answer: Answer, key: Key | None = None) -> Answered:
        """Store a new formula under an id made from ``slug``: itself, or with a number behind it.

        Shape: ``answer`` words what is said to the caller; with a key it is kept beside the version,
        in the same transaction, and given again to the same request. Raises: KeyReused, StoreFull.
        """
        return self._add(lambda connection: _free(connection, slug), draft, answer, key)

    def add_named(self, formula: str, draft: Draft, answer: Answer, key: Key | None = None) -> Answered:
        """Store a new formula under the caller's own id. Raises: Conflict, KeyReused, StoreFull."""

        def named(connection: sqlite3.Connection) -> str:
            if _taken(connection, formula):
                raise Conflict(f"There is, or was, a formula {formula!r} already.")
            return formula

        return self._add(named, draft, answer, key)

    def _add(
        self, name: Callable[[sqlite3.Connection], str], draft: Draft, answer: Answer, key: Key | None
    ) -> Answered:
        with self._connections.writing() as connection:
            told = recall(self._connections.row, key) if key is not None else None
            if told is not None:
                return told
            formula = name(connection)
            said = answer(self._append(connection, formula, draft))
            if key is not None:
                remember(connection, key, formula, said, self._now())
            return Answered(formula, said)

    def create(self, formula: str, draft: Draft) -> Version:
        """Store the first version under an id that was never used. Raises: PreconditionFailed, Gone."""
        with self._connections.writing() as connection:
            if _taken(connection, formula):
                self.newest(formula)
                raise PreconditionFailed(f"There is a formula {formula!r} already.")
            return self._append(connection, formula, draft)

    def replace(self, formula: str, expected: Callable[[int], bool], draft: Draft) -> Version:
        """Add a version, if the newest is one that the caller expected. A draft that is the newest
        version to the letter adds none. Raises: NotFound, Gone, PreconditionFailed, StoreFull."""
        with self._connections.writing() as connection:
            newest = self._expected(formula, expected)
            if newest.digest == draft.digest:
                return newest
            return self._append(connection, formula, draft)

    def remove(self, formula: str, expected: Callable[[int], bool]) -> Version:
        """Take a formula from the shelf; its versions remain. Gives the last one.

        Raises: NotFound, Gone, PreconditionFailed.
        """
        with self._connections.writing() as connection:
            last = self._expected(formula, expected)
            connection.execute(
                "INSERT INTO versions (formula, version, digest, knowledge, name, body, created)"
                " SELECT formula, version, digest, knowledge, name, NULL, ? FROM versions"
                " WHERE formula = ? AND version = ?",
                (self._now(), formula, last.version),
            )
            connection.execute("DELETE FROM shelf WHERE formula = ?", (formula,))
            connection.execute("DELETE FROM tags WHERE formula = ?", (formula,))
            return last

    def _expected(self, formula: str, expected: Callable[[int], bool]) -> Version:
        newest = self.newest(formula)
        if not expected(newest.version):
            raise PreconditionFailed(f"The newest version of {formula!r} is {newest.version}.")
        return newest

    def _missing(self, formula: str) -> NotFound | Gone:
        row = self._connections.row(_NEWEST, formula)
        if row is None:
            return NotFound(f"There is no formula {formula!r}.")
        said = f"The formula {formula!r} was deleted; its version {row[0]} remains."
        return Gone(said, formula=formula, version=row[0])

    def _append(self, connection: sqlite3.Connection, formula: str, draft: Draft) -> Version:
        """Add a version to the log and bring the shelf up to it."""
        now = self._now()
        (number,) = connection.execute(
            "INSERT INTO versions (formula, version, digest, knowledge, name, body, created)"
            " SELECT ?1, coalesce(max(version), 0) + 1, ?2, ?3, ?4, ?5, ?6"
            " FROM versions WHERE formula = ?1 RETURNING version",
            (formula, draft.digest, draft.knowledge, draft.name, draft.body, now),
        ).fetchone()
        connection.execute(
            "INSERT INTO shelf (formula, version, digest, created, name, class, tags, words)"
            " VALUES (?, ?, ?, ?, ?, ?, ?, ?) ON CONFLICT (formula) DO UPDATE SET"
            " version = excluded.version, digest = excluded.digest, created = excluded.created,"
            " name = excluded.name, class = excluded.class, tags = excluded.tags,"
            " words = excluded.words",
            (formula, number, draft.digest, now, draft.name, draft.product_class,
             _SEPARATOR.join(draft.tags), draft.words),
        )  # fmt: skip
        connection.execute("DELETE FROM tags WHERE formula = ?", (formula,))
        connection.executemany(
            "INSERT OR IGNORE INTO tags (tag, formula) VALUES (?, ?)",
            [(tag, formula) for tag in draft.tags],
        )
        return Version(formula, number, number, draft.digest, draft.knowledge, now, draft.body)


def _entry(
    formula: str, version: int, digest: str, at: str, name: str, product_class: str | None, tags: str
) -> Entry:
    several = tuple(tags.split(_SEPARATOR)) if tags else ()
    return Entry(formula, version, digest, at, name, product_class, several)


def _quoted(words: str) -> str:
    """Make a search of plain words, each of which must be found; no sign of them is an operator.

    (The quoting of sqlite-utils lets a lone double quote through as the start of a string.)
    """
    bare = words.replace("\0", " ").split()
    return " ".join('"' + word.replace('"', '""') + '"' for word in bare) or '""'


def _taken(connection: sqlite3.Connection, formula: str) -> bool:
    return (
        connection.execute("SELECT 1 FROM versions WHERE formula = ?", (formula,)).fetchone() is not None
    )


def _free(connection: sqlite3.Connection, slug: str) -> str:
    """Find an id that was never used: the slug, else the slug with a number behind it.

    The number is looked for by doubling and halving, so that the thousandth formula of one name
    costs no more than a few looks.
    """
    if not _taken(connection, slug):
        return slug
    low, high = 1, 2
    while _taken(connection, f"{slug}-{high}"):
        low, high = high, high * 2
    while high - low > 1:
        middle = (low + high) // 2
        low, high = (middle, high) if _taken(connection, f"{slug}-{middle}") else (low, middle)
    return f"{slug}-{high}"
