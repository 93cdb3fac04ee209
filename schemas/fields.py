"""Strict fields: no text taken for a number, no number cut to an integer, no 1 taken for true.

Every message is ``code|detail``: a permanent word, then a sentence for people; ``schemas.faults``
takes them apart.
"""

from __future__ import annotations

import difflib
import re
from collections.abc import Iterable, Mapping
from contextvars import ContextVar
from dataclasses import dataclass
from decimal import Decimal
from typing import Any

from marshmallow import RAISE, Schema, ValidationError, fields

from service.domain.vocabulary import Vocabulary

SLUG = r"^[a-z0-9]+(?:-[a-z0-9]+)*$"
LONGEST_SLUG = 100


#: The most suggestions of one load: looking for near words is slow, and a body can hold many.
MOST_SUGGESTIONS = 24
_LONGEST_SUGGESTED = 60


@dataclass(slots=True)
class Loading:
    """What the fields of one load must know: the tables' words, the document's language, and how
    many suggestions it may still make."""

    vocabulary: Vocabulary | None = None
    language: str = "en"
    suggestions_left: int = MOST_SUGGESTIONS


LOADING: ContextVar[Loading] = ContextVar("LOADING")


def suggestion(word: str, known: Iterable[str]) -> str:
    """Give the end of a sentence that names the nearest known words, or nothing."""
    loading = LOADING.get()
    if loading.suggestions_left <= 0 or len(word) > _LONGEST_SUGGESTED:
        return ""
    loading.suggestions_left -= 1
    near = difflib.get_close_matches(word.casefold(), list(known), n=3, cutoff=0.6)
    return f" Did you mean {' or '.join(near)}?" if near else ""


def refuse(code: str, detail: str) -> ValidationError:
    """Make a refusal of one value."""
    return ValidationError(f"{code}|{detail}")


def read_text(value: Any, longest: int) -> str:
    """Take a text that is not blank. Raises: ValidationError."""
    if not isinstance(value, str):
        raise refuse("type", "A text is expected.")
    if not value.strip():
        raise refuse("blank", "The text is empty.")
    if len(value) > longest:
        raise refuse("too-long", f"The text is longer than {longest} characters.")
    return value


def read_word(value: Any, known: tuple[str, ...]) -> str:
    """Take one of a few known words. Raises: ValidationError, with a suggestion."""
    if not isinstance(value, str):
        raise refuse("type", "A text is expected.")
    if value not in known:
        shown = f"one of {', '.join(known)}" if len(known) <= 12 else "a known word"
        raise refuse("unknown-value", f"This is not {shown}.{suggestion(value, known)}")
    return value


def read_flag(value: Any) -> bool:
    """Take true or false. Raises: ValidationError."""
    if value is not True and value is not False:
        raise refuse("type", "true or false is expected.")
    return bool(value)


def read_number(value: Any) -> float:
    """Take a number, not a text and not a truth value. Raises: ValidationError."""
    if isinstance(value, bool) or not isinstance(value, (int, float, Decimal)):
        raise refuse("type", "A number is expected.")
    return float(value)


class Text(fields.String):
    """A text that is not blank; ``longest`` in characters."""

    def __init__(self, longest: int, *, pattern: str | None = None, **kwargs: Any) -> None:
        super().__init__(**kwargs)
        self.longest, self.pattern = longest, pattern

    def _deserialize(self, value: Any, attr: str | None, data: Any, **kwargs: Any) -> str:
        text = read_text(value, self.longest)
        if self.pattern and not re.fullmatch(self.pattern.strip("^$"), text):
            raise refuse("format", "The text does not have the expected form.")
        return text


class Word(fields.String):
    """One of a few known words."""

    def __init__(self, known: tuple[str, ...], **kwargs: Any) -> None:
        super().__init__(**kwargs)
        self.known = known

    def _deserialize(self, value: Any, attr: str | None, data: Any, **kwargs: Any) -> str:
        return read_word(value, self.known)


class Number(fields.Float):
    """A number within bounds; ``over`` is a bound that itself is out, ``least`` one that is in."""

    def __init__(
        self, *, most: float, over: float | None = None, least: float = 0.0, **kwargs: Any
    ) -> None:
        super().__init__(**kwargs)
        self.over, self.least, self.most = over, least, most

    def _deserialize(self, value: Any, attr: str | None, data: Any, **kwargs: Any) -> float:
        number = read_number(value)
        fits = number >= self.least if self.over is None else number > self.over
        if not fits or number > self.most:
            lower = f"At least {self.least:g}" if self.over is None else f"More than {self.over:g}"
            raise refuse("out-of-bounds", f"{lower} and at most {self.most:g} is allowed.")
        return number


class Whole(fields.Integer):
    """A whole number from one up to a bound."""

    def __init__(self, most: int, **kwargs: Any) -> None:
        super().__init__(**kwargs)
        self.most = most

    def _deserialize(self, value: Any, attr: str | None, data: Any, **kwargs: Any) -> int:
        number = read_number(value)
        if number != int(number):
            raise refuse("type", "A whole number is expected.")
        if not 1 <= number <= self.most:
            raise refuse("out-of-bounds", f"A whole number from 1 to {self.most} is allowed.")
        return int(number)


class Shape(Schema):
    """A JSON object with known members only."""

    class Meta:
        """Unknown members are refused."""

        unknown = RAISE

    error_messages = {  # noqa: RUF012 - marshmallow's own way to set them
        "type": "type|An object is expected.",
        "unknown": "unknown-member|There is no such member.",
    }

    def on_bind_field(self, field_name: str, field_obj: fields.Field[Any]) -> None:
        """Give every field our messages for what is missing, null or of the wrong type."""
        field_obj.error_messages = {**field_obj.error_messages, **MESSAGES}
        if isinstance(field_obj, fields.List):
            self.on_bind_field(field_name, field_obj.inner)

    def handle_error(self, error: ValidationError, data: Any, **kwargs: Any) -> None:
        """Add to each unknown member the nearest known one, or all."""
        if isinstance(error.messages, dict):
            known = [field.data_key or name for name, field in self.load_fields.items()]
            for key, said in error.messages.items():
                if said == [self.error_messages["unknown"]]:
                    error.messages[key] = [unknown_member(str(key), known)]


def unknown_member(key: str, known: Iterable[str]) -> str:
    """Word the refusal of a member that a shape has not: the nearest that it has, else all of them (as
    often as suggestions are made)."""
    several = tuple(known)
    listed = f" It takes {', '.join(several)}." if LOADING.get().suggestions_left > 0 else ""
    return f"unknown-member|There is no such member.{suggestion(key, several) or listed}"


MESSAGES: Mapping[str, str] = {
    "required": "required|This member is missing.",
    "null": "type|null is not a value here; what is not known is left out.",
    "invalid": "type|A list is expected.",
    "type": "type|An object is expected.",
}
