"""Numbers and ranges as people write them. Values by arithmetic; ways of writing are common practice."""

from __future__ import annotations

from fractions import Fraction

import pytest

from service.reading.amounts import Amount, Numbers
from service.reading.scan import scan


def _read(text: str, *, english: bool = True) -> Amount | None:
    words, _ = scan(text)
    numbers = Numbers(text, words, english)
    return numbers.read(0) if numbers.starts(0) else None


@pytest.mark.parametrize(
    ("text", "low", "high"),
    [
        ("2", "2", "2"), ("¾", "3/4", "3/4"), ("2¼", "9/4", "9/4"), ("2 ¼", "9/4", "9/4"),
        ("3/4", "3/4", "3/4"), ("1 1/2", "3/2", "3/2"), ("1-1/2", "3/2", "3/2"), ("1⁄2", "1/2", "1/2"),
        ("1.5", "3/2", "3/2"), (".5 cup", "1/2", "1/2"), ("0.1", "1/10", "1/10"),
        ("1,000", "1000", "1000"), ("1,5", "3/2", "3/2"), ("1,234,567", "1234567", "1234567"),
        ("0,500", "1/2", "1/2"), ("one", "1", "1"), ("Twelve", "12", "12"), ("twenty-five", "25", "25"),
        ("one-half", "1/2", "1/2"), ("half a", "1/2", "1/2"), ("two-thirds", "2/3", "2/3"),
        ("three quarters", "3/4", "3/4"), ("a half", "1/2", "1/2"), ("a dozen", "12", "12"),
        ("half a dozen", "6", "6"), ("two dozen", "24", "24"), ("two and a half", "5/2", "5/2"),
        ("1 and 1/2", "3/2", "3/2"), ("one and one-quarter", "5/4", "5/4"), ("1 & ½", "3/2", "3/2"),
        ("2 to 3", "2", "3"), ("2-3", "2", "3"), ("2–3", "2", "3"), ("1 or 2", "1", "2"),
        ("½ to ¾", "1/2", "3/4"), ("1½-2", "3/2", "2"), ("3 1/2 to 4", "7/2", "4"),
        ("between 2 and 3", "2", "3"), ("2 or 1", "1", "2"), ("thirty-five to forty", "35", "40"),
    ],
)  # fmt: skip
def test_reads(text: str, low: str, high: str) -> None:
    amount = _read(text)
    assert amount is not None
    assert (amount.low, amount.high) == (Fraction(low), Fraction(high))


@pytest.mark.parametrize(
    ("text", "english", "value", "code"),
    [
        ("1,000", True, "1000", "thousands-comma"),
        ("1,000", False, "1", "decimal-comma"),
        ("1,5", True, "3/2", "decimal-comma"),
        ("1.000", False, "1000", "thousands-point"),
        ("1.000", True, "1", None),
    ],
)
def test_commas_go_by_the_language(text: str, english: bool, value: str, code: str | None) -> None:
    """Contract, section 3: a comma with exactly three digits after it; both readings are assumed."""
    amount = _read(text, english=english)
    assert amount is not None
    assert amount.low == Fraction(value)
    assert [one.code for one in amount.assumed] == ([code] if code else [])


@pytest.mark.parametrize("text", ["1/0", "1234567890123", "0/0"])
def test_no_number(text: str) -> None:
    assert _read(text) is None


@pytest.mark.parametrize("text", ["0", "1000001", "0/5"])
def test_beyond_the_bounds(text: str) -> None:
    """Contract, section 3: 0 < q <= 10^6."""
    amount = _read(text)
    assert amount is not None
    assert amount.quantity is None


@pytest.mark.parametrize("text", ["and", "halves", "of", "a cup", "x 3"])
def test_what_starts_no_number(text: str) -> None:
    assert _read(text) is None
