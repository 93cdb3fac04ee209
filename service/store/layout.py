"""The tables of the store, as SQL, each edition once; ``PRAGMA user_version`` says which are there.

``versions`` is a log: rows are added and never changed or taken away (triggers see to it), so that
``seq`` is the order of commits. A row without a body is a tombstone. ``shelf`` says what is there
now and is what searches look through; it could be made anew from the log at any time.
"""

from __future__ import annotations

#: Each edition's statements, in order. Add a new tuple; never change one that was released.
EDITIONS: tuple[tuple[str, ...], ...] = (
    (
        """CREATE TABLE versions (
            seq INTEGER PRIMARY KEY AUTOINCREMENT,
            formula TEXT NOT NULL,
            version INTEGER NOT NULL CHECK (version > 0),
            digest TEXT NOT NULL,
            knowledge TEXT NOT NULL,
            name TEXT NOT NULL,
            body BLOB,
            created TEXT NOT NULL
        ) STRICT""",
        "CREATE UNIQUE INDEX versions_once ON versions (formula, version, body IS NULL)",
        """CREATE TRIGGER versions_stay BEFORE UPDATE ON versions
            BEGIN SELECT RAISE(ABORT, 'a version is never changed'); END""",
        """CREATE TRIGGER versions_remain BEFORE DELETE ON versions
            BEGIN SELECT RAISE(ABORT, 'a version is never taken away'); END""",
        """CREATE TABLE shelf (
            place INTEGER PRIMARY KEY,
            formula TEXT NOT NULL UNIQUE,
            version INTEGER NOT NULL,
            digest TEXT NOT NULL,
            created TEXT NOT NULL,
            name TEXT NOT NULL,
            class TEXT,
            tags TEXT NOT NULL,
            words TEXT NOT NULL
        ) STRICT""",
        """CREATE TABLE tags (
            tag TEXT NOT NULL, formula TEXT NOT NULL, PRIMARY KEY (tag, formula)
        ) STRICT""",
        "CREATE INDEX tags_of ON tags (formula)",
        """CREATE TABLE keys (
            name TEXT PRIMARY KEY,
            request TEXT NOT NULL,
            formula TEXT NOT NULL,
            answer BLOB NOT NULL,
            created TEXT NOT NULL
        ) STRICT""",
        "CREATE INDEX keys_age ON keys (created)",
        """CREATE TABLE house (
            seq INTEGER PRIMARY KEY AUTOINCREMENT,
            code TEXT NOT NULL,
            version INTEGER NOT NULL CHECK (version > 0),
            digest TEXT NOT NULL,
            body BLOB NOT NULL,
            created TEXT NOT NULL,
            UNIQUE (code, version)
        ) STRICT""",
        """CREATE TRIGGER house_stays BEFORE UPDATE ON house
            BEGIN SELECT RAISE(ABORT, 'a house row is never changed'); END""",
        """CREATE TRIGGER house_remains BEFORE DELETE ON house
            BEGIN SELECT RAISE(ABORT, 'a house row is never taken away'); END""",
    ),
)
