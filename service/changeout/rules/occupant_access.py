"""Each occupant's access to the devices of their own unit."""

from __future__ import annotations

from typing import Final

from changeout.domain.findings import Answer, Stage
from changeout.rules._case import Case
from changeout.rules._compare import Notes, decide, under
from changeout.rules._registry import Limits, rule

_MANAGED: Final = (
    "Access of a continuous management is enough for service and feeder devices that supply more than one occupancy, "
    "and for branch-circuit devices of guest rooms and dormitory sleeping rooms, not of apartments or tenants."
)
"""Source: electricians' forum, forums.mikeholt.com, thread 2585223 printing 240.24(B) of 2023; for 2017 and 2020 the
extent of the exception was not seen."""


@rule(
    "occupant-has-access",
    group="location",
    about="/location/occupant_access",
    stage=Stage.INSPECTION,
    needs=("/project/occupancy", "/location/occupant_access"),
    applies_to="buildings of multiple occupancy",
    parameters={"occupancies": "words"},
)
def occupant_access(case: Case, limits: Limits) -> Answer:
    """Each occupant can reach the overcurrent devices of their own unit, or management does where that is enough.

    Because: who lives or works there must be able to switch off what they use.
    Passes: when access is declared, by the occupants, or by management where the section lets it stand in.
    Fails: when it is declared that there is none.
    Cannot tell: when nothing is said of it.
    Not covered: whether the building is under continuous management, and which devices its access is enough for.
    """
    answer = decide(
        case.location.occupant_access.claim,
        yes="access to the overcurrent devices of each unit is declared, the occupant's or, where it may stand in, the "
        "management's",
        no="the occupants have no access to the overcurrent devices of their own unit",
        notes=Notes(
            remedy="give each occupant access, or show that the devices are ones to which access of a continuous "
            "management is enough",
            cautions=(_MANAGED,),
        ),
    )
    return under(
        case.project.occupancy.among(*limits.words("occupancies")),
        answer,
        otherwise="the building has a single occupant",
    )
