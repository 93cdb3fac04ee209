"""The application: made from a config, blueprints found by walking this package."""

from __future__ import annotations

import importlib
import os
import pkgutil

from flask import Blueprint, Flask, request
from flask_cors import CORS

from service.errors import Forbidden
from service.http import problems
from service.http.config import Config
from service.http.desk import Desk, desk
from service.kitchen import Kitchen, open_kitchen

#: The names and addresses of this machine, seen from itself.
LOOPBACK = ("127.0.0.1", "::1", "localhost", "[::1]")
EXPOSED = ("ETag", "Link", "Location", "Retry-After")
ALLOWED = (
    "Accept", "Accept-Language", "Authorization", "Content-Type", "Idempotency-Key", "If-Match",
    "If-None-Match",
)  # fmt: skip
READING = ("GET", "HEAD", "OPTIONS")


def create_app(config: Config | None = None, kitchen: Kitchen | None = None) -> Flask:
    """Make the application. Without a config the environment is asked, here and nowhere else; without
    a kitchen one is opened.

    Raises: TableFault (a row of our tables is wrong), StoreBusy, StoreFull.
    """
    told = config or Config.from_environment(os.environ)
    app = Flask(__name__, static_folder=None)
    app.config["MAX_CONTENT_LENGTH"] = told.most_body + 1
    app.url_map.strict_slashes = True
    app.url_map.merge_slashes = False
    app.extensions["tarebook"] = Desk(told, kitchen or open_kitchen())
    problems.register(app)
    app.before_request(_stay_at_home)
    for blueprint in blueprints():
        app.register_blueprint(blueprint)
    if told.origins:
        CORS(
            app,
            origins=list(told.origins),
            expose_headers=list(EXPOSED),
            allow_headers=list(ALLOWED),
            methods=["GET", "HEAD", "POST", "PUT", "PATCH", "DELETE"],
            max_age=600,
        )
    return app


def blueprints() -> tuple[Blueprint, ...]:
    """Walk this package and give the blueprint of every module that has one, in order of name."""
    package = importlib.import_module("service.http")
    found = []
    for module in sorted(m.name for m in pkgutil.iter_modules(package.__path__)):
        blueprint = getattr(importlib.import_module(f"service.http.{module}"), "blueprint", None)
        if isinstance(blueprint, Blueprint):
            found.append(blueprint)
    return tuple(found)


def _stay_at_home() -> None:
    """Answer this machine alone, as long as there are no keys (contract, section 6).

    The name that was called counts too, since a page from elsewhere can give a name of its own to
    this machine's address; and so does the origin of a page that wants to write. Raises: Forbidden.
    """
    environ = request.environ
    caller = environ.get("REMOTE_ADDR") or "127.0.0.1"
    if not (caller in LOOPBACK or caller.startswith("127.")):
        raise Forbidden("Without keys this service answers on the loopback address alone.")
    host = str(environ.get("HTTP_HOST") or "localhost")
    if (host.rpartition(":")[0] if not host.endswith("]") and ":" in host else host) not in LOOPBACK:
        raise Forbidden("Without keys this service answers to the names of the loopback address alone.")
    origin = environ.get("HTTP_ORIGIN")
    if origin is not None and request.method not in READING and not _is_welcome(origin, host):
        raise Forbidden("Pages of that origin may not write here.")


def _is_welcome(origin: str, host: str) -> bool:
    return origin in desk().config.origins or origin in (f"http://{host}", f"https://{host}")
