"""The OpenAPI document served, and as the text that is checked in."""

from __future__ import annotations

import json

import orjson
from flask import Blueprint, Flask, Response, current_app

from service import __version__
from service.http.answering import made_once
from service.http.app import blueprints
from service.http.conditions import tag_of
from service.http.desk import desk
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
    kitchen = desk().kitchen
    tag = tag_of("openapi", __version__, kitchen.knowledge)
    return made_once(
        tag, lambda: orjson.dumps(document(current_app, kitchen), option=orjson.OPT_SORT_KEYS)
    )
