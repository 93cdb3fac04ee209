"""What handlers share: the shelf, the kitchen, and what was lately worked out."""

from __future__ import annotations

import hashlib
import threading
from collections import OrderedDict
from collections.abc import Callable, Hashable
from dataclasses import dataclass
from typing import Generic, TypeVar

from flask import current_app

from schemas.house import load_house
from schemas.json_in import read_json
from service.http.config import Config
from service.kitchen import Kitchen
from service.store.shelf import Shelf
from service.tables.house import all_rows
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
    """One for an app. ``plain`` is the kitchen on the service's own tables; the store is opened by
    each thread."""

    def __init__(self, config: Config, kitchen: Kitchen) -> None:
        self.config = config
        self.shelf = Shelf(config.data / "tarebook.sqlite", config.now, most_pages=config.most_pages)
        self.shelf.prepare()
        self.bodies: Memory[Kept] = Memory(config.most_answers, lambda kept: len(kept.body))
        self.works: Memory[Work] = Memory(MOST_WORKS, lambda work: 1)
        self.archives = threading.BoundedSemaphore(config.most_archives)
        self.plain = kitchen
        self._kitchen = (0, kitchen)

    @property
    def kitchen(self) -> Kitchen:
        """Give the kitchen with the house's own rows in it."""
        return self.kitchen_at(self.shelf.larder.state())

    def kitchen_at(self, state: int) -> Kitchen:
        """Give the kitchen for a state of the larder; it is made anew when that has changed."""
        known, kitchen = self._kitchen
        if known != state:
            kitchen = self._with_house()
            self._kitchen = (state, kitchen)
        return kitchen

    def _with_house(self) -> Kitchen:
        rows = self.shelf.larder.all()
        told = [(row.code, load_house(read_json(row.body))) for row in rows]
        digest = hashlib.sha256("\0".join(f"{row.code}={row.digest}" for row in rows).encode())
        plain = self.plain.cupboard
        return Kitchen(plain.with_rows(all_rows(told, plain), digest.hexdigest()))


def desk() -> Desk:
    """Give the desk of the app that is answering."""
    found: Desk = current_app.extensions["tarebook"]
    return found
