"""The height of the highest operating handle."""

from __future__ import annotations

from changeout.domain.facts import fixed
from changeout.domain.findings import Answer, Stage
from changeout.rules._case import Case
from changeout.rules._compare import Notes, Quantity, at_most
from changeout.rules._registry import Limits, rule


@rule(
    "highest-handle-height",
    group="location",
    about="/location/highest_handle",
    stage=Stage.INSPECTION,
    needs=("/location/highest_handle",),
    applies_to="every proposal",
    parameters={"max_in": "number"},
)
def handle_height(case: Case, limits: Limits) -> Answer:
    """The grip of the highest handle, in its highest position, is no higher above the floor than allowed.

    Because: a breaker that takes a ladder to reach is not switched off in time.
    Passes: when the height is at or under the limit.
    Fails: when it is over the limit.
    Cannot tell: when the height is not stated.
    Not covered: devices on busways, supplementary devices, and devices beside the equipment they supply.
    """
    return at_most(
        Quantity(name="height of the highest handle above the floor", number=case.location.highest_handle_in),
        Quantity(name="greatest height of a handle", number=fixed(limits.number("max_in"))),
        "in",
        Notes(remedy="mount the panelboard lower, or move the device to a lower position"),
    )
