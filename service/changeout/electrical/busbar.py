"""Busbars with other sources than the supply: every sum that the code permits, and whether it holds."""

from __future__ import annotations

import math

from changeout.domain.facts import Claim, Listed, Measured, Measurement, all_claims, any_claim, fixed, measured, sum_of
from changeout.domain.interval import Interval
from changeout.domain.proposal import Circuit, GenerationSource
from changeout.domain.truth import Truth
from changeout.domain.value import value
from changeout.electrical.bounds import no_more_than, resting_on
from changeout.tables.overcurrent import BusbarFactors


@value(frozen=True, slots=True, kw_only=True)
class Busbar:
    """A busbar: its rating, the device that protects it, the other sources and the breakers on it."""

    rating: Measured
    protection: Measured
    sources: Listed[GenerationSource]
    circuits: Listed[Circuit]


@value(frozen=True, slots=True, kw_only=True)
class PermittedSum:
    """One sum that the code permits: what is added up, what it may come to, and where the sources must stand."""

    rule: str
    total: Measurement
    limit: Measurement
    placed: Claim

    @property
    def fits(self) -> Claim:
        """The claim that the sum is within its limit, wherever the sources stand."""
        return no_more_than(self.total, self.limit)

    @property
    def holds(self) -> Claim:
        """The claim that the sum is within its limit and the sources stand where it asks."""
        return self.fits & self.placed


def permitted_sums(busbar: Busbar, plain: BusbarFactors, opposite: BusbarFactors) -> tuple[PermittedSum, ...]:
    """Return every sum of a busbar fed at one end.

    *plain* are the factors of the sum that any position allows, *opposite* those of the sum that asks for the
    source at the opposite end from the supply.

    Source: 705.12(B).
    """
    anywhere = Claim(Truth.YES)
    return (
        _with_protection("sum", busbar, plain, anywhere),
        _with_protection("120-percent", busbar, opposite, at_opposite_end(busbar.sources)),
        PermittedSum(
            rule="sum-of-breakers",
            total=sum_of_breakers(busbar.circuits, busbar.sources),
            limit=measured(busbar.rating),
            placed=anywhere,
        ),
    )


def center_fed_sum(busbar: Busbar, factors: BusbarFactors, one_end: Claim) -> PermittedSum:
    """Return the sum of a panelboard fed at its center, with the sources at *one_end* only.

    Source: 705.12(B).
    """
    return _with_protection("center-fed", busbar, factors, one_end)


def one_holds(sums: tuple[PermittedSum, ...]) -> Claim:
    """Return the claim that at least one of the sums holds."""
    return any_claim(s.holds for s in sums)


def contribution(sources: Listed[GenerationSource], output_percent: float) -> Measurement:
    """Return what the sources on the load side add to a sum, in amperes: a percent of their output currents."""
    if not sources.stated:
        return resting_on(Interval(0.0, math.inf), sources)
    total = fixed(0.0)
    for source in sources:
        total = total.plus(on_load_side(source, source.output_current_a))
    return Measurement(total.interval * output_percent / 100.0, total.inputs, total.missing)


def greatest_contribution(busbar: Measured, protection: Measured, factors: BusbarFactors) -> Measurement:
    """Return what sources may add at most to a busbar in one of the sums, in amperes (zero: nothing)."""
    room = busbar_limit(busbar, factors).interval - Interval(protection.low, protection.high)
    return resting_on(Interval(max(0.0, room.low), max(0.0, room.high)), busbar, protection)


def busbar_limit(busbar: Measured, factors: BusbarFactors) -> Measurement:
    """Return what a sum may come to, in amperes: a percent of the busbar's rating."""
    return resting_on(Interval(busbar.low, busbar.high) * factors.busbar_percent / 100.0, busbar)


def at_opposite_end(sources: Listed[GenerationSource]) -> Claim:
    """Return the claim that the one other source stands at the opposite end from the supply.

    The sum speaks of two sources, the supply and one other; whether several at that end count as one is nowhere
    said, so it is then not known.
    """
    on_busbar = [s for s in sources if not s.connection.among("supply-side").holds]
    placed = all_claims(s.position.among("opposite-end") | s.connection.among("supply-side") for s in on_busbar)
    if not sources.stated:
        return Claim(Truth.UNKNOWN, sources.inputs, sources.missing)
    return placed if len(on_busbar) <= 1 else placed & Claim(Truth.UNKNOWN, placed.inputs)


def sum_of_breakers(circuits: Listed[Circuit], sources: Listed[GenerationSource]) -> Measurement:
    """Return the sum of all breakers of loads and sources, without the device that protects the busbar.

    A source's breaker that is also listed as a circuit counts once: a back-fed circuit of the same rating is it; one
    of the same rating that nobody calls back-fed may be it.
    """
    total = sum_of(circuit.breaker.rating_a for circuit in circuits)
    unmatched = list(circuits)
    for source in sources:
        rating = on_load_side(source, source.breaker_rating_a)
        found = next((c for c in unmatched if _can_be_of(c, source)), None)
        if found is None:
            total = total.plus(rating)
            continue
        unmatched.remove(found)
        if not (found.breaker.backfed.claim.holds and found.breaker.rating_a.stated and rating.interval.is_point):
            total = total.plus(resting_on(Interval(0.0, rating.high), rating, found.breaker.backfed))
    for part in (circuits, sources):
        if not part.stated:
            total = total.plus(resting_on(Interval(0.0, math.inf), part))
    return total


def _can_be_of(circuit: Circuit, source: GenerationSource) -> bool:
    ratings = {circuit.breaker.rating_a.value, source.breaker_rating_a.value}
    same = len(ratings) == 1 or None in ratings
    return same and not (circuit.breaker.backfed.claim.fails or source.connection.among("supply-side").holds)


def on_load_side(source: GenerationSource, number: Measured) -> Measurement:
    """Return *number* of a source as far as it is on the busbar: nothing of a source ahead of the service device."""
    ahead = source.connection.among("supply-side")
    if ahead.holds:
        return resting_on(Interval.exactly(0.0), source.connection)
    low = 0.0 if ahead.unknown else number.low
    return resting_on(Interval(low, number.high), number, source.connection)


def _with_protection(rule: str, busbar: Busbar, factors: BusbarFactors, placed: Claim) -> PermittedSum:
    return PermittedSum(
        rule=rule,
        total=contribution(busbar.sources, factors.output_percent).plus(busbar.protection),
        limit=busbar_limit(busbar.rating, factors),
        placed=placed,
    )
