"""The nominal discharge current of a required surge-protective device."""

from __future__ import annotations

from changeout.domain.facts import fixed
from changeout.domain.findings import Advice, Answer, Judgement, Stage
from changeout.domain.occupancy import feeder_supplies, service_supplies
from changeout.rules._case import Case
from changeout.rules._compare import Notes, Quantity, advise, at_least, not_applicable, uncapitalised, under
from changeout.rules._registry import Limits, rule


@rule(
    "surge-protection-discharge-rating",
    group="service",
    about="/service/surge_protection/nominal_discharge_current",
    stage=Stage.INTAKE,
    needs=(
        "/panelboard/role",
        "/project/occupancy",
        "/project/serves",
        "/service/surge_protection/kind",
        "/service/surge_protection/nominal_discharge_current",
    ),
    applies_to="surge-protective devices that the edition asks for",
    parameters={"min_a": "number", "occupancies": "words", "advised_occupancies": "words"},
)
def surge_discharge_rating(case: Case, limits: Limits) -> Answer:
    """A surge-protective device that the edition asks for has at least the nominal discharge current it sets.

    Because: a device that is too small is destroyed by the first surge and protects nothing afterwards.
    Passes: when the nominal discharge current is at or above the least one.
    Fails: when it is below.
    Cannot tell: when a device is there or may be and its nominal discharge current is not stated. A weaker device in
        a health-care building gets advice.
    Not covered: whether there is a device at all, which has rules of its own.
    """
    project, surge = case.project, case.service.surge_protection
    present = surge.kind.among("type-1", "type-2")
    if present.fails:
        return not_applicable("there is no surge-protective device to be rated", present)
    answer = at_least(
        Quantity(
            name="nominal discharge current of the surge-protective device", number=surge.nominal_discharge_current_a
        ),
        Quantity(name="least nominal discharge current", number=fixed(limits.number("min_a"))),
        "A",
        Notes(remedy="use a surge-protective device of at least the nominal discharge current that the edition sets"),
    )
    advised = limits.words("advised_occupancies")
    if project.occupancy.among(*advised).holds and answer.judgement is not Judgement.HOLDS:
        answer = advise(
            f"where patient sleeping rooms are supplied: {uncapitalised(answer)}",
            project.occupancy,
            surge.nominal_discharge_current_a,
            notes=Notes(advice=Advice.READING),
            missing=answer.missing,
        )
    named = (*limits.words("occupancies"), *advised)
    reached = service_supplies if case.panelboard.role.among("service").holds else feeder_supplies
    return under(
        reached(project, named),
        answer,
        otherwise="the edition asks for no surge-protective device here",
    )
