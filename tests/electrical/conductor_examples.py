"""The worked examples of ampacity, devices, grounding, fill, bending, busbars and working space, and our answers."""

import functools
import json
import pathlib

from changeout.domain.facts import fixed
from changeout.electrical import busbar as busbars
from changeout.electrical.ampacity import corrected_ampacity_a
from changeout.electrical.clearances import bending_space_in
from changeout.electrical.dwelling_service import required_ampacity, smallest_service_size
from changeout.electrical.fill import least_trade_size, most_conductors, total_area_in2
from changeout.electrical.grounding import (
    Conductor,
    bonding_jumper_kcmil,
    electrode_conductor_kcmil,
    equipment_grounding_kcmil,
    raised_kcmil,
)
from changeout.electrical.overcurrent import next_standard_rating_a, permitted_rating_a, standard_rating_within_a
from changeout.tables.ampacity import ambient_factor
from changeout.tables.conductors import SIZES, area_kcmil, size_with_area_at_least
from changeout.tables.overcurrent import busbar_factors, small_conductor_limits, standard_ratings
from changeout.tables.raceway_fill import conductor_area_in2
from changeout.tables.space import working_space_depth_in, working_space_least_in
from electrical.conductor_facts import circuit, listed, source

REFERENCE = pathlib.Path(__file__).parent.parent / "reference" / "worked-examples.json"
KINDS = ("ampacity", "ocpd", "gec", "egc", "fill", "bending", "backfeed", "working-space")
EXAMPLES = [e for e in json.loads(REFERENCE.read_text(encoding="utf-8")) if e["kind"] in KINDS]
MATERIALS = {"cu": "copper", "al": "aluminum"}
BY_NAME = {s.split()[0]: s for s in SIZES}
NAMES = {s: name for name, s in BY_NAME.items()}
UNITS = {"_a": "a", "_kcmil": "kcmil", "_cmil": "cmil", "_in2": "in2", "_in": "in", "_ft": "ft"}


def size_with(kcmil):
    return NAMES[size_with_area_at_least(kcmil)]


def ampacity(given, *_):
    if given["quantity"] == "dwelling_83":
        required = required_ampacity(fixed(given["service_a"]), 0.83).low
        find = functools.partial(smallest_service_size, required)
        return {
            "required_a": required / ambient_factor(given["ambient_c"], given["column"]),
            **{m: NAMES[find(MATERIALS[m], given["column"], given["ambient_c"], 75)] for m in MATERIALS},
        }
    found = corrected_ampacity_a(
        BY_NAME[given["size"]],
        MATERIALS[given["material"]],
        given["rating_c"],
        given["ambient_c"],
        given["current_carrying"],
    )
    return {"ampacity_a": found}


def ocpd(given, *editions):
    found = []
    for edition in editions:
        if given["quantity"] == "small_conductor":
            limits = small_conductor_limits(edition)
            found.append({"max_ocpd_a": limits[BY_NAME[given["size"]], given["material"]]})
            continue
        ratings = standard_ratings(edition)
        found.append(
            {
                "largest_not_above_a": standard_rating_within_a(given["ampacity_a"], ratings),
                "next_above_a": next_standard_rating_a(given["ampacity_a"], ratings),
                "permitted_a": permitted_rating_a(given["ampacity_a"], ratings, 800.0),
            }
        )
    assert all(one == found[0] for one in found)
    return found[0]


def gec(given, *_):
    supply = Conductor(size=BY_NAME[given["size"]], material=MATERIALS[given["material"]], sets=given["sets"])
    if given["quantity"] == "bonding":
        jumper = {m: bonding_jumper_kcmil(supply, MATERIALS[m]) for m in MATERIALS}
        own = jumper[given["material"]]
        assert own.is_point
        return {
            "total_kcmil": supply.kcmil,
            "jumper_area_kcmil": own.low,
            **{f"jumper_{m}": size_with(area.low) for m, area in jumper.items()},
        }
    electrodes = ("ground-rod",) if given.get("electrode") == "rod" else ()
    found = {m: electrode_conductor_kcmil(supply, MATERIALS[m], electrodes) for m in MATERIALS}
    assert all(area.is_point for area in found.values())
    return {f"gec_{m}": size_with(area.low) for m, area in found.items()}


def egc(given, *_):
    found = {}
    for m, material in MATERIALS.items():
        base = equipment_grounding_kcmil(given["ocpd_a"], material)
        area = base
        if "from" in given:
            area = raised_kcmil(base, area_kcmil(BY_NAME[given["to"]]), area_kcmil(BY_NAME[given["from"]]))
        found[f"base_{m}"], found[f"egc_{m}"] = size_with(base), size_with(area)
        if m == "cu":
            found["required_cmil"] = area * 1000
    return found


def fill(given, *_):
    if given["quantity"] == "count":
        each = given.get("area_each_in2")
        if each is None:
            each = conductor_area_in2(BY_NAME[given["size"]], given["insulation"])
        return {"max_count": most_conductors(given["conduit"], given["trade_size"], each)}
    conductors = {(c["insulation"], BY_NAME[c["size"]]): c["count"] for c in given["conductors"]}
    total = total_area_in2(conductors)
    return {
        "total_in2": total,
        "trade_size": least_trade_size(given["conduit"], total, sum(conductors.values())),
    }


def bending(given, *_):
    space = bending_space_in(
        BY_NAME[given["size"]], given["per_terminal"], through_opposite_wall=given["opposite_wall"]
    )
    found = {"space_in": space.value}
    if "available_in" in given:
        found["passes"] = given["available_in"] >= space.low
    return found


def backfeed(given, *_):
    rules = {"120 percent": "120-percent", "sum of breakers": "sum-of-breakers", "sum": "sum"}
    position = {"opposite end": "opposite-end"}.get(given["location"], "other")
    breakers = given.get("breakers_a", [])
    outputs = [source(0, given["source_output_a"], 100, position)] if "source_output_a" in given else []
    bus = busbars.Busbar(
        rating=fixed(given["busbar_a"]),
        protection=fixed(given["main_a"]),
        sources=listed("/generation", *outputs),
        circuits=listed("/panelboard/circuits", *(circuit(i, a) for i, a in enumerate(breakers))),
    )
    opposite = busbar_factors("120-percent")
    if given["location"].startswith("centre-fed"):
        opposite = busbar_factors("center-fed")
    found = {s.rule: s for s in busbars.permitted_sums(bus, busbar_factors("sum"), opposite)}[rules[given["rule"]]]
    assert found.total.interval.is_point
    return {
        "max_source_contribution_a": busbars.greatest_contribution(bus.rating, bus.protection, opposite).low,
        "contribution_a": busbars.contribution(bus.sources, opposite.output_percent).low,
        "sum_a": found.total.low,
        "limit_a": found.limit.low,
        "passes": found.holds.holds,
    }


def working_space(given, *_):
    return {
        "depth_ft": working_space_depth_in(given["v_to_ground"], given["condition"]) / 12,
        "width_in": working_space_least_in("width"),
        "height_ft": working_space_least_in("height") / 12,
    }


CALCULATIONS = {
    "ampacity": ampacity,
    "ocpd": ocpd,
    "gec": gec,
    "egc": egc,
    "fill": fill,
    "bending": bending,
    "backfeed": backfeed,
    "working-space": working_space,
}
