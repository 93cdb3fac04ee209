"""Pages by key: a page begins after the last thing of the one before (RFC 8288 ``Link`` leads on)."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from urllib.parse import urlencode

from flask import Response, request

from service.changes.words import suggest
from service.errors import Fault, Invalid
from service.http.operations import Query

DEFAULT, MOST = 50, 200
LONGEST = 200

LIMIT = Query(
    "limit", f"How many a page holds, {DEFAULT} unless told.", kind="integer", least=1, most=MOST
)
AFTER = Query("after", "The last entry of the page before; Link gives it.", example="")
PAGED = (AFTER, LIMIT)


@dataclass(frozen=True, slots=True)
class Page:
    """Where a page begins and how much it holds, and what else the query says."""

    after: str
    limit: int
    words: Mapping[str, str]


def refuse_parameters(*known: str) -> None:
    """Refuse parameters that are not known, and one that is given twice. Raises: Invalid, with one
    fault a name."""
    if not request.query_string:
        return
    faults = []
    for name, values in request.args.lists():
        if name not in known:
            detail = f"there is no such parameter{suggest(name, known)}"
            faults.append(Fault("unknown-parameter", detail, parameter=name))
        elif len(values) > 1:
            faults.append(Fault("given-twice", f"{name} is taken once", parameter=name))
    if faults:
        raise Invalid("Some parameters do not fit.", faults=tuple(faults))


def read_page(*known: str) -> Page:
    """Read a list's query: each parameter once, none that is not known. Raises: Invalid."""
    names = (*known, "after", "limit")
    faults, words, limit = [], {}, DEFAULT
    for name, values in request.args.lists():
        if name not in names:
            detail = f"there is no such parameter{suggest(name, names)}"
            faults.append(Fault("unknown-parameter", detail, parameter=name))
        elif len(values) > 1:
            faults.append(Fault("given-twice", f"{name} is taken once", parameter=name))
        elif len(values[0]) > LONGEST:
            detail = f"at most {LONGEST} characters are taken"
            faults.append(Fault("too-long", detail, parameter=name))
        else:
            words[name] = values[0]
    if "limit" in words:
        given = words.pop("limit")
        if given.isascii() and given.isdigit() and 1 <= int(given) <= MOST:
            limit = int(given)
        else:
            detail = f"a whole number from 1 to {MOST} is expected"
            faults.append(Fault("out-of-bounds", detail, parameter="limit"))
    if faults:
        raise Invalid("Some parameters do not fit.", faults=tuple(faults))
    return Page(words.pop("after", ""), limit, words)


def lead_on(response: Response, page: Page, last: str) -> Response:
    """Add the link to the next page."""
    words = {**page.words, "after": last, "limit": str(page.limit)}
    response.headers["Link"] = f'<{request.path}?{urlencode(words)}>; rel="next"'
    return response
