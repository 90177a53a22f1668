"""The instructions that come with a replacement interior or retrofit kit."""

from __future__ import annotations

from changeout.domain.facts import Claim
from changeout.domain.findings import Answer, Stage
from changeout.domain.truth import Truth
from changeout.rules._case import Case
from changeout.rules._compare import Notes, decide, described, kind_caution, named, not_applicable
from changeout.rules._registry import Limits, rule


@rule(
    "retrofit-instructions-followed",
    group="replacement",
    about="/panelboard/identification_document",
    stage=Stage.INSPECTION,
    needs=("/work/scope", "/panelboard/identification_document", "/documents"),
    applies_to="an interior replaced in the existing enclosure",
)
def retrofit_instructions(case: Case, _limits: Limits) -> Answer:
    """The instructions of the replacement interior or retrofit kit are named.

    Because: what is listed or identified is so only when it is fitted as its instructions say.
    Passes: when the document is named, or one of the documents offered is the maker's instructions.
    Fails: never from what is stated alone.
    Cannot tell: when no such document is named.
    Not covered: whether the instructions are followed; that is seen at the inspection.
    """
    if not case.work.scope.among("interior-only").holds:
        return not_applicable("the work is no interior replaced in an existing enclosure", case.work.scope)
    evidence = case.panelboard.identification_document
    offered = [d for d in case.proposal.documents if d.kind.value == "manufacturer-instructions"]
    document = evidence.document or (offered[0] if offered else None)
    by_kind = Claim(Truth.YES, (offered[0].at,)) if offered else Claim(Truth.UNKNOWN, ("/documents",))
    return decide(
        named(evidence) | by_kind,
        yes=f"the instructions of the replacement interior are named: {described(document)}",
        no="no instructions of the replacement interior are named",
        unknown="no instructions of the replacement interior or retrofit kit are named",
        notes=Notes(
            documents=(evidence,),
            cautions=(
                "That the instructions are followed is seen at the inspection.",
                *kind_caution(evidence, *_EXPECTED),
            )
            if document
            else (),
        ),
    )


_EXPECTED = ("manufacturer-instructions", "listing-evidence")
