"""Images: what was read from the tables, checked and worked out, kept so that a start is quick.

An image lies in ``__pycache__`` beside the tables, as Python's byte code lies beside its source, and is
trusted as far as that. It may be deleted at any time. It counts only under the key that it was made
for, which holds the digests of everything that it was made from, and only whole; else it is made anew.
Where nobody may write, nothing is kept and everything is made at each start.
"""

from __future__ import annotations

import contextlib
import hashlib
import marshal
import sys
import tempfile
from collections.abc import Callable, Iterable
from pathlib import Path
from typing import Any, TypeVar

#: What is kept: tuples, lists and dicts of strings, numbers, booleans and ``None``.
Plain = TypeVar("Plain", bound=list[Any] | dict[str, Any])
FOLDER = Path(__file__).parent / "__pycache__"


def key_for(*parts: str | bytes) -> bytes:
    """Give the key of what is made from these parts by this Python."""
    digest = hashlib.sha256(f"{sys.implementation.cache_tag}/{marshal.version}".encode())
    for part in parts:
        raw = part.encode() if isinstance(part, str) else part
        digest.update(b"%d\0" % len(raw))
        digest.update(raw)
    return digest.digest()


def sources(files: Iterable[Path]) -> bytes:
    """Give the digest of the programs that make an image: who changes them makes it anew."""
    return hashlib.sha256(b"\0".join(file.read_bytes() for file in files)).digest()


def kept(name: str, key: bytes, make: Callable[[], Plain]) -> Plain:
    """Give what ``make`` gives, from the image of this name if it has this key."""
    file = FOLDER / f"{name}.image"
    try:
        raw = file.read_bytes()
    except OSError:
        raw = b""
    size = len(key)
    body = raw[2 * size :]
    if raw[:size] == key and raw[size : 2 * size] == hashlib.sha256(body).digest():
        found: Plain = marshal.loads(body)  # noqa: S302
        return found
    made = make()
    body = marshal.dumps(made)
    _write(file, key + hashlib.sha256(body).digest() + body)
    return made


def _write(file: Path, raw: bytes) -> None:
    """Put an image in place whole, or not at all."""
    with contextlib.suppress(OSError):
        file.parent.mkdir(exist_ok=True)
        with tempfile.NamedTemporaryFile(dir=file.parent, delete=False) as draft:
            draft.write(raw)
        try:
            Path(draft.name).replace(file)
        finally:
            Path(draft.name).unlink(missing_ok=True)
