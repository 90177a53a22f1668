"""What a proposal says of a load, as the methods take it: one description of the dwelling for each way to read it."""

from __future__ import annotations

import itertools
from collections.abc import Iterator, Sequence
from typing import Final

from changeout.domain.facts import Fact, merged
from changeout.domain.interval import Interval
from changeout.domain.proposal import Appliance, Load
from changeout.domain.value import value
from changeout.electrical.loads.parts import KINDS, NOTHING, Dwelling, Item, Part
from changeout.electrical.loads.ratings import conversion_part, is_beyond_table, load_va

MOST_UNKNOWN_KINDS: Final = 2
"""Up to so many appliances of unknown kind are tried as every kind; more make the list count as incomplete."""

EV_NOT_LISTED: Final = (
    "Vehicle charging is counted by the applicant but no such equipment is listed. It counts as one charger."
)
BEYOND_MOTOR_TABLE: Final = (
    "A motor is larger than the table of full-load currents reaches. Its shaft power is the least it can draw: state "
    "its current in amperes."
)


@value(frozen=True, slots=True, kw_only=True)
class Described:
    """A dwelling as one way of reading describes it, with the lines that turned its ratings into VA."""

    dwelling: Dwelling
    parts: tuple[Part, ...]


def descriptions(load: Load, system: str, edition: str) -> Iterator[Described]:
    """Return every description of the dwelling that the stated members allow on *system*."""
    for kinds in _possible_kinds(load):
        yield _described(load, system, edition, kinds)


def adds_load(load: Load) -> bool:
    """Whether the method counts the added load among the loads of the dwelling."""
    return load.method.value == "dwelling-existing"


def ev_is_counted_only(load: Load) -> bool:
    """Whether the applicant counts vehicle charging that no listed appliance stands for."""
    listed = load.appliances.stated and all(a.kind.value not in {"ev", None} for a in load.appliances)
    return listed and (load.ev_counted_va.value or 0.0) > 0.0


def facts_of_dwelling(load: Load) -> tuple[Fact, ...]:
    """Return the members that the dwelling methods read."""
    return (
        load.floor_area_ft2,
        load.small_appliance_circuits,
        load.laundry_circuits,
        load.appliances,
        *((load.added_load,) if adds_load(load) else ()),
        *((load.ev_counted_va,) if ev_is_counted_only(load) else ()),
    )


def missing_of_dwelling(load: Load, systems: Sequence[str]) -> tuple[str, ...]:
    """Return the pointers of what the dwelling methods would need and nobody has said."""
    return merged(
        *(fact.missing for fact in facts_of_dwelling(load)),
        *(_missing_of(appliance, systems) for appliance in load.appliances),
    )


def cautions_of_dwelling(load: Load, systems: Sequence[str]) -> tuple[str, ...]:
    """Return what to say of how the members were read."""
    beyond = any(is_beyond_table(appliance.rating, systems) for appliance in load.appliances)
    return (*((EV_NOT_LISTED,) if ev_is_counted_only(load) else ()), *((BEYOND_MOTOR_TABLE,) if beyond else ()))


def _missing_of(appliance: Appliance, systems: Sequence[str]) -> tuple[str, ...]:
    may_be_heat_pump = appliance.kind.value in {"heat-pump", None}
    supplemental = appliance.supplemental_w.missing if may_be_heat_pump else ()
    current = appliance.rating.inputs if is_beyond_table(appliance.rating, systems) else ()
    return merged(appliance.kind.missing, appliance.rating.missing, supplemental, current)


def _possible_kinds(load: Load) -> Iterator[tuple[str, ...]]:
    unknown = sum(1 for appliance in load.appliances if appliance.kind.value is None)
    return itertools.product(KINDS, repeat=unknown if unknown <= MOST_UNKNOWN_KINDS else 0)


def _described(load: Load, system: str, edition: str, kinds: tuple[str, ...]) -> Described:
    taken = iter(kinds)
    items: list[Item] = []
    parts: list[Part] = []
    for number, appliance in enumerate(load.appliances, start=1):
        kind = appliance.kind.value or next(taken, None)
        if kind is None:
            continue
        items.append(_item(appliance, kind, system))
        part = conversion_part(f"A_{number}", items[-1].name, appliance.rating, system, edition)
        parts += [part] if part else []
    all_kinds_tried = len(items) == len(load.appliances)
    if ev_is_counted_only(load):
        items.append(Item(name="vehicle charging", kind="ev", va=load.ev_counted_va.interval))
    dwelling = Dwelling(
        floor_area_ft2=load.floor_area_ft2.interval,
        small_appliance_circuits=load.small_appliance_circuits.interval,
        laundry_circuits=load.laundry_circuits.interval,
        items=tuple(items),
        all_listed=load.appliances.stated and all_kinds_tried,
        added_va=load_va(load.added_load, system) if adds_load(load) else NOTHING,
    )
    added = conversion_part("A_X", "added load", load.added_load, system, edition) if adds_load(load) else None
    return Described(dwelling=dwelling, parts=(*parts, *((added,) if added else ())))


def _item(appliance: Appliance, kind: str, system: str) -> Item:
    rating = appliance.rating
    supplemental = appliance.supplemental_w
    return Item(
        name=appliance.name.value or kind,
        kind=kind,
        va=load_va(rating, system),
        supplemental_va=_supplemental(supplemental.value, supplemental.high) if kind == "heat-pump" else NOTHING,
        horsepower=rating.value if rating.unit == "hp" else None,
    )


def _supplemental(stated_w: float | None, most_w: float) -> Interval:
    """Return the supplemental heat in VA; a heat pump of which nobody has said may have none."""
    return Interval(0.0, most_w) if stated_w is None else Interval.exactly(stated_w)
