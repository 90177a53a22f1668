"""Overcurrent devices and stairways."""

from __future__ import annotations

from changeout.domain.findings import Answer, Stage
from changeout.rules._case import Case
from changeout.rules._compare import Notes, decide
from changeout.rules._registry import Limits, rule

_LANDING = "Over a landing a panelboard has been accepted where the full working space is there: show it on a drawing."


@rule(
    "not-over-steps",
    group="location",
    about="/location/over_steps",
    stage=Stage.INSPECTION,
    needs=("/location/room", "/location/over_steps"),
    applies_to="every proposal",
)
def stairway_steps(case: Case, _limits: Limits) -> Answer:
    """The overcurrent devices are not over the steps of a stairway.

    Because: who works there, or backs away from an arc, stands on steps and falls.
    Passes: when they are declared not over steps, or the room is no stairway and nothing else is said.
    Fails: when they are declared over steps.
    Cannot tell: when the room is a stairway or is not stated, and nothing is said of steps.
    Not covered: the working space over a landing, which has rules of its own.
    """
    steps, room = case.location.over_steps, case.location.room
    beside = steps.claim.fails and room.among("stairway").holds
    return decide(
        ~steps.claim if steps.stated else ~steps.claim | ~room.among("stairway"),
        yes="the overcurrent devices are not over the steps of a stairway",
        no="the overcurrent devices are over the steps of a stairway",
        notes=Notes(
            remedy="place the panelboard away from the steps",
            rests_on=(room,) if beside else (),
            cautions=(_LANDING,) if beside else (),
        ),
    )
