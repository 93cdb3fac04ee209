"""Conditional requests (RFC 9110, section 13) and the headers of caching (RFC 9111, RFC 8246)."""

from __future__ import annotations

import hashlib
from collections.abc import Callable

from flask import Response, request

from service.errors import PreconditionRequired

#: Kept, but asked for again each time: cheap by its tag, never stale (contract, section 6).
REVALIDATE = "public, no-cache"
#: The formula document of one version, which never changes.
FOREVER = "public, max-age=31536000, immutable"
VARY = "Accept, Accept-Language, Origin"


def version_tag(version: int) -> str:
    """Give the tag of a formula's version: what ``If-Match`` compares."""
    return f'"v{version}"'


def tag_of(*parts: object) -> str:
    """Give the tag of an answer that rests on all of these parts."""
    joined = "\0".join(map(str, parts)).encode()
    return f'"{hashlib.blake2b(joined, digest_size=16).hexdigest()}"'


def is_known(tag: str) -> bool:
    """Tell whether the caller has the answer with this tag already (``If-None-Match``)."""
    given = request.environ.get("HTTP_IF_NONE_MATCH")
    return given is not None and (given == tag or _names(tag))


def _names(tag: str) -> bool:
    return request.method in ("GET", "HEAD") and request.if_none_match.contains_weak(tag.strip('"'))


def is_the_same(tag: str) -> bool:
    """Tell whether the caller names this very answer, so that its request was a good one before.

    ``If-None-Match: *`` names none: it may hold only once the request is found good (section 13.2.1).
    """
    given = request.environ.get("HTTP_IF_NONE_MATCH")
    return given is not None and (given == tag or (given.strip() != "*" and _names(tag)))


def answered(
    body: bytes, tag: str, *, media: str = "application/json", cache: str = REVALIDATE
) -> Response:
    """Answer with a tag, or with 304 where the caller has the answer already."""
    if is_known(tag):
        return unchanged(tag, cache=cache)
    return Response(body, 200, [*_headers(tag, cache), ("Content-Type", media)])


def _headers(tag: str, cache: str) -> list[tuple[str, str]]:
    return [("ETag", tag), ("Cache-Control", cache), ("Vary", VARY)]


class _Unchanged(Response):
    """An answer without a body, and so without a kind of one."""

    default_mimetype = None


def unchanged(tag: str, *, cache: str = REVALIDATE) -> Response:
    """Answer that nothing changed (RFC 9110, section 15.4.5)."""
    return _Unchanged(status=304, headers=_headers(tag, cache))


def expected_version(*, may_create: bool = False) -> Callable[[int], bool] | None:
    """Read the precondition of a write: a test of the newest version's number, ``None`` where the
    resource must not be there yet.

    Raises: PreconditionRequired, where neither ``If-Match`` nor, if it may create,
    ``If-None-Match: *`` is given.
    """
    if "If-Match" in request.headers:
        seen = request.if_match
        return lambda newest: seen.contains(version_tag(newest).strip('"'))
    if may_create and request.headers.get("If-None-Match", "").strip() == "*":
        return None
    either = "If-Match with the ETag of the version that you saw"
    if may_create:
        either += ", or If-None-Match: * for a new one"
    raise PreconditionRequired(f"This write needs {either}.")
