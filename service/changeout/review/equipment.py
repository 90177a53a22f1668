"""Equipment that one can sensibly choose instead: the values a remedy may try, nearest first.

Ratings are those in which breakers, panelboards and surge-protective devices are commonly made (common practice, no
source). A member that only declares a fact (a label, a listing, a mark, a condition, a clearance) is in no list.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from typing import Final

from changeout.domain.facts import Choice, ConductorSize, Fact, Flag, Number, VoltageRating
from changeout.domain.proposal import Proposal
from changeout.domain.truth import Truth
from changeout.domain.vocabulary import ENCLOSURE_TYPES
from changeout.tables.conductors import SIZES
from changeout.tables.overcurrent import common_panelboard_ratings_a, standard_ratings

INTERRUPTING_A: Final = (
    10_000.0, 14_000.0, 18_000.0, 22_000.0, 25_000.0, 30_000.0, 35_000.0, 42_000.0, 50_000.0, 65_000.0, 85_000.0,
    100_000.0, 125_000.0, 150_000.0, 200_000.0,
)  # fmt: skip
"""A: interrupting and short-circuit ratings commonly made (common practice, no source)."""

POLES: Final = (12.0, 16.0, 20.0, 24.0, 30.0, 40.0, 42.0, 54.0, 60.0, 66.0, 72.0, 84.0)
"""Numbers of poles that panelboards are commonly marked for (common practice, no source)."""

DISCHARGE_A: Final = (10_000.0, 20_000.0)
"""A: nominal discharge currents of surge-protective devices (common practice, no source)."""

VOLTAGES: Final = (
    ("120/240 V", 240.0, 120.0),
    ("208Y/120 V", 208.0, 120.0),
    ("240 V", 240.0, None),
    ("480Y/277 V", 480.0, 277.0),
    ("480 V", 480.0, None),
    ("600 V", 600.0, None),
)
"""Voltage ratings as marked (common practice, no source)."""

_Choices = Callable[[Fact, Proposal], list[Fact]]


def choices_for(fact: Fact, proposal: Proposal) -> list[Fact]:
    """Return the fact with other values of its kind of equipment, the nearest first; nothing for declared facts."""
    parts = fact.at.split("/")
    if len(parts) < 3 or not fact.stated:
        return []
    name, holder = parts[-1], next((p for p in reversed(parts[:-1]) if not p.isdigit()), "")
    chosen = _BY_MEMBER.get(f"{holder}/{name}") or _BY_MEMBER.get(name)
    return chosen(fact, proposal) if chosen else []


def _numbers(values: tuple[float, ...], *, both_ways: bool = False) -> _Choices:
    def choose(fact: Fact, _proposal: Proposal) -> list[Fact]:
        now = fact.value if isinstance(fact, Number) else None
        if now is None:
            return []
        higher = [Number(fact.at, v, v, v) for v in values if v > now]
        lower = [Number(fact.at, v, v, v) for v in reversed(values) if v < now] if both_ways else []
        return [*lower, *higher]

    return choose


def _sizes(fact: Fact, _proposal: Proposal) -> list[Fact]:
    if not isinstance(fact, ConductorSize) or fact.value not in SIZES:
        return []
    return [ConductorSize(fact.at, size) for size in SIZES[SIZES.index(fact.value) + 1 :]]


def _types(fact: Fact, proposal: Proposal) -> list[Fact]:
    if proposal.enclosure.kind.value != "new" or not isinstance(fact, Choice):
        return []
    return [Choice(fact.at, t) for t in ENCLOSURE_TYPES if t != fact.value]


def _voltages(fact: Fact, _proposal: Proposal) -> list[Fact]:
    return [VoltageRating(fact.at, text, line, ground) for text, line, ground in VOLTAGES]


def _surge_kinds(fact: Fact, _proposal: Proposal) -> list[Fact]:
    return [Choice(fact.at, kind) for kind in ("type-2", "type-1")]


def _provided(fact: Fact, _proposal: Proposal) -> list[Fact]:
    return [Flag(fact.at, Truth.YES)]


_DEVICES: Final = _numbers(standard_ratings("2023"), both_ways=True)
_BY_MEMBER: Final[Mapping[str, _Choices]] = {
    "short_circuit_rating": _numbers(INTERRUPTING_A),
    "interrupting_rating": _numbers(INTERRUPTING_A),
    "main/rating": _DEVICES,
    "second_main/rating": _DEVICES,
    "breaker/rating": _DEVICES,
    "overcurrent_device/rating": _DEVICES,
    "panelboard/busbar_rating": _numbers(common_panelboard_ratings_a()),
    "device_after/rating": _DEVICES,
    "marked_maximum_poles": _numbers(POLES),
    "nominal_discharge_current": _numbers(DISCHARGE_A),
    "runs/size": _sizes,
    "conductor/size": _sizes,
    "electrode_conductor/size": _sizes,
    "equipment_grounding_conductor/size": _sizes,
    "main_bonding_jumper/size": _sizes,
    "enclosure/type": _types,
    "voltage_rating": _voltages,
    "surge_protection/kind": _surge_kinds,
    "afci": _provided,
    "gfci": _provided,
    "handle_tie": _provided,
    "ground_fault_protection": _provided,
    "arc_energy_reduction": _provided,
}
