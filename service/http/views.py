"""Every view through its three doors: the current version, one version, a formula in the body."""

from __future__ import annotations

from dataclasses import dataclass, fields, replace
from functools import cache
from typing import Any

import orjson
from flask import Blueprint, Response, request

from schemas.answers import document_of, prose_of
from schemas.canonical import digest_of
from schemas.formula import dump, load
from schemas.json_in import read_json
from service.changes.words import PARAMETERS
from service.domain.changes import NO_CHANGES, Changes
from service.domain.faults import do_not_fit, faults_in, merged
from service.domain.formula import Formula
from service.domain.weighed import Assumption
from service.errors import Invalid
from service.http.answering import JSON, around, content_type, formats_of, representation
from service.http.bodies import sent_formula
from service.http.conditions import answered, is_the_same, tag_of, unchanged
from service.http.desk import Kept, desk
from service.http.examples import DEMO, EXAMPLE
from service.http.operations import Operation, Query, operation
from service.kitchen import Kitchen
from service.render.registry import renderings_of
from service.store.values import Version
from service.views.asking import Asked, read_words, refused
from service.views.parameters import read_params
from service.views.registry import View, all_views
from service.views.work import Work

blueprint = Blueprint("views", __name__)


@cache
def offered(name: str) -> tuple[str, ...]:
    """Give the media types in which a view comes; the first is for callers who name none."""
    drawn = renderings_of(name)
    first = tuple(media for media, each in drawn.items() if each.first)
    return (*first, *(media for media in (JSON, *all_views()[name].texts, *drawn) if media not in first))


def asked_of(view: View) -> Asked:
    """Read this request's parameters. Raises: Invalid, with one fault a spot."""
    if not request.query_string:
        return Asked({view.name: read_params(view, {})}, NO_CHANGES)
    return read_words([view], request.args.to_dict(flat=False), desk().kitchen, ("format",))


def media_of(view: View) -> str:
    """Give the media type to answer in. Raises: NotAcceptable, Invalid (with the faults of all other
    parameters too)."""
    media = offered(view.name)
    try:
        return representation(media)
    except Invalid as refusal:
        raise do_not_fit((*refusal.faults, *faults_in(lambda: asked_of(view)))) from None


@dataclass(frozen=True, slots=True)
class Looked:
    """What a view is asked of: a formula with its digest, and of a stored one where it stands."""

    formula: Formula
    digest: str
    id: str | None = None
    version: int | None = None
    newest: int | None = None
    assumptions: tuple[Assumption, ...] = ()


def rendered(view: View, looked: Looked, asked: Asked, media: str, kitchen: Kitchen) -> bytes:
    """Run a view and write its answer. Raises: Invalid, where the parameters do not fit the formula
    or the changed formula is beyond the bounds."""
    work = work_on(looked, asked.changes, kitchen)
    try:
        answer = view.run(work, asked.params[view.name])
    except Invalid as refusal:
        # The changes may hide what the view itself refuses, or the view what they do.
        own = refused(view, request.args.to_dict(flat=False), kitchen)
        raise do_not_fit(merged(faults_in(lambda: work.changed), refusal.faults, own)) from None
    if media in view.texts:
        return view.texts[media](answer).encode()
    if media != JSON:
        return renderings_of(view.name)[media].draw(answer)
    members = around(looked.id, looked.version, looked.newest, looked.digest, kitchen.knowledge)
    members["formula"] = _within_bounds(work)
    members.update(document_of(answer))
    if looked.assumptions and "assumptions" in members:
        members["assumptions"] = [*looked.assumptions, *members["assumptions"]]
    return orjson.dumps(members)


def work_on(looked: Looked, changes: Changes, kitchen: Kitchen) -> Work:
    """Give the formula at work; views of one formula with the same changes share it."""
    the_desk = desk()
    key = (looked.digest, changes, kitchen.knowledge)
    work = the_desk.works.get(key)
    if work is None:
        work = Work(kitchen, looked.formula, changes)
        the_desk.works.put(key, work)
    return work


def _within_bounds(work: Work) -> dict[str, Any]:
    """Give the changed formula's document. Raises: Invalid, where it would be refused as an input."""
    changed = work.changed.formula
    document = dump(changed)
    if changed is not work.given:
        try:
            load(document, work.kitchen.vocabulary)
        except Invalid as refusal:
            said = "The changed formula is beyond the bounds of a formula."
            raise Invalid(said, faults=refusal.faults) from None
    return document


def stored_view(view: View, formula: str, number: int | None) -> Response:
    """Answer a view of a stored formula; rendered answers are kept as bytes under all that they
    rest on, and nothing is worked out for a caller who has the answer already."""
    the_desk = desk()
    media = media_of(view)
    version: Version | None = None
    if number is None:
        head = the_desk.shelf.head(formula)
        at, newest, digest = head.version, head.version, head.digest
        kitchen = the_desk.kitchen_at(head.house)
    else:
        version = the_desk.shelf.version(formula, number)
        at, newest, digest = version.version, version.newest, version.digest
        kitchen = the_desk.kitchen
    query = request.environ.get("QUERY_STRING", "")
    key = (view.name, formula, at, newest, digest, kitchen.knowledge, media, query)
    kept = the_desk.bodies.get(key)
    tag = kept.tag if kept else tag_of(*key)
    if is_the_same(tag):
        return _linked(unchanged(tag), formula, at, newest)
    if kept is None:
        asked = asked_of(view)
        stored = version or the_desk.shelf.version(formula, at)
        kept = Kept(tag, rendered(view, _looked_at(stored), asked, media, kitchen))
        the_desk.bodies.put(key, kept)
    response = answered(kept.body, tag, media=content_type(media))
    return _linked(_for_browsers(response, media), formula, at, newest)


def _looked_at(version: Version) -> Looked:
    formula = load(read_json(version.body))
    return Looked(formula, version.digest, version.formula, version.version, version.newest)


def _linked(response: Response, formula: str, at: int, newest: int) -> Response:
    """Say of an answer about an old version where the newest is (RFC 5829, ``latest-version``)."""
    if at != newest:
        response.headers["Link"] = f'</v1/formulas/{formula}>; rel="latest-version"'
    return response


def posted_view(view: View) -> Response:
    """Answer a view of the formula in the body; nothing is stored."""
    media = media_of(view)
    asked = asked_of(view)
    sent = sent_formula()
    digest = digest_of(dump(sent.formula))
    looked = Looked(sent.formula, digest, assumptions=sent.assumptions)
    body = rendered(view, looked, asked, media, desk().kitchen)
    response = Response(body, 200, {"Cache-Control": "no-store"}, content_type=content_type(media))
    return _for_browsers(response, media)


def _for_browsers(response: Response, media: str) -> Response:
    """Keep a browser that opens a drawing or a text from taking it for anything else, and from
    running or fetching anything that it might hold."""
    if media != JSON:
        response.headers["X-Content-Type-Options"] = "nosniff"
        response.headers["Content-Security-Policy"] = "default-src 'none'; style-src 'unsafe-inline'"
    return response


def queries_of(view: View) -> tuple[Query, ...]:
    """Describe a view's parameters: its own, the common changes, ``format``."""
    own = tuple(
        Query(
            name=str(each.metadata.get("name", each.name)),
            meaning=str(each.metadata.get("meaning") or prose_of(view.params)),
            pattern=each.metadata.get("pattern"),
            table=each.metadata.get("table"),
            required=bool(each.metadata.get("required")),
            example=each.metadata.get("example"),
            repeatable=bool(each.metadata.get("repeatable")),
        )
        for each in fields(view.params)
    )
    words = formats_of(offered(view.name))
    form = Query("format", "The representation; it goes before Accept.", values=words)
    return (*own, *common_queries(), form)


def common_queries() -> tuple[Query, ...]:
    """Describe the changes that every view takes."""
    return tuple(
        Query(
            name=each.name,
            meaning=each.meaning,
            pattern=each.pattern,
            values=each.values,
            example=each.example,
            repeatable=each.repeatable,
            table="egg_grades" if each.name == "egg_grade" else None,
        )
        for each in PARAMETERS
    )


def _open_doors(view: View) -> None:
    """Add a view's three routes, with what the document must know of them."""

    def current(formula: str) -> Response:
        return stored_view(view, formula, None)

    def of_version(formula: str, number: int) -> Response:
        return stored_view(view, formula, number)

    def of_body() -> Response:
        return posted_view(view)

    says = Operation(
        view.summary,
        answer=view.answer,
        envelope=True,
        media=tuple(media for media in offered(view.name) if media != JSON),
        queries=queries_of(view),
        examples={"formula": DEMO, "number": 1},
    )
    stored = replace(says, conditional=True, problems=(404, 406, 422), answer_headers=("Link",))
    operation(replace(stored, problems=(404, 406, 410, 422)))(current)
    operation(stored)(of_version)
    operation(
        replace(
            says, bodies={JSON: "FormulaOrEnvelope"}, body_examples={JSON: EXAMPLE},
            problems=(400, 406, 413, 415, 422),
        )
    )(of_body)  # fmt: skip
    name = view.name.replace(".", "_")
    at = f"/v1/formulas/<formula>/{view.name}"
    blueprint.add_url_rule(at, f"{name}-current", current, methods=["GET"])
    at = f"/v1/formulas/<formula>/versions/<int(max=2147483647):number>/{view.name}"
    blueprint.add_url_rule(at, f"{name}-of-version", of_version, methods=["GET"])
    blueprint.add_url_rule(f"/v1/{view.name}", f"{name}-of-body", of_body, methods=["POST"])


for _view in all_views().values():
    _open_doors(_view)
