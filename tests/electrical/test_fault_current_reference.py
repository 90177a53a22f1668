"""Fault currents against reference networks solved by two power-system programs, and against published figures.

Origin of every expected number: ``reference/fault-current-cases.json``, which names it.
"""

from __future__ import annotations

import math
from typing import Any

import pytest

from changeout.electrical import hand_method
from changeout.electrical.asymmetry import x_over_r_of_power_factor
from changeout.electrical.fault_current import available_fault_current
from changeout.electrical.impedance import NOTHING, at_x_over_r, polar
from changeout.electrical.impedance import x_over_r as x_over_r_of
from changeout.electrical.network import FAULTS, HALF_WINDING, loops, source_ohm, transformer_ohm
from electrical.fault_supplies import context, supply
from electrical.published_networks import PUBLISHED, conductors, exactly, simple
from electrical.reference_networks import cases, supply_spec

ORACLE = cases()["oracle"]
NAMES = {
    "three-phase": "three_phase",
    "line to line": "line_line",
    "line to neutral": "line_neutral",
    "high leg to neutral": "high_leg_neutral",
}


def by_id(case: dict[str, Any]) -> str:
    return str(case["id"])


def core_loops(given: dict[str, Any]) -> dict[str, Any]:
    """Return the loops of a case's network, by the core alone, from plain numbers."""
    volts, source, unit = given["nominal_voltage"], given["source"], given["transformer"]
    line_v, system = volts["line_to_line_v"], given["system"]
    elements: list[Any] = []
    if source["kind"] == "stated":
        lines_v = line_v if system == "120/240V-1ph-3w" else line_v / math.sqrt(3.0)
        elements.append(("phase", polar(exactly(lines_v / source["amps"]), exactly(source["x_over_r"]))))
        if volts["line_to_neutral_v"]:
            amps = source.get("amps_line_neutral", source["amps"])
            ratio = source.get("x_over_r_line_neutral", source["x_over_r"])
            elements.append(("neutral", polar(exactly(volts["line_to_neutral_v"] / amps), exactly(ratio))))
    else:
        if source["kind"] == "short-circuit-power":
            ohms = source_ohm(line_v, source["mva_sc"] * 1e6)
            elements.append(("before", polar(exactly(ohms), exactly(source["x_over_r"]))))
        ohms = transformer_ohm(line_v, unit["percent_z"], unit["kva"] * 1e3)
        elements.append(("unit", polar(exactly(ohms), exactly(unit["x_over_r"]))))
    return {loop.fault: loop for loop in loops(FAULTS[system], line_v, elements, conductors(given["segments"]))}


def test_there_are_all_cases():
    assert (len(ORACLE), len(PUBLISHED)) == (40, 15)


@pytest.mark.parametrize("case", ORACLE, ids=by_id)
def test_the_core_agrees_with_the_reference_network(case):
    expected, compared = case["expected"], 0
    for fault, loop in core_loops(case["input"]).items():
        name = NAMES[fault]
        for key in (f"{name}_a", f"pandapower_{name}_a"):
            if expected.get(key):
                assert loop.current_a.value == pytest.approx(expected[key], rel=1e-4), (fault, key)
                compared += 1
        if expected.get(f"x_over_r_{name}"):
            assert x_over_r_of(loop.parts).value == pytest.approx(expected[f"x_over_r_{name}"], rel=1e-3)
    assert compared >= 1
    assert max(loop.current_a.high for loop in core_loops(case["input"]).values()) >= expected["governing_a"] * 0.9999


@pytest.mark.parametrize("case", ORACLE, ids=by_id)
def test_the_supply_agrees_with_the_reference_network(case):
    expected = case["expected"]
    found = available_fault_current(supply(supply_spec(case)), context("commercial"))
    by_fault = {r.name: r.interval for r in found.calculation().results if r.at == "panelboard"}
    for fault, interval in by_fault.items():
        figure = expected.get(f"{NAMES[fault]}_a")
        both_ratios = case["input"]["source"].get("x_over_r_line_neutral") and fault == "line to neutral"
        if figure is not None and not both_ratios:
            assert interval.value == pytest.approx(figure, rel=case["tolerance_percent"] / 100.0)
    assert found.at_panelboard.interval.value == pytest.approx(expected["governing_a"], rel=0.01)


@pytest.mark.parametrize("case", [c for c in ORACLE if "motors" in c["input"]], ids=by_id)
def test_motors_add_arithmetically_on_the_safe_side(case):
    given, expected = case["input"]["motors"], case["expected"]["with_motors"]
    spec = supply_spec(case) | {
        "motor_full_load_current_a": given["full_load_a"],
        "motor_multiplier": given["multiplier"],
    }
    found = available_fault_current(supply(spec), context("industrial")).at_panelboard.interval.value
    assert found == pytest.approx(expected["arithmetic_total_a"], rel=1e-4)
    assert found >= expected["opendss_vector_total_a"]


def within(case: dict[str, Any], figure: float, found: float) -> bool:
    tolerance = case["tolerance"]
    allowed = max(
        tolerance.get("a", 0.0), tolerance.get("absolute", 0.0), tolerance.get("percent", 0.0) / 100.0 * figure
    )
    return abs(found - figure) <= allowed


@pytest.mark.parametrize("name", ["FP-01", "FP-03", "FP-05", "FP-07", "FP-08", "FP-10", "FP-17", "FP-18", "FP-21"])
def test_published_network(name):
    case = PUBLISHED[name]
    given, expected = case["input"], case["expected"]
    found, single = simple(given), "line_line_a" in expected
    line_v = given["line_to_line_v"]
    va_per_a = line_v if single else math.sqrt(3.0) * line_v
    motors_a = sum(given.get("motors_mva_sc", [])) * 1e6 / va_per_a
    assert within(case, expected["line_line_a" if single else "three_phase_a"], found + motors_a)
    if "full_load_a" in expected:
        assert within(case, expected["full_load_a"], given["transformer"]["kva"] * 1e3 / va_per_a)
    for key, amperes in (("mva_without_motors", found), ("mva_total", found + motors_a)):
        if key in expected:
            assert within(case, expected[key], amperes * va_per_a / 1e6)


@pytest.mark.parametrize("name", ["FP-13", "FP-14", "FP-15"])
def test_published_hand_method(name):
    case = PUBLISHED[name]
    given = case["input"]
    unit, line_v = given["transformer"], given["line_to_line_v"]
    found = hand_method.transformer_terminals_a(unit["kva"] * 1e3 / line_v, unit["percent_z"])
    for segment in given["segments"]:
        constant = segment["hand_constant_c"] * segment["sets"]
        found = hand_method.end_of_run_a(found, "line to line", segment["length_ft"], constant, line_v)
    assert within(case, case["expected"]["line_line_a"], found)


def test_published_ratio_of_the_half_winding():
    case = PUBLISHED["FP-23"]
    assert (case["input"]["r_multiplier"], case["input"]["x_multiplier"]) == HALF_WINDING
    ratios = []
    for k in [0.0, 0.5, 1.0, 1.5, 2.0, 3.0, 5.0, 8.0, 1e6]:
        unit = [("unit", polar(exactly(1.0), exactly(k)))]
        lines, neutral = loops(FAULTS["120/240V-1ph-3w"], 240.0, unit, NOTHING)
        ratios.append(neutral.current_a.low / lines.current_a.low)
    assert ratios == sorted(ratios)
    assert within(case, case["expected"]["low"], ratios[0])
    assert within(case, case["expected"]["high"], ratios[-1])
    assert ratios[0] < case["expected"]["nominal"] < ratios[-1]


@pytest.mark.parametrize("name", ["FP-24", "FP-26"])
def test_published_test_circuit(name):
    case = PUBLISHED[name]
    assert within(case, case["expected"]["x_over_r"], x_over_r_of_power_factor(case["input"]["power_factor"]))


def test_every_published_case_is_used():
    used = {"FP-01", "FP-03", "FP-05", "FP-07", "FP-08", "FP-10", "FP-17", "FP-18", "FP-21", "FP-13", "FP-14", "FP-15"}
    assert used | {"FP-23", "FP-24", "FP-26"} == set(PUBLISHED)


def test_the_same_angle_everywhere_adds_magnitudes():
    assert abs(at_x_over_r(2.0, 3.0) + at_x_over_r(5.0, 3.0)) == pytest.approx(7.0)
