"""Ground-fault protection of equipment at a large main."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Final

from changeout.domain.facts import Choice, Claim, Measured, Measurement, fixed, merged
from changeout.domain.findings import Answer, Stage
from changeout.domain.interval import Interval
from changeout.domain.proposal import MainDevice
from changeout.domain.truth import Truth
from changeout.electrical.systems import SYSTEMS, ground_voltage_v
from changeout.rules._case import Case
from changeout.rules._compare import Notes, amount, decide, not_applicable, reaches, spread, under
from changeout.rules._registry import Limits, rule
from changeout.rules._supply import DEVICE_NEEDS, ahead, is_device

_WYE: Final = ("208Y/120V-3ph-4w", "480Y/277V-3ph-4w")
_MAY_BE_WYE: Final = ("240V-3ph-3w", "480V-3ph-3w")
"""Three-wire systems, of which nothing says whether their source is a wye."""


@rule(
    "ground-fault-protection-of-equipment",
    group="busbar-and-protection",
    about="/panelboard/main",
    stage=Stage.INTAKE,
    needs=(
        "/supply/system",
        "/supply/system_grounding",
        "/panelboard/main/ground_fault_protection",
        "/panelboard/second_main/ground_fault_protection",
        *DEVICE_NEEDS,
    ),
    applies_to="a main of the edition's rating or more on a solidly grounded wye system over the edition's voltage",
    parameters={"min_a": "number", "over_v": "number", "max_line_to_line_v": "number?"},
)
def ground_fault_equipment_protection(case: Case, limits: Limits) -> Answer | Sequence[Answer]:
    """A large main on a solidly grounded wye system has ground-fault protection of equipment.

    Because: at 277 V to ground an arc to the enclosure can burn on at a current that a large main takes for load.
    Passes: when the protection is declared there.
    Fails: when it is declared not there.
    Cannot tell: when the protection, the rating of the main or the system is not stated and decides.
    Not covered: fire pumps, continuous industrial processes that a shutdown would endanger, emergency systems,
        temporary feeders, and feeders that are protected ahead on the load side of their transformer: these are
        claims to be shown to the authority having jurisdiction.
    """
    trigger = _system(case, limits)
    if trigger.fails:
        return not_applicable(
            f"the system is no solidly grounded wye of more than {amount(limits.number('over_v'), 'V')} to ground",
            trigger,
        )
    first = _main(case, limits, case.panelboard.main, trigger)
    second = case.panelboard.second_main
    return first if second is None else (first, _main(case, limits, second, trigger))


def _main(case: Case, limits: Limits, main: MainDevice, trigger: Claim) -> Answer:
    least, rating = limits.number("min_a"), _rating(case, main)
    if rating is None:
        return not_applicable("the panelboard has no main device", main.kind, subject=main.at)
    large = reaches(rating, least)
    answer = decide(
        main.ground_fault_protection.claim,
        yes="ground-fault protection of equipment is declared there",
        no=f"the main ({spread(rating, 'A')}) is declared without ground-fault protection of equipment, which a main "
        f"of {amount(least, 'A')} or more must have on this system",
        unknown="not stated: whether the main has ground-fault protection of equipment",
        notes=Notes(
            subject=main.at,
            remedy="provide ground-fault protection of equipment, or show which exception relieves this main",
        ),
    )
    return under(trigger & large, answer, otherwise=f"the main is rated below {amount(least, 'A')}")


def _rating(case: Case, main: MainDevice) -> Measured | None:
    """Return the rating of the main; with main lugs that of the device ahead, which is the disconnect then.

    Zero stands for lugs with nothing ahead of them.
    """
    device, before = is_device(main), ahead(case).limit
    if device.holds:
        return main.rating_a
    if device.fails:
        return before
    either = (main.rating_a, fixed(0.0) if before is None else before)
    return Measurement(
        Interval(min(number.low for number in either), max(number.high for number in either)),
        merged(device.inputs, *(number.inputs for number in either)),
        merged(device.missing, *(number.missing for number in either)),
    )


def _system(case: Case, limits: Limits) -> Claim:
    """Return the claim that the system is a solidly grounded wye over the voltage to ground and within line to line."""
    system, grounding = case.supply.system, case.supply.system_grounding
    over, most = limits.number("over_v"), limits.optional_number("max_line_to_line_v")
    names = (system.value,) if system.value is not None else tuple(SYSTEMS)
    verdicts = {_of(name, grounding, over, most) for name in names}
    inputs = merged(system.inputs, grounding.inputs)
    if len(verdicts) == 1 and Truth.UNKNOWN not in verdicts:
        return Claim(verdicts.pop(), inputs)
    return Claim(Truth.UNKNOWN, inputs, merged(system.missing, grounding.missing) or system.inputs)


def _of(name: str, grounding: Choice, over_v: float, most_v: float | None) -> Truth:
    beyond = most_v is not None and SYSTEMS[name].line_to_line_v > most_v
    low = ground_voltage_v(name, "solidly-grounded").low <= over_v
    # a system with a neutral is solidly grounded unless somebody says otherwise
    otherwise = grounding.value not in {None, "solidly-grounded"}
    if name not in {*_WYE, *_MAY_BE_WYE} or beyond or low or otherwise:
        return Truth.NO
    return Truth.YES if name in _WYE else Truth.UNKNOWN
