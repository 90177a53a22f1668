"""What a load calculation is made of: the appliances and areas that go in, the lines that come out."""

from __future__ import annotations

import math
from collections.abc import Callable, Iterable, Sequence
from dataclasses import field
from typing import Final

from changeout.domain.calculation import Step
from changeout.domain.interval import Interval
from changeout.domain.value import value
from changeout.electrical.steps import shown, step, term
from changeout.tables.loads import DemandTier

NOTHING: Final = Interval(0.0, 0.0)
ANY_LOAD: Final = Interval(0.0, math.inf)

KINDS: Final = ("fixed", "range", "dryer", "ev", "motor", "heat", "heat-pump", "cool")
"""Every kind of appliance of the interface."""


@value(frozen=True, slots=True, kw_only=True)
class Item:
    """An appliance as the methods count it: *va* is its rating, without the supplemental heat of a heat pump.

    ``horsepower`` is given where the rating is a motor's; *va* is then what the motor draws.
    """

    name: str
    kind: str
    va: Interval
    supplemental_va: Interval = NOTHING
    horsepower: float | None = None


@value(frozen=True, slots=True, kw_only=True)
class Dwelling:
    """What the dwelling methods count. ``all_listed`` says whether *items* are all the appliances there are."""

    floor_area_ft2: Interval
    small_appliance_circuits: Interval
    laundry_circuits: Interval
    items: tuple[Item, ...]
    all_listed: bool = True
    added_va: Interval = NOTHING

    def of_kind(self, *kinds: str) -> tuple[Item, ...]:
        """Return the appliances of the kinds."""
        return tuple(item for item in self.items if item.kind in kinds)


@value(frozen=True, slots=True, kw_only=True)
class Part:
    """A line of the calculation. Its expression is written only when somebody reads it."""

    symbol: str
    name: str
    expression: Callable[[], str]
    value: Interval
    source: str
    unit: str = "VA"

    def step(self) -> Step:
        """Return the line as it is printed."""
        return step(self.symbol, self.name, self.expression(), self.value, self.unit, self.source)


@value(frozen=True, slots=True, kw_only=True)
class Tally:
    """A load in VA and the lines that lead to it."""

    va: Interval
    parts: tuple[Part, ...]
    cautions: tuple[str, ...] = field(default=())

    def part(self, symbol: str) -> Part:
        """Return the line called *symbol*.

        Raises:
            KeyError: if there is none.
        """
        for part in self.parts:
            if part.symbol == symbol:
                return part
        raise KeyError(symbol)


def total(loads: Iterable[Interval]) -> Interval:
    """Return the sum of the loads."""
    return sum(loads, NOTHING)


def or_more(load: Interval, all_listed: bool) -> Interval:
    """Return *load* where everything is listed, else from its least to without bound."""
    return load if all_listed else Interval(load.low, math.inf)


def or_more_written(written: str, all_listed: bool) -> str:
    """Return *written* where everything is listed, else with what may come to it."""
    return written if all_listed else f"{written} + (0 or more)"


def at_percent(load: Interval, percent: Interval | float) -> Interval:
    """Return *percent* of *load*."""
    return load * percent / 100.0


def tiered_va(load_va: float, tiers: Sequence[DemandTier]) -> float:
    """Return the demand of *load_va* where each tier of it counts at its own percent, in VA."""
    counted = (max(0.0, min(load_va, t.through_va) - t.above_va) * t.percent for t in tiers if load_va > t.above_va)
    return sum(counted) / 100.0


def tiered(load: Interval, tiers: Sequence[DemandTier]) -> Interval:
    """Return the demand of *load* where each tier of it counts at its own percent, in VA."""
    return Interval(tiered_va(load.low, tiers), tiered_va(load.high, tiers))


def tiers_written(load: Interval, tiers: Sequence[DemandTier]) -> str:
    """Return the demand of *load* as it is computed by hand; of a range, of its least and of its greatest."""
    if not load.is_point:
        least = tiers_written(Interval.exactly(load.low), tiers)
        if not load.is_bounded:
            return or_more_written(least, all_listed=False)
        return f"{least} or {tiers_written(Interval.exactly(load.high), tiers)}"
    reached = [t for t in tiers if load.low > t.above_va] or list(tiers[:1])
    return " + ".join(f"{shown(min(load.low, t.through_va) - t.above_va)} x {shown(t.percent)} %" for t in reached)


def first_and_rest(first_va: float, first_percent: float, rest_percent: float) -> tuple[DemandTier, ...]:
    """Return the two tiers of a method that counts the first part of a load at one percent and the rest at another."""
    return (
        DemandTier(above_va=0.0, through_va=first_va, percent=first_percent),
        DemandTier(above_va=first_va, through_va=math.inf, percent=rest_percent),
    )


def plus(loads: Iterable[Interval]) -> str:
    """Return the sum of the loads as it is written: ``4500 + 1200``; ``0`` for none. What is nothing is left out."""
    return " + ".join(term(load) for load in loads if load.high > 0.0) or "0"


def grouped(loads: Iterable[Interval]) -> str:
    """Return the sum of the loads as a factor is put beside it: ``(4500 + 1200)``, ``4500``."""
    written = plus(loads)
    return f"({written})" if " + " in written else written


def hull(tallies: Sequence[Tally]) -> Tally:
    """Return what can be said where any one of the tallies may be the right one.

    A line that differs between them goes from its least to its greatest, and shows how both come about.
    """
    if len(tallies) == 1:
        return tallies[0]
    symbols = dict.fromkeys(part.symbol for tally in tallies for part in tally.parts)
    parts = tuple(_hull_of_part([p for t in tallies for p in t.parts if p.symbol == s], len(tallies)) for s in symbols)
    va = Interval(min(t.va.low for t in tallies), max(t.va.high for t in tallies))
    cautions = tuple(dict.fromkeys(caution for tally in tallies for caution in tally.cautions))
    return Tally(va=va, parts=parts, cautions=cautions)


def _hull_of_part(parts: Sequence[Part], wanted: int) -> Part:
    least = min(parts, key=lambda p: p.value.low)
    greatest = max(parts, key=lambda p: p.value.high)
    low = least.value.low if len(parts) == wanted else 0.0
    names = dict.fromkeys(p.name for p in parts)

    def expression() -> str:
        written = dict.fromkeys(p.expression() for p in (least, greatest))
        return " or ".join(written) if len(parts) == wanted else " or ".join((*written, "none"))

    return Part(
        symbol=least.symbol,
        name=" or ".join(names) if len(names) <= 2 else next(iter(names)),
        expression=expression,
        value=Interval(low, greatest.value.high),
        source="; ".join(dict.fromkeys(p.source for p in (least, greatest))),
        unit=least.unit,
    )
