"""Whether the panelboard is listed, or how else the authority approves it."""

from __future__ import annotations

from changeout.domain.findings import Answer, Stage
from changeout.rules._case import Case
from changeout.rules._compare import Notes, advise, decide, described
from changeout.rules._registry import Limits, rule


@rule(
    "panelboard-listing-and-approval",
    group="replacement",
    about="/panelboard/listed",
    stage=Stage.INTAKE,
    needs=("/panelboard/listed", "/panelboard/role", "/documents", "/panelboard/reconditioned"),
    applies_to="every proposal",
)
def panelboard_listing(case: Case, _limits: Limits) -> Answer:
    """The panelboard is listed, or the authority having jurisdiction approves it otherwise.

    Because: without a listing the authority has nothing to go by and usually asks for a field evaluation.
    Passes: when the panelboard is declared listed.
    Fails: never by itself: approval is the authority's, and a missing listing is said as advice.
    Cannot tell: when it is not stated.
    Not covered: the marking of service equipment, which has its own rule.
    """
    listed, role = case.panelboard.listed, case.panelboard.role
    if listed.claim.fails:
        also = " and to look at its marking as service equipment" if role.value == "service" else ""
        return advise(
            "the panelboard is declared not listed: expect the authority having jurisdiction to ask for a field "
            f"evaluation before it approves it{also}",
            listed,
            role,
            notes=Notes(remedy="use a listed panelboard, or submit the evaluation that stands for its listing"),
        )
    offered = [d for d in case.proposal.documents if d.kind.value == "listing-evidence"]
    cautions = [f"Listing evidence offered: {described(d)}; see that it names this panelboard." for d in offered]
    if listed.claim.holds and case.panelboard.reconditioned.claim.holds:
        cautions.append(_RECONDITIONED)
    return decide(
        listed.claim,
        yes="the panelboard is declared listed",
        no="the panelboard is declared not listed",
        unknown="not stated: whether the panelboard is listed",
        notes=Notes(rests_on=(role,), cautions=tuple(cautions)),
    )


_RECONDITIONED = (
    "The panelboard is also declared reconditioned: the maker's listing does not outlast reconditioning unless the "
    "reconditioned panelboard was listed as such."
)
