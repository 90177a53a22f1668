"""A replacement interior that is not listed for its box, where the fault current is over the threshold."""

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
    spread,
    under,
)
from changeout.rules._registry import Limits, rule


@rule(
    "replacement-interior-field-label-above-10-ka",
    group="replacement",
    about="/enclosure/field_label",
    stage=Stage.INTAKE,
    needs=(
        "/work/scope",
        "/enclosure/listed_for_panelboard",
        "calculation:fault-current",
        "/enclosure/field_label/state",
        "/enclosure/field_label/evaluated_for",
        "/enclosure/field_label/document",
        "/work/status",
    ),
    applies_to="an interior replaced in the existing enclosure",
    parameters={"threshold_a": "number"},
)
def field_label_above_threshold(case: Case, limits: Limits) -> Answer:
    """A replacement interior not listed for its enclosure is field labeled where the fault current is over 10,000 A.

    Because: above 10,000 A an untested pairing of interior and box can vent an arc at the person in front of it.
    Passes: when a field label is applied to the completed work and what it was evaluated for is at least the
        available fault current.
    Fails: when the whole range of the fault current is over the threshold and there is no label, or the label was
        evaluated for less than the fault current.
    Cannot tell: when the fault current may lie on either side of the threshold, when it is not stated whether the
        interior is listed for this enclosure, or when the label or what it was evaluated for is not stated.
    Not covered: who may evaluate; the authority having jurisdiction accepts the label.
    """
    scope, listed = case.work.scope, case.enclosure.listed_for_panelboard
    if not scope.among("interior-only").holds:
        return not_applicable("the work is no interior replaced in an existing enclosure", scope)
    if listed.claim.holds:
        return not_applicable("the interior is declared listed for this enclosure", listed)
    current, threshold_a = case.fault_current.at_panelboard, limits.number("threshold_a")
    return under(
        exceeds(current, threshold_a) & ~listed.claim,
        _label(case, threshold_a),
        otherwise=f"the available fault current ({spread(current, 'A')}) is not over {amount(threshold_a, 'A')}",
    )


def _label(case: Case, threshold_a: float) -> Answer:
    label, current = case.enclosure.field_label, case.fault_current.at_panelboard
    notes = Notes(
        rests_on=(case.enclosure.listed_for_panelboard, label.state),
        documents=(label.document,),
        cautions=kind_caution(label.document, "field-evaluation-report")
        if label.document.stated or label.state.value != "applied"
        else ("No report of the field evaluation is named.",),
        remedy="have the completed work evaluated and labeled in the field for at least the available fault current "
        "and submit the evaluation report, or use an interior listed for this enclosure",
    )
    if label.state.value == "applied":
        return at_least(
            Quantity(name="fault current the field label was evaluated for", number=label.evaluated_for_a),
            Quantity(name="available fault current", number=current),
            "A",
            notes,
        )
    if label.state.value == "arranged":
        return arranged(
            "the field label that the completed work needs is arranged and not yet applied",
            f"the completed work is evaluated and labeled in the field for at least {amount(current.high, 'A')} "
            "before the equipment is energized",
            label.state,
            notes=notes,
        )
    return decide(
        label.state.among("applied"),
        yes="the completed work is field labeled",
        no=f"the interior is not listed for this enclosure, the available fault current ({spread(current, 'A')}) is "
        f"over {amount(threshold_a, 'A')}, and the completed work has no field label",
        unknown="not stated: whether the completed work is field labeled",
        notes=notes,
    )
