"""Which disconnect is the service disconnect, and whether it says so."""

from __future__ import annotations

from collections.abc import Sequence

from changeout.domain.findings import Advice, Answer, Stage
from changeout.domain.proposal import OvercurrentDevice, RunDevice
from changeout.rules._case import Case
from changeout.rules._compare import Notes, advise, decide, under
from changeout.rules._registry import Limits, rule


@rule(
    "service-disconnect-identified",
    group="service",
    about="/service/disconnect_marked",
    stage=Stage.INSPECTION,
    needs=(
        "/panelboard/role",
        "/service/disconnect_marked",
        "/supply/overcurrent_device",
        "/supply/runs/*/device_after",
        "/service/emergency_disconnect",
        "/service/emergency_disconnect_is",
        "/location/room",
    ),
    applies_to="service equipment",
)
def service_disconnect_identification(case: Case, _limits: Limits) -> Sequence[Answer]:
    """The service disconnect is the one that is called so, and it is marked as such.

    Because: what lies after the service disconnect is a feeder, with its neutral, grounding and conductors under other
        rules; a disconnect added ahead of an old service panelboard turns it into a feeder panelboard.
    Passes: when the service disconnect is declared marked as such.
    Fails: when it is declared unmarked.
    Cannot tell: when nothing is said of its marking. A service panelboard with an overcurrent device or an outdoor
        disconnect ahead of it gets the question whether it still is one.
    """
    role = case.panelboard.role
    marked = decide(
        case.service.disconnect_marked.claim,
        yes="the service disconnect is marked as such",
        no="the service disconnect is not marked as such",
        notes=Notes(remedy="mark the service disconnect as the service disconnect"),
    )
    answers = [under(role.among("service"), marked, otherwise="the panelboard is supplied by a feeder")]
    if role.among("service").holds and _something_ahead(case):
        answers.append(_question(case))
    return tuple(answers)


def _something_ahead(case: Case) -> bool:
    service = case.service
    if service.emergency_disconnect_is.among("meter-disconnect", "other").holds:
        return False
    outdoors = service.emergency_disconnect.among("outdoor-marked", "outdoor-unmarked")
    ahead = outdoors & ~case.location.room.among("outdoors")
    return _device_ahead(case) is not None or ahead.holds


def _device_ahead(case: Case) -> OvercurrentDevice | RunDevice | None:
    between = [run.device_after for run in case.supply.runs if run.device_after is not None]
    return case.supply.overcurrent_device or next(iter(between), None)


def _question(case: Case) -> Answer:
    service, device = case.service, _device_ahead(case)
    what = "an overcurrent device" if device is not None else "an outdoor disconnect"
    return advise(
        f"the panelboard is stated to be service equipment, and {what} is stated ahead of it: is it a feeder "
        "panelboard now? Its neutral, grounding and conductors then follow other rules",
        case.panelboard.role,
        service.emergency_disconnect,
        *((device.rating_a,) if device is not None else ()),
        notes=Notes(
            subject=case.panelboard.role.at,
            advice=Advice.READING,
            remedy="say whether the disconnect ahead is the service disconnect",
        ),
        missing=service.emergency_disconnect_is.missing,
    )
