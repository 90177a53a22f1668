"""A ``load`` as a proposal writes it, made into facts for the tests of the load calculation."""

from changeout.domain.facts import Choice, Flag, Listed, Number, PowerOrCurrent, Text
from changeout.domain.proposal import Appliance, Load
from changeout.domain.truth import Truth

BASE = {
    "A": ("A", 1),
    "VA": ("VA", 1),
    "kVA": ("VA", 1000),
    "W": ("W", 1),
    "kW": ("W", 1000),
    "hp": ("hp", 1),
    "ft2": ("ft2", 1),
}
FLOOR_AREA_MOST = 1_000_000.0
COUNTED_MOST = 20_000_000.0
CIRCUITS_MOST = 20.0
HEATER_MOST = 1_000_000.0


def load_of(written, at="/load"):
    """Return the facts of a load written as in a proposal."""
    known = {
        "method", "floor_area", "small_appliance_circuits", "laundry_circuits", "appliances", "continuous_share", "ev_counted",
        "general_lighting", "added_load", "maximum_demand", "calculated_load", "demand_record", "peak_shaving",
    }  # fmt: skip
    assert written.keys() <= known, written.keys() - known
    appliances = written.get("appliances")
    return Load(
        at=at,
        method=Choice(f"{at}/method", written.get("method")),
        calculated_load=power(written, "calculated_load", at),
        continuous_share=number(written, "continuous_share", at, 1.0),
        general_lighting_va=number(written, "general_lighting", at, COUNTED_MOST),
        appliances=Listed(
            f"{at}/appliances",
            tuple(appliance_of(a, f"{at}/appliances/{i}") for i, a in enumerate(appliances or ())),
            appliances is not None,
        ),
        floor_area_ft2=number(written, "floor_area", at, FLOOR_AREA_MOST),
        small_appliance_circuits=number(written, "small_appliance_circuits", at, CIRCUITS_MOST),
        laundry_circuits=number(written, "laundry_circuits", at, CIRCUITS_MOST),
        ev_counted_va=number(written, "ev_counted", at, COUNTED_MOST),
        added_load=power(written, "added_load", at),
        maximum_demand=power(written, "maximum_demand", at),
        demand_record=Choice(f"{at}/demand_record", written.get("demand_record")),
        peak_shaving=Flag(
            f"{at}/peak_shaving",
            Truth.of(written["peak_shaving"]) if written.get("peak_shaving") is not None else Truth.UNKNOWN,
        ),
    )


def appliance_of(written, at):
    assert written.keys() <= {"name", "rating", "kind", "supplemental"}
    return Appliance(
        at=at,
        name=Text(f"{at}/name", written.get("name")),
        rating=power(written, "rating", at),
        kind=Choice(f"{at}/kind", written.get("kind")),
        supplemental_w=number(written, "supplemental", at, HEATER_MOST),
    )


def power(written, member, at):
    found = written.get(member)
    if found is None:
        return PowerOrCurrent(f"{at}/{member}", None)
    value, unit = in_base_units(found)
    return PowerOrCurrent(f"{at}/{member}", value, unit)


def number(written, member, at, most):
    found = written.get(member)
    if found is None:
        return Number(f"{at}/{member}", 0.0, most)
    value = in_base_units(found)[0] if isinstance(found, str) else float(found)
    return Number(f"{at}/{member}", value, value, value)


def in_base_units(quantity):
    value, unit = quantity.split(" ")
    base, times = BASE[unit]
    return float(value) * times, base


def system_of(name):
    return Choice("/supply/system", name)


SINGLE_PHASE = "120/240V-1ph-3w"
