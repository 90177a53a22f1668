"""Service and main feeder conductors of one dwelling unit."""

from __future__ import annotations

from changeout.domain.facts import Claim, Measurement, merged
from changeout.domain.findings import Answer, Basis, Stage
from changeout.domain.truth import Truth
from changeout.electrical.dwelling_service import may_use_dwelling_service_rule, required_ampacity
from changeout.rules._case import Case
from changeout.rules._compare import Notes, Quantity, amount, at_least, decide, figure, not_applicable, spread, within
from changeout.rules._registry import Limits, rule
from changeout.rules._supply import (
    AMPACITY_NEEDS,
    DEVICE_NEEDS,
    DWELLING_PARAMETERS,
    dwelling_limits,
    served,
    supply_ampacity,
)
from changeout.rules._supply_protection import greatest_rating


@rule(
    "dwelling-service-conductor-83-percent",
    group="conductors",
    about="/supply/runs",
    stage=Stage.INTAKE,
    needs=(
        "/project/occupancy",
        "/project/serves",
        "/supply/system",
        "/supply/runs",
        "/supply/carries_entire_dwelling_load",
        "/supply/building",
        *DEVICE_NEEDS,
        *AMPACITY_NEEDS,
    ),
    applies_to="a single-phase service or feeder that carries the entire load of one dwelling unit",
    parameters={"round_up_to_a": "number", **DWELLING_PARAMETERS},
)
def dwelling_service_conductors(case: Case, limits: Limits) -> Answer:
    """Conductors that use the rule for dwelling services may use it, and have the share of the rating that it asks.

    Because: a dwelling's load varies so much that its service conductors may carry less than the rating; a feeder to
        a part of it does not vary like that.
    Passes: when one dwelling unit on a single-phase system of a rating in the edition's range is fed through the
        conductors with its entire load, and their ampacity as installed is at least the fraction of the rating.
    Fails: when the rule may be used, and the ampacity is below the fraction.
    Cannot tell: when it is not stated whether the rule may be used, or what the ampacity is, and that decides.
    Not covered: conductors that use the rule without right: the rule on the protection of supply conductors answers.
    """
    rule_limits, device = dwelling_limits(limits), served(case)
    ampacity = supply_ampacity(case, device.rating)
    if ampacity is None:
        return not_applicable("no conductors lie between the source and the panelboard", case.supply.runs)
    if device.there.fails:
        return not_applicable("no single device is there whose rating the conductors serve", device.there)
    eligible = may_use_dwelling_service_rule(case.proposal, device.rating, rule_limits)
    if eligible.fails:
        return not_applicable(
            f"the rule is for a rating of {amount(rule_limits.least_a, 'A')} to {amount(rule_limits.greatest_a, 'A')}, "
            "single phase, through conductors that carry the entire load of one dwelling unit",
            eligible,
        )
    required = required_ampacity(device.rating, rule_limits.fraction)
    if eligible.holds:
        return at_least(
            Quantity(name="ampacity of the supply conductors as installed", number=ampacity),
            Quantity(
                name=f"ampacity that their rating asks for, {amount(rule_limits.fraction * 100, 'percent')} of it",
                number=required,
            ),
            "A",
            Notes(
                remedy="use larger service conductors, or a smaller main",
                rests_on=(case.supply.carries_entire_dwelling_load,),
                basis=Basis.COMPUTED,
                cautions=_other_building(case),
            ),
        )
    if within(device.rating, greatest_rating(ampacity, limits)).holds:
        return not_applicable("the conductors are protected at their ampacity without this rule", eligible)
    return _open(eligible, ampacity, required)


def _other_building(case: Case) -> tuple[str, ...]:
    building = case.supply.building
    if not building.stated or building.value == "dwelling":
        return ()
    return (
        f"The conductors end at another building than the dwelling ({(building.value or '').replace('-', ' ')}): see "
        "that they carry the entire load of the dwelling all the same, and do not only feed that building.",
    )


def _open(eligible: Claim, ampacity: Measurement, required: Measurement) -> Answer:
    return decide(
        Claim(
            Truth.UNKNOWN,
            merged(eligible.inputs, ampacity.inputs, required.inputs),
            merged(eligible.missing, ampacity.missing, required.missing),
        ),
        yes="",
        no="",
        unknown=f"whether the conductors (ampacity {spread(ampacity, 'A')}) may use the rule for dwelling services "
        "cannot be told from what is stated",
        found=figure("ampacity of the supply conductors as installed", ampacity, "A"),
        required=figure("share of the rating that they serve", required, "A", ">="),
    )
