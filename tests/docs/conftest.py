"""The pages cut into their examples, and a real server to try them on."""

from __future__ import annotations

from collections.abc import Iterator

import pytest

from deploy.measure.served import served


@pytest.fixture(scope="session")
def port() -> Iterator[int]:
    with served(workers=1) as (number, _):
        yield number
