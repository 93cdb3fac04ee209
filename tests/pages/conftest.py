"""The real server, as the tests of deployment have it."""

from tests.deploy.conftest import port

__all__ = ["port"]
