"""The store: versions, tombstones, house rows and keys in SQLite. Never leaks a row or a cursor.

``values`` says what goes in and comes out, ``layout`` holds the tables, ``connection`` opens them and
makes writes all or nothing, ``shelf`` keeps formulas, ``keys`` what was answered under an idempotency
key, ``larder`` a house's own ingredients. What a body means is the caller's business: the store takes
and gives bytes.
"""
