"""What the service is told at its start; nothing else is read from the environment."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from datetime import UTC, datetime
from pathlib import Path


def now_in_utc() -> str:
    """Give the time in RFC 3339, UTC, to the second."""
    return datetime.now(UTC).strftime("%Y-%m-%dT%H:%M:%SZ")


@dataclass(frozen=True, slots=True)
class Config:
    """``data``: the folder of the store; ``origins``: web origins that may read and write from a
    browser (CORS), none by default; ``now``: tells the time that is stored (RFC 3339, UTC);
    ``most_body``: bytes of a body; ``most_answers``: bytes of rendered views kept in memory;
    ``most_archives``: archives answered at a time by one process; ``spool``: bytes of an archive's
    answers held in memory before they go to disk; ``most_spool``: bytes of them in all, while the body
    is still being sent; ``most_pages``: pages (4 KiB) that the store may grow to, ``None`` for no
    bound of ours."""

    data: Path = Path("data")
    origins: tuple[str, ...] = ()
    now: Callable[[], str] = now_in_utc
    most_body: int = 1 << 20
    most_answers: int = 32 << 20
    most_archives: int = 4
    spool: int = 4 << 20
    most_spool: int = 8 << 30
    most_pages: int | None = None

    @staticmethod
    def from_environment(environment: Mapping[str, str]) -> Config:
        """Read ``TAREBOOK_DATA`` (folder) and ``TAREBOOK_ORIGINS`` (origins, commas between)."""
        origins = environment.get("TAREBOOK_ORIGINS", "").split(",")
        return Config(
            data=Path(environment.get("TAREBOOK_DATA", "data")),
            origins=tuple(origin.strip().rstrip("/") for origin in origins if origin.strip()),
        )
