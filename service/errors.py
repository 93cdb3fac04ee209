"""The error tree: every refusal that a caller can meet, by kind of fault.

::

    TarebookError
    ├── NotUnderstood          400  the bytes are not JSON in our sense
    ├── Unauthorised           401  a key is needed
    ├── Forbidden              403  the key does not reach so far
    ├── NotFound               404  no such resource
    ├── Gone                   410  it was deleted; its last version remains
    ├── Conflict               409  the id is taken
    ├── PreconditionFailed     412  a lost race
    ├── TooLarge               413  beyond the bounds on size
    ├── UnsupportedMedia       415  a body of a kind that this resource does not take
    ├── NotAcceptable          406  no representation of the asked kind
    ├── Invalid                422  shape and bounds; carries every fault at once
    │   └── KeyReused          422  an idempotency key was used for another body
    ├── PreconditionRequired   428  If-Match is missing
    ├── TooManyRequests        429  slow down
    ├── StoreBusy              503  the store is locked or cannot be read just now
    ├── StoreFull              507  the disk is full: nothing was stored
    └── TableFault             500  a row of our own tables is wrong (at start, never in a request)

Each class carries data, not a finished sentence; ``service.http.problems`` is the one place that
turns them into RFC 9457 documents.
"""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Fault:
    """One spot that is wrong: an RFC 6901 pointer into the body, or a query parameter's name.

    Shape: exactly one of ``pointer`` and ``parameter`` is set; ``code`` is a permanent word,
    ``detail`` a sentence for people.
    """

    code: str
    detail: str
    pointer: str | None = None
    parameter: str | None = None


class TarebookError(Exception):
    """A refusal: the root of the tree."""

    slug = "refused"
    title = "The request was refused"
    status = 500

    def __init__(self, detail: str = "", *, faults: tuple[Fault, ...] = ()) -> None:
        super().__init__(detail)
        self.detail = detail
        self.faults = faults

    @property
    def members(self) -> dict[str, str | int]:
        """Give what this refusal tells beside the usual members of a problem document."""
        return {}


class NotUnderstood(TarebookError):
    """The body is not JSON in our sense; the detail tells line and column."""

    slug = "not-json"
    title = "The body is not JSON that this service reads"
    status = 400

    def __init__(self, detail: str = "", *, line: int = 1, column: int = 1) -> None:
        super().__init__(detail)
        self.line = line
        self.column = column

    @property
    def members(self) -> dict[str, str | int]:
        """Give line and column, both from 1."""
        return {"line": self.line, "column": self.column}


class Unauthorised(TarebookError):
    """A key is needed."""

    slug = "unauthorised"
    title = "A key is needed"
    status = 401


class Forbidden(TarebookError):
    """The key does not reach so far."""

    slug = "forbidden"
    title = "This is not open to you"
    status = 403


class NotFound(TarebookError):
    """No such resource."""

    slug = "not-found"
    title = "There is no such resource"
    status = 404


class NotAcceptable(TarebookError):
    """No representation of the asked kind."""

    slug = "not-acceptable"
    title = "There is no representation of the kind that was asked for"
    status = 406


class Conflict(TarebookError):
    """The id is taken."""

    slug = "conflict"
    title = "The request conflicts with what is stored"
    status = 409


class Gone(TarebookError):
    """The formula was deleted; ``version`` is its last one, which remains."""

    slug = "gone"
    title = "The formula was deleted"
    status = 410

    def __init__(self, detail: str = "", *, formula: str = "", version: int = 0) -> None:
        super().__init__(detail)
        self.formula = formula
        self.version = version

    @property
    def members(self) -> dict[str, str | int]:
        """Give the number of the version that remains."""
        return {"last_version": self.version}


class PreconditionFailed(TarebookError):
    """The stored version is not the one that the caller had seen."""

    slug = "precondition-failed"
    title = "The stored version is another one"
    status = 412


class TooLarge(TarebookError):
    """The body or a result is beyond the bounds on size."""

    slug = "too-large"
    title = "The body is too large"
    status = 413


class UnsupportedMedia(TarebookError):
    """A body of a kind that this resource does not take."""

    slug = "unsupported-media-type"
    title = "This resource does not take a body of that kind"
    status = 415


class Invalid(TarebookError):
    """Shape, bounds, or a value that the trade's tables do not know; carries every fault at once."""

    slug = "invalid"
    title = "The request does not fit"
    status = 422


class KeyReused(Invalid):
    """An ``Idempotency-Key`` came again with another body (IETF draft, section 2.7)."""

    slug = "idempotency-key-reused"
    title = "The idempotency key was used for another request"


class PreconditionRequired(TarebookError):
    """The write needs ``If-Match`` or ``If-None-Match: *`` (RFC 6585)."""

    slug = "precondition-required"
    title = "A precondition is needed"
    status = 428


class TooManyRequests(TarebookError):
    """The caller asked too often. Units of ``retry_after``: seconds."""

    slug = "too-many-requests"
    title = "Too many requests"
    status = 429

    def __init__(self, detail: str = "", *, retry_after: int = 1) -> None:
        super().__init__(detail)
        self.retry_after = retry_after


class StoreBusy(TarebookError):
    """The store cannot be read or written just now; nothing was stored."""

    slug = "store-busy"
    title = "The store does not answer just now"
    status = 503


class StoreFull(TarebookError):
    """The disk is full; nothing was stored."""

    slug = "store-full"
    title = "There is no room to store this"
    status = 507


class TableFault(TarebookError):
    """A row of a table is wrong: the detail names file, line and fault."""

    slug = "table-fault"
    title = "A table of the service is wrong"
    status = 500
