"""An existing dwelling with load added to it."""

from __future__ import annotations

from changeout.domain.findings import Answer, Stage
from changeout.electrical.loads.existing import EXISTING_CLIMATE
from changeout.rules._case import Case
from changeout.rules._compare import Notes, Quantity, at_most, not_applicable, under
from changeout.rules._registry import Limits, rule
from changeout.rules._supply import AMPACITY_NEEDS, DEVICE_NEEDS, DWELLING_PARAMETERS, load_limit

_DWELLINGS = ("one-family-dwelling", "two-family-dwelling", "multifamily-dwelling")


@rule(
    "existing-dwelling-added-load",
    group="load",
    about="/load/added_load",
    stage=Stage.INTAKE,
    needs=(
        "/load/method",
        "/load/added_load",
        "calculation:load",
        "/project/occupancy",
        "/project/serves",
        "/supply/carries_entire_dwelling_load",
        *DEVICE_NEEDS,
        *AMPACITY_NEEDS,
    ),
    applies_to="a load calculated by the existing-dwelling method",
    parameters={"first_va": "number?", "rest_percent": "number?", **DWELLING_PARAMETERS},
)
def existing_dwelling_load(case: Case, limits: Limits) -> Answer:
    """An existing dwelling with what is added to it stays within its service.

    Because: what is added to an old service is what tips it over.
    Passes: when the load by the existing-dwelling method is at or below the least of the main, the device ahead and
        the supply conductors.
    Fails: when it is above.
    Cannot tell: when something that the method or the least of them rests on is not stated, or the edition's
        percentages were not seen, and it decides.
    Not covered: whether existing heating and cooling belong among the appliances: readers differ.
    """
    if case.load.method.stated and case.load.method.value != "dwelling-existing":
        return not_applicable("the load is not calculated by the existing-dwelling method", case.load.method)
    limit = load_limit(case, limits)
    if limit is None:
        return not_applicable("neither a device nor conductors are stated to compare the load with", case.load.method)
    answer = at_most(
        Quantity(name="load of the existing dwelling with what is added", number=case.load_result.amps),
        limit,
        "A",
        Notes(
            remedy="use a larger service, or add less; with a year's record the measured demand may show more room",
            cautions=(EXISTING_CLIMATE,),
        ),
    )
    dwelling = case.project.occupancy.among(*_DWELLINGS) & case.load.method.among("dwelling-existing")
    return under(dwelling, answer, otherwise="the method is for dwellings")
