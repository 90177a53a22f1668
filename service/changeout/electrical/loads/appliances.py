"""Demand of fastened appliances, clothes dryers and vehicle charging in a dwelling."""

from __future__ import annotations

from collections.abc import Sequence

from changeout.domain.interval import Interval, greatest
from changeout.electrical.loads.parts import Item, Part, at_percent, grouped, or_more, or_more_written, plus, total
from changeout.electrical.steps import shown
from changeout.tables.load import section
from changeout.tables.loads import LoadFactors


def fastened_demand(items: Sequence[Item], all_listed: bool, factors: LoadFactors) -> Interval:
    """Return the demand of appliances fastened in place, in VA, by the standard method.

    From four on (not counting the ones under the edition's least rating) they count at 75 %.
    """
    surely = [item for item in items if _counts_among_four(item, item.va.low, factors)]
    perhaps = [item for item in items if _counts_among_four(item, item.va.high, factors)]
    never = total(item.va for item in items if item not in perhaps)
    counted = total(item.va for item in perhaps)
    least = factors.fastened_appliances_least
    reduced_at_least = at_percent(counted, factors.fastened_appliances_percent)
    low = reduced_at_least.low if len(perhaps) >= least or not all_listed else counted.low
    reduced_surely = all_listed and len(surely) >= least
    unsure = total(item.va for item in perhaps if item not in surely)
    high = (
        at_percent(total(item.va for item in surely), factors.fastened_appliances_percent).high + unsure.high
        if reduced_surely
        else counted.high
    )
    return or_more(Interval(low + never.low, high + never.high), all_listed)


def fastened_part(items: Sequence[Item], all_listed: bool, factors: LoadFactors) -> Part:
    """Return the line of the appliances fastened in place."""
    value = fastened_demand(items, all_listed, factors)

    def expression() -> str:
        if not all_listed:
            return shown(value)
        counted = [item for item in items if _counts_among_four(item, item.va.low, factors)]
        if len(counted) < factors.fastened_appliances_least:
            return plus(item.va for item in items)
        small = [item for item in items if item not in counted]
        reduced = f"{grouped(item.va for item in counted)} x {shown(factors.fastened_appliances_percent)} %"
        return f"{reduced} + {plus(item.va for item in small)}" if small else reduced

    return Part(
        symbol="D_F",
        name="demand of appliances fastened in place",
        expression=expression,
        value=value,
        source=factors.sections["fastened_appliances_percent"],
    )


def dryer_demand(items: Sequence[Item], all_listed: bool, factors: LoadFactors) -> Interval:
    """Return the demand of clothes dryers, in VA, by the standard method: each at its least value or nameplate."""
    ratings = total(dryer_va(item, factors) for item in items)
    if not items:
        return or_more(ratings, all_listed)
    exact = at_percent(ratings, _dryer_percent(len(items), factors))
    if all_listed:
        return exact
    # Further dryers lower the percent up to the last row of the table; from there on each only adds.
    low = min(
        (ratings.low + more * factors.dryer_least_va) * _dryer_percent(len(items) + more, factors) / 100.0
        for more in range(int(factors.dryer_demand[-1].from_count) + 1)
    )
    return or_more(Interval(low, exact.high), all_listed)


def dryer_va(item: Item, factors: LoadFactors) -> Interval:
    """Return what a clothes dryer counts before the demand factor, in VA."""
    return greatest(item.va, Interval.exactly(factors.dryer_least_va))


def dryer_part(items: Sequence[Item], all_listed: bool, factors: LoadFactors) -> Part:
    """Return the line of the clothes dryers."""
    value = dryer_demand(items, all_listed, factors)

    def expression() -> str:
        if not all_listed:
            return shown(value)
        percent = shown(_dryer_percent(len(items), factors)) if items else "100"
        return f"{grouped(dryer_va(item, factors) for item in items)} x {percent} %"

    return Part(
        symbol="D_D",
        name="demand of clothes dryers",
        expression=expression,
        value=value,
        source=f"{factors.sections['dryer_least_va']}; {section('dryer_demand', factors.edition)}",
    )


def ev_va(rating_va: Interval, factors: LoadFactors) -> Interval:
    """Return what a charger counts, in VA: its nameplate, or the edition's least value where that is larger."""
    return greatest(rating_va, Interval.exactly(factors.ev_least_va))


def ev_part(items: Sequence[Item], all_listed: bool, factors: LoadFactors) -> Part:
    """Return the line of the vehicle charging equipment."""
    return Part(
        symbol="S_E",
        name="vehicle charging equipment, each at nameplate or the edition's least value",
        expression=lambda: or_more_written(plus(ev_va(item.va, factors) for item in items), all_listed),
        value=or_more(total(ev_va(item.va, factors) for item in items), all_listed),
        source=factors.sections["ev_least_va"],
    )


def _counts_among_four(item: Item, va: float, factors: LoadFactors) -> bool:
    if item.horsepower is not None:
        return item.horsepower >= factors.fastened_excluded_below_hp
    return va >= factors.fastened_excluded_below_w


def _dryer_percent(count: int, factors: LoadFactors) -> float:
    return factors.dryers(count).percent_for(count)
