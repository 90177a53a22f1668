"""The load of a dwelling by the optional method."""

from __future__ import annotations

from changeout.electrical.loads.climate import optional_percents
from changeout.electrical.loads.lighting import circuit_cautions
from changeout.electrical.loads.parts import Dwelling, Part, Tally, first_and_rest, tiered, tiers_written
from changeout.electrical.loads.totals import ev_cautions, general_parts, season_parts, tally
from changeout.tables.loads import LoadFactors


def optional_load(dwelling: Dwelling, factors: LoadFactors) -> Tally:
    """Return the load of a dwelling by the optional method, in VA.

    Electric heat, heat pumps and their supplemental heat run together in winter, air conditioners and heat pumps in
    summer; the larger season counts. Vehicle charging joins the general loads.
    """
    section = factors.sections["optional_first_va"]
    tiers = first_and_rest(factors.optional_first_va, factors.optional_first_percent, factors.optional_rest_percent)
    general = general_parts(dwelling, factors, section)
    connected = general[-1].value
    demand = Part(
        symbol="D_G",
        name="demand of the general loads",
        expression=lambda: tiers_written(connected, tiers),
        value=tiered(connected, tiers),
        source=section,
    )
    seasons = season_parts(
        dwelling, optional_percents(dwelling, factors), factors.sections["optional_heating_few_percent"]
    )
    return tally(
        (*general, demand, *seasons),
        (demand, seasons[-1]),
        (*circuit_cautions(dwelling, factors), *ev_cautions(dwelling)),
    )
