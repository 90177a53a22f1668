"""One proposal under one ruleset: calculations once, every rule, waivers, verdict, questions."""

from __future__ import annotations

from collections.abc import Mapping
from contextlib import closing
from dataclasses import dataclass
from typing import Any, Final

from changeout.domain.calculation import Calculation
from changeout.domain.findings import Finding, Outcome, Question, Report
from changeout.domain.proposal import Proposal
from changeout.review.calculations import case_of
from changeout.review.members import Members
from changeout.review.outcomes import findings_of, silent
from changeout.review.questions import with_questions
from changeout.review.remedies import with_remedies
from changeout.review.ruleset import Ruleset, digest_of
from changeout.review.trial import Trials
from changeout.review.verdict import counts_of, headline_of, open_at_inspection, verdict_of
from changeout.review.waivers import apply_waivers
from changeout.rules._case import Adoption, Case

CAUTIONS: Final = (
    "Work on this equipment is for qualified persons, under licence and permit; plan it with everything dead and "
    "verified dead.",
    "The line side of a service panelboard stays live with its main off; only the utility or a disconnect ahead of it "
    "makes it dead.",
    "A passed review is no inspection and does not say that the installation is safe.",
    "Fault current is calculated from stated data, symmetrical and bolted, at nominal voltage; check it again when "
    "the utility changes its transformer.",
    "A series rating, a field label or a listing holds only for the very parts that were evaluated.",
    "Generators, batteries and solar sources can feed back: lock out every source.",
    "Old wiring can hold asbestos board, brittle insulation or aluminum branch circuits: stop and ask.",
)
"""Standing cautions, our own words; the usual ones of the trade (common practice, no source)."""

DEFERS_TO: Final = (
    "The authority having jurisdiction decides; the adopted edition of the code and its local amendments govern. "
    "Design and installation belong to licensed practice."
)

_ORDER: Final = {outcome: place for place, outcome in enumerate(Outcome)}


@dataclass(frozen=True, slots=True, kw_only=True)
class Submission:
    """What is judged: the proposal, its digest, and what is echoed without being interpreted."""

    proposal: Proposal
    digest: str
    reference: str | None
    annotations: Mapping[str, str]


def judge(case: Case, ruleset: Ruleset) -> list[Finding]:
    """Return the findings of every rule of the ruleset, in the report's order, waivers not yet applied."""
    completed = case.work.status.value == "completed"
    found: list[Finding] = []
    for name, row in ruleset.edition.rows.items():
        rule = ruleset.rules[name]
        if row.is_asked:
            answers = rule.check(case, ruleset.limits[name])
            found.extend(findings_of(ruleset, rule, answers, completed=completed))
        else:
            found.append(silent(ruleset, rule))
    return sorted(found, key=lambda f: _ORDER[f.outcome])


def review(
    submission: Submission,
    ruleset: Ruleset,
    adoption: Adoption,
    members: Members,
    *,
    engine: str,
    detail: str = "full",
) -> Report:
    """Return the report on a submission.

    *members* knows the proposal's members; *engine* is the engine's version; *detail* is ``full``, or ``findings``
    which leaves out questions, proven remedies and calculations and does not compute them.
    """
    case = case_of(submission.proposal, ruleset, adoption)
    findings, remarks = apply_waivers(
        judge(case, ruleset), submission.proposal.waivers, submission.proposal.project.applied_on.value
    )
    verdict = verdict_of(findings, with_waivers=True)
    full = detail == "full"
    questions: tuple[Question, ...] = ()
    if full:
        with closing(Trials(case, ruleset)) as trials:
            findings, questions = with_questions(trials, with_remedies(trials, findings, members), members)
    return Report(
        decision_id=decision_id(submission.digest, ruleset.digest, adoption, engine),
        proposal_digest=submission.digest,
        verdict=verdict,
        verdict_before_waivers=verdict_of(findings, with_waivers=False),
        headline=headline_of(findings, verdict),
        conditions=tuple(dict.fromkeys(f.condition for f in findings if f.condition)),
        open_at_inspection=open_at_inspection(findings),
        reference=submission.reference,
        annotations=submission.annotations,
        jurisdiction=submission.proposal.project.jurisdiction.value,
        edition_chosen_by=adoption.chosen_by,
        ruleset=ruleset.summary,
        counts=counts_of(findings),
        findings=tuple(findings),
        cautions=(*_preview(ruleset), *remarks, *CAUTIONS),
        defers_to=DEFERS_TO,
        questions=questions,
        calculations=calculations_of(case, findings) if full else (),
        detail=detail,
    )


def calculations_of(case: Case, findings: list[Finding]) -> tuple[Calculation, ...]:
    """Return the calculations with their steps: fault current always, the load where a method is stated."""
    made = [case.fault_current.calculation()]
    uses_load = any(f.calculation == "load" and f.outcome is not Outcome.NOT_APPLICABLE for f in findings)
    if case.load.method.stated or uses_load:
        made.append(case.load_result.calculation())
    return tuple(made)


def decision_id(proposal_digest: str, ruleset_digest: str, adoption: Adoption, engine: str) -> str:
    """Return the id of a decision: the same question to the same rules and engine has the same one anywhere."""
    question: dict[str, Any] = {
        "proposal": proposal_digest,
        "ruleset": ruleset_digest,
        "edition": adoption.chosen,
        "engine": engine,
    }
    return digest_of(question)


def _preview(ruleset: Ruleset) -> tuple[str, ...]:
    if not ruleset.edition.preview:
        return ()
    return (f"Edition {ruleset.edition.name} is a preview here. {ruleset.edition.note}",)
