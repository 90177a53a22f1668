"""The way out of the working space with equipment doors open, and its floor."""

from __future__ import annotations

from dataclasses import replace

from changeout.domain.facts import fixed, merged
from changeout.domain.findings import Answer, Judgement, Stage
from changeout.rules._case import Case
from changeout.rules._compare import Notes, Quantity, amount, at_least, decide
from changeout.rules._registry import Limits, rule


@rule(
    "working-space-egress-and-floor",
    group="location",
    about="/location/working_space",
    stage=Stage.INSPECTION,
    needs=("/location/working_space/egress_width_doors_open", "/location/working_space/floor_clear_and_flat"),
    applies_to="every proposal",
    parameters={"egress_width_in": "number", "egress_height_in": "number"},
)
def working_space_egress(case: Case, limits: Limits) -> Answer:
    """With equipment doors open there is still a way out wide and high enough, and the floor is clear and flat.

    Because: who backs away from an arc must not be stopped by a door or trip over a step.
    Passes: when the width left with doors open is at or above the edition's and the floor is declared clear and flat.
    Fails: when the width left is less, or the floor is declared not so.
    Cannot tell: when either is not stated.
    Not covered: the height of the way out, which is seen on site.
    """
    space = case.location.working_space
    height = amount(limits.number("egress_height_in"), "in")
    way = at_least(
        Quantity(name="width of the way out with equipment doors open", number=space.egress_width_doors_open_in),
        Quantity(name="least width of the way out", number=fixed(limits.number("egress_width_in"))),
        "in",
        Notes(
            remedy=f"leave a way out of that width and {height} high with every equipment door open",
            rests_on=(space.floor_clear_and_flat,) if space.floor_clear_and_flat.stated else (),
        ),
    )
    floor = space.floor_clear_and_flat.claim
    if way.judgement is Judgement.FAILS or floor.holds:
        return way
    if way.judgement is Judgement.UNKNOWN and floor.unknown:
        return replace(
            way,
            message=way.message.removesuffix(".") + ", nor whether the floor of the working space is clear and flat.",
            missing=merged(way.missing, floor.missing),
        )
    return decide(
        floor,
        yes="the floor of the working space is clear and flat",
        no="the floor of the working space is not clear and as flat as practical",
        notes=Notes(
            remedy="clear the floor of the working space and keep it level",
            rests_on=(space.egress_width_doors_open_in,) if space.egress_width_doors_open_in.stated else (),
        ),
    )
