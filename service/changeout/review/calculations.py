"""The calculations that rules share, made once for a proposal under a ruleset."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from typing import Any, Final

from changeout.domain.proposal import Proposal
from changeout.domain.walk import facts_of
from changeout.editions.jurisdictions import Ceiling
from changeout.electrical.fault_current import Ceiling as SourceCeiling
from changeout.electrical.fault_current import FaultContext, FaultCurrent, available_fault_current
from changeout.electrical.loads import LoadResult, calculated_load
from changeout.review.requirements import claim_of
from changeout.review.ruleset import Ruleset
from changeout.rules._case import Adoption, Case
from changeout.rules._registry import Limits
from changeout.tables.loads import LoadFactors, factors

_FACTOR_OF: Final[Mapping[tuple[str, str], tuple[str, float]]] = {
    ("dwelling-general-lighting-density", "lighting_va_per_ft2"): ("general_lighting_va_per_ft2", 1),
    ("ev-supply-equipment-load", "min_va"): ("ev_least_va", 1),
    ("existing-dwelling-added-load", "first_va"): ("existing_first_va", 1),
    ("existing-dwelling-added-load", "rest_percent"): ("existing_rest_percent", 1),
    ("measured-demand-method", "demand_factor"): ("measured_demand_percent", 100),
    ("load-method-allowed-for-this-proposal", "optional_min_supply_conductor_ampacity_a"): (
        "optional_least_ampacity_a",
        1,
    ),
}
"""Parameters of rules that are factors of the load calculation too, so that an amendment moves both."""


def load_factors(edition: str, limits: Mapping[str, Limits]) -> LoadFactors:
    """Return the load factors of an edition, with those that its rules (amended or not) set."""
    changes: dict[str, Any] = {}
    for (rule, parameter), (factor, times) in _FACTOR_OF.items():
        value = limits[rule].optional_number(parameter) if rule in limits else None
        if value is not None:
            changes[factor] = value * times
    return replace(factors(edition), **changes)


def case_of(proposal: Proposal, ruleset: Ruleset, adoption: Adoption) -> Case:
    """Return the case: the proposal with its fault current and its load."""
    return Case(
        proposal=proposal,
        fault_current=fault_current_of(proposal, ruleset),
        load_result=load_of(proposal, ruleset),
        adoption=adoption,
    )


def fault_current_of(proposal: Proposal, ruleset: Ruleset) -> FaultCurrent:
    """Return the fault current of a proposal, under the ceilings that a local ruleset publishes."""
    context = FaultContext(
        occupancy=proposal.project.occupancy.value or "",
        busbar_rating_a=proposal.panelboard.busbar_rating_a,
        ceiling=_ceiling(proposal, ruleset.ceilings),
    )
    return available_fault_current(proposal.supply, context)


def load_of(proposal: Proposal, ruleset: Ruleset) -> LoadResult:
    """Return the load of a proposal by the method it names, with the edition's factors."""
    return calculated_load(proposal.load, proposal.supply.system, load_factors(ruleset.edition.name, ruleset.limits))


def _ceiling(proposal: Proposal, ceilings: tuple[Ceiling, ...]) -> SourceCeiling | None:
    if not ceilings:
        return None
    facts = facts_of(proposal)
    holding = [c for c in ceilings if all(claim_of(w, facts).holds for w in c.when)]
    if not holding:
        return None
    least = min(holding, key=lambda c: c.greatest_fault_current_a)
    return SourceCeiling(value_a=least.greatest_fault_current_a, origin=f"{least.reference}; {least.source}")
