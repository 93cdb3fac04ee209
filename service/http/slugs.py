"""Ids of formulas: slugs, made from a name or given by the caller."""

from __future__ import annotations

import re
import unicodedata

from schemas.fields import LONGEST_SLUG, SLUG
from service.domain.faults import shown
from service.errors import Fault, Invalid

#: Room for a number behind a slug that is taken.
_LONGEST_MADE = LONGEST_SLUG - 12
_FALLBACK = "formula"


def slug_of(name: str) -> str:
    """Make a slug from a name: ``"Crème Cake No. 2"`` gives ``creme-cake-no-2``."""
    plain = unicodedata.normalize("NFKD", name.replace("’", "").replace("'", ""))
    plain = plain.encode("ascii", "ignore").decode().lower()
    return re.sub(r"[^a-z0-9]+", "-", plain).strip("-")[:_LONGEST_MADE].strip("-") or _FALLBACK


def is_slug(word: str) -> bool:
    """Tell whether a word can be an id."""
    return len(word) <= LONGEST_SLUG and re.fullmatch(SLUG.strip("^$"), word) is not None


def own_slug(word: str, *, parameter: str | None = None, pointer: str | None = None) -> str:
    """Take a caller's own id. Raises: Invalid, at the spot."""
    if is_slug(word):
        return word
    detail = (
        f"{shown(word)} is no id: it takes small letters, digits and single hyphens, at most"
        f" {LONGEST_SLUG} characters, such as tea-urn-cake."
    )
    raise Invalid("The id does not fit.", faults=(Fault("format", detail, pointer, parameter),))
