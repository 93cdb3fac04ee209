"""The store: versions, digests, tombstones and keys in SQLite. Never leaks a row or a cursor."""
