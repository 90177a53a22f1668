"""JSON Merge Patch (RFC 7396): a document laid over another."""

from __future__ import annotations

from typing import Any


def merged(target: Any, patch: Any) -> Any:  # noqa: ANN401 - any JSON values
    """Return *target* with *patch* laid over it; a null takes a member away. Neither is changed."""
    if not isinstance(patch, dict):
        return patch
    kept = dict(target) if isinstance(target, dict) else {}
    for name, value in patch.items():
        if value is None:
            kept.pop(name, None)
        else:
            kept[name] = merged(kept.get(name), value)
    return kept
