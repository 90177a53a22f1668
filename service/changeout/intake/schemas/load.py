"""The load calculation, by one method."""

from __future__ import annotations

from changeout.domain import proposal, vocabulary
from changeout.intake import ranges
from changeout.intake.fields import Count, Flag, PowerOrCurrent, Quantity, Ratio, Text, Word, about
from changeout.intake.quantity import APPARENT_POWER, EQUIPMENT_LOAD, FLOOR_AREA, HEATING_POWER, TOTAL_LOAD
from changeout.intake.record import Kinds, ListOf, Record

_SHEET = "the load calculation sheet"
_PLATE = "the nameplate of the appliance"
_MOST_APPLIANCES = 200
_OF_A_DWELLING = (
    "floor_area",
    "small_appliance_circuits",
    "laundry_circuits",
    "appliances",
    "continuous_share",
    "ev_counted",
    "general_lighting",
)


class ApplianceSchema(Record):
    """A load of the calculation."""

    builds = proposal.Appliance
    example = '{"name": "water heater", "rating": "4.5 kW", "kind": "fixed"}'
    kinds = Kinds(
        chosen_by="kind",
        members={
            kind: ("name", "rating", "supplemental") if kind == "heat-pump" else ("name", "rating")
            for kind in vocabulary.APPLIANCE_KINDS
        },
    )

    name = Text(about("Name of the appliance", "What it is.", found_at=_SHEET), 80, "water heater")
    rating = PowerOrCurrent(
        about("Rating of the appliance", "Its rated load.", found_at=_PLATE), EQUIPMENT_LOAD, ranges.LOADS
    )
    kind = Word(
        about(
            "Kind of appliance",
            "How the calculation counts it. Each heat entry is one separately controlled unit.",
            found_at=_SHEET,
        ),
        vocabulary.APPLIANCE_KINDS,
    )
    supplemental = Quantity(
        about("Supplemental heat", "Electric heat that runs together with a heat pump.", found_at=_PLATE),
        HEATING_POWER,
        ranges.HEATER,
    )


class LoadSchema(Record):
    """The load calculation, by one method."""

    builds = proposal.Load
    example = '{"method": "stated", "calculated_load": "24 kVA"}'
    kinds = Kinds(
        chosen_by="method",
        members={
            "stated": ("calculated_load", "continuous_share", "general_lighting", "appliances", "floor_area"),
            "dwelling-standard": _OF_A_DWELLING,
            "dwelling-optional": _OF_A_DWELLING,
            "dwelling-existing": (*_OF_A_DWELLING, "added_load"),
            "measured-demand": ("maximum_demand", "added_load", "demand_record", "peak_shaving", "continuous_share"),
        },
    )

    method = Word(about("Method", "How the load is found.", found_at=_SHEET), vocabulary.LOAD_METHODS)
    calculated_load = PowerOrCurrent(
        about("Calculated load", "The load as the applicant calculated it.", found_at=_SHEET), TOTAL_LOAD, ranges.LOADS
    )
    continuous_share = Ratio(
        about("Continuous share", "The part of the load that is continuous, from 0 to 1.", found_at=_SHEET),
        ranges.SHARE,
        0.6,
    )
    general_lighting = Quantity(
        about("General lighting as counted", "What the applicant counted for general lighting.", found_at=_SHEET),
        APPARENT_POWER,
        ranges.COUNTED_LOAD,
    )
    appliances = ListOf(
        about("Appliances", "Loads that are counted one by one.", found_at=_SHEET), ApplianceSchema, _MOST_APPLIANCES
    )
    floor_area = Quantity(
        about("Floor area", "By outside dimensions, as the calculation counts it.", found_at="the floor plan"),
        FLOOR_AREA,
        ranges.DWELLING_AREA,
    )
    small_appliance_circuits = Count(
        about("Small-appliance circuits", "How many there are.", found_at="the circuit directory"),
        ranges.DWELLING_CIRCUITS,
        2,
    )
    laundry_circuits = Count(
        about("Laundry circuits", "How many there are.", found_at="the circuit directory"),
        ranges.DWELLING_CIRCUITS,
        1,
    )
    ev_counted = Quantity(
        about("Vehicle charging as counted", "What the applicant counted for charging vehicles.", found_at=_SHEET),
        APPARENT_POWER,
        ranges.COUNTED_LOAD,
    )
    added_load = PowerOrCurrent(
        about("Added load", "What is added to what is there.", found_at=_SHEET), TOTAL_LOAD, ranges.LOADS
    )
    maximum_demand = PowerOrCurrent(
        about("Maximum demand", "The greatest demand on record.", found_at="the utility's or a meter's record"),
        TOTAL_LOAD,
        ranges.LOADS,
    )
    demand_record = Word(
        about("Length of the record", "A year of demand, or thirty days recorded.", found_at="the record"),
        vocabulary.DEMAND_RECORDS,
    )
    peak_shaving = Flag(
        about(
            "Peak shaving",
            "Whether a source on the premises or load control lowered the recorded demand.",
            found_at="a look on site",
        )
    )
