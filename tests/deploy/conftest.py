"""A real server on a free port, with the demo book, for the tests that go over HTTP."""

from __future__ import annotations

from collections.abc import Iterator

import pytest

from deploy.measure.served import served


@pytest.fixture(scope="session")
def port() -> Iterator[int]:
    with served(workers=2) as (number, _):
        yield number
