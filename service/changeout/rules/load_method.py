"""The method of the load calculation, and whether it may be used."""

from __future__ import annotations

from changeout.domain.facts import Claim, all_claims
from changeout.domain.findings import Answer, Basis, Judgement, Stage
from changeout.domain.truth import Truth
from changeout.rules._case import Case
from changeout.rules._compare import Notes, amount, decide, not_applicable, reaches
from changeout.rules._registry import Limits, rule
from changeout.rules._supply import (
    AMPACITY_NEEDS,
    DEVICE_NEEDS,
    DWELLING_PARAMETERS,
    DWELLING_SYSTEMS,
    counted_ampacity,
    served,
)

_DWELLINGS = ("one-family-dwelling", "two-family-dwelling", "multifamily-dwelling")


@rule(
    "load-method-allowed-for-this-proposal",
    group="load",
    about="/load/method",
    stage=Stage.INTAKE,
    needs=(
        "/load/method",
        "/project/occupancy",
        "/project/serves",
        "/supply/system",
        "/supply/runs",
        "/supply/carries_entire_dwelling_load",
        *DEVICE_NEEDS,
        *AMPACITY_NEEDS,
    ),
    applies_to="a load that is calculated here for a dwelling",
    parameters={"optional_min_supply_conductor_ampacity_a": "number", **DWELLING_PARAMETERS},
)
def load_method(case: Case, limits: Limits) -> Answer:
    """The load is calculated by a method that may be used here.

    Because: each method counts on how a dwelling is used and fed; elsewhere it gives too small a load.
    Passes: when the standard method is used for a dwelling; the existing-dwelling method for one dwelling unit on a
        single-phase, three-wire system; the optional method for such a unit whose supply conductors also have the
        edition's ampacity, those counted as good for their rating that satisfy the rule for dwelling services.
    Fails: when a condition of the method is known not to hold.
    Cannot tell: when the method, or what its conditions rest on, is not stated and decides.
    Not covered: a load that is stated, and measured demand, which has a rule of its own.
    """
    method = case.load.method
    if method.value == "stated":
        return not_applicable("the load is stated, by no method that is calculated here", method)
    if method.value == "measured-demand":
        return not_applicable("the rule on measured demand answers", method)
    if method.value is None:
        return Answer(
            judgement=Judgement.UNKNOWN,
            message="Not stated: the method of the load calculation.",
            missing=method.missing,
        )
    conditions = _conditions(case, limits, method.value)
    claim = all_claims(condition for _, condition in conditions)
    broken = [words for words, condition in conditions if condition.fails]
    open_ = [words for words, condition in conditions if condition.unknown]
    name = method.value.replace("dwelling-", "").replace("-", " ")
    return decide(
        claim,
        yes=f"the {name} method may be used here: " + ", ".join(words for words, _ in conditions),
        no=f"the {name} method may not be used here; it is not shown that: " + ", ".join(broken),
        unknown=f"whether the {name} method may be used here cannot be told; not settled: " + ", ".join(open_),
        notes=Notes(
            rests_on=(method,),
            remedy="calculate the load by a method whose conditions hold",
            basis=Basis.COMPUTED,
        ),
    )


def _conditions(case: Case, limits: Limits, method: str) -> list[tuple[str, Claim]]:
    """Return the conditions of a method, each with the words that say it holds."""
    if method == "dwelling-standard":
        return [("the load is that of a dwelling", case.project.occupancy.among(*_DWELLINGS))]
    found = [
        ("it is that of one dwelling unit", _one_unit(case)),
        (
            "the supply is single-phase with three wires",
            case.supply.system.among(*DWELLING_SYSTEMS),
        ),
    ]
    if method == "dwelling-optional":
        least = limits.number("optional_min_supply_conductor_ampacity_a")
        words = f"the supply conductors have {amount(least, 'A')} or more"
        found.append((words, _conductors(case, limits, least)))
    return found


def _one_unit(case: Case) -> Claim:
    project = case.project
    return project.occupancy.among("one-family-dwelling") | (
        project.occupancy.among("two-family-dwelling", "multifamily-dwelling") & project.serves.among("dwelling-unit")
    )


def _conductors(case: Case, limits: Limits, least: float) -> Claim:
    """Return the claim about the conductors; where none are stated to be there, the device that they serve tells."""
    ampacity = counted_ampacity(case, limits)
    if ampacity is not None:
        return reaches(ampacity, least)
    device = served(case)
    enough = device.there & reaches(device.rating, least)
    runs = case.supply.runs
    return enough if enough.holds else Claim(Truth.UNKNOWN, runs.inputs, runs.inputs)
