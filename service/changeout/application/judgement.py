"""A proposal with the report on it and the ruleset that judged: what a form other than JSON is made from."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from changeout.application.service import Service
from changeout.domain.findings import Report
from changeout.intake.read import ReadProposal, read_proposal
from changeout.render.located import Locate, LocatedReport
from changeout.review.catalogue import rule_page
from changeout.review.ruleset import Ruleset


@dataclass(frozen=True, slots=True, kw_only=True)
class Judgement:
    """A proposal that was read, its report and the ruleset that judged it."""

    read: ReadProposal
    report: Report
    ruleset: Ruleset

    def locate(self) -> Locate | None:
        """Return what says where a member stands in the text; None where the proposal was no text.

        A member that is missing has no place: it is told of at the value around the gap.
        """
        text = self.read.within.text
        return text.places().of_value if text else None

    def located(self, file: str) -> LocatedReport:
        """Return the report with its *file*, the places in it, and the words of each rule that found something."""
        return LocatedReport(report=self.report, file=file, locate=self.locate(), rule_pages=self._rule_pages())

    def _rule_pages(self) -> Mapping[str, Mapping[str, Any]]:
        return {
            name: rule_page(self.ruleset, name)
            for name in dict.fromkeys(finding.rule for finding in self.report.findings)
            if name in self.ruleset.rules
        }


def judge(service: Service, body: bytes, *, edition: str | None = None, detail: str = "full") -> Judgement:
    """Return the judgement of the proposal in *body*; see ``Service.validate``.

    Raises:
        Refusal: if the body cannot be read or no ruleset can be chosen.
    """
    return judge_read(service, read_proposal(body, edition_chosen=edition is not None), edition=edition, detail=detail)


def judge_read(service: Service, read: ReadProposal, *, edition: str | None = None, detail: str = "full") -> Judgement:
    """Return the judgement of a proposal that was read.

    Raises:
        Refusal: if no ruleset can be chosen.
    """
    ruleset, _ = service.chosen(read, edition)
    return Judgement(read=read, report=service.report_on(read, edition=edition, detail=detail), ruleset=ruleset)
