"""Pages by key: a page begins after the last thing of the one before (RFC 8288 ``Link`` leads on)."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from urllib.parse import urlencode

from flask import Response, request

from service.http.operations import Query
from service.http.queries import read_query

DEFAULT, MOST = 50, 200

LIMIT = Query(
    "limit", f"How many a page holds, {DEFAULT} unless told.", kind="integer", least=1, most=MOST
)
AFTER = Query("after", "The last entry of the page before; Link gives it.")
PAGED = (AFTER, LIMIT)


@dataclass(frozen=True, slots=True)
class Page:
    """Where a page begins and how much it holds, and what else the query says."""

    after: str
    limit: int
    words: Mapping[str, str]


def read_page(*queries: Query) -> Page:
    """Read a list's query, ``after`` and ``limit`` among it. Raises: Invalid."""
    words = read_query(*queries)
    return Page(words.pop("after", ""), int(words.pop("limit", DEFAULT)), words)


def lead_on(response: Response, page: Page, last: str) -> Response:
    """Add the link to the next page."""
    words = {**page.words, "after": last, "limit": str(page.limit)}
    response.headers["Link"] = f'<{request.path}?{urlencode(words)}>; rel="next"'
    return response
