"""What a check says of a formula."""

from __future__ import annotations

from service.domain.record import sent

SEVERITIES = ("error", "warning", "note")


@sent
class Measured:
    """What was measured, with its band."""

    value: float
    low: float
    high: float
    unit: str


@sent
class Expected:
    """The range that was expected; an open end is ``None``."""

    low: float | None
    high: float | None
    unit: str


@sent
class Edit:
    """One change of a remedy: the line (JSON Pointer) and the grams it should weigh, or a new line
    (``pointer`` ``None``) of ``ingredient`` in ``component``."""

    pointer: str | None
    grams: float
    ingredient: str
    component: int = 0


@sent
class Remedy:
    """A change set that, applied, clears its finding and adds no other."""

    says: str
    edits: tuple[Edit, ...]


@sent
class Finding:
    """One finding. ``certain`` is ``False`` when the band of what was measured straddles the
    limit; ``lines`` are JSON Pointers; ``settle`` says what would settle an uncertain one.
    ``limit`` is the code of the limit's row, ``group`` the baked group that was judged."""

    rule: str
    severity: str
    message: str
    measured: Measured | None
    expected: Expected | None
    certain: bool
    lines: tuple[str, ...]
    source: str
    evidence: str
    remedy: Remedy | None = None
    settle: str | None = None
    limit: str | None = None
    group: str | None = None
