"""A kitchen on the service's own tables, and the shortest way to a changed formula."""

from __future__ import annotations

from urllib.parse import parse_qs

import pytest

from service.changes.apply import Changed, apply
from service.changes.words import read_changes
from service.domain.formula import Formula
from service.kitchen import Kitchen, open_kitchen
from tests.changes.cards import Change


@pytest.fixture(scope="session")
def kitchen() -> Kitchen:
    return open_kitchen()


@pytest.fixture(scope="session")
def change(kitchen: Kitchen) -> Change:
    """Change a formula as a query says: ``change(formula, "factor=2&rounding=kitchen")``."""

    def changed(formula: Formula, query: str) -> Changed:
        return apply(formula, read_changes(parse_qs(query)), kitchen.scales)

    return changed
