"""Refusals to problem documents (RFC 9457): the one place where this is done, for every 4xx and 5xx.

A problem's ``type`` is the path of its entry in the catalogue, which ``/problems`` lists. No trace, no
path of a file and no SQL reaches a caller: what was not foreseen goes to the log and is a plain 500.
"""

from __future__ import annotations

import logging
from dataclasses import dataclass
from typing import Any

import orjson
from flask import Blueprint, Flask, Response, request
from werkzeug.exceptions import HTTPException, MethodNotAllowed

from schemas.answers import prose_of
from service import errors
from service.errors import Fault, Gone, NotFound, TarebookError, TooManyRequests
from service.http.conditions import answered, tag_of
from service.http.operations import Operation, operation

MEDIA = "application/problem+json"
log = logging.getLogger(__name__)
blueprint = Blueprint("problems", __name__)


@dataclass(frozen=True, slots=True)
class Kind:
    """A kind of problem: its permanent ``slug``, ``title``, ``status`` and what it ``says``."""

    slug: str
    title: str
    status: int
    says: str


@dataclass(frozen=True, slots=True)
class Kinds:
    """The catalogue of problems."""

    problems: tuple[Kind, ...]


def _tree(root: type[TarebookError]) -> dict[str, Kind]:
    found = {}
    for each in root.__subclasses__():
        found[each.slug] = Kind(each.slug, each.title, each.status, prose_of(each))
        found.update(_tree(each))
    return found


#: Problems that are HTTP's own and no refusal of ours.
_HTTP = (
    Kind("bad-request", "The request is not understood", 400, "The request breaks a rule of HTTP."),
    Kind(
        "method-not-allowed",
        "This resource does not know that method",
        405,
        "Allow names those it knows.",
    ),
    Kind("internal", "Something went wrong here", 500, "It is in the log of the service."),
)
KINDS: dict[str, Kind] = {**_tree(TarebookError), **{kind.slug: kind for kind in _HTTP}}
_BY_STATUS = {
    400: "bad-request", 404: "not-found", 405: "method-not-allowed", 406: "not-acceptable",
    413: "too-large", 415: "unsupported-media-type", 500: "internal",
}  # fmt: skip


def problem(kind: Kind, detail: str, members: dict[str, Any] | None = None) -> Response:
    """Make a problem document's response."""
    document: dict[str, Any] = {
        "type": f"/problems/{kind.slug}",
        "title": kind.title,
        "status": kind.status,
        "detail": detail or kind.says,
        "instance": request.path,
        **(members or {}),
    }
    response = Response(orjson.dumps(document), kind.status, mimetype=MEDIA)
    response.headers["Cache-Control"] = "no-store"
    return response


def outside(status: int, detail: str) -> bytes:
    """Word the problem document of a request that is refused before it comes to the app.

    There is no ``instance``: what was called is not known, or not to be trusted.
    """
    kind = KINDS["bad-request" if status < 500 else "internal"]
    told = {"type": f"/problems/{kind.slug}", "title": kind.title, "status": status, "detail": detail}
    return orjson.dumps(told)


def _fault(fault: Fault) -> dict[str, str]:
    place = {"pointer": fault.pointer} if fault.parameter is None else {"parameter": fault.parameter}
    return {
        **{name: at for name, at in place.items() if at is not None},
        "code": fault.code,
        "detail": fault.detail,
    }


def refused(refusal: TarebookError) -> Response:
    """Answer a refusal of ours."""
    if refusal.status >= 500:
        log.error("%s: %s", refusal.slug, refusal.detail, exc_info=refusal.__cause__)
    members: dict[str, Any] = dict(refusal.members)
    detail = refusal.detail
    if refusal.faults:
        members["errors"] = [_fault(fault) for fault in refusal.faults]
        many = f"{len(refusal.faults)} spots do not fit; each is named in errors."
        one = "One spot does not fit; it is named in errors."
        detail = detail or (many if len(refusal.faults) > 1 else one)
    response = problem(KINDS[refusal.slug], detail, members)
    if isinstance(refusal, TooManyRequests):
        response.headers["Retry-After"] = str(refusal.retry_after)
    elif refusal.status == errors.StoreBusy.status:
        response.headers["Retry-After"] = "1"
    elif isinstance(refusal, Gone) and refusal.formula:
        last = f"/v1/formulas/{refusal.formula}/versions/{refusal.version}"
        response.headers["Link"] = f'<{last}>; rel="latest-version"'
    return response


def refused_by_http(error: HTTPException) -> Response | HTTPException:
    """Answer what Flask and Werkzeug refuse; their headers, ``Allow`` above all, are kept."""
    if error.code is None or error.code < 400:
        return error
    slug = _BY_STATUS.get(error.code, "bad-request" if error.code < 500 else "internal")
    known = KINDS[slug]
    kind = Kind(known.slug, known.title, error.code, known.says)
    detail = f"There is nothing at {request.path}." if error.code == 404 else ""
    response = problem(kind, detail)
    for name, value in error.get_headers(request.environ):
        if name.lower() not in ("content-type", "content-length"):
            response.headers[name] = value
    if isinstance(error, MethodNotAllowed) and error.valid_methods:
        response.headers["Allow"] = ", ".join(sorted(error.valid_methods))
    return response


def unforeseen(error: Exception) -> Response:
    """Answer what nobody foresaw: the log has it whole, the caller only that it happened."""
    log.error("unforeseen, at %s %s", request.method, request.path, exc_info=error)
    return problem(KINDS["internal"], "")


def register(app: Flask) -> None:
    """Let an app answer every refusal with a problem document."""
    app.register_error_handler(TarebookError, refused)
    app.register_error_handler(HTTPException, refused_by_http)
    app.register_error_handler(Exception, unforeseen)


@blueprint.get("/problems")
@operation(Operation("List every kind of problem", answer=Kinds, conditional=True))
def kinds() -> Response:
    """Give the catalogue of problems."""
    several = Kinds(tuple(KINDS[slug] for slug in sorted(KINDS)))
    body = orjson.dumps(several)
    return answered(body, tag_of(body))


@blueprint.get("/problems/<slug>")
@operation(
    Operation(
        "Say what a kind of problem means",
        answer=Kind,
        problems=(404,),
        examples={"slug": "invalid"},
        conditional=True,
    )
)
def one_kind(slug: str) -> Response:
    """Say what one kind of problem means."""
    if slug not in KINDS:
        raise NotFound(f"There is no kind of problem {slug!r}.")
    body = orjson.dumps(KINDS[slug])
    return answered(body, tag_of(body))
