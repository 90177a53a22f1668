"""The edition that is applied against the one in force where and when the application was made."""

from __future__ import annotations

from changeout.domain.facts import Claim
from changeout.domain.findings import Advice, Answer, Stage
from changeout.domain.truth import Truth
from changeout.rules._case import Case
from changeout.rules._compare import Notes, advise, decide, not_applicable, words
from changeout.rules._registry import Limits, rule


@rule(
    "edition-in-force-on-application-date",
    group="process",
    about="/project",
    stage=Stage.INTAKE,
    needs=(
        "/project/edition",
        "/project/jurisdiction",
        "/project/applied_on",
        "/project/permit_issued_on",
        "/project/work_started_on",
        "/former_panelboard/like_for_like",
    ),
    applies_to="every proposal outside a comparison of editions",
)
def edition_in_force(case: Case, _limits: Limits) -> Answer:
    """The edition applied is the one in force in the jurisdiction on the application date.

    Because: a proposal judged by an edition that is not in force there is judged by the wrong requirements.
    Passes: when the jurisdiction's adoptions put the edition applied in force on the date applied on.
    Fails: when they put another edition in force on that date.
    Cannot tell: when the date applied on is not stated, or lies before the first adoption that is known. Without a
        jurisdiction the edition is the sender's word, which the finding says as advice.
    Not covered: dates other than the one applied on where the proposal does not state them; an adoption that counts
        by the permit or the start of work is then judged by the date applied on, which comes first.
    """
    adoption, project = case.adoption, case.project
    if adoption.comparison:
        return not_applicable("editions are laid side by side here, and none is claimed to be in force")
    dates = (project.applied_on, project.permit_issued_on, project.work_started_on)
    facts = (project.edition, project.jurisdiction, *dates)
    if not project.jurisdiction.stated and adoption.in_force is None:
        return advise(
            f"edition {adoption.chosen} is stated by the sender, not checked against an adoption",
            *(f for f in facts if f.stated),
            notes=Notes(
                remedy="name the jurisdiction and the date applied on", advice=Advice.READING, cautions=_alike(case)
            ),
        )
    inputs = tuple(f.at for f in facts if f.stated)
    truth = Truth.UNKNOWN if adoption.in_force is None else Truth.of(adoption.in_force == adoption.chosen)
    because = f" ({adoption.in_force_because})" if adoption.in_force_because else ""
    return decide(
        Claim(truth, inputs, (project.applied_on.at,)),
        yes=f"edition {adoption.chosen} is in force there{because}",
        no=f"edition {adoption.chosen} is applied, but edition {adoption.in_force} is in force there{because}",
        unknown="no adoption is known there for the date applied on, so which edition is in force cannot be told"
        if project.applied_on.stated
        else "the date applied on is not stated, so which edition is in force there cannot be told",
        found=words("edition applied", adoption.chosen),
        required=words("edition in force", adoption.in_force, "=") if adoption.in_force else None,
        notes=Notes(
            remedy=f"apply edition {adoption.in_force}, or state the date that puts the other one in force",
            cautions=_alike(case),
        ),
    )


def _alike(case: Case) -> tuple[str, ...]:
    if not case.proposal.former_panelboard.like_for_like.claim.holds:
        return ()
    return (
        "The replacement is like for like: some places treat such work as a repair, with rules of their own. Ask the "
        "authority having jurisdiction; this report judges it by the whole edition.",
    )
