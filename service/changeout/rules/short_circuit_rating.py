"""The panelboard's own short-circuit current rating against the fault current."""

from __future__ import annotations

from changeout.domain.findings import Answer, Stage
from changeout.rules._case import Case
from changeout.rules._compare import Notes, Quantity, at_least, exceeds
from changeout.rules._registry import Limits, rule

TESTED_ALONE_UP_TO_A = 10_000
"""A: a mark over this, outside the enclosure it was tested in and without a label, gets a caution (common practice)."""


@rule(
    "short-circuit-rating-at-least-fault-current",
    group="ratings",
    about="/panelboard",
    stage=Stage.INTAKE,
    needs=(
        "/panelboard/short_circuit_rating",
        "calculation:fault-current",
        "/work/scope",
        "/enclosure/listed_for_panelboard",
        "/enclosure/field_label/state",
    ),
    applies_to="every proposal",
)
def short_circuit_rating(case: Case, _limits: Limits) -> Answer:
    """The panelboard's short-circuit current rating is at least the available fault current.

    Because: equipment used above its rating can burst when it clears a fault, and an assembly is no stronger
        than its weakest device.
    Passes: when the marked rating is at or above the highest value the fault current can have.
    Fails: when the marked rating is below the lowest value the fault current can have.
    Cannot tell: when the rating is not stated, or lies inside the range of the fault current.
    Not covered: peak let-through and withstand time; a series rating is judged by its own rule.
    """
    rating = case.panelboard.short_circuit_rating_a
    enclosure = case.enclosure
    own_box = case.work.scope.among("enclosed-panelboard") | enclosure.listed_for_panelboard.claim
    shown_to_hold = own_box | enclosure.field_label.state.among("applied")
    cautions = (
        (
            "The mark was earned in the enclosure it was tested in; in another one, without a field label, "
            "a mark over 10,000 A is not shown to hold.",
        )
        if exceeds(rating, TESTED_ALONE_UP_TO_A).holds and not shown_to_hold.holds
        else ()
    )
    return at_least(
        Quantity(name="short-circuit current rating of the panelboard", number=rating),
        Quantity(name="available fault current", number=case.fault_current.at_panelboard),
        "A",
        Notes(
            remedy="use a panelboard with a short-circuit current rating at or above the available fault current",
            cautions=cautions,
        ),
    )
