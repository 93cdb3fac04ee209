"""What handlers share: the shelf, the kitchen, and what was lately worked out."""

from __future__ import annotations

import threading
from collections import OrderedDict
from collections.abc import Callable, Hashable
from dataclasses import dataclass
from typing import Generic, TypeVar

from flask import current_app

from service.http.config import Config
from service.kitchen import Kitchen
from service.store.shelf import Shelf
from service.views.work import Work

Value = TypeVar("Value")
#: Formulas at work that are kept: the views of one formula share its weighing.
MOST_WORKS = 64


@dataclass(frozen=True, slots=True)
class Kept:
    """An answer as it was sent: its tag and its bytes."""

    tag: str
    body: bytes


class Memory(Generic[Value]):
    """Values by key, the least used going first once their sizes add up to more than ``most``."""

    def __init__(self, most: int, size: Callable[[Value], int]) -> None:
        self._most = most
        self._size = size
        self._held = 0
        self._values: OrderedDict[Hashable, Value] = OrderedDict()
        self._lock = threading.Lock()

    def get(self, key: Hashable) -> Value | None:
        """Give a value, if it is still there."""
        with self._lock:
            value = self._values.get(key)
            if value is not None:
                self._values.move_to_end(key)
            return value

    def put(self, key: Hashable, value: Value) -> None:
        """Keep a value."""
        with self._lock:
            if key not in self._values:
                self._values[key] = value
                self._held += self._size(value)
            while self._held > self._most:
                _, gone = self._values.popitem(last=False)
                self._held -= self._size(gone)


class Desk:
    """One for an app. The kitchen is there from the start, the store is opened by each thread."""

    def __init__(self, config: Config, kitchen: Kitchen) -> None:
        self.config = config
        self.shelf = Shelf(config.data / "tarebook.sqlite", config.now, most_pages=config.most_pages)
        self.shelf.prepare()
        self.bodies: Memory[Kept] = Memory(config.most_answers, lambda kept: len(kept.body))
        self.works: Memory[Work] = Memory(MOST_WORKS, lambda work: 1)
        self.archives = threading.BoundedSemaphore(config.most_archives)
        self.kitchen = kitchen


def desk() -> Desk:
    """Give the desk of the app that is answering."""
    found: Desk = current_app.extensions["tarebook"]
    return found
