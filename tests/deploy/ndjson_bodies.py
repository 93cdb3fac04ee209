"""Bodies of NDJSON for made requests: whatever is made goes out as lines."""

from __future__ import annotations

import json
from typing import Any

import schemathesis


@schemathesis.serializer("application/x-ndjson")
def lines_of(ctx: Any, value: Any) -> bytes:
    """Give text as it is, and a list as a line a member."""
    if isinstance(value, bytes):
        return value
    if isinstance(value, str):
        return value.encode("utf-8", "surrogatepass")
    members = value if isinstance(value, list) else [value]
    return "\n".join(map(json.dumps, members)).encode()
