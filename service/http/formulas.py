"""Formulas: stored, listed, replaced, taken away; versions that stay."""

from __future__ import annotations

import hashlib
from dataclasses import dataclass, field

import orjson
from flask import Blueprint, Response, request

from schemas.answers import document_of
from schemas.fields import SLUG
from schemas.json_in import read_json
from schemas.merge_patch import merged
from service.domain.formula import CLASSES
from service.domain.reading import Problem
from service.domain.weighed import Assumption
from service.errors import Fault, Invalid, NotFound, PreconditionFailed
from service.http.answering import JSON, draft_of, envelope, stored_answer
from service.http.bodies import CARD, RECIPE, Sent, formula_of, sent_formula, sent_json
from service.http.conditions import FOREVER, VARY, answered, expected_version, tag_of, version_tag
from service.http.desk import desk
from service.http.examples import CARD as CARD_EXAMPLE
from service.http.examples import DEMO, EXAMPLE
from service.http.operations import Header, Operation, Query, operation
from service.http.paging import AFTER, LIMIT, PAGED, lead_on, read_page
from service.http.queries import read_query
from service.http.slugs import own_slug, slug_of
from service.store.values import Draft, Entry, Key, Search, Version

blueprint = Blueprint("formulas", __name__, url_prefix="/v1/formulas")
MERGE_PATCH = "application/merge-patch+json"
LONGEST_KEY = 255
NUMBER = "<int(max=2147483647):number>"

IF_MATCH = Header("If-Match", "The ETag of the version that the caller saw.", '"v1"')
CREATE = Header("If-None-Match", "`*` stores a formula that is not there yet.", "*")
OWN_ID = Query(
    "id",
    "The caller's own id; without one it is made from the name. A formula that comes in an envelope"
    " may name it there.",
    pattern=SLUG,
)
SEARCHED = (
    Query("q", "Words that are all found in the name, the lines or the notes."),
    Query("class", "The stated class.", values=CLASSES),
    Query("tag", "A tag."),
    *PAGED,
)
VERSIONS_PAGED = (Query("after", AFTER.meaning, kind="integer"), LIMIT)
KEY = Header(
    "Idempotency-Key",
    "A name for this request (at most 255 characters): sent again, it is answered as the first time"
    " and stores nothing more.",
    '"2b6f0cc9-04d1-4d4f-9a39-3f1f0f8e8e7a"',
)


@dataclass(frozen=True, slots=True)
class Stored:
    """A stored formula in its envelope."""


@dataclass(frozen=True, slots=True)
class JustStored:
    """A formula just stored, with what was assumed and what was not understood while it was read."""

    assumptions: tuple[Assumption, ...]
    problems: tuple[Problem, ...]


@dataclass(frozen=True, slots=True)
class Listed:
    """A formula in a list; ``class`` is the stated one, ``created`` when its newest version came."""

    id: str
    version: int
    digest: str
    created: str
    name: str
    product_class: str | None = field(metadata={"name": "class"})
    tags: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class FormulaList:
    """Formulas in the order of their ids; a ``Link`` with ``rel="next"`` leads to more."""

    formulas: tuple[Listed, ...]


@dataclass(frozen=True, slots=True)
class VersionListed:
    """A version in a list."""

    version: int
    digest: str
    created: str
    name: str


@dataclass(frozen=True, slots=True)
class VersionList:
    """A formula's versions in rising order; a ``Link`` with ``rel="next"`` leads to more."""

    id: str
    versions: tuple[VersionListed, ...]


def _told(version: Version, sent: Sent, status: int) -> Response:
    """Answer a write with the version that is now the newest."""
    return _written(stored_answer(version, sent), version.formula, version.version, status)


def _written(said: bytes, formula: str, version: int, status: int) -> Response:
    headers = {"ETag": version_tag(version), "Cache-Control": "no-cache", "Vary": VARY}
    if status == 201:
        headers["Location"] = f"/v1/formulas/{formula}"
    return Response(said, status, headers, content_type=JSON)


def _draft(sent: Sent) -> Draft:
    return draft_of(sent.formula, desk().kitchen.knowledge)


@blueprint.post("")
@operation(
    Operation(
        "Store a formula",
        answer=JustStored,
        envelope=True,
        bodies={JSON: "FormulaOrEnvelope", CARD: "Card", RECIPE: "Recipe"},
        body_examples={JSON: EXAMPLE, CARD: CARD_EXAMPLE},
        queries=(OWN_ID,),
        headers=(KEY,),
        statuses={201: "Stored; Location leads to it."},
        problems=(400, 409, 413, 415, 422, 503, 507),
        answer_headers=("Location", "ETag"),
    )
)
def post() -> Response:
    """Store a formula: a document, a card in plain text, or a schema.org Recipe."""
    key = _key()
    sent = sent_formula(JSON, CARD, RECIPE)
    own = _own_id(sent)
    given = _draft(sent)

    def told(version: Version) -> bytes:
        return stored_answer(version, sent)

    shelf = desk().shelf
    if own is None:
        done = shelf.add(slug_of(sent.formula.name), given, told, key)
    else:
        done = shelf.add_named(own, given, told, key)
    return _written(done.answer, done.formula, 1, 201)


def _own_id(sent: Sent) -> str | None:
    """Give the caller's own id, of the query or of the envelope. Raises: Invalid."""
    words = read_query(OWN_ID)
    if "id" in words:
        return own_slug(words["id"], parameter="id")
    return None if sent.id is None else own_slug(sent.id, pointer="/id")


def _key() -> Key | None:
    """Read ``Idempotency-Key``, with or without the quotes of a structured field. Raises: Invalid."""
    given = request.headers.get("Idempotency-Key")
    if given is None:
        return None
    name = given.strip().strip('"')
    if not name or len(name) > LONGEST_KEY or not name.isprintable():
        detail = f"A key has 1 to {LONGEST_KEY} printable characters."
        raise Invalid(
            "A header does not fit.", faults=(Fault("format", detail, parameter="Idempotency-Key"),)
        )
    said = b"\0".join((request.query_string, request.mimetype.encode(), request.get_data()))
    return Key(f"{request.method} {request.path} {name}", hashlib.sha256(said).hexdigest())


@blueprint.get("")
@operation(
    Operation(
        "List formulas",
        answer=FormulaList,
        queries=SEARCHED,
        problems=(422,),
        conditional=True,
        answer_headers=("Link",),
    )
)
def listing() -> Response:
    """List formulas in the order of their ids."""
    page = read_page(*SEARCHED)
    words = page.words
    search = Search(words.get("q", ""), words.get("class"), words.get("tag"), page.after, page.limit)
    entries = desk().shelf.page(search)
    shown = entries[: page.limit]
    body = orjson.dumps(document_of(FormulaList(tuple(_listed(entry) for entry in shown))))
    response = answered(body, tag_of(body))
    return lead_on(response, page, shown[-1].formula) if len(entries) > len(shown) else response


def _listed(entry: Entry) -> Listed:
    return Listed(
        entry.formula, entry.version, entry.digest, entry.created, entry.name, entry.product_class,
        entry.tags,
    )  # fmt: skip


STORED = Operation(
    "Give a formula's newest version",
    answer=Stored,
    envelope=True,
    problems=(404, 410, 422),
    examples={"formula": DEMO, "number": 1},
    conditional=True,
)


@blueprint.get("/<formula>")
@operation(STORED)
def get(formula: str) -> Response:
    """Give the newest version."""
    read_query()
    head = desk().shelf.head(formula)
    version = desk().shelf.version(formula, head.version)
    return answered(orjson.dumps(envelope(version)), version_tag(version.version))


@blueprint.put("/<formula>")
@operation(
    Operation(
        "Replace a formula, or store it under this id",
        answer=JustStored,
        envelope=True,
        bodies={JSON: "FormulaOrEnvelope"},
        body_examples={JSON: EXAMPLE},
        headers=(IF_MATCH, CREATE),
        statuses={200: "Replaced.", 201: "Stored."},
        problems=(400, 410, 412, 413, 415, 422, 428, 503, 507),
        examples={"formula": DEMO},
        answer_headers=("Location", "ETag"),
    )
)
def put(formula: str) -> Response:
    """Add a version, or store the first under the caller's own id."""
    read_query()
    own_slug(formula, parameter="id")
    expected = expected_version(may_create=True)
    sent = sent_formula()
    shelf = desk().shelf
    if expected is None:
        return _told(shelf.create(formula, _draft(sent)), sent, 201)
    try:
        return _told(shelf.replace(formula, expected, _draft(sent)), sent, 200)
    except NotFound:
        raise PreconditionFailed(f"There is no formula {formula!r} yet.") from None


@blueprint.patch("/<formula>")
@operation(
    Operation(
        "Change members of a formula (RFC 7396)",
        answer=JustStored,
        envelope=True,
        bodies={MERGE_PATCH: "MergePatch"},
        body_examples={MERGE_PATCH: {"notes": ["Better on the second day."]}},
        headers=(IF_MATCH,),
        problems=(400, 404, 410, 412, 413, 415, 422, 428, 503, 507),
        examples={"formula": DEMO},
        answer_headers=("ETag",),
    )
)
def patch(formula: str) -> Response:
    """Change members; what the patch does not name stays."""
    read_query()
    expected = expected_version()
    changes = sent_json(MERGE_PATCH)
    shelf = desk().shelf
    newest = shelf.newest(formula)
    sent = formula_of(merged(read_json(newest.body), changes))

    def unchanged_since(number: int) -> bool:
        return number == newest.version and (expected is None or expected(number))

    return _told(shelf.replace(formula, unchanged_since, _draft(sent)), sent, 200)


@blueprint.delete("/<formula>")
@operation(
    Operation(
        "Take a formula away; its versions remain",
        headers=(IF_MATCH,),
        statuses={204: "Taken away."},
        problems=(404, 410, 412, 422, 428, 503, 507),
        examples={"formula": DEMO},
        answer_headers=("Link",),
    )
)
def delete(formula: str) -> Response:
    """Take a formula away and leave a tombstone."""
    read_query()
    expected = expected_version()
    last = desk().shelf.remove(formula, expected or (lambda newest: True))
    link = f'</v1/formulas/{formula}/versions/{last.version}>; rel="latest-version"'
    return Response(b"", 204, {"Link": link})


@blueprint.get("/<formula>/versions")
@operation(
    Operation(
        "List a formula's versions",
        answer=VersionList,
        queries=VERSIONS_PAGED,
        problems=(404, 422),
        examples={"formula": DEMO},
        conditional=True,
        answer_headers=("Link",),
    )
)
def versions(formula: str) -> Response:
    """List versions in rising order; those of a deleted formula remain."""
    page = read_page(*VERSIONS_PAGED)
    entries = desk().shelf.versions(formula, int(page.after or 0), page.limit + 1)
    shown = entries[: page.limit]
    several = tuple(VersionListed(e.version, e.digest, e.created, e.name) for e in shown)
    body = orjson.dumps(VersionList(formula, several))
    response = answered(body, tag_of(body))
    return lead_on(response, page, str(shown[-1].version)) if len(entries) > len(shown) else response


@blueprint.get(f"/<formula>/versions/{NUMBER}")
@operation(
    Operation(
        "Give one version",
        answer=Stored,
        envelope=True,
        problems=(404, 422),
        examples={"formula": DEMO, "number": 1},
        conditional=True,
        answer_headers=("Link",),
    )
)
def version(formula: str, number: int) -> Response:
    """Give one version: it never changes, so it may be kept for good. ``superseded_by`` is told by
    answers given after a newer version came; a copy kept from before lacks it."""
    read_query()
    found = desk().shelf.version(formula, number)
    tag = version_tag(number) if found.newest == number else tag_of("version", number, found.newest)
    response = answered(orjson.dumps(envelope(found)), tag, cache=FOREVER)
    if found.newest != number:
        response.headers["Link"] = f'</v1/formulas/{formula}>; rel="latest-version"'
    return response
