"""Documents of a permit: filled from the proposal and its report, blank where a fact is unknown."""

from __future__ import annotations
