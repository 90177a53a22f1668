"""A replacement interior that is not listed for its box, where the fault current is at or under the threshold."""

from __future__ import annotations

from changeout.domain.findings import Answer, Stage
from changeout.rules._case import Case
from changeout.rules._compare import (
    Notes,
    amount,
    decide,
    described,
    kind_caution,
    named,
    not_applicable,
    spread,
    under,
    within,
    words,
)
from changeout.rules._registry import Limits, rule

_EXPECTED = {
    "manufacturer-instructions": ("manufacturer-instructions",),
    "listing": ("listing-evidence",),
    "authority-approval": ("other", "field-evaluation-report"),
}
"""The kinds of document one expects for each basis of identification (common practice, no source)."""


@rule(
    "replacement-interior-identified-at-or-below-10-ka",
    group="replacement",
    about="/panelboard/identified_for_application",
    stage=Stage.INTAKE,
    needs=(
        "/work/scope",
        "/enclosure/listed_for_panelboard",
        "calculation:fault-current",
        "/panelboard/identified_for_application",
        "/panelboard/identification_basis",
        "/panelboard/identification_document",
    ),
    applies_to="an interior replaced in the existing enclosure",
    parameters={"threshold_a": "number"},
)
def replacement_identification(case: Case, limits: Limits) -> Answer:
    """A replacement interior not listed for its enclosure is identified for the use at 10,000 A or less.

    Because: identified means recognizable as suitable for the use: instructions or a marking that name the fitting
        into another maker's box, not somebody's belief that it fits.
    Passes: when it is declared identified for the application, on a basis that is stated and with a document.
    Fails: when it is declared not identified while the whole range of the fault current is at or under the threshold.
    Cannot tell: when identification, its basis or its document is not stated, or the fault current may lie on either
        side of the threshold.
    """
    scope, listed = case.work.scope, case.enclosure.listed_for_panelboard
    if not scope.among("interior-only").holds:
        return not_applicable("the work is no interior replaced in an existing enclosure", scope)
    if listed.claim.holds:
        return not_applicable("the interior is declared listed for this enclosure", listed)
    current, threshold_a = case.fault_current.at_panelboard, limits.number("threshold_a")
    return under(
        within(current, threshold_a) & ~listed.claim,
        _identified(case),
        otherwise=f"the available fault current ({spread(current, 'A')}) is over {amount(threshold_a, 'A')}",
    )


def _identified(case: Case) -> Answer:
    panelboard = case.panelboard
    document, basis = panelboard.identification_document, panelboard.identification_basis
    on_basis = basis.among("manufacturer-instructions", "listing", "authority-approval")
    return decide(
        panelboard.identified_for_application.claim & on_basis & named(document),
        yes=f"the interior is identified for the application by {(basis.value or '').replace('-', ' ')}, shown by "
        f"{described(document.document)}",
        no="the interior is not listed for this enclosure and is declared not identified for the application",
        unknown="whether the interior is identified for the application is not shown: the declaration, its basis and "
        "its document are needed",
        found=words("identified for the application", "declared")
        if panelboard.identified_for_application.stated
        else None,
        notes=Notes(
            rests_on=(case.enclosure.listed_for_panelboard,),
            documents=(document,),
            cautions=kind_caution(document, *_EXPECTED[basis.value]) if basis.value else (),
            remedy="use an interior whose instructions or listing name this use, and submit them, or obtain the "
            "approval of the authority having jurisdiction",
        ),
    )
