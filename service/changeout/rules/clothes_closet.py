"""Overcurrent devices and easily ignited material."""

from __future__ import annotations

from changeout.domain.findings import Answer, Stage
from changeout.rules._case import Case
from changeout.rules._compare import Notes, decide
from changeout.rules._registry import Limits, rule


@rule(
    "not-in-clothes-closet",
    group="location",
    about="/location/room",
    stage=Stage.INTAKE,
    needs=("/location/room",),
    applies_to="every proposal",
)
def clothes_closet(case: Case, _limits: Limits) -> Answer:
    """The overcurrent devices are not near easily ignited material, as in a clothes closet.

    Because: what a breaker throws out when it clears a fault can set clothes on fire.
    Passes: when the room is no clothes closet.
    Fails: when it is a clothes closet.
    Cannot tell: when the room is not stated.
    Not covered: other rooms in which easily ignited material is kept.
    """
    return decide(
        ~case.location.room.among("clothes-closet"),
        yes="the overcurrent devices are in no clothes closet",
        no="the overcurrent devices are in a clothes closet",
        unknown="not stated: whether the panelboard is in a clothes closet",
        notes=Notes(remedy="move the panelboard out of the closet, or end the room's use as one"),
    )
