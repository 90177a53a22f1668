"""The smallest conductor that carries what is asked of it, with bounds where something is not stated."""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator
from dataclasses import replace
from typing import Final

from changeout.domain.calculation import Step
from changeout.domain.facts import ConductorSize, Measured, Measurement, fixed, merged
from changeout.domain.interval import Interval
from changeout.domain.value import value
from changeout.electrical.ampacity import installed_ampacity, installed_ampacity_a, installed_ampacity_written
from changeout.electrical.installation import TABLE_AMBIENT_DEGC, TABLE_CONDUCTORS, Axis, Conductors, Terminals
from changeout.electrical.steps import shown, step
from changeout.tables.ampacity import AmpacitySections
from changeout.tables.conductors import SIZES, area_kcmil, size_with_area_at_least

SMALLEST_IN_PARALLEL: Final = "1/0 AWG"
"""The smallest size that is run in parallel sets: 310.10 (conductors in parallel), from memory, unreviewed."""

AREAS: Final = "areas: Chapter 9 Table 8"
_UNCITED: Final = AmpacitySections(ampacity="", ambient="", conductor_count="")


@value(frozen=True, slots=True, kw_only=True)
class Need:
    """What the parallel sets of a conductor must be good for together, in amperes.

    ``as_installed`` is asked of what ``counted`` makes of the ampacity as installed (a device rounded up, say),
    ``before_factors`` of the ampacity before the factors of ambient temperature and number of conductors.
    """

    as_installed: Measured
    before_factors: Measured = fixed(0.0)
    counted: Callable[[float], float] = float


@value(frozen=True, slots=True, kw_only=True)
class Smallest:
    """The smallest size: the least it can be and the one that suffices whatever is not stated; None beyond the table.

    ``area`` is that of one conductor, in kcmil. ``conductors`` and ``terminals`` are what it was found for.
    """

    conductors: Conductors
    terminals: Terminals
    least: str | None
    surely: str | None
    area: Measurement

    @property
    def is_known(self) -> bool:
        """Whether only one size is possible."""
        return self.least is not None and self.least == self.surely


def smallest_conductor(conductors: Conductors, terminals: Terminals, need: Need) -> Smallest:
    """Return the smallest size of *conductors* that meets a need, all else about them as it is known.

    Sizes below the smallest that may be run in parallel do not count for several sets.
    """
    carried = _Carried(conductors=conductors, terminals=terminals, need=need)
    least = _first(carried.can_suffice, min(conductors.sets.values))
    surely = _first(carried.suffices, max(conductors.sets.values))
    return Smallest(
        conductors=conductors,
        terminals=terminals,
        least=least,
        surely=surely,
        area=_area(carried, (least, surely)),
    )


@value(frozen=True, slots=True, kw_only=True)
class _Carried:
    """Conductors of any size held against a need."""

    conductors: Conductors
    terminals: Terminals
    need: Need

    def as_installed_a(self, size: str) -> Interval:
        return installed_ampacity_a(of_size(self.conductors, size), self.terminals)

    def before_factors_a(self, size: str) -> Interval:
        return installed_ampacity_a(of_size(at_table_conditions(self.conductors), size), self.terminals)

    def can_suffice(self, size: str) -> bool:
        good_for = self.need.counted(self.as_installed_a(size).high)
        return (
            good_for >= self.need.as_installed.low and self.before_factors_a(size).high >= self.need.before_factors.low
        )

    def suffices(self, size: str) -> bool:
        good_for = self.need.counted(self.as_installed_a(size).low)
        return (
            good_for >= self.need.as_installed.high and self.before_factors_a(size).low >= self.need.before_factors.high
        )


def of_size(conductors: Conductors, size: str) -> Conductors:
    """Return *conductors* as they would be in a size."""
    return replace(conductors, size=ConductorSize(conductors.size.at, size))


def at_table_conditions(conductors: Conductors) -> Conductors:
    """Return *conductors* as they would be at the conditions of the table, where every factor is one."""
    return replace(conductors, ambient=Axis(values=(TABLE_AMBIENT_DEGC,)), count=Axis(values=(TABLE_CONDUCTORS,)))


def sized(area: Interval) -> str:
    """Return the trade sizes of the areas, in words: ``4 AWG``, ``4 AWG to 2 AWG``, ``4 AWG or larger``."""
    low, high = (size_with_area_at_least(end) for end in (area.low, area.high))
    if low is None:
        return f"larger than {SIZES[-1]}"
    if high is None:
        return f"{low} or larger"
    return low if low == high else f"{low} to {high}"


def smallest_steps(mark: str, what: str, found: Smallest, cited: AmpacitySections) -> Iterator[Step]:
    """Return the lines of a smallest conductor: its area, and what it and the next smaller size carry."""
    conductors, terminals, area = found.conductors, found.terminals, found.area.interval
    material = conductors.material.value or "copper or aluminum"
    trade = sized(area) if found.least else f"larger than {SIZES[-1]}"
    yield step(f"A_{mark}", f"{what}: {trade}, {material}", shown(area), area, "kcmil", f"{cited.ampacity}; {AREAS}")
    if found.least is None or not found.is_known:
        return
    place = SIZES.index(found.least)
    named = (("", "", found.least), ("-", "the next smaller, ", SIZES[place - 1]))
    for sign, words, size in named if place else named[:1]:
        own = of_size(conductors, size)
        yield _carries(f"I(A_{mark}){sign}", f"ampacity of {words}{size}, as installed", own, terminals, cited)
        plain = at_table_conditions(own)
        if installed_ampacity_a(plain, terminals) != installed_ampacity_a(own, terminals):
            name = f"ampacity of {words}{size}, before the factors"
            yield _carries(f"I0(A_{mark}){sign}", name, plain, terminals, cited)


def _carries(symbol: str, name: str, conductors: Conductors, terminals: Terminals, cited: AmpacitySections) -> Step:
    written = installed_ampacity_written(conductors, terminals)
    return step(symbol, name, written, installed_ampacity_a(conductors, terminals), "A", cited.ampacity)


def _first(suffices: Callable[[str], bool], sets: float) -> str | None:
    first = SIZES.index(SMALLEST_IN_PARALLEL) if sets > 1 else 0
    return next((size for size in SIZES[first:] if suffices(size)), None)


def _area(carried: _Carried, sizes: tuple[str | None, str | None]) -> Measurement:
    least, surely = sizes
    interval = Interval(area_kcmil(least or SIZES[-1]), area_kcmil(surely) if surely else math.inf)
    need, own = carried.need, carried.conductors.size.at
    ends = [
        installed_ampacity(of_size(carried.conductors, size or SIZES[-1]), carried.terminals, _UNCITED).result
        for size in sizes
    ]
    rests_on = (need.as_installed, need.before_factors, *ends)
    inputs = (pointer for pointer in merged(*(number.inputs for number in rests_on)) if pointer != own)
    missing = () if interval.is_point else merged(*(number.missing for number in rests_on))
    return Measurement(interval, tuple(inputs), missing)
