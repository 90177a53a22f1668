"""The worked examples of load calculations and what the calculation answers to each."""

import json
from pathlib import Path

from changeout.domain.facts import Choice, Claim
from changeout.domain.interval import Interval
from changeout.domain.truth import Truth
from changeout.electrical.loads import calculated_load, demand_record_permitted
from changeout.electrical.loads.cooking import average_rating_kw, cooking_demand
from changeout.electrical.loads.lighting import lighting_demand_va
from changeout.electrical.loads.neutral import LineCurrents, line_currents, minimum_service_a, neutral_load_va
from changeout.tables.loads import factors
from changeout.tables.overcurrent import standard_ratings
from electrical.load_facts import SINGLE_PHASE, load_of, system_of

EXAMPLES = {
    example["id"]: example
    for example in json.loads((Path(__file__).parents[1] / "reference/worked-examples.json").read_text("utf-8"))
    if example["kind"].startswith("load-")
}
ONE_FAMILY_LEAST_A = 100.0  # 230.79(C), from memory; the examples' own houses of 77.5 A and 89.5 A need 100 A
EVSE_LEAST_VA = {"2017": 0, "2020": 0, "2023": 7200, "2026": 7200}


def dwelling(given, method):
    """The example's house as a proposal writes it."""
    watts = given.get("appliances_va", {})
    appliances = [(name, va, "fixed") for name, va in watts.items()]
    appliances += [(f"appliance {i}", va, "fixed") for i, va in enumerate(given.get("fastened_va", ()))]
    appliances += [(f"range {i}", 1000 * kw, "range") for i, kw in enumerate(given.get("ranges_kw", ()))]
    appliances += [(f"dryer {i}", va, "dryer") for i, va in enumerate(given.get("dryers_va", ()))]
    appliances += [(f"charger {i}", va, "ev") for i, va in enumerate(given.get("evse_va", ()))]
    appliances += [("cooling", given["cooling_va"], "cool")] if given.get("cooling_va") else []
    appliances += [("heating", given["heating_va"], "heat")] if given.get("heating_va") else []
    units = given.get("space_heat_units", 0)
    appliances += [(f"heater {i}", given["space_heat_va"] / units, "heat") for i in range(units)]
    found = [{"name": name, "rating": f"{va:.10g} VA", "kind": kind} for name, va, kind in appliances]
    if "heat_pump_va" in given:
        supplemental = f"{given['supplemental_heat_va']} W"
        found.append({"rating": f"{given['heat_pump_va']} VA", "kind": "heat-pump", "supplemental": supplemental})
    return {
        "method": method,
        "floor_area": f"{given['floor_area_ft2']} ft2",
        "small_appliance_circuits": given["small_appliance_circuits"],
        "laundry_circuits": given["laundry_circuits"],
        "appliances": found,
        **({"added_load": "0 VA"} if method == "dwelling-existing" else {}),
    }


def calculate(given, method, edition):
    assert given.get("voltage_v", 240) == 240
    assert given["va_per_ft2"] == factors(edition).general_lighting_va_per_ft2
    assert given.get("evse_floor_va", EVSE_LEAST_VA[edition]) == factors(edition).ev_least_va
    return calculated_load(load_of(dwelling(given, method)), system_of(SINGLE_PHASE), factors(edition))


def value_of(result, symbol):
    return result.tally.part(symbol).value.value


def dwelling_answers(given, method, edition):
    result = calculate(given, method, edition)
    answers = {"total_va": result.va.interval.value, "amps": result.amps.interval.value}
    answers["minimum_service_a"] = minimum_service_a(result.amps.high, standard_ratings(edition), ONE_FAMILY_LEAST_A)
    connected = sum(value_of(result, symbol) for symbol in ("S_G", "S_A", "S_L"))
    if method == "dwelling-standard":
        answers |= {"lighting_connected_va": connected, "lighting_demand_va": value_of(result, "D_G")}
        answers |= {"fastened_demand_va": value_of(result, "D_F"), "range_va": value_of(result, "D_R")}
        answers |= {"dryer_va": value_of(result, "D_D")}
    else:
        answers |= {"general_va": value_of(result, "S_S"), "general_demand_va": value_of(result, "D_G")}
        answers |= {"hvac_va": value_of(result, "S_HC")}
    if given.get("neutral"):
        answers["neutral_va"] = neutral_va(given, answers, connected, edition)
        answers["neutral_amps"] = answers["neutral_va"] / 240
    return answers


def neutral_va(given, answers, connected, edition):
    lighting = lighting_demand_va(Interval.exactly(connected), factors(edition)).value
    if given["neutral"] is True:
        return neutral_load_va(
            lighting_demand_va=lighting,
            cooking_va=answers["range_va"],
            dryer_va=answers["dryer_va"],
            other_va=0.0,
            factors=factors(edition),
        )
    assert given["neutral"]["lighting_circuits"] == given["small_appliance_circuits"] + given["laundry_circuits"]
    return neutral_load_va(
        lighting_demand_va=lighting,
        cooking_va=given["neutral"]["range_va"],
        dryer_va=given["neutral"]["dryer_va"],
        other_va=given["neutral"]["dishwasher_va"],
        factors=factors(edition),
    )


def line_current_answers(given, edition):
    found = line_currents(LineCurrents(line_a=row["a"], neutral=row["n"], line_b=row["b"]) for row in given["rows"])
    service = minimum_service_a(max(found.line_a, found.line_b), standard_ratings(edition), ONE_FAMILY_LEAST_A)
    return {"line_a": found.line_a, "neutral": found.neutral, "line_b": found.line_b, "minimum_service_a": service}


def range_answers(given, edition):
    ratings = given["ranges_kw"]
    average = average_rating_kw(ratings, factors(edition))
    return {"range_kw": cooking_demand(ratings, factors(edition)).kw, "average_kw": average}


def dryer_answers(given, edition):
    dryers = [{"rating": f"{va} VA", "kind": "dryer"} for va in given["dryers_va"]]
    load = {"method": "dwelling-standard", "floor_area": "0 ft2", "appliances": dryers}
    result = calculated_load(load_of(load), system_of(SINGLE_PHASE), factors(edition))
    return {"dryer_va": value_of(result, "D_D")}


def measured_answers(given, edition):
    if given["record"] == "30 days":
        record, own_source = (
            Choice("/load/demand_record", "thirty-day"),
            Claim(Truth.of(given["renewable_or_peak_shaving"])),
        )
        return {"method_permitted": demand_record_permitted(record, own_source).holds}
    assert given.get("power_factor", 1) == 1
    demand = f"{given['max_demand_kw']} kW" if "max_demand_kw" in given else f"{given['max_demand_a']} A"
    load = {"method": "measured-demand", "maximum_demand": demand, "added_load": f"{given['new_load_a']} A"}
    result = calculated_load(load_of(load), system_of(SINGLE_PHASE), factors(edition))
    added = calculated_load(load_of({**load, "added_load": "0 A"}), system_of(SINGLE_PHASE), factors(edition))
    demand_va = value_of(result, "S_D")
    return {
        "max_demand_a": demand_va / 240,
        "existing_a": added.amps.interval.value,
        "total_a": result.amps.interval.value,
    }


def answers_of(example, edition):
    given, kind = example["input"], example["kind"]
    match given.get("quantity"):
        case "line_currents":
            return line_current_answers(given, edition)
        case "range_demand":
            return range_answers(given, edition)
        case "dryer_demand":
            return dryer_answers(given, edition)
    if kind == "load-existing-220.87":
        answers = measured_answers(given, edition)
        amps = answers.get("total_a")
    else:
        method = {"load-standard": "dwelling-standard", "load-optional": "dwelling-optional"}.get(
            kind, "dwelling-existing"
        )
        answers = dwelling_answers(given, method, edition)
        amps = answers["amps"]
    if "service_a" in given and amps is not None:
        answers["within_service"] = amps <= given["service_a"]
    return answers


# Numbers of the examples are in one of these units; a current tells itself by its name.
def tolerance_of(example, name):
    allowed = example["tolerance"]
    if name.endswith("_va"):
        return allowed["va"]
    return allowed["kw"] if name.endswith("_kw") else allowed["a"]
