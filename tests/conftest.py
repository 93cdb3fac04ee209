"""What all tests share: a service on a fresh store, and generated cases that are the same each time."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any

import pytest
from flask import Flask
from flask.testing import FlaskClient
from hypothesis import settings

from service.http.app import create_app
from service.http.book import load_book
from service.http.config import Config
from service.kitchen import Kitchen, open_kitchen

settings.register_profile("tarebook", deadline=None, derandomize=True)
settings.load_profile("tarebook")

ROOT = Path(__file__).parents[1]
DEMO = ROOT / "deploy" / "demo"
#: When the tests' service believes that it is.
NOW = "2026-03-01T08:00:00Z"


def pytest_configure(config: pytest.Config) -> None:
    """Name the marks of our tests."""
    config.addinivalue_line("markers", "stores: a test of a refusal that stores something first")


@pytest.fixture(scope="session")
def kitchen() -> Kitchen:
    """The kitchen on the service's own tables."""
    return open_kitchen()


@pytest.fixture
def make_app(tmp_path: Path, kitchen: Kitchen) -> Iterator[Callable[..., Flask]]:
    """Make an app on a fresh store, its config as told."""
    made: list[Flask] = []

    def make(**told: Any) -> Flask:
        app = create_app(Config(data=tmp_path / "data", now=lambda: NOW, **told), kitchen)
        made.append(app)
        return app

    yield make
    for app in made:
        app.extensions["tarebook"].shelf.close()


@pytest.fixture
def app(make_app: Callable[..., Flask]) -> Flask:
    """An app on a fresh store."""
    return make_app()


@pytest.fixture
def client(app: Flask) -> FlaskClient:
    """A caller of an app on a fresh store."""
    return app.test_client()


@pytest.fixture(scope="module")
def book(tmp_path_factory: pytest.TempPathFactory, kitchen: Kitchen) -> Iterator[FlaskClient]:
    """A caller of an app with the demo book; its tests store nothing."""
    data = tmp_path_factory.mktemp("book")
    app = create_app(Config(data=data, now=lambda: NOW), kitchen)
    assert {what for _, what in load_book(app, DEMO)} == {"stored"}
    yield app.test_client()
    app.extensions["tarebook"].shelf.close()
