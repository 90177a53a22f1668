"""Facts for the tests of the electrical calculations: stated, or left open over a range."""

from __future__ import annotations

from changeout.domain.facts import (
    Choice,
    Choices,
    ConductorSize,
    Flag,
    Listed,
    Number,
    PowerOrCurrent,
    Text,
    VoltageRating,
)
from changeout.domain.proposal import Breaker, Circuit, CircuitConductor, GenerationSource, Run
from changeout.domain.truth import Truth


def number(at, value, low=0.0, high=1e6):
    return Number(at, low, high) if value is None else Number(at, float(value), float(value), float(value))


def flag(at, value):
    return Flag(at, Truth.UNKNOWN if value is None else Truth.of(value))


def run(at="/supply/runs/0", **known):
    """Return a run; what is not in *known* is left open."""
    return Run(
        at=at,
        id=Text(f"{at}/id", known.get("id")),
        size=ConductorSize(f"{at}/size", known.get("size")),
        material=Choice(f"{at}/material", known.get("material")),
        length_in=number(f"{at}/length", known.get("length_in")),
        sets=number(f"{at}/sets", known.get("sets", 1), 1, 12),
        raceway=Choice(f"{at}/raceway", known.get("raceway")),
        insulation_temperature_degc=number(f"{at}/insulation_temperature", known.get("insulation_degc"), 30, 250),
        resistance_ohm_per_kft=number(f"{at}/resistance", None),
        reactance_ohm_per_kft=number(f"{at}/reactance", None),
        ambient_temperature_degc=number(f"{at}/ambient_temperature", known.get("ambient_degc"), -60, 120),
        current_carrying_conductors=number(f"{at}/current_carrying_conductors", known.get("count"), 1, 200),
        device_after=None,
    )


def conductor(at="/panelboard/circuits/0/conductor", size=None, material=None, insulation_degc=None):
    return CircuitConductor(
        at=at,
        size=ConductorSize(f"{at}/size", size),
        material=Choice(f"{at}/material", material),
        insulation_temperature_degc=number(f"{at}/insulation_temperature", insulation_degc, 30, 250),
        extended_by_in=number(f"{at}/extended_by", None),
    )


def circuit(index, rating_a, backfed=False):
    at = f"/panelboard/circuits/{index}"
    breaker = Breaker(
        at=f"{at}/breaker",
        rating_a=number(f"{at}/breaker/rating", rating_a, 1, 6000),
        interrupting_rating_a=number(f"{at}/breaker/interrupting_rating", None),
        afci=flag(f"{at}/breaker/afci", None),
        gfci=flag(f"{at}/breaker/gfci", None),
        suitable_for_panelboard=flag(f"{at}/breaker/suitable_for_panelboard", None),
        backfed=flag(f"{at}/breaker/backfed", backfed),
        secured=flag(f"{at}/breaker/secured", None),
        voltage_rating=VoltageRating(f"{at}/breaker/voltage_rating", None),
        reconditioned=flag(f"{at}/breaker/reconditioned", None),
        handle_tie=flag(f"{at}/breaker/handle_tie", None),
    )
    return Circuit(
        at=at,
        number=number(f"{at}/number", index + 1),
        poles=number(f"{at}/poles", 2),
        breaker=breaker,
        conductor=conductor(f"{at}/conductor"),
        load=PowerOrCurrent(f"{at}/load", None),
        serves=Text(f"{at}/serves", None),
        use=Choice(f"{at}/use", None),
        outlet=Choice(f"{at}/outlet", None),
        outlets=number(f"{at}/outlets", None),
        existing=flag(f"{at}/existing", None),
        equipment_replaced=flag(f"{at}/equipment_replaced", None),
        outlets_added=flag(f"{at}/outlets_added", None),
        extension_inside_enclosure=flag(f"{at}/extension_inside_enclosure", None),
        afci_at_first_outlet=flag(f"{at}/afci_at_first_outlet", None),
        neutral=Choice(f"{at}/neutral", None),
        neutral_covered_in_panelboard=flag(f"{at}/neutral_covered_in_panelboard", None),
        multiwire_group=Text(f"{at}/multiwire_group", None),
        wiring_method=Choice(f"{at}/wiring_method", None),
    )


def source(index=0, output_a=None, breaker_a=None, position="opposite-end", connection="load-side"):
    at = f"/generation/{index}"
    return GenerationSource(
        at=at,
        kind=Choice(f"{at}/kind", "pv"),
        output_current_a=number(f"{at}/output_current", output_a, 0.1, 6000),
        breaker_rating_a=number(f"{at}/breaker_rating", breaker_a, 1, 6000),
        position=Choice(f"{at}/position", position),
        connection=Choice(f"{at}/connection", connection),
        relocation_label=flag(f"{at}/relocation_label", None),
    )


def listed(at, *items, given=True):
    return Listed(at, tuple(items), given)


def choice(at, value=None):
    return Choice(at, value)


def choices(at, *values, given=True):
    return Choices(at, tuple(values) if given else None)


def size(at, value=None):
    return ConductorSize(at, value)
