"""The same proposal under several editions or jurisdictions."""

from __future__ import annotations

from typing import Any, Final

from changeout import __version__
from changeout.application.requests import Part, Request, read_request
from changeout.application.service import Service
from changeout.domain.problems import DocumentError, Refusal
from changeout.editions.jurisdictions import NotYetAdopted
from changeout.intake.naming import ProposalMembers
from changeout.intake.read import ReadProposal
from changeout.render.report_json import finding_object
from changeout.review.comparison import Difference, Side, differences
from changeout.review.engine import Submission, review
from changeout.review.ruleset import Ruleset, digest_of
from changeout.rules._case import Adoption

MOST_SIDES: Final = 8
"""How many rulesets a comparison may have."""


def compare(service: Service, body: bytes) -> dict[str, Any]:
    """Return a comparison of the request ``{"proposal", "editions"?, "jurisdictions"?}``.

    Without either list all editions are compared. A jurisdiction is taken on the date applied on.

    Raises:
        Refusal: if the request or the proposal cannot be read, or a name is unknown.
    """
    request = read_request(
        body,
        Part("proposal", dict, required=True),
        Part("editions", list, most=MOST_SIDES),
        Part("jurisdictions", list, most=MOST_SIDES),
    )
    read = request.proposal("proposal", edition_chosen=True)
    return comparison_of(read, _labels(request, service, read))


def comparison_of(read: ReadProposal, rulesets: dict[str, Ruleset]) -> dict[str, Any]:
    """Return the comparison of a proposal under several rulesets, JSON-ready."""
    submission = Submission(
        proposal=read.proposal, digest=digest_of(read.canonical), reference=read.reference, annotations=read.annotations
    )
    sides = []
    for label, ruleset in rulesets.items():
        adoption = Adoption(chosen=ruleset.edition.name, chosen_by="compared", comparison=True)
        report = review(submission, ruleset, adoption, ProposalMembers(), engine=__version__, detail="findings")
        sides.append(Side(label=label, ruleset=ruleset, report=report))
    applied_on = read.proposal.project.applied_on.value
    return {
        "changeout_comparison": 1,
        "reference": read.reference,
        "applied_on": applied_on.isoformat() if applied_on else None,
        "sides": [
            {
                "label": side.label,
                "edition": side.ruleset.edition.name,
                "jurisdiction": side.ruleset.jurisdiction,
                "preview": side.ruleset.edition.preview,
                "digest": side.ruleset.digest,
                "decision_id": side.report.decision_id,
                "verdict": side.report.verdict,
                "headline": side.report.headline,
                "counts": dict(side.report.counts),
            }
            for side in sides
        ],
        "differences": [_difference_object(d) for d in differences(sides)],
        "cautions": list(sides[0].report.cautions),
        "defers_to": sides[0].report.defers_to,
    }


def _labels(request: Request, service: Service, read: ReadProposal) -> dict[str, Ruleset]:
    editions = request.value.get("editions", [])
    local = request.value.get("jurisdictions", [])
    if not editions and not local:
        editions = list(service.editions())
    found: dict[str, Ruleset] = {}
    errors = []
    for i, name in enumerate(editions):
        if isinstance(name, str) and name in service.rulesets:
            found[name] = service.rulesets[name]
        else:
            errors.append(_unknown(f"/editions/{i}", service.editions()))
    for i, name in enumerate(local):
        if isinstance(name, str) and name in service.jurisdictions_by_id:
            rulesets = service.jurisdictions_by_id[name]
            edition = _edition_there(service, name, read, f"/jurisdictions/{i}")
            found[f"{name} {edition}"] = rulesets.ruleset(edition, read.proposal.project.applied_on.value)
        else:
            errors.append(_unknown(f"/jurisdictions/{i}", tuple(service.jurisdictions_by_id)))
    if errors:
        raise Refusal("unreadable-request", "A name in the request is not known here.", tuple(errors))
    return found


def _edition_there(service: Service, name: str, read: ReadProposal, at: str) -> str:
    try:
        return service.jurisdictions_by_id[name].jurisdiction.in_force(read.proposal.project).edition
    except NotYetAdopted as problem:
        error = DocumentError(pointer=at, code="before-first-adoption", detail=str(problem))
        raise Refusal("unreadable-request", str(problem), (error,)) from None


def _unknown(pointer: str, known: tuple[str, ...]) -> DocumentError:
    return DocumentError(pointer=pointer, code="not-in-list", detail=f"Expected here: one of {', '.join(known)}.")


def _difference_object(difference: Difference) -> dict[str, Any]:
    return {
        "rule": difference.rule,
        "title": difference.title,
        "outcome_differs": difference.outcome_differs,
        "answers": {
            label: finding_object(finding, full=False) if finding else None
            for label, finding in difference.answers.items()
        },
        "changes": [
            {
                "from": change.since,
                "to": change.until,
                "kinds": list(change.kinds),
                "text": change.text,
                "source": change.source,
                "reviewed": change.reviewed,
            }
            for change in difference.changes
        ],
    }
