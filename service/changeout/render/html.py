"""A report as a page that reads, prints on letter paper and stands alone."""

from __future__ import annotations

from changeout.domain.findings import Report
from changeout.domain.proposal import Proposal
from changeout.render.page_html import page_html
from changeout.render.pictures import pictures_of
from changeout.render.report_page import report_page


def report_html(report: Report, proposal: Proposal | None = None, *, style_address: str | None = None) -> str:
    """Return the report as HTML.

    With the *proposal* there are pictures, and circuits and runs go by their own names. See ``page_html`` for
    *style_address*.
    """
    pictures = () if proposal is None else pictures_of(proposal, report.calculations)
    return page_html(report_page(report, proposal, pictures), style_address=style_address)
