"""The marking of a panelboard's enclosure with the available fault current."""

from __future__ import annotations

from changeout.domain.findings import Answer, Stage
from changeout.rules._case import Case
from changeout.rules._compare import Notes, decide, under
from changeout.rules._registry import Limits, rule


@rule(
    "panelboard-fault-current-marking",
    group="markings",
    about="/service/fault_current_marking",
    stage=Stage.INSPECTION,
    needs=("/project/occupancy", "/service/fault_current_marking"),
    applies_to="panelboards in other than one- and two-family dwellings",
    parameters={"exempt_occupancies": "words"},
)
def panelboard_fault_current_marking(case: Case, limits: Limits) -> Answer:
    """A panelboard in other than one- and two-family dwellings is marked with the available fault current and its date.

    Because: the next person to replace a device needs to know the fault current that it must withstand.
    Passes: when the finished work is declared marked; one marking may serve as that of the service equipment too.
    Fails: when it is declared not marked.
    Cannot tell: when it is not stated whether it is marked.
    Not covered: whether the value on the marking is the calculated one.
    """
    exempt = case.project.occupancy.among(*limits.words("exempt_occupancies"))
    answer = decide(
        case.service.fault_current_marking.claim,
        yes="the panelboard's enclosure is marked with the available fault current and the date of its calculation",
        no="the panelboard's enclosure is not marked with the available fault current and the date of its calculation",
        unknown="not stated: whether the panelboard's enclosure is marked with the fault current and its date",
        notes=Notes(remedy="mark the enclosure with the available fault current and the date of its calculation"),
    )
    return under(~exempt, answer, otherwise="panelboards of one- and two-family dwellings are exempt from this marking")
