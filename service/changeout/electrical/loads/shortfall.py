"""By how much a stated load grows where its general lighting was counted short of what the edition asks."""

from __future__ import annotations

from changeout.domain.facts import Measurement, fixed, merged
from changeout.domain.interval import Interval
from changeout.domain.proposal import Load
from changeout.electrical.loads.lighting import general_lighting_va, laundry_va, small_appliance_va
from changeout.electrical.loads.parts import NOTHING, Part
from changeout.electrical.steps import shown, term
from changeout.tables.loads import LoadFactors


def lighting_shortfall(load: Load, factors: LoadFactors) -> Measurement:
    """Return what a stated load lacks of general lighting, as it adds to the load, in VA; nothing for other methods.

    Which demand factor the stated calculation put on its lighting is not known. So a shortfall adds between the least
    percent that a method would leave of it and all of it.
    """
    if load.method.value != "stated":
        return fixed(0.0)
    lacking = _lacking(load, factors)
    facts = (load.floor_area_ft2, load.general_lighting_va)
    interval = Interval(lacking.low * _least_percent(load, factors) / 100.0, lacking.high)
    missing = () if interval.is_point else merged(*(fact.missing for fact in facts))
    return Measurement(interval, merged(*(fact.inputs for fact in facts)), missing)


def shortfall_parts(load: Load, stated_va: Interval, factors: LoadFactors) -> tuple[Part, ...]:
    """Return the lines that correct a stated load; none where no floor area or no lighting load is stated."""
    if not _is_checked(load):
        return ()
    required = general_lighting_va(load.floor_area_ft2.interval, factors)
    lacking = _lacking(load, factors)
    percent = Interval(_least_percent(load, factors), 100.0)
    short = lighting_shortfall(load, factors).interval
    return (
        Part(
            symbol="S_G",
            name="general lighting and receptacles for the floor area",
            expression=lambda: (
                f"{shown(factors.general_lighting_va_per_ft2)} VA/ft2 x {term(load.floor_area_ft2.interval)} ft2"
            ),
            value=required,
            source=factors.sections["general_lighting_va_per_ft2"],
        ),
        Part(
            symbol="S_K",
            name="stated load with the lighting it lacks",
            expression=lambda: f"{term(stated_va)} + {term(percent)} % x {term(lacking)}",
            value=stated_va + short,
            source=factors.sections["general_lighting_va_per_ft2"],
        ),
    )


def shortfall_cautions(load: Load, factors: LoadFactors) -> tuple[str, ...]:
    """Return what to say where general lighting was counted short."""
    if not _is_checked(load) or _lacking(load, factors).high <= 0.0:
        return ()
    return (
        f"General lighting was counted {shown(_lacking(load, factors))} VA short. What that adds to the stated load "
        "depends on the demand factor it was calculated with: the calculation itself settles it.",
    )


def _is_checked(load: Load) -> bool:
    return load.method.value == "stated" and load.floor_area_ft2.stated and load.general_lighting_va.stated


def _lacking(load: Load, factors: LoadFactors) -> Interval:
    required, counted = general_lighting_va(load.floor_area_ft2.interval, factors), load.general_lighting_va
    return Interval(max(0.0, required.low - counted.high), max(0.0, required.high - counted.low))


def _least_percent(load: Load, factors: LoadFactors) -> float:
    """Return the least percent at which a method counts the last of the general lighting of the floor area."""
    circuits = small_appliance_va(NOTHING, factors) + laundry_va(NOTHING, factors)
    connected = general_lighting_va(load.floor_area_ft2.interval, factors) + circuits
    reached = [tier.percent for tier in factors.lighting_demand if connected.high > tier.above_va]
    seen = factors.existing_rest_percent
    return min(*reached, factors.optional_rest_percent, *(() if seen is None else (seen,)))
