"""The fault current after a change, against the former marking and the rating."""

from __future__ import annotations

from changeout.domain.facts import Claim, measured
from changeout.domain.findings import Advice, Answer, Judgement, Stage
from changeout.domain.occupancy import exempt_unit, units_and_more
from changeout.domain.truth import Truth
from changeout.rules._case import Case
from changeout.rules._compare import (
    Notes,
    advise,
    decide,
    figure,
    not_applicable,
    reaches,
    spread,
    uncapitalised,
    under,
    within,
)
from changeout.rules._registry import Limits, rule


@rule(
    "service-fault-current-recalculated-after-change",
    group="markings",
    about="/service/previous_fault_current_marking",
    stage=Stage.INSPECTION,
    needs=(
        "/panelboard/role",
        "/project/occupancy",
        "/project/serves",
        "/service/previous_fault_current_marking",
        "/service/fault_current_marking",
        "/panelboard/short_circuit_rating",
        "calculation:fault-current",
    ),
    applies_to="service equipment in other than dwelling units",
    parameters={"exempt_occupancies": "words", "read_both_ways": "words", "max_difference_percent": "number"},
)
def fault_current_recalculation(case: Case, limits: Limits) -> Answer:
    """A fault current that is no longer the marked one is marked anew and within the rating of the equipment.

    Because: a larger transformer or a shorter service can raise the fault current over what the equipment and its
        marking were made for.
    Passes: when the calculated fault current is within the rating and either agrees with the former marking or the
        finished work is declared marked anew.
    Fails: when it is over the rating, or differs from the former marking and the marking is declared not renewed.
    Cannot tell: when the former marking is not stated, or it differs and nothing is said of a new one.
    Not covered: changes by the utility after the work.
    """
    project = case.project
    by_unit = limits.words("read_both_ways")
    exempt = exempt_unit(project, limits.words("exempt_occupancies"), by_unit)
    if exempt.holds:
        return not_applicable("service equipment of a dwelling unit is exempt from this marking", exempt)
    answer = _checked_again(case, limits.number("max_difference_percent"))
    if units_and_more(project, by_unit).holds and answer.judgement is Judgement.FAILS:
        answer = advise(
            "whether the service equipment of an apartment house is exempt as a dwelling is read both ways; if it is "
            f"not: {uncapitalised(answer)}",
            exempt,
            case.service.previous_fault_current_marking_a,
            notes=Notes(advice=Advice.READING),
            missing=exempt.missing,
        )
    return under(
        case.panelboard.role.among("service"),
        answer,
        otherwise="the panelboard is supplied by a feeder, and this is asked of service equipment",
    )


def _checked_again(case: Case, percent: float) -> Answer:
    former, current = case.service.previous_fault_current_marking_a, case.fault_current.at_panelboard
    found, kept = measured(current), case.service.fault_current_marking
    known = Claim(Truth.YES if former.stated else Truth.UNKNOWN, former.inputs, former.missing)
    agrees = reaches(former, found.times((100 - percent) / 100)) & within(former, found.times((100 + percent) / 100))
    rating = case.panelboard.short_circuit_rating_a
    rated = within(current, rating)
    marking = f"the former marking ({spread(former, 'A')})"
    fault = f"the calculated fault current ({spread(current, 'A')})"
    required = figure("former fault-current marking", former, "A", "=") if former.stated else None
    no = f"{fault} differs from {marking} by more than {percent:g} %, and the marking is not renewed"
    if rated.fails:
        no = f"{fault} is over the short-circuit current rating of the panelboard ({spread(rating, 'A')})"
        required = figure("short-circuit current rating of the panelboard", rating, "A", "<=")
    return decide(
        rated & known & (agrees | kept.claim),
        yes=f"{fault} agrees with {marking} within {percent:g} %"
        if agrees.holds
        else f"{fault} is within the rating, and the finished work is marked anew",
        no=no,
        unknown="the former fault-current marking is not stated"
        if not former.stated
        else f"whether {fault} is within the rating and agrees with {marking}, or is marked anew, cannot be told",
        found=figure("calculated fault current", current, "A"),
        required=required,
        notes=Notes(
            remedy="calculate the fault current again, mark it with its date, and use equipment rated for it",
        ),
    )
