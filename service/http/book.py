"""Put a folder of formula documents on the shelf, through the same door as any caller."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path
from typing import TYPE_CHECKING

from werkzeug.test import Client

from service.errors import Invalid

if TYPE_CHECKING:
    from _typeshed.wsgi import WSGIApplication


def load_book(app: WSGIApplication, folder: Path) -> Iterator[tuple[str, str]]:
    """Store each document that the store lacks, under the name of its file.

    Shape: gives ``(id, "stored" | "there already")``, in the order of names. What is there already
    stays as it is, whatever became of it. Raises: Invalid, for a document that is refused.
    """
    caller = Client(app)
    for file in sorted(folder.glob("*.json")):
        answer = caller.put(
            f"/v1/formulas/{file.stem}",
            data=file.read_bytes(),
            content_type="application/json",
            headers={"If-None-Match": "*"},
        )
        if answer.status_code in (410, 412):
            yield file.stem, "there already"
        elif answer.status_code == 201:
            yield file.stem, "stored"
        else:
            raise Invalid(f"{file.name} was refused: {answer.get_data(as_text=True)}")
