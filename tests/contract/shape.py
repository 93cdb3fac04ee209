"""What every problem document is held to."""

from __future__ import annotations

import json
from collections.abc import Callable
from pathlib import Path
from typing import Any

from flask import Flask
from werkzeug.test import TestResponse

ROOT = Path(__file__).parents[2]
App = Callable[..., Flask]


def assert_problem(
    response: TestResponse,
    status: int,
    slug: str,
    *,
    pointers: set[str] | None = None,
    parameters: set[str] | None = None,
) -> dict[str, Any]:
    """Hold a refusal to the shape of a problem document (RFC 9457, section 3) and give it."""
    assert response.status_code == status, response.get_data(as_text=True)
    assert response.content_type == "application/problem+json"
    problem: dict[str, Any] = json.loads(response.get_data())
    assert problem["type"] == f"/problems/{slug}"
    assert problem["status"] == status
    assert isinstance(problem["title"], str)
    assert problem["title"]
    assert isinstance(problem["detail"], str)
    assert problem["detail"]
    assert problem["instance"] == response.request.path
    errors = problem.get("errors", [])
    for error in errors:
        assert ("pointer" in error) != ("parameter" in error)
        assert error["code"]
        assert error["detail"]
    if pointers is not None:
        assert {error.get("pointer") for error in errors} == pointers
    if parameters is not None:
        assert {error.get("parameter") for error in errors} == parameters
    said = response.get_data(as_text=True)
    for word in ("Traceback", "sqlite", "SELECT", str(ROOT), ".py"):
        assert word not in said
    return problem
