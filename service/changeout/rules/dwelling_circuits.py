"""The branch circuits that a dwelling needs."""

from __future__ import annotations

import math
from typing import Final

from changeout.domain.facts import Claim, Measurement, all_claims, fixed, merged
from changeout.domain.findings import Answer, Stage
from changeout.domain.interval import Interval
from changeout.domain.occupancy import dwelling_unit
from changeout.domain.proposal import Circuit
from changeout.domain.truth import Truth
from changeout.rules._case import Case
from changeout.rules._compare import Notes, amount, decide, figure, not_applicable, reaches, spread, under, within
from changeout.rules._registry import Limits, rule

_KINDS: Final = {
    "small-appliance": ("kitchen", "small_appliance_circuits"),
    "laundry": ("laundry", "laundry_circuits"),
    "bathroom": ("bathroom", "bathroom_circuits"),
    "garage": ("garage", "garage_circuits"),
}


@rule(
    "dwelling-required-circuits",
    group="circuits",
    about="/panelboard/circuits",
    stage=Stage.INSPECTION,
    needs=(
        "/project/occupancy",
        "/project/serves",
        "/panelboard/role",
        "/supply/carries_entire_dwelling_load",
        "/panelboard/circuits",
        "/panelboard/circuits/*/use",
        "/panelboard/circuits/*/outlet",
        "/panelboard/circuits/*/breaker/rating",
    ),
    applies_to="panelboards that supply a whole dwelling unit",
    parameters={"rating_a": "number", **{parameter: "number" for _, parameter in _KINDS.values()}},
)
def dwelling_circuits(case: Case, limits: Limits) -> Answer:
    """The panelboard of a dwelling has the 20 A receptacle circuits that a dwelling needs.

    Because: kitchens, laundries and bathrooms on one general circuit trip it daily, and somebody then fits a larger
        breaker.
    Passes: when the circuits of the rating asked for reach the number for small appliances, laundry, bathroom and
        garage.
    Fails: when there are fewer of a kind. The words are for new wiring: at a change-out they are advice.
    Cannot tell: when circuits, their uses or their ratings are not stated and decide, or none for a garage is listed,
        which only a garage with power needs.
    Not covered: what else each circuit supplies, and dwellings whose laundry is elsewhere.
    """
    unit, whole = dwelling_unit(case.project), _whole_unit(case)
    if unit.fails:
        return not_applicable("the panelboard is not that of a dwelling unit", unit)
    return under(unit & whole, _counted(case, limits), otherwise="the panelboard supplies only a part of the dwelling")


def _whole_unit(case: Case) -> Claim:
    return case.panelboard.role.among("service") | case.supply.carries_entire_dwelling_load.claim


def _counted(case: Case, limits: Limits) -> Answer:
    receptacles = [_is_receptacle(circuit, limits.number("rating_a")) for circuit in case.panelboard.circuits]
    numbers = {kind: _number(case, use, receptacles) for kind, (use, _) in _KINDS.items()}
    needed = {kind: limits.number(parameter) for kind, (_, parameter) in _KINDS.items()}
    enough = {kind: reaches(numbers[kind], needed[kind]) for kind in _KINDS}
    if enough["garage"].fails:
        # no member says whether there is a garage with power
        enough["garage"] = Claim(Truth.UNKNOWN, enough["garage"].inputs)
    short = [kind for kind, claim in enough.items() if claim.fails]
    kind = short[0] if short else next((k for k, claim in enough.items() if claim.unknown), "small-appliance")
    rating = amount(limits.number("rating_a"), "A")
    return decide(
        all_claims(enough.values()),
        yes=f"the {rating} circuits for small appliances, laundry, bathroom and garage are there",
        no=f"the {rating} receptacle circuits for {_called(kind)} are fewer ({spread(numbers[kind], '')}) than "
        f"those of a dwelling that is wired anew ({amount(needed[kind], '')})",
        unknown=f"whether the {rating} receptacle circuits that a dwelling needs are there cannot be told from what is "
        "stated",
        found=figure(f"{rating} circuits for {_called(kind)}", numbers[kind], ""),
        required=figure(f"{rating} circuits for {_called(kind)}", fixed(needed[kind]), "", ">="),
        notes=Notes(remedy=f"keep, or plan, the {rating} circuits that a dwelling needs"),
    )


def _called(kind: str) -> str:
    return {"small-appliance": "small appliances"}.get(kind, f"the {kind}")


def _number(case: Case, use: str, receptacles: list[Claim]) -> Measurement:
    """Return how many of the receptacle circuits are of a use: at least those that are said to be so."""
    circuits = case.panelboard.circuits
    if not circuits.stated:
        return Measurement(Interval(0.0, math.inf), circuits.inputs, circuits.missing)
    claims = [circuit.use.among(use) & such for circuit, such in zip(circuits, receptacles, strict=True)]
    sure = sum(1 for claim in claims if claim.holds)
    possible = sum(1 for claim in claims if not claim.fails)
    missing = merged(*(claim.missing for claim in claims)) if possible > sure else ()
    return Measurement(Interval(float(sure), float(possible)), circuits.inputs, missing)


def _is_receptacle(circuit: Circuit, rating_a: float) -> Claim:
    rating = circuit.breaker.rating_a
    return all_claims((circuit.outlet.among("receptacle"), reaches(rating, rating_a), within(rating, rating_a)))
