"""The outdoor disconnect of a dwelling that a feeder supplies."""

from __future__ import annotations

from changeout.domain.findings import Answer, Stage
from changeout.domain.occupancy import one_or_two_family
from changeout.rules._case import Case
from changeout.rules._compare import Notes, decide, not_applicable, under
from changeout.rules._registry import Limits, rule


@rule(
    "dwelling-feeder-disconnect-outdoors",
    group="service",
    about="/service/emergency_disconnect",
    stage=Stage.INTAKE,
    needs=(
        "/project/occupancy",
        "/panelboard/role",
        "/panelboard/main/kind",
        "/supply/separate_building",
        "/supply/building",
        "/service/emergency_disconnect",
        "/service/upstream_disconnect_outdoors_in_sight",
        "/location/room",
    ),
    applies_to="one- and two-family dwellings in a separate building that a feeder supplies",
    parameters={"upstream_exception": "flag"},
)
def dwelling_feeder_disconnect(case: Case, limits: Limits) -> Answer:
    """A dwelling in a separate building that a feeder supplies can be shut off by a disconnect outdoors.

    Because: fire crews need a shut-off they can reach without entering, whoever supplies the building.
    Passes: when an outdoor disconnect is declared, or the panelboard with its main stands outdoors itself; where the
        edition allows it, when the disconnect upstream is outdoors in sight of the dwelling.
    Fails: when there is none.
    Cannot tell: when it is not stated whether there is one, or whether the panelboard is in a separate building.
    Not covered: its marking, which has a rule of its own. A building that is stated to be no dwelling is not asked.
    """
    role, dwelling = case.panelboard.role.among("feeder"), one_or_two_family(case.project)
    if role.fails:
        return not_applicable("the panelboard is service equipment, and this is asked where a feeder supplies it", role)
    if dwelling.fails:
        return not_applicable("this is asked of one- and two-family dwellings", dwelling)
    building = case.supply.building
    if building.stated and building.value != "dwelling":
        what = (building.value or "").replace("-", " ")
        return not_applicable(f"the building that the feeder supplies is no dwelling ({what})", building)
    service = case.service
    itself = case.location.room.among("outdoors") & case.panelboard.main.kind.among("breaker", "fusible")
    ahead = service.emergency_disconnect.among("outdoor-marked", "outdoor-unmarked")
    upstream = service.upstream_disconnect_outdoors_in_sight.claim
    shut_off = itself | ahead | upstream if limits.flag("upstream_exception") else itself | ahead
    if itself.holds or ahead.holds:
        yes = "a disconnect outdoors shuts off the dwelling"
    else:
        yes = "the disconnect upstream is outdoors in sight of the dwelling, so another one is not asked for"
    return under(
        role & dwelling & case.supply.separate_building.claim,
        decide(
            shut_off,
            yes=yes,
            no="the feeder has no disconnect outdoors that shuts off the dwelling",
            unknown="not stated: whether a disconnect outdoors shuts off the dwelling that the feeder supplies",
            notes=Notes(
                remedy="provide a readily accessible disconnect outdoors, on the dwelling or within sight of it, and "
                "mark it"
            ),
        ),
        otherwise="the panelboard is not in a separate building",
    )
