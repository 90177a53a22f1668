"""The load against the devices and conductors that carry it."""

from __future__ import annotations

from changeout.domain.findings import Answer, Stage
from changeout.rules._case import Case
from changeout.rules._compare import Notes, Quantity, at_most, not_applicable
from changeout.rules._registry import Limits, rule
from changeout.rules._supply import AMPACITY_NEEDS, DEVICE_NEEDS, DWELLING_PARAMETERS, load_limit


@rule(
    "calculated-load-within-main-and-service",
    group="load",
    about="/load",
    stage=Stage.INTAKE,
    needs=(
        "calculation:load",
        "/supply/separately_derived/primary_system",
        "/supply/system",
        "/supply/runs",
        "/supply/carries_entire_dwelling_load",
        "/project/occupancy",
        "/project/serves",
        *DEVICE_NEEDS,
        *AMPACITY_NEEDS,
    ),
    applies_to="every proposal",
    parameters=DWELLING_PARAMETERS,
)
def calculated_load(case: Case, limits: Limits) -> Answer:
    """The calculated load is no more than the main, the device ahead and the supply conductors carry.

    Because: a load above what feeds it trips the device, or heats what the device does not protect.
    Passes: when the highest value of the load in amperes is at or below the least of the main (or two mains together),
        the device ahead and the ampacity of the supply conductors; conductors that satisfy the rule for dwelling
        services count as good for the rating that they serve. A device before a transformer counts in amperes of the
        panelboard's side.
    Fails: when the lowest value of the load is above the least of them.
    Cannot tell: when the load, a rating, the device ahead of a feeder panelboard or something about the conductors is
        not stated and decides.
    Not covered: the rating of a transformer, and conductors before those that end at the panelboard.
    """
    limit = load_limit(case, limits)
    if limit is None:
        return not_applicable(
            "neither a device nor conductors are stated to compare the load with", case.panelboard.main.kind
        )
    return at_most(
        Quantity(name="calculated load", number=case.load_result.amps),
        limit,
        "A",
        Notes(remedy="use a larger main, device ahead or conductors, whichever is the least, or take load off them"),
    )
