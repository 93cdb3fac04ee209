"""The larder: what a house says of its own ingredients, versioned as formulas are."""

from __future__ import annotations

from collections.abc import Callable

from service.errors import NotFound, PreconditionFailed
from service.store.connection import Connections
from service.store.values import HouseRow

_ROW = "SELECT code, version, digest, created, body FROM house"
_NEWEST = _ROW + " WHERE code = ? ORDER BY seq DESC LIMIT 1"
_NEWEST_OF_ALL = f"{_ROW} WHERE seq IN (SELECT max(seq) FROM house GROUP BY code) ORDER BY code"  # noqa: S608


class Larder:
    """A house's rows by ingredient code."""

    def __init__(self, connections: Connections, now: Callable[[], str]) -> None:
        self._connections = connections
        self._now = now

    def state(self) -> int:
        """Give a number that rises with every write; zero for an empty larder."""
        row = self._connections.row("SELECT max(seq) FROM house")
        return (row[0] or 0) if row else 0

    def all(self) -> tuple[HouseRow, ...]:
        """Give the newest row of every ingredient, in the order of codes."""
        return tuple(HouseRow(*row) for row in self._connections.rows(_NEWEST_OF_ALL))

    def get(self, code: str) -> HouseRow:
        """Give the newest row of an ingredient. Raises: NotFound."""
        row = self._connections.row(_NEWEST, code)
        if row is None:
            raise NotFound(f"The house says nothing of {code!r}.")
        return HouseRow(*row)

    def put(
        self, code: str, expected: Callable[[int | None], bool], body: bytes, digest: str
    ) -> HouseRow:
        """Add a version, if the newest (``None`` for none) is one that the caller expected. What is
        the newest to the letter adds none.

        Raises: PreconditionFailed, StoreFull.
        """
        with self._connections.writing() as connection:
            row = self._connections.row(_NEWEST, code)
            newest = HouseRow(*row) if row else None
            if not expected(newest.version if newest else None):
                said = f"version {newest.version}" if newest else "no version yet"
                raise PreconditionFailed(f"The house's {code!r} has {said}.")
            if newest is not None and newest.digest == digest:
                return newest
            now, number = self._now(), newest.version + 1 if newest else 1
            connection.execute(
                "INSERT INTO house (code, version, digest, body, created) VALUES (?, ?, ?, ?, ?)",
                (code, number, digest, body, now),
            )
            return HouseRow(code, number, digest, now, body)
