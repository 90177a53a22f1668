"""Reports and refusals together with the file that each is about, for formats that gather several."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from typing import Any

from changeout.domain.findings import Report
from changeout.domain.problems import Refusal

Locate = Callable[[str], tuple[int, int]]
"""Where the value at a JSON Pointer stands: line and column, both counted from 1, the column in characters."""


@dataclass(frozen=True, slots=True, kw_only=True)
class LocatedReport:
    """A report and its proposal's file.

    Args:
        report: The report.
        file: The file's name or path, as the caller gave it.
        locate: Where members stand in the file; without it everything is placed at its start.
        rule_pages: Of each rule that has a finding, its words (``title``, ``because``, ``passes``, ``fails`` …) by id.
    """

    report: Report
    file: str
    locate: Locate | None = None
    rule_pages: Mapping[str, Mapping[str, Any]] = field(default_factory=dict)


@dataclass(frozen=True, slots=True, kw_only=True)
class LocatedRefusal:
    """A file that could not be read as a proposal, and why."""

    refusal: Refusal
    file: str
