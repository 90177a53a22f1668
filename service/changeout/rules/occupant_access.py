"""Each occupant's access to the devices of their own unit."""

from __future__ import annotations

from changeout.domain.findings import Answer, Stage
from changeout.rules._case import Case
from changeout.rules._compare import Notes, decide, under
from changeout.rules._registry import Limits, rule


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
    """Each occupant can reach the overcurrent devices of their own unit, or the building's management does by rule.

    Because: who lives or works there must be able to switch off what they use.
    Passes: when access is declared, by the occupants or by the rule for managed buildings.
    Fails: when it is declared that there is none.
    Cannot tell: when nothing is said of it.
    Not covered: whether the building is under continuous management.
    """
    answer = decide(
        case.location.occupant_access.claim,
        yes="each occupant has access to the overcurrent devices of their unit, or the managed-building rule holds",
        no="the occupants have no access to the overcurrent devices of their own unit",
        notes=Notes(
            remedy="give each occupant access, or show that the building is under continuous management that has it"
        ),
    )
    return under(
        case.project.occupancy.among(*limits.words("occupancies")),
        answer,
        otherwise="the building has a single occupant",
    )
