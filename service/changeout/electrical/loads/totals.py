"""What the optional and the existing-dwelling method share, and the total that ends every method."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Final

from changeout.electrical.loads import climate
from changeout.electrical.loads.appliances import ev_part
from changeout.electrical.loads.lighting import connected_parts
from changeout.electrical.loads.parts import Dwelling, Part, Tally, or_more, or_more_written, plus, total
from changeout.electrical.steps import shown
from changeout.tables.loads import LoadFactors

GENERAL_KINDS: Final = ("fixed", "range", "dryer", "motor")
"""Kinds that the optional and the existing-dwelling method count at nameplate among the general loads."""

EV_AMONG_GENERAL_LOADS: Final = (
    "Vehicle charging is counted with the general loads. Where it belongs in this method is a matter of judgement: "
    "the authority may count it in full."
)


def general_parts(dwelling: Dwelling, factors: LoadFactors, section: str) -> tuple[Part, ...]:
    """Return the lines of the general loads before their demand factor, and last their sum."""
    nameplates = dwelling.of_kind(*GENERAL_KINDS)
    parts = (
        *connected_parts(dwelling, factors),
        Part(
            symbol="S_N",
            name="appliances and motors at nameplate",
            expression=lambda: or_more_written(plus(item.va for item in nameplates), dwelling.all_listed),
            value=or_more(total(item.va for item in nameplates), dwelling.all_listed),
            source=section,
        ),
        ev_part(dwelling.of_kind("ev"), dwelling.all_listed, factors),
        Part(
            symbol="S_X",
            name="added load",
            expression=lambda: shown(dwelling.added_va),
            value=dwelling.added_va,
            source=section,
        ),
    )
    return (*parts, sum_part("S_S", "sum of the general loads", parts))


def season_parts(dwelling: Dwelling, percents: climate.Percents, section: str) -> tuple[Part, Part, Part]:
    """Return the lines of heating, of cooling, and last of the larger."""
    heating, cooling = climate.heating_part(dwelling, percents), climate.cooling_part(dwelling, percents)
    return heating, cooling, climate.larger_part(heating.value, cooling.value, section)


def sum_part(symbol: str, name: str, parts: Iterable[Part]) -> Part:
    """Return the line of the sum of *parts*."""
    values = tuple(part.value for part in parts)
    return Part(symbol=symbol, name=name, expression=lambda: plus(values), value=total(values), source="sum")


def tally(before: Iterable[Part], counted: Iterable[Part], cautions: Iterable[str]) -> Tally:
    """Return the load that is the sum of the *counted* lines, the last of all lines being that sum."""
    whole = sum_part("S", "calculated load", counted)
    return Tally(va=whole.value, parts=(*before, whole), cautions=tuple(cautions))


def ev_cautions(dwelling: Dwelling) -> tuple[str, ...]:
    """Return what to say of vehicle charging among the general loads."""
    return (EV_AMONG_GENERAL_LOADS,) if dwelling.of_kind("ev") else ()
