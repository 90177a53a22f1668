"""The trade's point-to-point method on the reference networks."""

from __future__ import annotations

import math

from changeout.electrical import hand_method
from electrical.reference_networks import cases

CASES = [case for case in cases()["oracle"] if case["point_to_point"]]


def by_hand(given: dict, fault: hand_method.FaultType) -> float:
    line_v = given["nominal_voltage"]["line_to_line_v"]
    tapped = given["system"] == "120/240V-1ph-3w"
    root = 1.0 if tapped else math.sqrt(3.0)
    source, unit = given["source"], given["transformer"]
    if source["kind"] == "stated":
        found = source["amps"]
        if fault == "line to neutral":
            found = source.get("amps_line_neutral", found)
    else:
        found = hand_method.transformer_terminals_a(unit["kva"] * 1e3 / (root * line_v), unit["percent_z"])
        if source["kind"] == "short-circuit-power":
            found = hand_method.behind_source_a(found, source["mva_sc"] * 1e6 / (root * line_v))
        if fault == "line to neutral" and tapped:
            found *= hand_method.NEUTRAL_OVER_LINES
    if fault == "line to line" and not tapped:
        found *= math.sqrt(3.0) / 2.0
    volts = line_v / (2.0 if tapped else root) if fault == "line to neutral" else line_v
    for s in given["segments"]:
        constant = s["sets"] * hand_method.conductor_constant(s["r_ohm_per_kft"], s["x_ohm_per_kft"])
        found = hand_method.end_of_run_a(found, fault, s["length_ft"], constant, volts)
    return found
