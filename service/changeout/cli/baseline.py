"""Former reports, against which only what is new counts."""

from __future__ import annotations

import json
from collections import Counter
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from changeout.cli.options import CannotError
from changeout.domain.findings import Finding, Report

Key = tuple[str, str, str]
"""What tells findings apart: rule, subject, outcome."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Baseline:
    """The findings of former reports, by the reference of their project.

    One former report stands for whichever one file is judged, whatever its reference. Among several files, one
    without a reference has no former report.
    """

    by_reference: Mapping[str | None, frozenset[Key]]

    def new(self, report: Report, outcomes: frozenset[str], *, alone: bool) -> tuple[Finding, ...]:
        """Return the findings with one of *outcomes* that no waiver was applied to and no former report has."""
        if alone and len(self.by_reference) == 1:
            (known,) = self.by_reference.values()
        elif report.reference is None:
            known = frozenset()
        else:
            known = self.by_reference.get(report.reference, frozenset())
        return tuple(
            finding
            for finding in report.findings
            if finding.outcome.value in outcomes
            and finding.waived is None
            and any(
                (finding.rule, s, finding.outcome.value) not in known for s in finding.subjects or (finding.subject,)
            )
        )


def read_baseline(path: Path) -> Baseline:
    """Return the baseline that ``changeout check --format json`` wrote: one report, or one a line.

    Raises:
        CannotError: if it holds no report, or several that cannot be told apart.
    """
    reports = [report for report in _documents(path) if report.get("changeout_report") == 1]
    if not reports:
        raise CannotError(f"{path} holds no report that --format json wrote")
    references = Counter(report["project"]["reference"] for report in reports)
    unclear = [reference for reference, number in references.items() if number > 1 or reference is None]
    if len(reports) > 1 and unclear:
        shown = ", ".join(reference or "(none)" for reference in unclear)
        raise CannotError(f"the reports in {path} cannot be told apart by project.reference: {shown}")
    return Baseline(by_reference={report["project"]["reference"]: frozenset(_keys(report)) for report in reports})


def _documents(path: Path) -> list[dict[str, Any]]:
    try:
        text = path.read_text("utf-8")
    except (OSError, UnicodeDecodeError) as failure:
        raise CannotError(f"{path} cannot be read: {failure}") from None
    try:
        found = [json.loads(text)]
    except ValueError:
        found = _by_line(path, text)
    return [document for document in found if isinstance(document, dict)]


def _by_line(path: Path, text: str) -> list[Any]:
    try:
        return [json.loads(line) for line in text.splitlines() if line.strip()]
    except ValueError:
        raise CannotError(f"{path} is neither one JSON document nor one a line") from None


def _keys(report: Mapping[str, Any]) -> Iterator[Key]:
    # What a waiver set aside then is no finding that was put up with: without the waiver it is new.
    for finding in report["findings"]:
        if finding["waived"] is None:
            for subject in finding["subjects"] or [finding["subject"]]:
                yield finding["rule"], subject, finding["outcome"]
