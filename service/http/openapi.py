"""The OpenAPI document served, and as the text that is checked in."""

from __future__ import annotations

import json

import orjson
from flask import Blueprint, Flask, Response, current_app

from service import __version__
from service.http.app import blueprints
from service.http.conditions import answered, is_known, tag_of, unchanged
from service.http.desk import Kept, desk
from service.http.document import document
from service.http.operations import Operation, operation
from service.kitchen import open_kitchen

blueprint = Blueprint("openapi", __name__)


def openapi_text() -> str:
    """Give the document as it is checked in: sorted keys, two blanks of indent, a final line end."""
    app = Flask(__name__, static_folder=None)
    for each in blueprints():
        app.register_blueprint(each)
    drawn = document(app, open_kitchen())
    return json.dumps(drawn, indent=2, sort_keys=True, ensure_ascii=False) + "\n"


@blueprint.get("/openapi.json")
@operation(Operation("Give this document", shape="Document", conditional=True))
def openapi() -> Response:
    """Give the document of this very service."""
    the_desk = desk()
    kitchen = the_desk.kitchen
    tag = tag_of("openapi", __version__, kitchen.knowledge)
    kept = the_desk.bodies.get(tag)
    if is_known(tag):
        return unchanged(tag)
    if kept is None:
        drawn = document(current_app, kitchen)
        body = orjson.dumps(drawn, option=orjson.OPT_SORT_KEYS)
        kept = Kept(tag, body)
        the_desk.bodies.put(tag, kept)
    return answered(kept.body, tag)
