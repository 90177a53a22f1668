"""Where the service disconnect is."""

from __future__ import annotations

from changeout.domain.facts import Claim
from changeout.domain.findings import Answer, Stage
from changeout.domain.occupancy import one_or_two_family
from changeout.domain.truth import Truth
from changeout.rules._case import Case
from changeout.rules._compare import Notes, decide, under
from changeout.rules._registry import Limits, rule


@rule(
    "service-disconnect-location",
    group="service",
    about="/location",
    stage=Stage.INSPECTION,
    needs=(
        "/panelboard/role",
        "/project/occupancy",
        "/location/room",
        "/location/readily_accessible",
        "/service/distance_inside",
        "/service/emergency_disconnect",
        "/service/emergency_disconnect_is",
    ),
    applies_to="service equipment",
    parameters={"one_and_two_family_outdoors": "flag"},
)
def service_disconnect_location(case: Case, limits: Limits) -> Answer:
    """The service disconnect is readily accessible, outside or inside nearest the point of entrance, in no bathroom.

    Because: the service conductors inside a building have no overcurrent protection but their utility's, and the
        disconnect is what ends them.
    Passes: when it is readily accessible, in no bathroom, and outdoors or with a stated distance inside; where the
        edition wants the service disconnect of a one- or two-family dwelling outdoors, when it is there.
    Fails: when it is not readily accessible, is in a bathroom, or is indoors where it belongs outdoors.
    Cannot tell: when one of these is not stated.
    Not covered: the greatest distance inside, which the authority having jurisdiction sets.
    """
    location = case.location
    placed, where = _placed(case, limits)
    elsewhere = ~location.room.among("bathroom")
    ready = location.readily_accessible.claim
    if elsewhere.fails:
        no, remedy = "the service disconnect is in a bathroom", "place the service disconnect out of the bathroom"
    elif ready.fails:
        no, remedy = "the service disconnect is not readily accessible", "place it, or clear its access, so that it is"
    else:
        no, remedy = f"the service disconnect is not {where}", f"place the service disconnect {where}"
    inside = case.service.distance_inside_in.stated and not location.room.among("outdoors").holds
    return under(
        case.panelboard.role.among("service"),
        decide(
            elsewhere & ready & placed,
            yes=f"the service disconnect is readily accessible, in no bathroom, and {where}",
            no=no,
            unknown=f"not stated: whether the service disconnect is readily accessible, in no bathroom, and {where}",
            notes=Notes(
                remedy=remedy,
                cautions=("The greatest distance inside is for the authority having jurisdiction to say.",)
                if inside
                else (),
            ),
        ),
        otherwise="a feeder supplies the panelboard, and this is asked of service disconnects",
    )


def _placed(case: Case, limits: Limits) -> tuple[Claim, str]:
    """Return the claim that it is where it belongs, and that place in words."""
    service, itself = case.service, case.location.room.among("outdoors")
    if limits.flag("one_and_two_family_outdoors") and one_or_two_family(case.project).holds:
        ahead = service.emergency_disconnect.among("outdoor-marked", "outdoor-unmarked")
        return itself | (ahead & service.emergency_disconnect_is.among("service-disconnect")), "outdoors"
    distance = service.distance_inside_in
    near = Claim(Truth.YES if distance.stated else Truth.UNKNOWN, distance.inputs, distance.missing)
    return itself | near, "outside or inside nearest the point of entrance"
