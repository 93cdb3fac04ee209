"""The kitchen on the service's own tables, opened once."""

from __future__ import annotations

import pytest

from service.kitchen import Kitchen, open_kitchen


@pytest.fixture(scope="session")
def kitchen() -> Kitchen:
    return open_kitchen()
