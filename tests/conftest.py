"""What all tests share: no test waits for a clock, and generated cases are the same each time."""

from __future__ import annotations

from hypothesis import settings

settings.register_profile("tarebook", deadline=None, derandomize=True)
settings.load_profile("tarebook")
