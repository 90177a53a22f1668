"""Demand of household ranges and other cooking appliances, by the table of the standard method."""

from __future__ import annotations

import math
from collections.abc import Sequence

from changeout.domain.interval import Interval
from changeout.domain.value import value
from changeout.electrical.loads.parts import Item, Part
from changeout.electrical.steps import shown
from changeout.tables.load import section
from changeout.tables.loads import LoadFactors


@value(frozen=True, slots=True, kw_only=True)
class CookingDemand:
    """The demand of cooking appliances in kW, and how it comes about."""

    kw: float
    written: str


def cooking_demand(ratings_kw: Sequence[float], factors: LoadFactors) -> CookingDemand:
    """Return the demand of cooking appliances with the given nameplate ratings.

    Column C with notes 1 and 2; columns A and B (note 3) where every appliance is small enough for them and they give
    less. With a larger one among them column C counts all, which is on the safe side where A and B might be used for
    the small ones alone. Note 4 is about branch circuits. Appliances too small or too large for the table count at
    nameplate.

    Source: Table 220.55 and its notes, range_demand.toml.
    """
    inside = [kw for kw in ratings_kw if factors.range_over_kw < kw <= factors.range_raised_through_kw]
    outside = [kw for kw in ratings_kw if not factors.range_over_kw < kw <= factors.range_raised_through_kw]
    best = _column_c(inside, factors)
    if inside and max(inside) <= factors.range_column_b_through_kw:
        best = min(_columns_a_and_b(inside, factors), best, key=lambda demand: demand.kw)
    written = [best.written] if inside else []
    written += [f"{shown(kw)} kW at nameplate" for kw in outside]
    return CookingDemand(kw=best.kw + sum(outside), written=" + ".join(written) or "0")


def average_rating_kw(ratings_kw: Sequence[float], factors: LoadFactors) -> float:
    """Return the average rating by which column C is raised (note 2), in kW: each counts as 12 kW at least."""
    return sum(max(kw, factors.range_column_c_through_kw) for kw in ratings_kw) / len(ratings_kw)


def raised_percent(average_kw: float, factors: LoadFactors) -> float:
    """Return the percent of column C for appliances of *average_kw*: 5 % more for each kW or major fraction over 12."""
    over = average_kw - factors.range_column_c_through_kw
    # Half a kilowatt is a major fraction; the small term keeps a rounded-off half from being lost.
    return 100.0 + factors.range_percent_per_kw * math.floor(over + 0.5 + 1e-9)


def cooking_interval_va(items: Sequence[Item], all_listed: bool, factors: LoadFactors) -> Interval:
    """Return the demand of cooking appliances some of which may be unknown or not listed, in VA.

    A further appliance can lower the demand of the others (a lower percent, a lower average), so the least is sought
    over how many there may be, up to the last row of the table.
    """
    known = [item.va.low / 1000.0 for item in items if item.va.is_point]
    unknown = len(items) - len(known)
    if all_listed and unknown == 0:
        return Interval.exactly(1000.0 * cooking_demand(known, factors).kw)
    if not known:
        return Interval(0.0, math.inf)
    further = unknown if all_listed else int(factors.range_demand[-1].from_count)
    return Interval(1000.0 * min(_least_kw(known, more, factors) for more in range(further + 1)), math.inf)


def cooking_part(items: Sequence[Item], all_listed: bool, factors: LoadFactors) -> Part:
    """Return the line of the cooking appliances."""
    value = cooking_interval_va(items, all_listed, factors)

    def expression() -> str:
        if not value.is_point:
            return f"{len(items)} listed, not all of them known, by the table"
        return cooking_demand([item.va.low / 1000.0 for item in items], factors).written

    return Part(
        symbol="D_R",
        name="demand of ranges and cooking appliances",
        expression=expression,
        value=value,
        source=section("range_demand", factors.edition),
    )


def _column_c(ratings_kw: Sequence[float], factors: LoadFactors) -> CookingDemand:
    if not ratings_kw:
        return CookingDemand(kw=0.0, written="0")
    base_kw = factors.ranges(len(ratings_kw)).column_c_kw_for(len(ratings_kw))
    average_kw = average_rating_kw(ratings_kw, factors)
    percent = raised_percent(average_kw, factors)
    written = f"column C for {len(ratings_kw)}: {shown(base_kw)} kW"
    if percent != 100.0:
        written += f" x {shown(percent)} % for an average of {shown(average_kw)} kW"
    return CookingDemand(kw=base_kw * percent / 100.0, written=written)


def _columns_a_and_b(ratings_kw: Sequence[float], factors: LoadFactors, further: int = 0) -> CookingDemand:
    below = factors.range_column_a_below_kw
    small = [kw for kw in ratings_kw if kw < below]
    large = [kw for kw in ratings_kw if kw >= below]
    demand_kw = 0.0
    written = []
    for column, ratings in (("A", small), ("B", large)):
        if ratings:
            row = factors.ranges(len(ratings) + further)
            percent = row.column_a_percent if column == "A" else row.column_b_percent
            demand_kw += sum(ratings) * percent / 100.0
            written.append(f"column {column}: {shown(sum(ratings))} kW x {shown(percent)} %")
    return CookingDemand(kw=demand_kw, written=" + ".join(written))


def _least_kw(known_kw: Sequence[float], further: int, factors: LoadFactors) -> float:
    """Return a demand that appliances of *known_kw* and *further* others can't fall below."""
    inside = [kw for kw in known_kw if factors.range_over_kw < kw <= factors.range_raised_through_kw]
    outside = sum(kw for kw in known_kw if not factors.range_over_kw < kw <= factors.range_raised_through_kw)
    if not inside:
        return outside
    best = _column_c([*inside, *[0.0] * further], factors).kw
    if max(inside) <= factors.range_column_b_through_kw:
        best = min(best, _columns_a_and_b(inside, factors, further).kw)
    return outside + best


def cooking_cautions(items: Sequence[Item], factors: LoadFactors) -> tuple[str, ...]:
    """Return what to say of cooking appliances that are larger than the table reaches."""
    limit = factors.range_raised_through_kw
    if any(item.va.is_point and item.va.low > 1000.0 * limit for item in items):
        return (f"A cooking appliance above {shown(limit)} kW is beyond the table and counts at nameplate.",)
    return ()
