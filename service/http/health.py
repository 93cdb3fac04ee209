"""Whether the service lives, and whether it can work."""

from __future__ import annotations

from dataclasses import dataclass

import orjson
from flask import Blueprint, Response

from service import __version__
from service.http.desk import desk
from service.http.operations import Operation, operation
from service.store.values import Search

blueprint = Blueprint("health", __name__)
_ALIVE = orjson.dumps({"status": "alive"})


@dataclass(frozen=True, slots=True)
class Alive:
    """The process answers."""

    status: str


@dataclass(frozen=True, slots=True)
class Ready:
    """The store answers and the tables are read."""

    status: str
    program: str
    knowledge: str


@blueprint.get("/healthz")
@operation(Operation("Tell whether the service lives", answer=Alive))
def alive() -> Response:
    """Tell that the process answers."""
    return Response(_ALIVE, headers={"Cache-Control": "no-store"}, content_type="application/json")


@blueprint.get("/readyz")
@operation(Operation("Tell whether the service can work", answer=Ready, problems=(503,)))
def ready() -> Response:
    """Tell that store and tables are at hand; 503 where the store is not."""
    desk().shelf.page(Search(limit=1))
    answer = Ready("ready", __version__, desk().kitchen.knowledge)
    return Response(
        orjson.dumps(answer), headers={"Cache-Control": "no-store"}, content_type="application/json"
    )
