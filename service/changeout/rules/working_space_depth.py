"""The clear depth in front of the panelboard."""

from __future__ import annotations

from changeout.domain.facts import Claim, Measurement, merged
from changeout.domain.findings import Advice, Answer, Judgement, Stage
from changeout.domain.interval import Interval
from changeout.electrical.systems import voltage_to_ground
from changeout.rules._case import Case
from changeout.rules._compare import Notes, Quantity, advise, at_least, decide, reaches, within
from changeout.rules._registry import Limits, rule

_SIDES = ("insulated", "grounded", "live")
_REMEDY = "clear the working space to its full depth, or place the panelboard where there is room"


@rule(
    "working-space-depth",
    group="location",
    about="/location/working_space/depth",
    stage=Stage.INTAKE,
    needs=(
        "/location/working_space/depth",
        "/location/working_space/opposite",
        "/supply/system",
        "/supply/system_grounding",
        "/location/existing",
        "/location/qualified_persons_only",
    ),
    applies_to="every proposal",
    parameters={
        "low_voltage_up_to_v": "number",
        "low_voltage_depth_in": "three numbers",
        "high_voltage_depth_in": "three numbers",
    },
)
def working_space_depth(case: Case, limits: Limits) -> Answer:
    """The clear depth in front is at least the table's for the voltage to ground and what stands opposite.

    Because: a change-out is the moment to find that a washer or a wall has crept into the working space, and who
        works in front of live parts needs room to draw back.
    Passes: when the clear depth is at or above the table's.
    Fails: when it is below the table's.
    Cannot tell: when the depth is not stated, or the table's depths for what may stand opposite, or for the voltages
        that the supply may have, lie on both sides of it. Between facing equipment in an existing building a smaller
        depth can be accepted with written procedures where only qualified persons work: that gets advice.
    Not covered: rear and side access, and equipment without live parts at the back.
    """
    depth, needed = case.location.working_space.depth_in, _needed(case, limits, _sides(case))
    answer = at_least(
        Quantity(name="clear depth of the working space", number=depth),
        Quantity(name="depth that the working space needs", number=needed),
        "in",
        Notes(remedy=_REMEDY),
    )
    if answer.judgement is not Judgement.FAILS or case.location.working_space.opposite.value != "live":
        return answer
    location = case.location
    facing = _needed(case, limits, (_SIDES.index("grounded"),))
    relief = reaches(depth, facing) & location.existing.claim & location.qualified_persons_only.claim
    if relief.fails:
        return answer
    if relief.holds:
        return advise(
            f"{answer.message[:-1]}; between facing equipment in an existing building it can be accepted where written "
            "procedures keep both sides from being open at once",
            relief,
            notes=Notes(remedy="submit the written procedures, or " + _REMEDY, advice=Advice.READING),
        )
    return decide(
        relief,
        yes=answer.message,
        no=answer.message,
        unknown=f"{answer.message[:-1]}; whether it can be accepted between facing equipment in an existing building "
        "cannot be told from what is stated",
        found=answer.found,
        required=answer.required,
        notes=Notes(remedy=_REMEDY, rests_on=(case.location.working_space.opposite, case.supply.system)),
    )


def _sides(case: Case) -> tuple[int, ...]:
    word = case.location.working_space.opposite.value
    return tuple(range(len(_SIDES))) if word is None else (_SIDES.index(word),)


def _needed(case: Case, limits: Limits, sides: tuple[int, ...]) -> Measurement:
    """Return the table's depth over the voltages that the supply can have and the given conditions."""
    volts, opposite = voltage_to_ground(case.supply), case.location.working_space.opposite
    low: Claim = within(volts, limits.number("low_voltage_up_to_v"))
    rows = [] if low.fails else [limits.numbers("low_voltage_depth_in")]
    if not low.holds:
        rows.append(limits.numbers("high_voltage_depth_in"))
    found = [row[side] for row in rows for side in sides]
    interval = Interval(min(found), max(found))
    missing = () if interval.is_point else merged(low.missing, opposite.missing)
    return Measurement(interval, merged(volts.inputs, opposite.inputs), missing)
