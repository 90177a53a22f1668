"""The surge-protective device, at the service and at a feeder panelboard: one requirement in two places."""

from __future__ import annotations

from changeout.domain.facts import Claim
from changeout.domain.findings import Advice, Answer, Stage
from changeout.domain.occupancy import feeder_supplies, service_supplies
from changeout.rules._case import Case
from changeout.rules._compare import Notes, advise, decide, not_applicable, under
from changeout.rules._registry import Limits, rule

_PARAMETERS = {"occupancies": "words", "advised_occupancies": "words"}
_NEEDS = ("/panelboard/role", "/project/occupancy", "/project/serves", "/service/surge_protection/kind")


@rule(
    "surge-protection-at-service",
    group="service",
    about="/service/surge_protection",
    stage=Stage.INTAKE,
    needs=_NEEDS,
    applies_to="services of the occupancies that the edition names",
    parameters=_PARAMETERS,
)
def at_service(case: Case, limits: Limits) -> Answer:
    """A service of an occupancy that the edition names has a Type 1 or Type 2 surge-protective device.

    Because: a surge can destroy the electronics that arc-fault, ground-fault and smoke protection depend on.
    Passes: when a Type 1 or Type 2 device in or beside the service equipment is stated.
    Fails: when it is stated that there is none.
    Cannot tell: when nothing is said of it. A health-care building may have patient sleeping rooms or none: without a
        device it gets advice. A service that supplies a common area alone is not asked for one.
    Not covered: devices at every next level of distribution instead, which the edition also allows.
    """
    role = case.panelboard.role.among("service")
    if role.fails:
        return not_applicable("a feeder supplies the panelboard, and this is asked of services", role)
    return _device(case, limits, role & service_supplies(case.project, _named(limits)), "service equipment")


@rule(
    "surge-protection-at-feeder-panelboard",
    group="service",
    about="/service/surge_protection",
    stage=Stage.INTAKE,
    needs=_NEEDS,
    applies_to="feeder panelboards for the occupancies that the edition names",
    parameters=_PARAMETERS,
)
def at_feeder_panelboard(case: Case, limits: Limits) -> Answer:
    """A feeder panelboard for an occupancy that the edition names has a Type 1 or Type 2 surge-protective device.

    Because: a surge can destroy the electronics that arc-fault, ground-fault and smoke protection depend on.
    Passes: when a Type 1 or Type 2 device in or beside the panelboard is stated.
    Fails: when it is stated that there is none.
    Cannot tell: when nothing is said of it, or, outside one- and two-family dwellings, whether the panelboard serves
        units or rooms or a common area alone. A health-care building may have patient sleeping rooms or none: without
        a device it gets advice.
    Not covered: which of the panelboard's circuits go to the units or rooms.
    """
    role = case.panelboard.role.among("feeder")
    if role.fails:
        return not_applicable("the panelboard is service equipment, and this is asked where a feeder supplies it", role)
    return _device(case, limits, role & feeder_supplies(case.project, _named(limits)), "panelboard")


def _named(limits: Limits) -> tuple[str, ...]:
    return (*limits.words("occupancies"), *limits.words("advised_occupancies"))


def _device(case: Case, limits: Limits, asked: Claim, place: str) -> Answer:
    occupancy, device = case.project.occupancy, case.service.surge_protection.kind
    present = device.among("type-1", "type-2")
    remedy = f"install a Type 1 or Type 2 surge-protective device in or beside the {place}"
    advised = occupancy.among(*limits.words("advised_occupancies"))
    if advised.holds and not (asked.fails or present.holds):
        return advise(
            f"no surge-protective device is shown at the {place}; where it supplies patient sleeping rooms, one is "
            "required",
            occupancy,
            device,
            notes=Notes(remedy=remedy, advice=Advice.READING),
            missing=device.missing,
        )
    return under(
        asked,
        decide(
            present,
            yes=f"a surge-protective device of Type 1 or Type 2 is at the {place}",
            no=f"there is no surge-protective device at the {place}",
            unknown=f"not stated: whether a Type 1 or Type 2 surge-protective device is at the {place}",
            notes=Notes(remedy=remedy),
        ),
        otherwise=f"the edition asks for no surge-protective device at the {place} of this occupancy",
    )
