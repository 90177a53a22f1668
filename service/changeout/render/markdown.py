"""A report as Markdown, for a job summary or a comment."""

from __future__ import annotations

from changeout.domain.findings import Report
from changeout.domain.proposal import Proposal
from changeout.render.page_markdown import page_markdown
from changeout.render.report_page import report_page


def report_markdown(report: Report, proposal: Proposal | None = None) -> str:
    """Return the report as Markdown; with the *proposal*, circuits and runs go by their own names."""
    return page_markdown(report_page(report, proposal))
