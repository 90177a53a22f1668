"""Heating and cooling of a dwelling: what runs in winter against what runs in summer."""

from __future__ import annotations

from typing import Final

from changeout.domain.interval import Interval, greatest
from changeout.domain.value import value
from changeout.electrical.loads.parts import (
    NOTHING,
    Dwelling,
    Part,
    at_percent,
    grouped,
    or_more,
    or_more_written,
    total,
)
from changeout.electrical.steps import shown, term
from changeout.tables.loads import LoadFactors

SEASONAL: Final = ("heat", "heat-pump", "cool")

_HUNDRED: Final = Interval.exactly(100.0)


@value(frozen=True, slots=True, kw_only=True)
class Percents:
    """The percents at which a method counts heating and cooling, and where the edition has them."""

    heat: Interval
    compressor: Interval
    supplemental: Interval
    cool: Interval
    heating_section: str
    cooling_section: str


def standard_percents(factors: LoadFactors) -> Percents:
    """Return the percents of the standard method."""
    heat = Interval.exactly(factors.space_heating_percent)
    return Percents(
        heat=heat,
        compressor=_HUNDRED,
        supplemental=heat,
        cool=_HUNDRED,
        heating_section=factors.sections["space_heating_percent"],
        cooling_section=factors.sections["largest_motor_percent"],
    )


def optional_percents(dwelling: Dwelling, factors: LoadFactors) -> Percents:
    """Return the percents of the optional method: electric heat by its number of separately controlled units."""
    few, many = factors.optional_heating_few_percent, factors.optional_heating_many_percent
    units = len(dwelling.of_kind("heat"))
    if units >= factors.optional_heating_units_many:
        heat = Interval.exactly(many)
    else:
        heat = Interval.exactly(few) if dwelling.all_listed else Interval(min(few, many), max(few, many))
    return Percents(
        heat=heat,
        compressor=Interval.exactly(factors.optional_heat_pump_percent),
        supplemental=Interval.exactly(factors.optional_supplemental_percent),
        cool=Interval.exactly(factors.optional_cooling_percent),
        heating_section=factors.sections["optional_heating_few_percent"],
        cooling_section=factors.sections["optional_cooling_percent"],
    )


def uniform_percents(percent: Interval, section: str) -> Percents:
    """Return percents that are the same for every kind of heating and cooling."""
    return Percents(
        heat=percent,
        compressor=percent,
        supplemental=percent,
        cool=percent,
        heating_section=section,
        cooling_section=section,
    )


def heating_va(dwelling: Dwelling, percents: Percents) -> Interval:
    """Return what heats at the same time, in VA: electric heat, heat pumps and their supplemental heat."""
    pumps = dwelling.of_kind("heat-pump")
    return or_more(
        at_percent(total(item.va for item in dwelling.of_kind("heat")), percents.heat)
        + at_percent(total(item.va for item in pumps), percents.compressor)
        + at_percent(total(item.supplemental_va for item in pumps), percents.supplemental),
        dwelling.all_listed,
    )


def cooling_va(dwelling: Dwelling, percents: Percents) -> Interval:
    """Return what cools at the same time, in VA: air conditioners and heat pumps."""
    return or_more(
        at_percent(total(item.va for item in dwelling.of_kind("cool")), percents.cool)
        + at_percent(total(item.va for item in dwelling.of_kind("heat-pump")), percents.compressor),
        dwelling.all_listed,
    )


def heating_part(dwelling: Dwelling, percents: Percents) -> Part:
    """Return the line of what heats."""
    heat, pumps = dwelling.of_kind("heat"), dwelling.of_kind("heat-pump")
    return Part(
        symbol="S_H",
        name=f"heating (separately controlled units: {len(heat)}; heat pumps: {len(pumps)})",
        expression=lambda: or_more_written(
            _written(
                (tuple(item.va for item in heat), percents.heat),
                (tuple(item.va for item in pumps), percents.compressor),
                (tuple(item.supplemental_va for item in pumps), percents.supplemental),
            ),
            dwelling.all_listed,
        ),
        value=heating_va(dwelling, percents),
        source=percents.heating_section,
    )


def cooling_part(dwelling: Dwelling, percents: Percents) -> Part:
    """Return the line of what cools."""
    cool, pumps = dwelling.of_kind("cool"), dwelling.of_kind("heat-pump")
    return Part(
        symbol="S_C",
        name="cooling",
        expression=lambda: or_more_written(
            _written(
                (tuple(item.va for item in cool), percents.cool),
                (tuple(item.va for item in pumps), percents.compressor),
            ),
            dwelling.all_listed,
        ),
        value=cooling_va(dwelling, percents),
        source=percents.cooling_section,
    )


def larger_part(heating: Interval, cooling: Interval, section: str) -> Part:
    """Return the line of the larger of heating and cooling, which do not run together."""
    return Part(
        symbol="S_HC",
        name="the larger of heating and cooling, which do not run together",
        expression=lambda: f"the larger of {term(heating)} and {term(cooling)}",
        value=greatest(heating, cooling),
        source=section,
    )


def largest_motor_va(dwelling: Dwelling, season: tuple[str, ...]) -> Interval:
    """Return the largest motor that runs with the appliances of the *season* (kinds of appliance), in VA.

    Motors are the ``motor`` entries, the compressors of the season, and whatever is rated in horsepower.
    """
    running = [
        item.va
        for item in dwelling.items
        if item.kind in season or item.kind == "motor" or (item.horsepower is not None and item.kind not in SEASONAL)
    ]
    return or_more(greatest(NOTHING, *running), dwelling.all_listed)


def motor_share_part(season: str, largest_va: Interval, factors: LoadFactors) -> Part:
    """Return the line of what the largest motor of a season adds."""
    return Part(
        symbol="M_H" if season == "heating" else "M_C",
        name=f"share of the largest motor with the {season} load",
        expression=lambda: f"{shown(factors.largest_motor_percent)} % x {term(largest_va)}",
        value=at_percent(largest_va, factors.largest_motor_percent),
        source=factors.sections["largest_motor_percent"],
    )


def _written(*groups: tuple[tuple[Interval, ...], Interval]) -> str:
    written = [f"{grouped(loads)} x {term(percent)} %" for loads, percent in groups if loads]
    return " + ".join(written) or "0"
