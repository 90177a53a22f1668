"""Listing marks on the old enclosure that belong to the panelboard that was taken out."""

from __future__ import annotations

from changeout.domain.facts import Claim
from changeout.domain.findings import Answer, Stage
from changeout.rules._case import Case
from changeout.rules._compare import (
    Notes,
    advise,
    amount,
    arranged,
    decide,
    exceeds,
    not_applicable,
    spread,
    under,
    words,
)
from changeout.rules._registry import Limits, rule


@rule(
    "former-listing-marks-removed",
    group="replacement",
    about="/enclosure/former_listing_marks",
    stage=Stage.INTAKE,
    needs=(
        "/work/scope",
        "/enclosure/listed_for_panelboard",
        "/enclosure/former_listing_marks",
        "/former_panelboard/listed_enclosure",
        "calculation:fault-current",
        "/work/status",
    ),
    applies_to="an interior replaced in the existing enclosure and not listed for it",
    parameters={"any_fault_current": "flag", "threshold_a": "number"},
)
def former_listing_marks(case: Case, limits: Limits) -> Answer:
    """Listing marks of the former panelboard are taken off an enclosure that the new interior is not listed for.

    Because: an old mark left on the box tells the next worker a rating that no longer holds.
    Passes: when the marks are removed, or there were none.
    Fails: when they are present: at any fault current, or only over the threshold, as the edition has it.
    Cannot tell: when it is not stated whether there are marks, or whether the interior is listed for this enclosure,
        or the duty hangs on a fault current that may lie on either side of the threshold.
    """
    scope, listed = case.work.scope, case.enclosure.listed_for_panelboard
    if not scope.among("interior-only").holds:
        return not_applicable("the work is no interior replaced in an existing enclosure", scope)
    if listed.claim.holds:
        return not_applicable("the interior is declared listed for this enclosure, whose marks then still hold", listed)
    current, threshold_a = case.fault_current.at_panelboard, limits.number("threshold_a")
    owed = exceeds(current, threshold_a)
    marks = case.enclosure.former_listing_marks
    if not limits.flag("any_fault_current") and owed.fails and not marks.among("removed", "none").holds:
        return advise(
            "marks of the former panelboard that stay on the enclosure are to be taken off, although the available "
            f"fault current ({spread(current, 'A')}) is not over {amount(threshold_a, 'A')}",
            owed,
            notes=Notes(rests_on=(listed, marks), remedy=_REMEDY),
            missing=marks.missing,
        )
    always = limits.flag("any_fault_current") or owed.fails
    return under(
        ~listed.claim if always else ~listed.claim & owed,
        _marks(case, owed),
        otherwise="the interior is declared listed for this enclosure",
    )


def _was_listed(case: Case) -> bool:
    return case.proposal.former_panelboard.listed_enclosure.claim.holds


_CAUTION = (
    "The former panelboard was listed in this enclosure, so there were marks of it: see whether they are still there.",
)
_REMEDY = "take the listing marks of the former panelboard off the enclosure and submit a photo that shows it"


def _marks(case: Case, owed: Claim) -> Answer:
    marks = case.enclosure.former_listing_marks
    notes = Notes(
        rests_on=(case.enclosure.listed_for_panelboard,),
        remedy=_REMEDY,
        cautions=_CAUTION if marks.value == "none" and _was_listed(case) else (),
    )
    if marks.value == "to-be-removed":
        return arranged(
            "the listing marks of the former panelboard are to be removed and still on the enclosure",
            "the listing marks of the former panelboard are taken off the enclosure before the equipment is energized",
            marks,
            owed,
            notes=notes,
        )
    return decide(
        marks.among("removed", "none"),
        yes="no listing marks of the former panelboard are left on the enclosure"
        if marks.value != "none"
        else "the enclosure has no listing marks of a former panelboard",
        no="listing marks of the former panelboard are on the enclosure, which the new interior is not listed for",
        unknown="not stated: whether listing marks of the former panelboard are left on the enclosure",
        found=words("listing marks of the former panelboard", marks.value) if marks.value else None,
        notes=notes,
    )
