"""Overcurrent devices and stairways."""

from __future__ import annotations

from changeout.domain.findings import Advice, Answer, Stage
from changeout.rules._case import Case
from changeout.rules._compare import Notes, advise, decide
from changeout.rules._registry import Limits, rule


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
    Cannot tell: when the room is a stairway or is not stated, and nothing is said of steps. A place in a stairway that
        is not over steps is over a landing or beside one: it has been accepted with full working space and gets advice.
    """
    steps, room = case.location.over_steps, case.location.room
    if steps.claim.fails and room.among("stairway").holds:
        return advise(
            "the panelboard is in a stairway and not over its steps; over a landing it has been accepted where the "
            "full working space is there",
            steps,
            room,
            notes=Notes(advice=Advice.READING, remedy="show the landing and the full working space on a drawing"),
        )
    return decide(
        ~steps.claim if steps.stated else ~steps.claim | ~room.among("stairway"),
        yes="the overcurrent devices are not over the steps of a stairway",
        no="the overcurrent devices are over the steps of a stairway",
        notes=Notes(remedy="place the panelboard away from the steps"),
    )
