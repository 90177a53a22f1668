"""What comes of one file: a report, or why it was refused."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace
from typing import Any

from changeout.domain.findings import Report
from changeout.domain.problems import DocumentError, Refusal
from changeout.intake.read import ReadProposal


@dataclass(frozen=True, slots=True, kw_only=True)
class Way:
    """How each file is judged: the edition instead of its own, the detail, and the document it is laid over."""

    edition: str | None
    detail: str
    base: Mapping[str, Any] | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Refused:
    """Why a file could not be read: a refusal in a shape that can pass between processes."""

    code: str
    detail: str
    errors: tuple[DocumentError, ...]

    @classmethod
    def of(cls, refusal: Refusal) -> Refused:
        """Return what *refusal* says."""
        return cls(code=refusal.problem.code, detail=refusal.detail, errors=refusal.errors)

    def refusal(self) -> Refusal:
        """Return the refusal again."""
        return Refusal(self.code, self.detail, self.errors)


@dataclass(frozen=True, slots=True, kw_only=True)
class Result:
    """What came of a file: what was read of it with the report, or why it was refused.

    ``written`` is what stands on standard output for it. It is made where the file is judged, since a text passes
    between processes in a tenth of the time of a report. What was read does not pass: it is made again of the *body*
    when it is asked for.
    """

    name: str
    read: ReadProposal | None = None
    body: bytes | None = None
    report: Report | None = None
    refused: Refused | None = None
    written: str | bytes = ""

    @property
    def verdict(self) -> str:
        """The report's verdict, or ``unreadable``."""
        return self.report.verdict if self.report else "unreadable"

    def summary(self) -> Result:
        """Return what is told of all files at the end: no findings and no calculations, so that many files fit."""
        report = self.report and replace(self.report, findings=(), calculations=())
        return Result(name=self.name, report=report, refused=self.refused)
