"""General lighting and receptacles of a dwelling, with its small-appliance and laundry circuits."""

from __future__ import annotations

from changeout.domain.interval import Interval, greatest
from changeout.electrical.loads.parts import Dwelling, Part, tiered, tiers_written
from changeout.electrical.steps import shown, term
from changeout.tables.load import section
from changeout.tables.loads import LoadFactors


def general_lighting_va(floor_area_ft2: Interval, factors: LoadFactors) -> Interval:
    """Return the load of general lighting and general-use receptacles, in VA."""
    return floor_area_ft2 * factors.general_lighting_va_per_ft2


def small_appliance_va(circuits: Interval, factors: LoadFactors) -> Interval:
    """Return the load of the small-appliance circuits, in VA. At least as many count as the edition requires."""
    return _circuits(circuits, factors.small_appliance_circuits_least) * factors.small_appliance_circuit_va


def laundry_va(circuits: Interval, factors: LoadFactors) -> Interval:
    """Return the load of the laundry circuits, in VA. At least as many count as the edition requires."""
    return _circuits(circuits, factors.laundry_circuits_least) * factors.laundry_circuit_va


def lighting_demand_va(connected_va: Interval, factors: LoadFactors) -> Interval:
    """Return the demand of general lighting, small-appliance and laundry circuits together, standard method, in VA."""
    return tiered(connected_va, factors.lighting_demand)


def connected_parts(dwelling: Dwelling, factors: LoadFactors) -> tuple[Part, Part, Part]:
    """Return the lines of general lighting, small-appliance circuits and laundry circuits, before any demand factor."""
    area, small, laundry = dwelling.floor_area_ft2, dwelling.small_appliance_circuits, dwelling.laundry_circuits
    return (
        Part(
            symbol="S_G",
            name="general lighting and receptacles",
            expression=lambda: f"{shown(factors.general_lighting_va_per_ft2)} VA/ft2 x {term(area)} ft2",
            value=general_lighting_va(area, factors),
            source=factors.sections["general_lighting_va_per_ft2"],
        ),
        Part(
            symbol="S_A",
            name="small-appliance circuits",
            expression=lambda: _circuits_written(
                small, factors.small_appliance_circuits_least, factors.small_appliance_circuit_va
            ),
            value=small_appliance_va(small, factors),
            source=factors.sections["small_appliance_circuit_va"],
        ),
        Part(
            symbol="S_L",
            name="laundry circuits",
            expression=lambda: _circuits_written(laundry, factors.laundry_circuits_least, factors.laundry_circuit_va),
            value=laundry_va(laundry, factors),
            source=factors.sections["laundry_circuit_va"],
        ),
    )


def demand_part(connected_va: Interval, factors: LoadFactors) -> Part:
    """Return the line of the lighting demand of the standard method."""
    return Part(
        symbol="D_G",
        name="demand of lighting, small-appliance and laundry circuits",
        expression=lambda: tiers_written(connected_va, factors.lighting_demand),
        value=lighting_demand_va(connected_va, factors),
        source=section("lighting_demand", factors.edition),
    )


def circuit_cautions(dwelling: Dwelling, factors: LoadFactors) -> tuple[str, ...]:
    """Return what to say where fewer circuits are stated than the edition requires of a dwelling."""
    found = (
        ("small-appliance", dwelling.small_appliance_circuits, factors.small_appliance_circuits_least),
        ("laundry", dwelling.laundry_circuits, factors.laundry_circuits_least),
    )
    return tuple(
        f"{shown(stated)} {name} circuits are stated; {shown(least)} are counted, the least that a dwelling must have. "
        "A dwelling that may lawfully have fewer has a smaller load than this."
        for name, stated, least in found
        if stated.high < least
    )


def _circuits(stated: Interval, least: float) -> Interval:
    return greatest(stated, Interval.exactly(least))


def _circuits_written(stated: Interval, least: float, each_va: float) -> str:
    return f"{shown(each_va)} VA x {term(_circuits(stated, least))}"
