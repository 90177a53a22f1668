"""A report in every form it is given in, by media type."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from typing import Final

from changeout.application.choice import choose
from changeout.application.service import Service
from changeout.domain.findings import Report
from changeout.intake.read import ReadProposal, read_proposal
from changeout.intake.reader import read_json
from changeout.render.html import report_html
from changeout.render.junit import junit_bytes
from changeout.render.located import LocatedReport
from changeout.render.markdown import report_markdown
from changeout.render.report_json import report_bytes
from changeout.render.sarif import sarif_bytes
from changeout.render.text import report_text
from changeout.review.catalogue import rule_page

NAMELESS: Final = "proposal.json"
"""What a proposal is called that came without a file name."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Judged:
    """A proposal with its report: what was sent, what was read of it, and in which file it was."""

    body: bytes
    read: ReadProposal
    report: Report
    file: str


def judged(
    service: Service, body: bytes, *, edition: str | None = None, detail: str = "full", file: str = NAMELESS
) -> Judged:
    """Return the proposal in *body* with the report on it; see ``Service.validate``.

    Raises:
        Refusal: if the body cannot be read or no ruleset can be chosen.
    """
    read = read_proposal(body, edition_chosen=edition is not None)
    return Judged(body=body, read=read, report=service.report_on(read, edition=edition, detail=detail), file=file)


def located(service: Service, one: Judged) -> LocatedReport:
    """Return the report with the places of members in its file, and the words of the rules that found something."""
    ruleset, _ = choose(one.read.proposal, one.report.ruleset.edition, service.rulesets, service.jurisdictions_by_id)
    names = dict.fromkeys(finding.rule for finding in one.report.findings)
    return LocatedReport(
        report=one.report,
        file=one.file,
        locate=read_json(one.body).places().of_value,
        rule_pages={name: rule_page(ruleset, name) for name in names if name in ruleset.rules},
    )


def _json(_: Service, one: Judged) -> bytes:
    return report_bytes(one.report)


def _text(_: Service, one: Judged) -> bytes:
    return report_text(one.report, colour=False).encode()


def _sarif(service: Service, one: Judged) -> bytes:
    return sarif_bytes([located(service, one)])


def _junit(service: Service, one: Judged) -> bytes:
    return junit_bytes([located(service, one)])


def _markdown(_: Service, one: Judged) -> bytes:
    return report_markdown(one.report, one.read.proposal).encode()


def _html(_: Service, one: Judged) -> bytes:
    return report_html(one.report, one.read.proposal).encode()


REPORT_FORMS: Final[Mapping[str, Callable[[Service, Judged], bytes]]] = {
    "application/json": _json,
    "text/plain": _text,
    "application/sarif+json": _sarif,
    "application/junit+xml": _junit,
    "text/markdown": _markdown,
    "text/html": _html,
}
"""The media types of a report, and how it is written in each; JSON is what is sent where any is accepted."""
