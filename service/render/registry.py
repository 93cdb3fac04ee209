"""Where drawings register: which view's answer they draw, and as which media type.

Modules of this package are walked, so a new drawing needs no list.
"""

from __future__ import annotations

import importlib
import pkgutil
from collections.abc import Callable
from dataclasses import dataclass
from functools import cache
from typing import Any

SVG = "image/svg+xml"

Draw = Callable[[Any], bytes]


@dataclass(frozen=True, slots=True)
class Rendering:
    """A drawing: of the answer of ``view``, as ``media``; ``first``: it is what callers get who name
    no media type."""

    view: str
    media: str
    first: bool
    draw: Draw


_RENDERINGS: dict[tuple[str, str], Rendering] = {}


def renders(view: str, media: str, *, first: bool = False) -> Callable[[Draw], Draw]:
    """Register a drawing. Refuses a second one of the same view and media type."""

    def register(draw: Draw) -> Draw:
        if (view, media) in _RENDERINGS:
            raise ValueError(f"{view} is drawn twice as {media}")
        _RENDERINGS[view, media] = Rendering(view, media, first, draw)
        return draw

    return register


@cache
def _all() -> tuple[Rendering, ...]:
    """Walk this package and give every drawing, in the order of views and media types."""
    package = importlib.import_module("service.render")
    for module in sorted(m.name for m in pkgutil.iter_modules(package.__path__)):
        importlib.import_module(f"service.render.{module}")
    return tuple(_RENDERINGS[key] for key in sorted(_RENDERINGS))


@cache
def renderings_of(view: str) -> dict[str, Rendering]:
    """Give a view's drawings by media type."""
    return {each.media: each for each in _all() if each.view == view}
