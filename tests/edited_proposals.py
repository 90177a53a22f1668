"""The example proposals with single members changed or taken away."""

from __future__ import annotations

import json
from functools import cache
from importlib import resources
from typing import Any, Final

ABSENT: Final = object()
"""Stands for a member that is taken away."""


@cache
def example(name: str) -> bytes:
    """Return an example proposal as it is shipped."""
    return resources.files("changeout.examples").joinpath(f"{name}.json").read_bytes()


def edited(name: str, changes: dict[str, Any] | None = None) -> bytes:
    """Return an example proposal with the value at each JSON Pointer of *changes* set, or taken away (``ABSENT``)."""
    document = json.loads(example(name))
    for pointer, value in (changes or {}).items():
        *path, last = pointer.strip("/").split("/")
        holder = document
        for part in path:
            holder = holder[int(part)] if isinstance(holder, list) else holder.setdefault(part, {})
        key = int(last) if isinstance(holder, list) else last
        if value is ABSENT:
            del holder[key]
        else:
            holder[key] = value
    return json.dumps(document).encode()
