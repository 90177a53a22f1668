"""Bonding of metal piping."""

from __future__ import annotations

from changeout.domain.findings import Answer, Stage
from changeout.rules._case import Case
from changeout.rules._compare import Notes, decide, under
from changeout.rules._registry import Limits, rule


@rule(
    "metal-piping-bonded",
    group="grounding-and-bonding",
    about="/grounding/piping_bonded",
    stage=Stage.INSPECTION,
    needs=("/panelboard/role", "/grounding/piping_bonded"),
    applies_to="services",
)
def piping_bonding(case: Case, _limits: Limits) -> Answer:
    """Metal water and gas piping in the building is bonded to the service.

    Because: a pipe that a live wire touches stays live unless a bond lets the device ahead trip.
    Passes: when the bonding is declared.
    Fails: when it is declared missing.
    Cannot tell: when nothing is said of it.
    Not covered: the size of the bond, and piping that nothing can make live.
    """
    answer = decide(
        case.grounding.piping_bonded.claim,
        yes="the metal piping is bonded",
        no="the metal piping is not bonded",
        notes=Notes(remedy="bond the metal water piping, and gas piping as its maker and the gas code want"),
    )
    return under(
        case.panelboard.role.among("service"),
        answer,
        otherwise="a feeder supplies the panelboard, and the bonding of piping belongs to the service",
    )
