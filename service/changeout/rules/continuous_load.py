"""The load with its continuous part against main and supply conductors."""

from __future__ import annotations

import math
from dataclasses import replace

from changeout.domain.facts import Claim, Measurement, certain, least_of, merged
from changeout.domain.findings import Answer, Basis, Stage
from changeout.domain.interval import Interval
from changeout.domain.truth import Truth
from changeout.domain.value import value
from changeout.electrical.ampacity import ampacity_as_installed
from changeout.electrical.installation import TABLE_AMBIENT_DEGC, TABLE_CONDUCTORS, Axis, conductors_of_run
from changeout.rules._case import Case
from changeout.rules._compare import Notes, advise, decide, figure, not_applicable, spread, under, within
from changeout.rules._registry import Limits, rule
from changeout.rules._supply import DEVICE_NEEDS, device_limit, last_run, served, terminals

_DWELLINGS = ("one-family-dwelling", "two-family-dwelling", "multifamily-dwelling")


@rule(
    "main-rating-covers-load-with-continuous-part",
    group="busbar-and-protection",
    about="/panelboard/main/rating",
    stage=Stage.INTAKE,
    needs=(
        "/panelboard/main/hundred_percent_rated",
        "/panelboard/termination_temperature",
        "/supply/runs/*/size",
        "/supply/runs/*/material",
        "/supply/runs/*/sets",
        "/supply/runs/*/insulation_temperature",
        "/project/occupancy",
        "/project/serves",
        "/load/continuous_share",
        "calculation:load",
        *DEVICE_NEEDS,
    ),
    applies_to="other than dwellings",
    parameters={"continuous_factor": "number"},
)
def continuous_load(case: Case, limits: Limits) -> Answer:
    """Main and supply conductors carry the load with the edition's factor on its continuous part.

    Because: a device in a closed box that carries its full rating for hours runs hot, and trips early or ages.
    Passes: when the load with its continuous part raised is at or below the least of the main, the device ahead and
        the conductors; or, with a main listed for its full rating, the plain load is.
    Fails: when it is above the main or the device ahead of a feeder panelboard, or above the conductors.
    Cannot tell: when the continuous share, the listing for the full rating, the role or the conductors are not stated
        and decide. A service whose conductors are adequate but whose main is not gets advice.
    Not covered: the listing of a device ahead for its full rating. Conductors count without correction for ambient
        temperature and number, as the rule on continuous loads counts them (from memory).
    """
    dwelling = case.project.occupancy.among(*_DWELLINGS) & ~_common_area(case)
    return under(
        ~dwelling,
        _judged(case, limits.number("continuous_factor")),
        otherwise="the load of a dwelling is calculated with its continuous part inside",
    )


def _common_area(case: Case) -> Claim:
    serves = case.project.serves
    return certain(serves.value == "common-area", *((serves,) if serves.stated else ()))


@value(frozen=True, slots=True, kw_only=True)
class _Compared:
    """The load as it counts, and what it is held against: the least device and the conductors."""

    load: Measurement
    device: Measurement | None
    conductors: Measurement | None
    device_good: Claim
    conductors_good: Claim


def _judged(case: Case, factor: float) -> Answer:
    device, conductors = device_limit(case), _conductors(case)
    if device is None and conductors is None:
        return not_applicable("neither a device nor conductors are stated to compare the load with", case.supply.runs)
    listed = case.panelboard.main.hundred_percent_rated.claim
    plain, raised = case.load_result.amps, _raised(case, factor)
    compared = _Compared(
        load=plain if listed.holds else raised,
        device=device,
        conductors=conductors,
        device_good=_carries(device, raised, plain, listed),
        conductors_good=_carries(conductors, raised, plain, listed),
    )
    role = case.panelboard.role
    if compared.device_good.fails and not compared.conductors_good.fails and role.value != "feeder":
        return _service(case, compared)
    return _decided(compared, compared.device_good & compared.conductors_good)


def _carries(limit: Measurement | None, raised: Measurement, plain: Measurement, listed: Claim) -> Claim:
    if limit is None:
        return Claim(Truth.YES)
    return within(raised, limit) | (listed & within(plain, limit))


def _service(case: Case, compared: _Compared) -> Answer:
    """Answer for a device that is too small and conductors that may be adequate, in what may be a service."""
    role, good = case.panelboard.role, compared.conductors_good
    if role.stated and good.holds:
        return advise(
            f"the load with its continuous part raised ({spread(compared.load, 'A')}) is above the rating of the "
            f"service main ({_shown(compared.device)}), while the service conductors carry it; a main that runs at "
            "its rating for hours may trip",
            compared.device_good,
            role,
            notes=Notes(remedy="use a main of a higher rating, or one listed with its assembly for its full rating"),
        )
    unsettled = Claim(
        Truth.UNKNOWN, merged(compared.device_good.inputs, good.inputs, role.inputs), merged(role.missing, good.missing)
    )
    return _decided(compared, unsettled)


def _decided(compared: _Compared, claim: Claim) -> Answer:
    by_conductors = compared.conductors_good.fails and not compared.device_good.fails
    there = [number for number in (compared.device, compared.conductors) if number is not None]
    limit = compared.conductors if by_conductors and compared.conductors is not None else least_of(*there)
    what = "ampacity of the supply conductors" if by_conductors else "least of main, device ahead and supply conductors"
    load = f"the load with its continuous part raised ({spread(compared.load, 'A')})"
    answer = decide(
        claim,
        yes=f"{load} is no more than the {what} ({spread(limit, 'A')})",
        no=f"{load} is more than the {what} ({spread(limit, 'A')})",
        unknown=f"whether {load} is no more than the {what} ({spread(limit, 'A')}) cannot be told from what is stated",
        found=figure("load with its continuous part raised", compared.load, "A"),
        required=figure(what, limit, "A", "<="),
        notes=Notes(
            remedy="use conductors for the load with its continuous part raised"
            if by_conductors
            else "use a main or device ahead for the load with its continuous part raised, or one listed with its "
            "assembly for its full rating",
            basis=Basis.COMPUTED,
        ),
    )
    return replace(answer, calculation=compared.load.calculation)


def _shown(number: Measurement | None) -> str:
    return "none" if number is None else spread(number, "A")


def _raised(case: Case, factor: float) -> Measurement:
    """Return the load in amperes with its continuous part times *factor*."""
    plain, share = case.load_result.amps, case.load.continuous_share
    part = Interval(max(0.0, share.low), min(1.0, share.high))
    return Measurement(
        plain.interval * (part * (factor - 1) + 1),
        merged(plain.inputs, share.inputs),
        merged(plain.missing, share.missing),
        plain.calculation,
    )


def _conductors(case: Case) -> Measurement | None:
    """Return the ampacity of the supply conductors before any correction, limited by the terminals."""
    run, runs = last_run(case), case.supply.runs
    if run is None:
        return None if runs.stated else Measurement(Interval(0.0, math.inf), runs.inputs, runs.missing)
    uncorrected = replace(
        conductors_of_run(run), ambient=Axis(values=(TABLE_AMBIENT_DEGC,)), count=Axis(values=(TABLE_CONDUCTORS,))
    )
    return ampacity_as_installed(uncorrected, terminals(case, served(case).rating))
