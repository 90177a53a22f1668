"""The load of a dwelling by the standard method."""

from __future__ import annotations

from changeout.electrical.loads import climate
from changeout.electrical.loads.appliances import dryer_part, ev_part, fastened_part
from changeout.electrical.loads.cooking import cooking_cautions, cooking_part
from changeout.electrical.loads.lighting import circuit_cautions, connected_parts, demand_part
from changeout.electrical.loads.parts import Dwelling, Part, Tally, or_more, or_more_written, plus, total
from changeout.electrical.loads.totals import tally
from changeout.tables.loads import LoadFactors


def standard_load(dwelling: Dwelling, factors: LoadFactors) -> Tally:
    """Return the load of a dwelling by the standard method, in VA.

    Vehicle charging and ``motor`` entries are not among the four fastened appliances. Cooling counts as a motor load;
    the season that asks more, with its share of the largest motor, counts.
    """
    listed = dwelling.all_listed
    connected = connected_parts(dwelling, factors)
    demands = (
        demand_part(total(part.value for part in connected), factors),
        fastened_part(dwelling.of_kind("fixed"), listed, factors),
        cooking_part(dwelling.of_kind("range"), listed, factors),
        dryer_part(dwelling.of_kind("dryer"), listed, factors),
        ev_part(dwelling.of_kind("ev"), listed, factors),
        _motor_part(dwelling, factors),
    )
    seasons = _season_parts(dwelling, factors)
    return tally(
        (*connected, *demands, *seasons),
        (*demands, seasons[-1]),
        (*circuit_cautions(dwelling, factors), *cooking_cautions(dwelling.of_kind("range"), factors)),
    )


def _motor_part(dwelling: Dwelling, factors: LoadFactors) -> Part:
    motors = dwelling.of_kind("motor")
    return Part(
        symbol="S_M",
        name="motors",
        expression=lambda: or_more_written(plus(item.va for item in motors), dwelling.all_listed),
        value=or_more(total(item.va for item in motors), dwelling.all_listed),
        source=factors.sections["largest_motor_percent"],
    )


def _season_parts(dwelling: Dwelling, factors: LoadFactors) -> tuple[Part, ...]:
    percents = climate.standard_percents(factors)
    heating, cooling = climate.heating_part(dwelling, percents), climate.cooling_part(dwelling, percents)
    winter = climate.motor_share_part("heating", climate.largest_motor_va(dwelling, ("heat-pump",)), factors)
    summer = climate.motor_share_part("cooling", climate.largest_motor_va(dwelling, ("heat-pump", "cool")), factors)
    larger = climate.larger_part(
        heating.value + winter.value, cooling.value + summer.value, factors.sections["noncoincident"]
    )
    return heating, winter, cooling, summer, larger
