"""The load of an existing dwelling with what is added to it: calculated, or from the demand that was measured."""

from __future__ import annotations

from typing import Final

from changeout.domain.facts import Choice, Claim
from changeout.domain.interval import Interval
from changeout.electrical.loads.climate import uniform_percents
from changeout.electrical.loads.lighting import circuit_cautions
from changeout.electrical.loads.parts import (
    Dwelling,
    Part,
    Tally,
    at_percent,
    first_and_rest,
    tiered,
    tiers_written,
)
from changeout.electrical.loads.totals import ev_cautions, general_parts, season_parts, tally
from changeout.electrical.steps import shown
from changeout.tables.loads import LoadFactors

UNSEEN_PERCENT: Final = Interval(40.0, 100.0)
"""Bounds of a percent of the existing-dwelling method that was not seen in an edition.

Origin: no source. The editions that were seen count 40 % of the rest, and no demand factor is above 100 %.
"""

PERCENTS_NOT_SEEN: Final = (
    "The percentages of this edition's method for existing dwellings were not seen. The load is given between 40 % and "
    "100 % of what they apply to: look them up in the adopted text before relying on it."
)
EXISTING_CLIMATE: Final = (
    "Heating and cooling entries are taken as the added ones. Readers differ on whether existing heating and cooling "
    "count with the general loads: list them as fixed appliances to be on the safe side."
)


def existing_load(dwelling: Dwelling, factors: LoadFactors) -> Tally:
    """Return the load of an existing dwelling with what is added to it, in VA.

    ``heat``, ``heat-pump`` and ``cool`` entries are the added ones; the added load joins the general loads. Where the
    percents of the method were not seen in the edition, the load lies between 40 % and all of what they apply to.
    """
    general = general_parts(dwelling, factors, factors.sections["existing_rest_percent"])
    demand = _demand_part(general[-1].value, factors)
    percent = factors.existing_added_heating_cooling_percent
    section = factors.sections["existing_added_heating_cooling_percent"]
    bounds = UNSEEN_PERCENT if percent is None else Interval.exactly(percent)
    seasons = season_parts(dwelling, uniform_percents(bounds, section), section)
    unseen = None in {percent, factors.existing_first_va, factors.existing_first_percent, factors.existing_rest_percent}
    return tally(
        (*general, demand, *seasons),
        (demand, seasons[-1]),
        (
            *((PERCENTS_NOT_SEEN,) if unseen else ()),
            EXISTING_CLIMATE,
            *circuit_cautions(dwelling, factors),
            *ev_cautions(dwelling),
        ),
    )


def measured_demand(maximum: Interval, added: Interval, factors: LoadFactors) -> Interval:
    """Return the load from a measured maximum demand and the load that is added, in the unit of both."""
    return at_percent(maximum, factors.measured_demand_percent) + added


def demand_record_permitted(record: Choice, own_source_or_shaving: Claim) -> Claim:
    """Return the claim that a record of the demand may be used.

    A year's record always; a thirty-day record only without a renewable source or peak shaving on the service or
    feeder.
    """
    return record.among("one-year") | ~own_source_or_shaving


def _demand_part(connected: Interval, factors: LoadFactors) -> Part:
    first_va, first = factors.existing_first_va, factors.existing_first_percent
    rest = factors.existing_rest_percent
    name = "demand of the general loads"
    if first_va is None or first is None or rest is None:
        least, most = at_percent(connected, UNSEEN_PERCENT.low), at_percent(connected, UNSEEN_PERCENT.high)
        return Part(
            symbol="D_G",
            name=name,
            expression=lambda: f"{shown(connected)} x {shown(UNSEEN_PERCENT)} %",
            value=Interval(least.low, most.high),
            source=f"{factors.sections['existing_rest_percent']} (percentages not seen)",
        )
    tiers = first_and_rest(first_va, first, rest)
    return Part(
        symbol="D_G",
        name=name,
        expression=lambda: tiers_written(connected, tiers),
        value=tiered(connected, tiers),
        source=factors.sections["existing_first_va"],
    )
