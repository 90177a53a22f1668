"""General lighting and receptacles in the load of a dwelling."""

from __future__ import annotations

from dataclasses import replace

from changeout.domain.facts import Claim, Measurement, certain, least_of, measured, merged
from changeout.domain.findings import Answer, Basis, Judgement, Stage
from changeout.domain.truth import Truth
from changeout.rules._case import Case
from changeout.rules._compare import (
    Notes,
    advise,
    amount,
    decide,
    figure,
    not_applicable,
    reaches,
    spread,
    under,
    within,
)
from changeout.rules._registry import Limits, rule
from changeout.rules._supply import AMPACITY_NEEDS, DEVICE_NEEDS, DWELLING_PARAMETERS, load_limit

_DWELLINGS = ("one-family-dwelling", "two-family-dwelling", "multifamily-dwelling")


@rule(
    "dwelling-general-lighting-density",
    group="load",
    about="/load/general_lighting",
    stage=Stage.INTAKE,
    needs=(
        "/load/method",
        "/load/floor_area",
        "/load/general_lighting",
        "/load/calculated_load",
        "/project/occupancy",
        "/project/serves",
        "/panelboard/busbar_rating",
        "/supply/system",
        "/supply/carries_entire_dwelling_load",
        "calculation:load",
        *DEVICE_NEEDS,
        *AMPACITY_NEEDS,
    ),
    applies_to="the load of a dwelling, calculated here or stated",
    parameters={"lighting_va_per_ft2": "number", **DWELLING_PARAMETERS},
)
def general_lighting(case: Case, limits: Limits) -> Answer:
    """The load of a dwelling counts general lighting and receptacles at the edition's load for its floor area.

    Because: an edition's lighting load stands for everything that is plugged in; counted by another edition's value
        the load looks smaller than it may be.
    Passes: when the load is calculated here, which counts the edition's value; or a stated load counts at least that,
        or stays within every rating when what it lacks is added.
    Fails: when a stated load counts less, and what it lacks moves it above a rating that it seemed to be within.
    Cannot tell: when the floor area, what was counted, or a rating is not stated and decides; or what a lack adds to
        the load depends on the demand factor that it was calculated with.
    Not covered: measured demand, which holds the lighting already.
    """
    load = case.load
    serves = case.project.serves
    common = certain(serves.value == "common-area", *((serves,) if serves.stated else ()))
    dwelling = case.project.occupancy.among(*_DWELLINGS) & ~common
    if load.method.value == "measured-demand":
        return not_applicable("a measured demand holds the lighting already", load.method)
    if load.method.value == "stated":
        answer = _stated(case, limits)
    elif load.method.value is None:
        answer = Answer(
            judgement=Judgement.UNKNOWN,
            message="Not stated: the method of the load calculation.",
            missing=load.method.missing,
        )
    else:
        answer = _calculated(case, limits)
    return under(dwelling, answer, otherwise="the load is not that of a dwelling")


def _calculated(case: Case, limits: Limits) -> Answer:
    """Answer for a load that is calculated here, which needs the floor area to count anything."""
    required, area = case.load_result.general_lighting_va, case.load.floor_area_ft2
    claim = Claim(Truth.YES if area.stated else Truth.UNKNOWN, area.inputs, area.missing)
    each = amount(limits.number("lighting_va_per_ft2"), "VA/ft²")
    answer = decide(
        claim,
        yes=f"the load is calculated with {each} of general lighting and receptacles ({spread(required, 'VA')})",
        no="",
        unknown=f"not stated: the floor area, for which {each} of general lighting and receptacles counts",
        found=figure("general lighting counted", required, "VA") if area.stated else None,
        required=figure("general lighting for the floor area", required, "VA", ">=") if area.stated else None,
        notes=Notes(rests_on=(case.load.method,), basis=Basis.COMPUTED),
    )
    return replace(answer, calculation="load")


def _stated(case: Case, limits: Limits) -> Answer:
    counted, area, required = (
        case.load.general_lighting_va,
        case.load.floor_area_ft2,
        case.load_result.general_lighting_va,
    )
    limit = _limit(case, limits)
    enough = reaches(counted, required) if area.stated else Claim(Truth.UNKNOWN, area.inputs, area.missing)
    stands, corrected = within(case.load_result.amps, limit), within(case.load_result.corrected_a, limit)
    if enough.fails and stands.fails:
        return advise(
            f"the stated load counts {spread(counted, 'VA')} of general lighting, less than the "
            f"{spread(required, 'VA')} of the floor area; it is above a rating as it stands",
            enough,
            stands,
            notes=Notes(remedy="count general lighting at the edition's load for the floor area"),
        )
    claim = enough | corrected if area.stated else enough
    missing = merged(enough.missing, corrected.missing) or counted.inputs
    if claim.unknown:
        claim = Claim(Truth.UNKNOWN, claim.inputs, missing)
    answer = decide(
        claim,
        yes=f"the stated load counts {spread(counted, 'VA')} of general lighting, no less than the "
        f"{spread(required, 'VA')} of the floor area"
        if enough.holds
        else "the stated load stays within every rating with the general lighting that it lacks",
        no=f"the stated load counts {spread(counted, 'VA')} of general lighting where the floor area asks for "
        f"{spread(required, 'VA')}; with what it lacks the load is {spread(case.load_result.corrected_a, 'A')}, above "
        f"{spread(limit, 'A')}",
        unknown="whether the stated load counts enough general lighting, or stays within every rating with what it "
        "lacks, cannot be told from what is stated",
        found=figure("general lighting counted", counted, "VA"),
        required=figure("general lighting for the floor area", required, "VA", ">="),
        notes=Notes(
            rests_on=(case.load.method,),
            remedy="count general lighting at the edition's load for the floor area",
            cautions=("General lighting was counted short of the edition's load.",) if enough.fails else (),
            basis=Basis.COMPUTED,
        ),
    )
    return replace(answer, calculation="load")


def _limit(case: Case, limits: Limits) -> Measurement:
    limit, bus = load_limit(case, limits), measured(case.panelboard.busbar_rating_a)
    return bus if limit is None else least_of(limit.number, bus)
