"""Light over the working space."""

from __future__ import annotations

from changeout.domain.findings import Answer, Stage
from changeout.rules._case import Case
from changeout.rules._compare import Notes, decide, under
from changeout.rules._registry import Limits, rule


@rule(
    "working-space-illumination",
    group="location",
    about="/location/illumination",
    stage=Stage.INSPECTION,
    needs=("/location/room", "/location/illumination"),
    applies_to="working spaces indoors",
)
def working_space_illumination(case: Case, _limits: Limits) -> Answer:
    """The working space indoors is lit, not by automatic control alone.

    Because: a light that goes out by itself leaves a person in the dark with hands among live parts.
    Passes: when the working space is declared lit.
    Fails: when it is declared not lit, or by automatic control alone.
    Cannot tell: when nothing is said of it.
    """
    answer = decide(
        case.location.illumination.claim,
        yes="the working space is lit, not by automatic control alone",
        no="the working space is not lit, or by automatic control alone",
        notes=Notes(remedy="provide a light with a switch at hand"),
    )
    return under(~case.location.room.among("outdoors"), answer, otherwise="the working space is outdoors")
