"""The 83 % rule: service and main feeder conductors of one dwelling unit."""

from __future__ import annotations

from changeout.domain.facts import Claim, Measured, Measurement, all_claims, measured
from changeout.domain.proposal import Proposal
from changeout.domain.value import value
from changeout.electrical.ampacity import corrected_ampacity_a
from changeout.electrical.bounds import within
from changeout.tables.ampacity import ampacity_a
from changeout.tables.conductors import SIZES


@value(frozen=True, slots=True, kw_only=True)
class DwellingServiceLimits:
    """What an edition asks before the rule may be used, and the fraction it allows."""

    fraction: float
    least_a: float
    greatest_a: float
    systems: tuple[str, ...]


def may_use_dwelling_service_rule(proposal: Proposal, rating: Measured, limits: DwellingServiceLimits) -> Claim:
    """Return the claim that the rule may be used for the supply conductors at a service or feeder of *rating*.

    One dwelling unit, a single-phase system of *limits*, a rating within its range, and conductors that carry the
    entire load of the unit. Conductors to a whole building of several units, or to its common parts, do not.
    """
    project, supply = proposal.project, proposal.supply
    one_family = project.occupancy.among("one-family-dwelling")
    one_unit = project.occupancy.among("two-family-dwelling", "multifamily-dwelling") & ~project.serves.among(
        "whole-building", "common-area"
    )
    return all_claims(
        (
            supply.system.among(*limits.systems),
            one_family | one_unit,
            within(rating, limits.least_a, limits.greatest_a),
            supply.carries_entire_dwelling_load.claim,
        )
    )


def required_ampacity(rating: Measured, fraction: float) -> Measurement:
    """Return the ampacity that the rule asks for at *rating*, in amperes: 166 A at 200 A."""
    return measured(rating).times(fraction)


def smallest_service_size(
    required_a: float, material: str, column_degc: int, ambient_degc: float, terminal_degc: int
) -> str | None:
    """Return the smallest size that carries *required_a* as installed, or None beyond the table.

    Three current-carrying conductors; the size must do both with the factor of the ambient temperature in its own
    column and at the terminals in theirs.
    """
    for size in SIZES:
        at_terminals = ampacity_a(size, material, terminal_degc) or 0.0
        if min(corrected_ampacity_a(size, material, column_degc, ambient_degc, 3), at_terminals) >= required_a:
            return size
    return None
