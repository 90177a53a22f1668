"""The marking that says where a panelboard is fed from."""

from __future__ import annotations

from changeout.domain.findings import Answer, Stage
from changeout.rules._case import Case
from changeout.rules._compare import Notes, decide, not_applicable, under
from changeout.rules._registry import Limits, rule


@rule(
    "source-of-supply-marked",
    group="markings",
    about="/panelboard/source_marked",
    stage=Stage.INSPECTION,
    needs=("/project/occupancy", "/panelboard/role", "/panelboard/source_marked"),
    applies_to="feeder panelboards in other than one- and two-family dwellings",
    parameters={"exempt_occupancies": "words", "with_location": "flag"},
)
def source_marking(case: Case, limits: Limits) -> Answer:
    """A feeder panelboard in other than one- and two-family dwellings says where it is fed from.

    Because: who must switch the panelboard off should not have to search the building for its supply.
    Passes: when the finished work is declared so marked.
    Fails: when it is declared not so marked.
    Cannot tell: when nothing is said of it, or whether a feeder supplies the panelboard is not stated.
    Not covered: whether the marking is permanent and legible, which is seen on site.
    """
    exempt = case.project.occupancy.among(*limits.words("exempt_occupancies"))
    if exempt.holds:
        return not_applicable("panelboards of one- and two-family dwellings are exempt from this marking", exempt)
    what = "the device and the place it is fed from" if limits.flag("with_location") else "the device it is fed from"
    answer = decide(
        case.panelboard.source_marked.claim,
        yes=f"the panelboard is marked with {what}",
        no=f"the panelboard is not marked with {what}",
        notes=Notes(remedy=f"mark the panelboard permanently with {what}"),
    )
    return under(
        ~exempt & case.panelboard.role.among("feeder"),
        answer,
        otherwise="the panelboard is service equipment, and this is asked where a feeder supplies it",
    )
