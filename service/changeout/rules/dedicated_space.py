"""The space over and under the panelboard."""

from __future__ import annotations

from changeout.domain.findings import Answer, Stage
from changeout.rules._case import Case
from changeout.rules._compare import Notes, amount, decide
from changeout.rules._registry import Limits, rule


@rule(
    "dedicated-equipment-space-clear",
    group="location",
    about="/location/dedicated_space_clear",
    stage=Stage.INSPECTION,
    needs=("/location/dedicated_space_clear",),
    applies_to="every proposal",
    parameters={"above_in": "number"},
)
def dedicated_space(case: Case, limits: Limits) -> Answer:
    """The space over and under the panelboard is free of foreign piping and ducts.

    Because: a leak over a panelboard puts water on live parts, and a duct there takes the way of later conduits.
    Passes: when the space is declared clear.
    Fails: when it is declared not clear.
    Cannot tell: when nothing is said of it.
    Not covered: piping above the zone, which is allowed where the equipment is protected against its leaks.
    """
    above = amount(limits.number("above_in"), "in")
    zone = f"its footprint from the floor to {above} above it, or to the ceiling if that is lower"
    return decide(
        case.location.dedicated_space_clear.claim,
        yes=f"the space over and under the panelboard ({zone}) is clear of foreign piping and ducts",
        no=f"the space over and under the panelboard ({zone}) is not clear of foreign piping and ducts",
        notes=Notes(remedy="move the piping or ducts out of the space, or place the panelboard elsewhere"),
    )
