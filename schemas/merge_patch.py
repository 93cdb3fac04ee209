"""JSON Merge Patch (RFC 7396)."""

from __future__ import annotations

from schemas.json_in import Json


def merged(target: Json, patch: Json) -> Json:
    """Apply a patch: ``null`` takes a member away, an object goes into the one that is there, any
    other value stands in its place. Neither argument is changed. Source: RFC 7396, section 2."""
    if not isinstance(patch, dict):
        return patch
    result = dict(target) if isinstance(target, dict) else {}
    for name, value in patch.items():
        if value is None:
            result.pop(name, None)
        else:
            result[name] = merged(result.get(name), value)
    return result
