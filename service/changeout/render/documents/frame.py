"""What all documents have in common: whose project it is, what it was judged by, and who decides."""

from __future__ import annotations

from collections.abc import Sequence

from changeout import __version__
from changeout.domain.calculation import Calculation
from changeout.domain.findings import Finding, Report
from changeout.domain.interval import Interval
from changeout.domain.proposal import Proposal
from changeout.render.documents.facts_in_words import day
from changeout.render.page import Blank, Code, Fields, Words, joined, or_blank

FAULT_CURRENT = "fault-current"


def project_fields(report: Report, proposal: Proposal, extra: Sequence[tuple[str, Words]] = ()) -> Fields:
    """Return whose project it is, as far as the sender said."""
    rows: list[tuple[str, Words]] = [("Reference", or_blank(report.reference))]
    rows += [(name, value) for name, value in report.annotations.items()]
    rows += [
        ("Jurisdiction", or_blank(report.jurisdiction)),
        ("Applied on", day(proposal.project.applied_on)),
        ("Edition", f"{report.ruleset.edition}, {report.edition_chosen_by}"),
        *extra,
    ]
    return Fields(rows=tuple(rows))


def by_hand(*names: str) -> Fields:
    """Return names with blanks."""
    return Fields(rows=tuple((name, (Blank(),)) for name in names))


def document_footer(report: Report) -> Words:
    """Return who decides, and what the document was made from."""
    return joined(
        f"{report.defers_to} Made from decision ",
        Code(report.decision_id),
        ", ruleset ",
        Code(report.ruleset.digest),
        f", engine {__version__}.",
    )


def fault_current_of(report: Report) -> Calculation | None:
    """Return the fault-current calculation of a report."""
    return next((c for c in report.calculations if c.id == FAULT_CURRENT), None)


def known_current_a(report: Report) -> float | None:
    """Return the fault current available at the panelboard in amperes, or None where it is a range or unknown."""
    interval = current_interval(report)
    return interval.value if interval is not None else None


def current_interval(report: Report) -> Interval | None:
    """Return the fault current available at the panelboard with bounds."""
    calculation = fault_current_of(report)
    return calculation.result.interval if calculation else None


def findings_of_rules(report: Report, rules: Sequence[str]) -> tuple[Finding, ...]:
    """Return the findings of these rules, in the report's order."""
    return tuple(finding for finding in report.findings if finding.rule in rules)
