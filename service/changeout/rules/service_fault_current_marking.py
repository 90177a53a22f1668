"""The marking of service equipment with the available fault current."""

from __future__ import annotations

from changeout.domain.findings import Advice, Answer, Stage
from changeout.domain.occupancy import exempt_unit, units_and_more
from changeout.rules._case import Case
from changeout.rules._compare import Notes, advise, decide, not_applicable, under
from changeout.rules._registry import Limits, rule

_REMEDY = "mark the service equipment with the available fault current and the date of its calculation"


@rule(
    "service-fault-current-marking",
    group="markings",
    about="/service/fault_current_marking",
    stage=Stage.INSPECTION,
    needs=(
        "/panelboard/role",
        "/project/occupancy",
        "/project/serves",
        "/service/fault_current_marking",
        "/location/qualified_persons_only",
    ),
    applies_to="service equipment in other than dwelling units",
    parameters={"exempt_occupancies": "words", "read_both_ways": "words"},
)
def service_fault_current_marking(case: Case, limits: Limits) -> Answer:
    """Service equipment in other than dwelling units is marked with the available fault current and its date.

    Because: whoever works on the service later, or changes it, sees on the equipment what it was chosen for.
    Passes: when the finished work is declared marked; or in an industrial place where only qualified persons reach
        and service the equipment.
    Fails: when it is declared not marked.
    Cannot tell: when it is not stated whether it is marked, or, unmarked in an industrial place, whether only
        qualified persons reach it. The service of an apartment house without the marking is read both ways and
        gets advice.
    Not covered: whether the value on the marking is the calculated one.
    """
    project, role = case.project, case.panelboard.role
    by_unit = limits.words("read_both_ways")
    exempt = exempt_unit(project, limits.words("exempt_occupancies"), by_unit)
    if exempt.holds:
        return not_applicable("service equipment of a dwelling unit is exempt from this marking", exempt)
    answer = _marked(case)
    if units_and_more(project, by_unit).holds and not case.service.fault_current_marking.claim.holds:
        answer = advise(
            "the service equipment of an apartment house is not shown to be marked with the available fault current; "
            "whether it is exempt as a dwelling is read both ways",
            exempt,
            case.service.fault_current_marking,
            notes=Notes(remedy=_REMEDY, advice=Advice.READING),
            missing=(*exempt.missing, *case.service.fault_current_marking.missing),
        )
    return under(
        role.among("service"),
        answer,
        otherwise="the panelboard is supplied by a feeder, and this marking is asked of service equipment",
    )


def _marked(case: Case) -> Answer:
    marked = case.service.fault_current_marking.claim
    supervised = case.project.occupancy.among("industrial") & case.location.qualified_persons_only.claim
    return decide(
        marked if marked.holds else marked | supervised,
        yes="the service equipment is marked with the available fault current and the date of its calculation"
        if marked.holds
        else "only qualified persons reach and service this industrial equipment, so it need not be marked",
        no="the service equipment is not marked with the available fault current and the date of its calculation",
        unknown="not stated: whether the service equipment is marked with the available fault current and its date"
        if marked.unknown
        else "the service equipment is not marked with the available fault current; whether only qualified persons "
        "reach and service it is not stated",
        notes=Notes(remedy=_REMEDY),
    )
