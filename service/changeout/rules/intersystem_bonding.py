"""The termination for the bonding of communication systems."""

from __future__ import annotations

from changeout.domain.findings import Answer, Stage
from changeout.rules._case import Case
from changeout.rules._compare import Notes, amount, decide, under
from changeout.rules._registry import Limits, rule


@rule(
    "intersystem-bonding-termination",
    group="grounding-and-bonding",
    about="/grounding/intersystem_bonding",
    stage=Stage.INSPECTION,
    needs=("/panelboard/role", "/grounding/intersystem_bonding"),
    applies_to="services",
    parameters={"min_conductors": "number"},
)
def intersystem_bonding(case: Case, limits: Limits) -> Answer:
    """A service has a termination for the bonding conductors of communication systems.

    Because: telephone, antenna and cable systems earthed apart from the service put the difference across equipment.
    Passes: when the termination is declared.
    Fails: when it is declared that there is none.
    Cannot tell: when nothing is said of it.
    Not covered: buildings where no such systems are likely, and separate buildings.
    """
    room = f"a termination with room for {amount(limits.number('min_conductors'), '')} bonding conductors or more"
    answer = decide(
        case.grounding.intersystem_bonding.claim,
        yes="there is a termination for the bonding of communication systems at the service",
        no="there is no termination for the bonding of communication systems at the service",
        notes=Notes(remedy=f"fit {room} outside the service equipment"),
    )
    return under(
        case.panelboard.role.among("service"),
        answer,
        otherwise="a feeder supplies the panelboard, and this termination is asked of services",
    )
