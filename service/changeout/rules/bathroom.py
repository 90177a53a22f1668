"""Overcurrent devices and bathrooms."""

from __future__ import annotations

from changeout.domain.facts import certain
from changeout.domain.findings import Answer, Stage
from changeout.domain.occupancy import service_supplies
from changeout.rules._case import Case
from changeout.rules._compare import Notes, decide
from changeout.rules._registry import Limits, rule


@rule(
    "not-in-bathroom",
    group="location",
    about="/location/room",
    stage=Stage.INTAKE,
    needs=(
        "/location/room",
        "/project/occupancy",
        "/project/serves",
        "/work/scope",
        "/location/lawful_when_installed",
    ),
    applies_to="every proposal",
    parameters={"occupancies": "words", "every_occupancy": "flag", "existing_exception": "flag"},
)
def bathroom(case: Case, limits: Limits) -> Answer:
    """The overcurrent devices are in no bathroom of an occupancy that the edition names.

    Because: a panelboard in a bathroom is used with wet hands and behind a locked door; one in a dwelling's bathroom
        must move when it is replaced.
    Passes: when the room is no bathroom, the edition does not bar bathrooms of this occupancy, or the edition keeps
        devices in existing panelboards, the enclosure stays and it was lawful when installed.
    Fails: when the room is a bathroom of an occupancy that the edition names, and no exception holds.
    Cannot tell: when the room is not stated and would decide, or whether the place was lawful when installed.
    Not covered: showering facilities and locker rooms with showers that are not stated as bathrooms.
    """
    location, project = case.location, case.project
    named = certain(limits.flag("every_occupancy")) | service_supplies(project, limits.words("occupancies"))
    kept = (
        certain(limits.flag("existing_exception"))
        & case.work.scope.among("interior-only")
        & location.lawful_when_installed.claim
    )
    outside = ~location.room.among("bathroom")
    if outside.holds:
        yes = "the overcurrent devices are in no bathroom"
    elif named.fails:
        yes = "the edition does not bar overcurrent devices from bathrooms of this occupancy"
    else:
        yes = "the enclosure stays in the bathroom where it was lawfully installed, as the edition allows"
    return decide(
        outside | ~named | kept,
        yes=yes,
        no="the overcurrent devices are in a bathroom",
        unknown="the panelboard is in a bathroom; whether that was lawful when it was installed is not stated"
        if outside.fails
        else "not stated: whether the panelboard is in a bathroom",
        notes=Notes(
            remedy="move the panelboard out of the bathroom; that changes the job, so say it before work starts"
        ),
    )
