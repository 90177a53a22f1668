"""Sizes of grounding and bonding conductors, as areas in thousands of circular mils (kcmil) with bounds."""

from __future__ import annotations

import math
from collections.abc import Callable, Mapping
from typing import Final

from changeout.domain.facts import (
    Choice,
    Choices,
    ConductorSize,
    Flag,
    Listed,
    Measured,
    Measurement,
    Number,
)
from changeout.domain.interval import Interval
from changeout.domain.proposal import Run
from changeout.domain.truth import Truth
from changeout.domain.value import value
from changeout.electrical.bounds import Resting, hull_of, resting_on
from changeout.tables.ampacity import ampacity_a, smallest_size
from changeout.tables.conductors import MATERIALS, SIZES, area_kcmil
from changeout.tables.grounding import (
    bonding_jumper_fraction,
    bonding_jumper_greatest_size,
    bonding_jumper_size,
    electrode_conductor_cap,
    electrode_conductor_size,
    equipment_grounding_size,
)

EQUIVALENT_AMPACITY_COLUMN_DEGC: Final = 75
"""Column in which conductors of another material are found equal; from memory, no source names the column."""

SMALLEST_GROUND_RING: Final = "2 AWG"
"""Smallest conductor that a ground ring is made of: 250.52(A)(4), from memory."""

_ELECTRODE_CAPS: Final = {
    "ground-rod": "rod-pipe-plate",
    "second-ground-rod": "rod-pipe-plate",
    "plate": "rod-pipe-plate",
    "concrete-encased": "concrete-encased",
    "ground-ring": "ground-ring",
}
_DIGITS: Final = 9
"""Decimals kept of a product of printed areas, so that equal sizes stay equal."""

_MOST_SETS: Final = 20
"""Parallel sets that conductors nobody stated may have at most, as the interface has it."""

Caps = Mapping[tuple[str, str], str]
"""Sizes that the conductor to one kind of electrode alone need not exceed, by kind of electrode and material."""


@value(frozen=True, slots=True, kw_only=True)
class Conductor:
    """The ungrounded conductors of one phase: size and material of each, and the number of parallel sets."""

    size: str
    material: str
    sets: int = 1

    @property
    def kcmil(self) -> float:
        """The area of all sets together."""
        return area_kcmil(self.size) * self.sets


@value(frozen=True, slots=True, kw_only=True)
class OpenConductors:
    """Supply conductors of which nothing is stated: any size and material, any number of parallel sets."""

    size: ConductorSize
    material: Choice
    sets: Number


SupplyConductors = Run | OpenConductors


def supply_conductors(runs: Listed[Run]) -> SupplyConductors:
    """Return the conductors that end at the panelboard; any conductors at all where none are stated."""
    if runs.items:
        return runs.items[-1]
    return OpenConductors(
        size=ConductorSize(runs.at, None), material=Choice(runs.at, None), sets=Number(runs.at, 1.0, _MOST_SETS)
    )


def conductor_area(size: ConductorSize) -> Measurement:
    """Return the area of one conductor in kcmil, over every size where none is stated."""
    return resting_on(hull_of(Interval.exactly(area_kcmil(s)) for s in _end_sizes(size)), size)


def equivalent_area(run: SupplyConductors) -> Measurement:
    """Return the area of a run's parallel sets together, in kcmil."""
    return _over(run, lambda supply: Interval.exactly(supply.kcmil))


def electrode_conductor(
    run: SupplyConductors, material: Choice, electrodes: Choices, caps: Caps | None = None
) -> Measurement:
    """Return the least area of the grounding electrode conductor for a run of supply conductors, in kcmil.

    Electrodes that nobody stated can be of any kind. *caps* are those of the table unless given.
    """
    groups = ((), ("ground-rod",)) if electrodes.values is None else (electrodes.values,)

    def required(supply: Conductor) -> Interval:
        return hull_of(
            electrode_conductor_kcmil(supply, m, group, caps) for m in _materials(material) for group in groups
        )

    return _over(run, required, material, electrodes)


def electrode_conductor_kcmil(
    supply: Conductor, material: str, electrodes: tuple[str, ...], caps: Caps | None = None
) -> Interval:
    """Return the least area of one grounding electrode conductor of *material* to all *electrodes*, in kcmil.

    The table's size, or the greatest of the caps where every electrode has one. A ground ring's cap is the size of
    the ring, which no proposal states: from the smallest that a ring is made of up to the table's.

    Source: Table 250.66; 250.66(A) to (C).
    """
    by_table = area_kcmil(electrode_conductor_size(supply.kcmil, supply.material, material))
    asked = [_cap_kcmil(electrode, material, by_table, caps) for electrode in electrodes]
    asked = asked or [Interval.exactly(by_table)]
    return Interval(max(c.low for c in asked), max(c.high for c in asked))


def _cap_kcmil(electrode: str, material: str, by_table: float, caps: Caps | None) -> Interval:
    kind = _ELECTRODE_CAPS.get(electrode)
    if kind is None:
        return Interval.exactly(by_table)
    if kind == "ground-ring":
        return Interval(min(by_table, area_kcmil(SMALLEST_GROUND_RING)), by_table)
    cap = electrode_conductor_cap(kind, material) if caps is None else caps.get((kind, material))
    return Interval.exactly(by_table if cap is None else min(by_table, area_kcmil(cap)))


def bonding_jumper(run: SupplyConductors, material: Choice, over_table_percent: float | None = None) -> Measurement:
    """Return the least area of the main bonding jumper for a run of supply conductors, in kcmil.

    Above the table it is *over_table_percent* of the area of the supply conductors, or the table's own percent.
    """
    fraction = bonding_jumper_fraction() if over_table_percent is None else over_table_percent / 100.0

    def required(supply: Conductor) -> Interval:
        return hull_of(bonding_jumper_kcmil(supply, m, fraction) for m in _materials(material))

    return _over(run, required, material)


def bonding_jumper_kcmil(supply: Conductor, material: str, fraction: float | None = None) -> Interval:
    """Return the least area of a main, system or supply-side bonding jumper of *material*, in kcmil.

    Above the table: *fraction*, else the table's, of the area of the supply conductors, taken as conductors of the
    jumper's material of equal ampacity where it is another. No upper bound where the table of ampacities has no such
    conductor.

    Source: Table 250.102(C)(1) and its notes.
    """
    size = bonding_jumper_size(supply.kcmil, supply.material, material)
    if size is not None:
        return Interval.exactly(area_kcmil(size))
    printed = area_kcmil(bonding_jumper_greatest_size(material))
    area = _area_in_material(supply, material)
    part = bonding_jumper_fraction() if fraction is None else fraction
    low, high = (max(printed, round(part * end, _DIGITS)) for end in (area.low, area.high))
    return Interval(low, high)


def _area_in_material(supply: Conductor, material: str) -> Interval:
    if material == supply.material:
        return Interval.exactly(supply.kcmil)
    carried = ampacity_a(supply.size, supply.material, EQUIVALENT_AMPACITY_COLUMN_DEGC)
    if carried is None:
        return Interval(0.0, math.inf)
    equal = smallest_size(carried, material, EQUIVALENT_AMPACITY_COLUMN_DEGC)
    if equal is None:
        return Interval(area_kcmil(SIZES[-1]) * supply.sets, math.inf)
    return Interval.exactly(area_kcmil(equal) * supply.sets)


def equipment_grounding_kcmil(device_a: float, material: str) -> float:
    """Return the least area of an equipment grounding conductor for a device, in kcmil; infinite above the table.

    Source: Table 250.122.
    """
    size = equipment_grounding_size(device_a, material)
    return math.inf if size is None else area_kcmil(size)


def raised_kcmil(base_kcmil: float, installed_kcmil: float, needed_kcmil: float) -> float:
    """Return the area of an equipment grounding conductor where the circuit conductors were made larger, in kcmil.

    In proportion to the circuit conductors: from *needed_kcmil* to *installed_kcmil*. Never less than the base.

    Source: 250.122(B).
    """
    return max(base_kcmil, round(base_kcmil * installed_kcmil / needed_kcmil, _DIGITS))


@value(frozen=True, slots=True, kw_only=True)
class Upsizing:
    """Whether the circuit conductors were made larger than their ampacity asks, and from which size."""

    done: Flag
    original: ConductorSize


def equipment_grounding(run: SupplyConductors, device: Measured, material: Choice, upsizing: Upsizing) -> Measurement:
    """Return the least area of the equipment grounding conductor that runs with a run, in kcmil.

    Raised in proportion where the circuit conductors were; never more than the circuit conductors themselves where
    both are of one material. Not known whether they were raised: up to the circuit conductors.

    Source: Table 250.122, 250.122(A) and (B).
    """

    def required(supply: Conductor) -> Interval:
        return hull_of(of_material(supply, m) for m in _materials(material))

    def of_material(supply: Conductor, own: str) -> Interval:
        base = Interval(*(equipment_grounding_kcmil(end, own) for end in (device.low, device.high)))
        return _capped(_raised(base, supply, upsizing), supply.kcmil if own == supply.material else math.inf)

    return _over(run, required, device, material, upsizing.done, upsizing.original)


def _raised(base: Interval, supply: Conductor, upsizing: Upsizing) -> Interval:
    if upsizing.done.truth is Truth.NO:
        return base
    if upsizing.done.truth is Truth.YES and upsizing.original.value is not None:
        needed = area_kcmil(upsizing.original.value) * supply.sets
        return Interval(*(raised_kcmil(end, supply.kcmil, needed) for end in (base.low, base.high)))
    return Interval(base.low, math.inf)


def _capped(required: Interval, cap_kcmil: float) -> Interval:
    return Interval(min(required.low, cap_kcmil), min(required.high, cap_kcmil))


def _over(run: SupplyConductors, required: Callable[[Conductor], Interval], *others: Resting) -> Measurement:
    """Return what is required over every conductor that the run can be, all areas growing with size and sets."""
    found = [
        required(Conductor(size=size, material=material, sets=sets))
        for size in _end_sizes(run.size)
        for material in _materials(run.material)
        for sets in sorted({int(run.sets.low), int(run.sets.high)})
    ]
    return resting_on(hull_of(found), run.size, run.material, run.sets, *others)


def _end_sizes(size: ConductorSize) -> tuple[str, ...]:
    return (SIZES[0], SIZES[-1]) if size.value is None else (size.value,)


def _materials(material: Choice) -> tuple[str, ...]:
    return MATERIALS if material.value is None else (material.value,)
