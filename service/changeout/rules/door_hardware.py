"""Doors for people near larger equipment."""

from __future__ import annotations

from changeout.domain.facts import any_claim
from changeout.domain.findings import Answer, Stage
from changeout.domain.occupancy import dwelling_unit
from changeout.rules._case import Case
from changeout.rules._compare import Notes, amount, decide, not_applicable, reaches, under, within
from changeout.rules._registry import Limits, rule


@rule(
    "personnel-door-hardware",
    group="location",
    about="/location/working_space/door_hardware",
    stage=Stage.INSPECTION,
    needs=(
        "/project/occupancy",
        "/project/serves",
        "/panelboard/main/rating",
        "/panelboard/busbar_rating",
        "/location/working_space/door_distance",
        "/location/working_space/door_hardware",
    ),
    applies_to="equipment outside dwelling units from the edition's rating on, with a door within its distance",
    parameters={"min_a": "number", "within_in": "number"},
)
def door_hardware(case: Case, limits: Limits) -> Answer:
    """Doors near larger equipment open outward with listed panic or fire-exit hardware.

    Because: who is burned or blinded must get out by leaning on the door.
    Passes: when listed panic hardware is stated on the door.
    Fails: when the door is within the distance of equipment at or over the rating and has other hardware.
    Cannot tell: when the rating, the distance or the hardware is not stated and decides.
    Not covered: which way the door opens. The equipment's rating is the greater of busbar and main.
    """
    unit, space = dwelling_unit(case.project), case.location.working_space
    main, least = case.panelboard.main.rating_a, limits.number("min_a")
    ratings = (case.panelboard.busbar_rating_a, *((main,) if main.stated else ()))
    rated = any_claim(reaches(rating, least) for rating in ratings)
    if unit.holds or rated.fails:
        return not_applicable(
            f"this is asked of equipment of {amount(least, 'A')} or more outside dwellings", unit, rated
        )
    return under(
        ~unit & rated & within(space.door_distance_in, limits.number("within_in")),
        decide(
            space.door_hardware.among("listed-panic"),
            yes="the door near the equipment has listed panic hardware",
            no="the door near the equipment has no listed panic hardware",
            notes=Notes(remedy="fit listed panic or fire-exit hardware on a door that opens outward"),
        ),
        otherwise="no door for people is that near to the working space",
    )
