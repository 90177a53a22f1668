"""Motors between the two devices of a series-rated pair."""

from __future__ import annotations

from changeout.domain.findings import Answer, Stage
from changeout.rules._case import Case
from changeout.rules._compare import Notes, Quantity, at_most, not_applicable, under
from changeout.rules._registry import Limits, rule
from changeout.rules._series import lower_interrupting_rating, series_claimed


@rule(
    "series-rating-motor-contribution",
    group="ratings",
    about="/panelboard/series_rating",
    stage=Stage.INTAKE,
    needs=(
        "/panelboard/rating_basis",
        "/panelboard/series_rating/motor_full_load_current",
        "/panelboard/circuits/*/breaker/interrupting_rating",
    ),
    applies_to="a series rated panelboard",
    parameters={"max_percent": "number"},
)
def series_motor_contribution(case: Case, limits: Limits) -> Answer:
    """Motors connected between the devices of a series rating stay within 1 % of the lower interrupting rating.

    Because: running motors feed a fault from behind the upstream device, which then does not see all of it.
    Passes: when the sum of their full-load currents is at or under that share of the lowest interrupting rating of
        the branch breakers.
    Fails: when it is over it.
    Cannot tell: when the sum, or the lowest interrupting rating, is not stated.
    Not covered: motors elsewhere on the system; only those between the two devices count.
    """
    circuits = case.panelboard.circuits
    percent = limits.number("max_percent")
    if circuits.stated and not circuits.items:
        return not_applicable("the panelboard has no branch breakers to be series rated", circuits)
    answer = at_most(
        Quantity(
            name="full-load current of motors between the two devices",
            number=case.panelboard.series_rating.motor_full_load_current_a,
        ),
        Quantity(
            name=f"limit of {percent:g} % of the lower interrupting rating",
            number=lower_interrupting_rating(case).times(percent / 100),
        ),
        "A",
        Notes(
            cautions=(
                "Count the motors connected between the two devices of the pair, not every motor in the building.",
            ),
            remedy="move the motors off the conductors between the two devices, or use fully rated breakers",
        ),
    )
    return under(series_claimed(case), answer, otherwise="the panelboard is fully rated")
