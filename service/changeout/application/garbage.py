"""How a process that judges looks for garbage: rarely, and not in what was loaded at start."""

from __future__ import annotations

import gc
from typing import Final

_THRESHOLDS: Final = (50_000, 20, 20)
"""A report makes tens of thousands of objects, none of which refer to each other in a circle."""


def settle() -> None:
    """Take everything that is loaded as staying, in this process and in those made of it."""
    gc.freeze()
    gc.set_threshold(*_THRESHOLDS)
    gc.enable()


def sweep() -> None:
    """Look for what has become garbage since the last time: little, and quick to look through."""
    gc.collect(0)
