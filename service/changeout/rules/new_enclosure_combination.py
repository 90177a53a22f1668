"""A panelboard and a separate new enclosure put together on site."""

from __future__ import annotations

from changeout.domain.findings import Answer, Stage
from changeout.rules._case import Case
from changeout.rules._compare import (
    Notes,
    Quantity,
    amount,
    arranged,
    at_least,
    decide,
    exceeds,
    kind_caution,
    not_applicable,
    reaches,
    spread,
    under,
)
from changeout.rules._registry import Limits, rule


@rule(
    "new-enclosure-combination-evaluated-above-10-ka",
    group="replacement",
    about="/enclosure",
    stage=Stage.INTAKE,
    needs=(
        "/work/scope",
        "/enclosure/kind",
        "/enclosure/listed_for_panelboard",
        "calculation:fault-current",
        "/enclosure/listing_document",
        "/enclosure/field_label/state",
        "/enclosure/field_label/evaluated_for",
        "/enclosure/field_label/document",
    ),
    applies_to="a panelboard and a separate new enclosure put together on site",
    parameters={"threshold_a": "number"},
)
def new_enclosure_combination(case: Case, limits: Limits) -> Answer:
    """A panelboard joined on site with a separate enclosure is evaluated as a combination over 10,000 A.

    Because: over 10,000 A the enclosure has its part in holding back an arc, and a pairing nobody tested may not.
    Passes: when panelboard and enclosure are listed together, or the field label of the completed work was evaluated
        for at least the available fault current.
    Fails: when the whole range of the fault current is over the threshold and the combination is neither.
    Cannot tell: when the fault current may lie on either side of the threshold, or neither listing nor label is stated.
    """
    scope = case.work.scope
    if not scope.among("interior-in-new-enclosure").holds:
        return not_applicable("the work puts no panelboard into a separate new enclosure", scope)
    current, threshold_a = case.fault_current.at_panelboard, limits.number("threshold_a")
    return under(
        exceeds(current, threshold_a),
        _evaluated(case, threshold_a),
        otherwise=f"the available fault current ({spread(current, 'A')}) is not over {amount(threshold_a, 'A')}",
    )


_NO_DOCUMENT = "No document is named that shows the combination to be listed or evaluated."


def _evaluated(case: Case, threshold_a: float) -> Answer:
    enclosure, current = case.enclosure, case.fault_current.at_panelboard
    listed, label = enclosure.listed_for_panelboard, enclosure.field_label
    documents = (enclosure.listing_document,) if listed.claim.holds else (label.document,)
    notes = Notes(
        rests_on=(listed, label.state),
        documents=documents,
        cautions=kind_caution(documents[0], "listing-evidence", "field-evaluation-report")
        if documents[0].stated
        else ((_NO_DOCUMENT,) if listed.claim.holds or label.state.value == "applied" else ()),
        remedy="use an enclosure that the panelboard is listed with, or have the combination evaluated and labeled in "
        "the field for at least the available fault current",
    )
    if listed.claim.fails and label.state.value == "applied":
        return at_least(
            Quantity(name="fault current the combination was evaluated for", number=label.evaluated_for_a),
            Quantity(name="available fault current", number=current),
            "A",
            notes,
        )
    if listed.claim.fails and label.state.value == "arranged":
        return arranged(
            "the evaluation that panelboard and enclosure need as a combination is arranged and not yet done",
            "panelboard and enclosure are evaluated as a combination and labeled for at least "
            f"{amount(current.high, 'A')} before the equipment is energized",
            listed,
            label.state,
            notes=notes,
        )
    labeled = label.state.among("applied") & reaches(label.evaluated_for_a, current)
    return decide(
        listed.claim | labeled,
        yes="panelboard and enclosure are declared listed together"
        if listed.claim.holds
        else "panelboard and enclosure were evaluated as a combination for at least the available fault current",
        no="panelboard and separate enclosure are neither listed together nor evaluated for the available fault "
        f"current ({spread(current, 'A')}), which is over {amount(threshold_a, 'A')}",
        unknown="whether panelboard and enclosure were evaluated as a combination is not stated",
        notes=notes,
    )
