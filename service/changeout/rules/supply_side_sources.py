"""Sources of power that are connected ahead of the service disconnect."""

from __future__ import annotations

import math
from typing import Final

from changeout.domain.facts import Claim, Measurement, any_claim, fixed, measured
from changeout.domain.findings import Answer, Basis, Stage
from changeout.domain.interval import Interval
from changeout.domain.proposal import GenerationSource
from changeout.domain.truth import Truth
from changeout.electrical.bounds import resting_on
from changeout.rules._case import Case
from changeout.rules._compare import Notes, Quantity, at_most, not_applicable, under
from changeout.rules._registry import Limits, rule
from changeout.rules._supply import mains

_CONDUCTORS: Final = (
    "See that the sum is within the ampacity of the service conductors too. Some editions add the ratings of the "
    "sources' devices, not their outputs."
)
"""Since 2020 continuous output currents against the ampacity of the service conductors, in 2017 the ratings of the
sources' devices. Source: an engineering consultancy's column on 2020 705.11(A), title withheld; electricians' forum,
forums.mikeholt.com, threads 2574349 and 2574655 (2017 705.12(A))."""


@rule(
    "supply-side-source-sum",
    group="other-sources",
    about="/generation",
    stage=Stage.INTAKE,
    needs=(
        "/generation",
        "/generation/*/connection",
        "/generation/*/output_current",
        "/panelboard/role",
        "/panelboard/main/kind",
        "/panelboard/main/rating",
        "/panelboard/second_main/kind",
        "/panelboard/second_main/rating",
        "/panelboard/busbar_rating",
    ),
    applies_to="services with sources ahead of the service disconnect",
)
def supply_side_sources(case: Case, _limits: Limits) -> Answer:
    """Sources ahead of the service disconnect add up to no more than the rating of the service.

    Because: they feed the service conductors together, which no device of the service protects from them.
    Passes: when the sum of their output currents is at or below the rating of the service: the main, or with lugs the
        busbar.
    Fails: when it is above.
    Cannot tell: when an output current, a connection or the rating is not stated and decides, or whether there are
        such sources.
    Not covered: the ampacity of the service conductors, said as a caution, and the utility's own limits.
    """
    role, sources = case.panelboard.role.among("service"), case.proposal.generation
    if role.fails:
        return not_applicable(
            "a feeder supplies the panelboard: sources ahead of a service disconnect are not here", role
        )
    ahead = any_claim(source.connection.among("supply-side") for source in sources)
    total = fixed(0.0)
    for source in sources:
        total = total.plus(_ahead(source))
    if not sources.stated:
        ahead = Claim(Truth.UNKNOWN, sources.inputs, sources.missing)
        total = resting_on(Interval(0.0, math.inf), sources)
    return under(
        role & ahead,
        at_most(
            Quantity(name="sum of the sources ahead of the service disconnect", number=total),
            Quantity(name="rating of the service", number=_rating(case)),
            "A",
            Notes(
                remedy="connect less ahead of the service disconnect, or enlarge the service",
                basis=Basis.COMPUTED,
                cautions=(_CONDUCTORS,),
            ),
        ),
        otherwise="no source is connected ahead of the service disconnect",
    )


def _ahead(source: GenerationSource) -> Measurement:
    """Return the output current of a source as far as it is ahead of the service disconnect."""
    connected, output = source.connection.among("supply-side"), source.output_current_a
    if connected.fails:
        return resting_on(Interval.exactly(0.0), source.connection)
    low = output.low if connected.holds else 0.0
    return resting_on(Interval(low, output.high), output, source.connection)


def _rating(case: Case) -> Measurement:
    main, bus = mains(case), measured(case.panelboard.busbar_rating_a)
    if main.there.holds:
        return main.rating
    if main.there.fails:
        return bus
    return resting_on(main.rating.interval.hull(bus.interval), main.there, main.rating, bus)
