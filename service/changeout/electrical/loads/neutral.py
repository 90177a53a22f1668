"""Neutral load, line currents and the smallest service of a calculated load."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from changeout.domain.value import value
from changeout.tables.loads import LoadFactors


@value(frozen=True, slots=True, kw_only=True)
class LineCurrents:
    """The current in both lines of a single-phase three-wire supply and in its neutral, in amperes."""

    line_a: float
    neutral: float
    line_b: float


def neutral_load_va(
    *, lighting_demand_va: float, cooking_va: float, dryer_va: float, other_va: float, factors: LoadFactors
) -> float:
    """Return the load of the neutral, in VA.

    *lighting_demand_va* and *other_va* use the neutral in full (*other_va*: further loads at 120 V); of the demand of
    ranges and dryers 70 % counts.

    Source: 220.61, from memory; the percent with its section is in load_factors.toml. Worked example D1(a) agrees.
    """
    share = factors.cooking_and_dryer_neutral_percent / 100.0
    return lighting_demand_va + other_va + share * (cooking_va + dryer_va)


def line_currents(rows: Iterable[LineCurrents]) -> LineCurrents:
    """Return the sum of the rows, line by line."""
    found = tuple(rows)
    return LineCurrents(
        line_a=sum(row.line_a for row in found),
        neutral=sum(row.neutral for row in found),
        line_b=sum(row.line_b for row in found),
    )


def minimum_service_a(load_a: float, ratings_a: Sequence[float], least_a: float) -> float:
    """Return the smallest of the standard ratings for a load, not below the least that the occupancy may have.

    Raises:
        ValueError: if no rating is that great.
    """
    wanted = max(load_a, least_a)
    fitting = [rating for rating in ratings_a if rating >= wanted]
    if not fitting:
        raise ValueError(f"no standard rating reaches {wanted} A")
    return min(fitting)
