"""Which other sources are on the busbar, and the sums that the code permits: read by the rules on such sources."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from typing import Final

from changeout.domain.facts import Choice, Claim, Listed, Measurement, any_claim, fixed, merged
from changeout.domain.proposal import GenerationSource
from changeout.domain.truth import Truth
from changeout.electrical.bounds import resting_on
from changeout.electrical.busbar import Busbar, PermittedSum, at_opposite_end, center_fed_sum, permitted_sums
from changeout.rules._case import Case
from changeout.rules._compare import within
from changeout.rules._registry import Limits
from changeout.rules._supply import ahead, mains
from changeout.tables.overcurrent import BusbarFactors

SUM_PARAMETERS: Final = {
    "output_factor": "number",
    "opposite_end_factor": "number",
    "center_fed_factor": "number",
    "center_fed_occupancies": "words",
}
"""What a row must set so that its rule can form the sums."""

_DIGITS: Final = 9
"""Decimals kept of a factor in percent, so that an exact sum stays exact."""


def behind_transfer(case: Case) -> Claim:
    """Return the claim that listed transfer equipment keeps a generator apart; known where there is no generator."""
    if not any_claim(s.kind.among("generator") for s in case.proposal.generation).fails:
        return case.service.transfer_equipment.among("listed")
    return Claim(Truth.NO)


def sources_on_busbar(case: Case, *, transfer_listed: bool = False) -> Listed[GenerationSource]:
    """Return the sources that may be on the busbar beside the supply.

    Left out are generators behind listed transfer equipment. A source with a position on the busbar is on it.
    """
    given, listed = case.proposal.generation, behind_transfer(case).holds or transfer_listed
    kept = (s for s in given if not (listed and s.kind.among("generator").holds))
    return Listed(given.at, tuple(_connected(s) for s in kept), given.given)


def _connected(source: GenerationSource) -> GenerationSource:
    if source.connection.stated or not source.position.stated:
        return source
    return replace(source, connection=Choice(source.position.at, "load-side"))


def is_on_busbar(case: Case, source: GenerationSource) -> Claim:
    """Return the claim that a source is on the busbar beside the supply."""
    apart = source.kind.among("generator") & behind_transfer(case)
    return ~source.connection.among("supply-side") & ~apart


def any_on_busbar(case: Case) -> Claim:
    """Return the claim that there is a source on the busbar beside the supply."""
    sources = sources_on_busbar(case)
    if not sources.stated:
        return Claim(Truth.UNKNOWN, sources.inputs, sources.missing)
    claim = any_claim(is_on_busbar(case, source) for source in sources)
    return Claim(claim.truth, merged(sources.inputs, claim.inputs), claim.missing)


def busbar_sums(case: Case, limits: Limits, sources: Listed[GenerationSource]) -> tuple[PermittedSum, ...]:
    """Return every sum that the code permits here, each with the claim that the sources stand where it asks."""
    protection = busbar_protection(case)
    busbar = Busbar(
        rating=case.panelboard.busbar_rating_a,
        protection=fixed(0.0) if protection is None else protection,
        sources=sources,
        circuits=case.panelboard.circuits,
    )
    plain, far_end = (_factors(limits, part) for part in (1.0, limits.number("opposite_end_factor")))
    found = permitted_sums(busbar, plain, far_end)
    if case.panelboard.center_fed.claim.holds:
        at_one_end = at_opposite_end(sources) & case.project.occupancy.among(*limits.words("center_fed_occupancies"))
        center = center_fed_sum(busbar, _factors(limits, limits.number("center_fed_factor")), at_one_end)
        found = tuple(center if s.rule == "120-percent" else s for s in found)
    protected = mains(case).there | ahead(case).there
    return tuple(_shown(case, s, protected) for s in found)


def _shown(case: Case, found: PermittedSum, protected: Claim) -> PermittedSum:
    """Return a sum as it can count: without a device there is none to add, and no circuits show no sum of breakers."""
    circuits = case.panelboard.circuits
    if found.rule != "sum-of-breakers":
        return found if protected.holds else replace(found, placed=found.placed & protected)
    if circuits.stated and not circuits.items:
        return replace(found, placed=Claim(Truth.UNKNOWN, circuits.inputs, circuits.inputs))
    return found


def _factors(limits: Limits, part: float) -> BusbarFactors:
    output = limits.number("output_factor")
    return BusbarFactors(output_percent=round(100 * output, _DIGITS), busbar_percent=round(100 * part, _DIGITS))


def busbar_protection(case: Case) -> Measurement | None:
    """Return the rating of the device that protects the busbar: its main, with lugs the one ahead; None without."""
    main, before = mains(case), ahead(case)
    if main.there.holds:
        return main.rating
    if main.there.fails:
        return None if before.there.fails else before.rating
    if before.there.fails:
        return resting_on(main.rating.interval, main.there, main.rating)
    return resting_on(main.rating.interval.hull(before.rating.interval), main.there, main.rating, before.rating)


def sum_holds(found: PermittedSum) -> Claim:
    """Return the claim that a sum is within its limit and the sources stand where it asks."""
    return within(found.total, found.limit) & found.placed


def one_sum_holds(sums: Sequence[PermittedSum]) -> Claim:
    """Return the claim that at least one of the sums holds."""
    return any_claim(sum_holds(s) for s in sums)
