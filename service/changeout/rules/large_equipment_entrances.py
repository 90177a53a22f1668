"""Ways out of the working space of large equipment."""

from __future__ import annotations

from changeout.domain.facts import Claim, any_claim, fixed
from changeout.domain.findings import Answer, Stage
from changeout.electrical.clearances import working_space_depth
from changeout.electrical.systems import voltage_to_ground
from changeout.rules._case import Case
from changeout.rules._compare import Notes, amount, decide, exceeds, figure, not_applicable, reaches, under
from changeout.rules._registry import Limits, rule


@rule(
    "large-equipment-entrances",
    group="location",
    about="/location/working_space/entrances",
    stage=Stage.INSPECTION,
    needs=(
        "/panelboard/main/rating",
        "/panelboard/busbar_rating",
        "/enclosure/width",
        "/location/working_space/entrances",
        "/location/working_space/unobstructed_exit",
        "/location/working_space/depth",
        "/location/working_space/opposite",
        "/supply/system",
        "/supply/system_grounding",
    ),
    applies_to="equipment of the edition's rating or more that is wider than its limit",
    parameters={"min_a": "number", "over_width_in": "number"},
)
def large_equipment_entrances(case: Case, limits: Limits) -> Answer:
    """The working space of large equipment has a way out at each end, or one of the two reliefs holds.

    Because: an arc in the middle of long equipment can shut off the only way out.
    Passes: with two ways out; or with one where a continuous and unobstructed way out is stated, or the clear depth is
        twice the depth that the working space needs.
    Fails: with one way out and no relief: the depth is known to be less than twice what is needed, and no unobstructed
        way out is claimed.
    Cannot tell: when the rating or the width of the equipment, the number of ways out, or the depth that could relieve
        is not stated and decides.
    Not covered: the size of the ways out. The equipment's rating is the greater of busbar and main.
    """
    main, least, width = case.panelboard.main.rating_a, limits.number("min_a"), limits.number("over_width_in")
    ratings = (case.panelboard.busbar_rating_a, *((main,) if main.stated else ()))
    large = any_claim(reaches(rating, least) for rating in ratings)
    wide = exceeds(case.enclosure.width_in, width)
    if large.fails:
        return not_applicable(f"the equipment is rated below {amount(least, 'A')}", large)
    if wide.fails:
        return not_applicable(f"the equipment is no wider than {amount(width, 'in')}", wide)
    space = case.location.working_space
    both = reaches(space.entrances, 2)
    needed = working_space_depth(voltage_to_ground(case.supply), space.opposite)
    deep = reaches(space.depth_in, needed.times(2))
    open_way = space.unobstructed_exit.claim
    relieved = deep | open_way
    if open_way.unknown and deep.fails:
        relieved = Claim(deep.truth, relieved.inputs)
    return under(
        large & wide,
        decide(
            both | relieved,
            yes="the working space has a way out at each end"
            if both.holds
            else "the working space has one way out, which is continuous and unobstructed"
            if open_way.holds
            else "the working space has one way out and twice the depth that it needs",
            no="the working space of equipment this large has one way out only, and neither a continuous and "
            "unobstructed way out nor twice the needed depth is shown",
            unknown="not stated: whether the working space has a way out at each end, or a relief for a single one",
            found=figure("ways out of the working space", space.entrances, "") if space.entrances.stated else None,
            required=figure("ways out of the working space", fixed(2), "", ">="),
            notes=Notes(
                remedy="provide a way out at each end of the working space, or show a continuous and unobstructed way "
                "out or twice the needed depth"
            ),
        ),
        otherwise="the equipment is not of that rating and width",
    )
