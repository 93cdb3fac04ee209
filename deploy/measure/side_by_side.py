"""The service and a bare Flask application under one worker, told apart by the path."""

from __future__ import annotations

import os
from collections.abc import Callable, Iterable
from typing import Any

from flask import Flask

from service.http.app import create_app


def bare() -> Flask:
    """Make the baseline: one route that returns a constant body."""
    app = Flask("bare")
    body = b"x" * int(os.environ.get("BARE_BYTES", "4400"))

    @app.get("/bare")
    def constant() -> tuple[bytes, dict[str, str]]:
        return body, {"Content-Type": "application/json"}

    return app


def create() -> Callable[[dict[str, Any], Any], Iterable[bytes]]:
    """Make the application that gunicorn serves."""
    ours, baseline = create_app(), bare()

    def either(environ: dict[str, Any], start_response: Any) -> Iterable[bytes]:
        app = baseline if environ["PATH_INFO"] == "/bare" else ours
        return app(environ, start_response)

    return either
