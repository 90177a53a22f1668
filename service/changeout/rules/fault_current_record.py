"""The record of the fault-current calculation behind the marking."""

from __future__ import annotations

from changeout.domain.facts import Claim, Evidence
from changeout.domain.findings import Advice, Answer, Judgement, Stage
from changeout.domain.occupancy import exempt_unit, units_and_more
from changeout.domain.truth import Truth
from changeout.rules._case import Case
from changeout.rules._compare import Notes, advise, decide, described, not_applicable, uncapitalised, under
from changeout.rules._registry import Limits, rule
from changeout.rules._roles import has_role

_SHOWS_FAULT_CURRENT = ("engineering-study", "utility-letter")


@rule(
    "fault-current-calculation-kept-and-verified",
    group="markings",
    about="/documents",
    stage=Stage.INSPECTION,
    needs=("/project/occupancy", "/project/serves", "/panelboard/role", "/documents", "/supply/source/document"),
    applies_to="the roles and occupancies whose fault current is marked",
    parameters={
        "roles": "words",
        "exempt_occupancies": "words",
        "read_both_ways": "words",
        "verified_again": "flag",
    },
)
def fault_current_record(case: Case, limits: Limits) -> Answer:
    """The calculation behind the marked fault current is documented and available.

    Because: a number on a label can be checked, and checked again after a change, only if it is known how it came.
    Passes: when a document that shows the fault current is named: a study, a utility's letter, or the document of the
        stated source.
    Fails: when it is declared that there are no documents.
    Cannot tell: when no documents are stated, or none of them is of a kind that shows a fault current.
    Not covered: that it is repeated when the system changes, which nobody can declare beforehand.
    """
    project, by_unit = case.project, limits.words("read_both_ways")
    exempt = exempt_unit(project, limits.words("exempt_occupancies"), by_unit)
    if exempt.holds:
        return not_applicable("the fault current of this occupancy need not be marked", exempt)
    answer = _documented(case, again=limits.flag("verified_again"))
    if units_and_more(project, by_unit).holds and answer.judgement is not Judgement.HOLDS:
        answer = advise(
            "whether the service of an apartment house is exempt as a dwelling is read both ways; if it is not: "
            f"{uncapitalised(answer)}",
            exempt,
            case.proposal.documents,
            notes=Notes(advice=Advice.READING),
            missing=(*exempt.missing, *answer.missing),
        )
    return under(
        has_role(case, limits.words("roles")),
        answer,
        otherwise="this is asked of service equipment, and the panelboard is supplied by a feeder",
    )


def _documented(case: Case, *, again: bool) -> Answer:
    documents, named = case.proposal.documents, case.supply.source.document
    fitting = [d for d in documents if d.kind.value in _SHOWS_FAULT_CURRENT]
    shown = named.document or (fitting[0] if fitting else None)
    evidence = Evidence(at=shown.at if shown else documents.at, document=shown)
    unsettled = tuple(d.kind.at for d in documents if d.kind.value is None) or (documents.at,)
    truth = Truth.YES if shown else Truth.NO if documents.stated and not len(documents) else Truth.UNKNOWN
    cautions = ("It is to be verified again when the system changes, and the marking with it.",) if again else ()
    return decide(
        Claim(truth, documents.inputs, unsettled),
        yes=f"the fault current is documented: {described(shown)}",
        no="no document shows the fault-current calculation",
        unknown="not stated: a document that shows the fault-current calculation, to be kept and made available",
        notes=Notes(
            remedy="keep the fault-current calculation, and name it among the documents",
            documents=(evidence,) if shown else (),
            cautions=cautions,
        ),
    )
