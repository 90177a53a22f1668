"""What each fact of a supply means for its fault current.

Expected numbers are worked beside each case with V / |Z| from plain ohms, or are the stated values themselves.
"""

from __future__ import annotations

import copy
import math
from typing import Any

import pytest

from changeout.domain.interval import Interval
from changeout.electrical.fault_current import Ceiling, FaultCurrent, available_fault_current
from changeout.electrical.runs import COLD
from electrical.fault_supplies import RANGES, SYSTEMS, context, supply

DWELLING = context()
COMMERCIAL = context("commercial", busbar_a=400.0)
WYE, TAPPED = "208Y/120V-3ph-4w", "120/240V-1ph-3w"
UNIT = {
    "kind": "transformer",
    "rating_va": 75e3,
    "impedance_percent": 2.0,
    "x_over_r": 1.8,
    "upstream": {"kind": "unlimited"},
}
RUN = {"length_in": 1200.0, "sets": 1, "size": "4/0 AWG", "material": "copper", "raceway": "steel"}


def found(spec: dict[str, Any], situation=DWELLING) -> FaultCurrent:
    return available_fault_current(supply(spec), situation)


def letter(system: str, amperes: float = 10e3, **more: Any) -> dict[str, Any]:
    source = {"kind": "stated", "available_fault_current_a": amperes, "x_over_r": 1.5, **more}
    return {"system": system, "source": source, "runs": [], "motor_full_load_current_a": 0.0}


def at_panelboard(spec: dict[str, Any], fault: str) -> Interval:
    results = found(spec).calculation().results
    return next(r.interval for r in results if r.at == "panelboard" and r.name == fault)


def interval(spec: dict[str, Any], situation=DWELLING) -> Interval:
    return found(spec, situation).at_panelboard.interval


@pytest.mark.parametrize("system", SYSTEMS)
@pytest.mark.parametrize("amperes", [10e3, 22e3, 9999.9, 41_234.5, 14_000.0])
def test_a_stated_value_is_itself_at_its_point_to_the_last_digit(system, amperes):
    spec = letter(system, amperes, fault_type="greatest")
    assert interval(spec) == Interval.exactly(amperes)
    assert found(spec).at_source.interval == Interval.exactly(amperes)
    assert found(spec).near_limit.interval == Interval.exactly(amperes)
    spec["runs"] = [{**RUN, "length_in": None}]
    assert interval(spec).high == amperes


@pytest.mark.parametrize(
    "fault_type, lines, neutral, governing, missing",
    [
        ("greatest", (1, 1), (1, 1), (1, 1), ()),
        (None, (1, 1), (1, 1.67), (1, 1.67), ("/supply/source/fault_type",)),
        ("three-phase", (1, 1), (1, 1.67), (1, 1.67), ("/supply/source/fault_type",)),
        ("line-to-line", (1, 1), (0.5, 1.67), (1, 1.67), ("/supply/source/line_to_neutral_fault_current",)),
        ("line-to-neutral", (1 / 1.67, 2), (1, 1), (1, 2), ("/supply/source/fault_type",)),
    ],
)
def test_fault_types_of_a_letter_at_a_centre_tapped_unit(fault_type, lines, neutral, governing, missing):
    spec = letter(TAPPED, fault_type=fault_type)
    for fault, ends in (("line to line", lines), ("line to neutral", neutral)):
        here = at_panelboard(spec, fault)
        assert (here.low, here.high) == pytest.approx((10e3 * ends[0], 10e3 * ends[1]))
    assert (interval(spec).low, interval(spec).high) == pytest.approx((10e3 * governing[0], 10e3 * governing[1]))
    assert found(spec).at_panelboard.missing == missing


@pytest.mark.parametrize(
    "fault_type, three_phase, neutral, missing",
    [
        ("greatest", (1, 1), (1, 1), ()),
        (None, (1, 1), (1, 1), ()),
        ("three-phase", (1, 1), (1, 1), ()),
        ("line-to-line", (2 / math.sqrt(3),) * 2, (2 / math.sqrt(3),) * 2, ()),
        ("line-to-neutral", (2 / 3, 2), (1, 1), ("/supply/source/fault_type",)),
    ],
)
@pytest.mark.parametrize("system", [WYE, "480Y/277V-3ph-4w"])
def test_fault_types_of_a_letter_on_a_wye(system, fault_type, three_phase, neutral, missing):
    spec = letter(system, fault_type=fault_type)
    for fault, ends in (("three-phase", three_phase), ("line to neutral", neutral)):
        here = at_panelboard(spec, fault)
        assert (here.low, here.high) == pytest.approx((10e3 * ends[0], 10e3 * ends[1]))
    assert found(spec).at_panelboard.missing == missing


def test_fault_types_where_there_is_no_neutral():
    for fault_type in (None, "greatest", "three-phase", "line-to-neutral"):
        assert interval(letter("480V-3ph-3w", fault_type=fault_type)) == Interval.exactly(10e3)
    assert interval(letter("480V-3ph-3w", fault_type="line-to-line")).value == pytest.approx(11_547.0, rel=1e-5)


@pytest.mark.parametrize("system", [TAPPED, WYE])
def test_a_letter_with_both_values(system):
    spec = letter(system, line_to_neutral_fault_current_a=13e3)
    assert at_panelboard(spec, "line to neutral") == Interval.exactly(13e3)
    assert interval(spec) == Interval.exactly(13e3)
    assert "/supply/source/line_to_neutral_fault_current" in found(spec).at_panelboard.inputs
    both = letter(system, 13e3, fault_type="line-to-neutral", line_to_neutral_fault_current_a=13e3)
    assert at_panelboard(both, "line to neutral") == Interval.exactly(13e3)


def test_an_unknown_fault_type_is_settled_by_conductors():
    # 240 / (240/10000) at the source; 100 ft of 4/0 copper in steel, r 0.063, x 0.051: line to neutral falls below.
    spec = letter(TAPPED) | {"runs": [RUN]}
    z = 240.0 / 10e3
    r, x = z / math.sqrt(3.25) + 2 * 0.0063, 1.5 * z / math.sqrt(3.25) + 2 * 0.0051
    assert interval(spec).value == pytest.approx(240.0 / math.hypot(r, x))
    assert found(spec).at_panelboard.missing == ()
    assert found(spec).governing == ("line to line",)


def test_a_single_phase_tap_of_a_wye_is_stated_by_its_three_phase_value():
    spec = letter("120/208V-1ph-3w", 35e3) | {"runs": [RUN]}
    z = 208.0 / math.sqrt(3.0) / 35e3
    r, x = z / math.sqrt(3.25) + 0.0063, 1.5 * z / math.sqrt(3.25) + 0.0051
    assert at_panelboard(spec, "line to line").value == pytest.approx(208.0 / 2.0 / math.hypot(r, x))


def test_motors_add_to_every_fault():
    spec = {"system": WYE, "source": UNIT, "runs": [RUN], "motor_full_load_current_a": 25.0}
    bare = found(spec | {"motor_full_load_current_a": 0.0})
    with_motors = found(spec)
    assert with_motors.at_panelboard.low == pytest.approx(bare.at_panelboard.low + 100.0)
    assert with_motors.at_source.low == pytest.approx(bare.at_source.low + 100.0)
    assert with_motors.network_only.interval == bare.at_panelboard.interval
    assert found(spec | {"motor_multiplier": 6.0}).at_panelboard.low == pytest.approx(bare.at_panelboard.low + 150.0)
    for fault in ("three-phase", "line to line", "line to neutral"):
        assert at_panelboard(spec, fault).low == pytest.approx(
            at_panelboard(spec | {"motor_full_load_current_a": 0.0}, fault).low + 100.0
        )


@pytest.mark.parametrize("occupancy", ["one-family-dwelling", "two-family-dwelling", "multifamily-dwelling"])
def test_unknown_motors_are_none_in_a_dwelling(occupancy):
    spec = {"system": WYE, "source": UNIT, "runs": []}
    here = found(spec, context(occupancy))
    assert here.at_panelboard.interval == here.network_only.interval
    assert here.at_panelboard.missing == ()
    assert any("usual in a dwelling" in sentence for sentence in here.calculation().assumptions)


@pytest.mark.parametrize(
    "system, occupancy, times",
    [
        (WYE, "commercial", 2.0),
        (WYE, "industrial", 2.0),
        (WYE, "guest-rooms", 2.0),
        (WYE, "dormitory", 2.0),
        (WYE, "health-care", 2.0),
        ("480Y/277V-3ph-4w", "commercial", 2.0),
        ("480Y/277V-3ph-4w", "industrial", 4.0),
        ("480V-3ph-3w", "commercial", 4.0),
        ("240V-3ph-3w", "industrial", 4.0),
        ("240/120V-3ph-4w-high-leg", "commercial", 4.0),
        (TAPPED, "commercial", 2.0),
        ("120/208V-1ph-3w", "commercial", 2.0),
    ],
)
def test_unknown_motors_elsewhere_go_up_to_the_usual_for_the_voltage(system, occupancy, times):
    volts = {"2": 208.0 if "208" in system else 240.0, "4": 480.0, "1": 208.0 if "208" in system else 240.0}[system[0]]
    full_load = 75e3 / (volts if system == TAPPED else math.sqrt(3.0) * volts)
    here = found({"system": system, "source": UNIT, "runs": []}, context(occupancy))
    assert here.at_panelboard.low == here.network_only.low
    assert here.at_panelboard.high == pytest.approx(here.network_only.high + times * full_load)
    assert here.at_panelboard.missing == ("/supply/motor_full_load_current",)
    behind_letter = letter(system, fault_type="greatest") | {"motor_full_load_current_a": None}
    assert interval(behind_letter, context(occupancy, busbar_a=225.0)) == Interval(10e3, 10e3 + times * 225.0)


def test_unknown_motors_behind_a_letter_and_an_unknown_busbar():
    spec = letter(WYE) | {"motor_full_load_current_a": None, "motor_multiplier": 5.0}
    here = found(spec, context("commercial", busbar_a=None)).at_panelboard
    assert here.high == pytest.approx(10e3 + 5.0 * 0.5 * RANGES["busbar_rating_a"][1])
    assert here.missing == ("/supply/motor_full_load_current", "/panelboard/busbar_rating")


def test_motors_are_seen_at_the_source_through_a_transformer_by_the_ratio_of_voltages():
    derived = {
        "rating_va": 75e3,
        "impedance_percent": 4.5,
        "x_over_r": 1.8,
        "primary_system": "480V-3ph-3w",
        "primary_runs": [],
    }
    spec = {"system": WYE, "source": UNIT, "separately_derived": derived, "runs": []}
    without = found(spec | {"motor_full_load_current_a": 0.0}).at_source.low
    assert found(spec | {"motor_full_load_current_a": 30.0}).at_source.low == pytest.approx(
        without + 120.0 * 208.0 / 480.0
    )
    unknown = found(spec, COMMERCIAL)
    assert unknown.at_panelboard.high == pytest.approx(
        unknown.network_only.high + 2.0 * 75e3 / (math.sqrt(3.0) * 208.0)
    )


def test_nothing_known():
    here = found({})
    for measurement in (here.at_panelboard, here.at_source, here.x_over_r, here.network_only):
        assert measurement.interval == Interval(0.0, math.inf)
        assert measurement.missing == ("/supply/system", "/supply/source/kind")
    assert here.near_limit.high == math.inf


@pytest.mark.parametrize("system", SYSTEMS)
def test_an_unknown_source_without_conductors_is_anything(system):
    here = found({"system": system, "runs": []})
    assert here.at_panelboard.interval == here.at_source.interval == Interval(0.0, math.inf)
    assert here.at_panelboard.missing == ("/supply/source/kind",)
    assert here.x_over_r.interval == Interval(0.0, math.inf)


def test_an_unknown_source_is_still_limited_by_known_conductors():
    # 100 ft, r 0.063, x 0.051, both ways: 240 / (2 x 0.1 x 0.08106).
    here = found({"system": TAPPED, "runs": [RUN]})
    assert here.at_panelboard.low == 0.0
    assert here.at_panelboard.high == pytest.approx(240.0 / (0.2 * math.hypot(0.063, 0.051)))
    assert here.at_panelboard.missing == ("/supply/source/kind",)


def test_unknown_runs_go_from_none_to_anything():
    here = found({"system": WYE, "source": UNIT})
    assert here.at_panelboard.low == 0.0
    assert (
        here.at_panelboard.high
        == here.at_source.high
        == found({"system": WYE, "source": UNIT, "runs": []}).at_source.high
    )
    assert here.at_panelboard.missing == ("/supply/runs",)
    assert "/supply/runs" in here.at_panelboard.inputs
    assert here.at_source.missing == ()


def test_an_unknown_upstream_goes_from_its_least_to_unlimited():
    spec = {"system": WYE, "source": {**UNIT, "upstream": {}}, "runs": []}
    unlimited = found({"system": WYE, "source": UNIT, "runs": []}).at_panelboard
    here = found(spec).at_panelboard
    assert here.high == unlimited.high
    assert 0.0 < here.low < unlimited.low
    assert here.missing == ("/supply/source/upstream/kind",)
    power = {**UNIT, "upstream": {"kind": "short-circuit-power"}}
    here = found({"system": WYE, "source": power, "runs": []}).at_panelboard
    assert here.missing == ("/supply/source/upstream/value", "/supply/source/upstream/x_over_r")
    value_only = {**UNIT, "upstream": {"value_va": 5e6, "x_over_r": 3.0}}
    assert found({"system": WYE, "source": value_only, "runs": []}).at_panelboard.missing == (
        "/supply/source/upstream/kind",
    )


def test_what_is_missing_comes_with_what_matters_most_first():
    spec = {"system": WYE, "source": {"kind": "transformer", "upstream": {"kind": "short-circuit-power"}}, "runs": [{}]}
    assert found(spec, COMMERCIAL).at_panelboard.missing == (
        "/supply/source/impedance_percent",
        "/supply/source/rating",
        "/supply/runs/0/length",
        "/supply/runs/0/sets",
        "/supply/runs/0/size",
        "/supply/runs/0/material",
        "/supply/runs/0/raceway",
        "/supply/motor_full_load_current",
        "/supply/source/upstream/value",
        "/supply/source/upstream/x_over_r",
        "/supply/source/x_over_r",
    )


def test_an_x_over_r_that_cannot_matter_is_not_missing():
    here = found({"system": WYE, "source": {**UNIT, "x_over_r": None}, "runs": []})
    assert here.at_panelboard.interval.is_point
    assert here.at_panelboard.missing == ()
    assert (here.x_over_r.low, here.x_over_r.high) == pytest.approx(RANGES["x_over_r"])
    assert here.x_over_r.missing == ("/supply/source/x_over_r",)
    half = found({"system": TAPPED, "source": {**UNIT, "x_over_r": None}, "runs": []})
    assert half.at_panelboard.missing == ("/supply/source/x_over_r",)
    # The half winding: 120 V over Zt / 4 x 1.2 to 1.5; the whole unit 240 V over Zt.
    assert half.at_panelboard.high == pytest.approx(4.0 * 120.0 / (0.01536 * 1.2), rel=1e-3)
    assert half.at_panelboard.low == pytest.approx(4.0 * 120.0 / (0.01536 * 1.5), rel=1e-3)


def test_primary_side_of_a_transformer_that_is_not_known():
    derived = {"rating_va": 75e3, "impedance_percent": 4.5, "x_over_r": 1.8}
    here = found({"system": WYE, "source": UNIT, "separately_derived": derived, "runs": []})
    # At the most 75 kVA / (sqrt(3) 208 V) / 4.5 %: 4626 A.
    assert here.at_panelboard.high == pytest.approx(75e3 / (math.sqrt(3.0) * 208.0) / 0.045)
    assert here.at_panelboard.low == 0.0
    assert here.at_panelboard.missing == ("/supply/separately_derived/primary_system",)
    assert here.at_source.missing == ("/supply/separately_derived/primary_system",)
    for primary in (TAPPED, "120/208V-1ph-3w"):
        misfit = {**derived, "primary_system": primary, "primary_runs": []}
        spec = {"system": WYE, "source": UNIT, "separately_derived": misfit, "runs": []}
        assert found(spec).at_panelboard.interval == here.at_panelboard.interval


def test_primary_letter_of_an_unknown_type_matters_only_between_lines():
    derived = {
        "rating_va": 75e3,
        "impedance_percent": 4.5,
        "x_over_r": 1.8,
        "primary_system": TAPPED,
        "primary_runs": [],
    }
    spec = letter(TAPPED) | {"separately_derived": derived}
    assert interval(spec).is_point
    assert not found(spec).at_source.interval.is_point
    neutral = letter(TAPPED, fault_type="line-to-neutral") | {"separately_derived": derived}
    assert found(neutral).at_panelboard.missing == ("/supply/source/fault_type",)


def test_open_facts_before_a_transformer_are_named():
    derived = {
        "rating_va": 75e3, "impedance_percent": 4.5, "x_over_r": None, "primary_system": "480Y/277V-3ph-4w",
        "primary_runs": [{**RUN, "length_in": None}],
    }  # fmt: skip
    spec = {"system": WYE, "source": {**UNIT, "x_over_r": None}, "separately_derived": derived, "runs": []}
    assert found(spec).at_panelboard.missing == (
        "/supply/separately_derived/primary_runs/0/length",
        "/supply/source/x_over_r",
        "/supply/separately_derived/x_over_r",
    )
    spec["separately_derived"] = {**derived, "primary_runs": None}
    assert found(spec).at_panelboard.missing[0] == "/supply/separately_derived/primary_runs"


@pytest.mark.parametrize("system", SYSTEMS)
def test_a_local_ceiling_limits_what_is_not_known(system):
    limited = context(ceiling=Ceiling(value_a=10e3, origin="table of a local ruleset"))
    spec = {"system": system, "runs": [RUN]}
    here, free = found(spec, limited), found(spec)
    assert (here.at_source.low, here.at_source.high) == (0.0, pytest.approx(10e3))
    assert here.at_source.missing == ("/supply/source/kind",)
    assert here.at_panelboard.high < free.at_panelboard.high
    assert here.at_panelboard.high < 10e3
    assert here.near_limit.high < free.near_limit.high
    for ratio in (0.0, 0.5, 2.0, 1e6):
        behind = letter(system, 10e3, fault_type="greatest", x_over_r=ratio) | {"runs": [RUN]}
        assert interval(behind).high <= here.at_panelboard.high
    assert any("table of a local ruleset" in sentence for sentence in here.calculation().assumptions)
    assert any("local ceiling" in step.source for step in here.calculation().steps)


def test_a_local_ceiling_counts_through_a_transformer():
    limited = context(ceiling=Ceiling(value_a=10e3, origin="table of a local ruleset"))
    derived = {
        "rating_va": 500e3,
        "impedance_percent": 2.0,
        "x_over_r": 1.8,
        "primary_system": "480V-3ph-3w",
        "primary_runs": [],
    }
    spec = {"system": WYE, "separately_derived": derived, "runs": []}
    assert interval(spec, limited).high < interval(spec).high
    assert interval({**spec, "separately_derived": {**derived, "primary_system": None}}, limited) == interval(
        {**spec, "separately_derived": {**derived, "primary_system": None}}
    )


def test_a_local_ceiling_changes_nothing_that_is_known():
    limited = context(ceiling=Ceiling(value_a=10e3, origin="table of a local ruleset"))
    for amperes in (9e3, 10e3, 14e3):
        spec = letter(WYE, amperes) | {"runs": [RUN]}
        assert interval(spec, limited) == interval(spec)


def test_near_limit_has_the_tolerance_and_cold_conductors():
    spec = {"system": "480V-3ph-3w", "source": UNIT, "runs": [RUN], "motor_full_load_current_a": 0.0}
    z = 0.9 * 0.02 * 480.0**2 / 75e3
    r = z / math.sqrt(4.24) + 0.0063 * (234.5 + 25.0) / (234.5 + 75.0)
    x = 1.8 * z / math.sqrt(4.24) + 0.0051
    assert found(spec).near_limit.interval.value == pytest.approx(480.0 / math.sqrt(3.0) / math.hypot(r, x))
    assert (round(COLD["copper"], 3), round(COLD["aluminum"], 3)) == (0.838, 0.835)


# Resistances and reactances below: Chapter 9 Table 9, as in conductor_impedance.toml.


@pytest.mark.parametrize(
    "run, resistance, reactance, widening",
    [
        ({}, (0.063, 0.063), (0.051, 0.051), ()),
        ({"material": None}, (0.063, 0.1), (0.051, 0.051), ("material",)),
        ({"raceway": None}, (0.062, 0.067), (0.041, 0.051), ("raceway",)),
        ({"raceway": None, "resistance_ohm_per_kft": 0.05}, (0.05, 0.05), (0.041, 0.051), ("raceway",)),
        ({"material": None, "resistance_ohm_per_kft": 0.05}, (0.05, 0.05), (0.051, 0.051), ()),
        ({"material": None, "reactance_ohm_per_kft": 0.05}, (0.063, 0.1), (0.05, 0.05), ("material",)),
        (
            {
                "size": None,
                "material": None,
                "raceway": None,
                "resistance_ohm_per_kft": 0.05,
                "reactance_ohm_per_kft": 0.04,
            },
            (0.05, 0.05),
            (0.04, 0.04),
            (),
        ),
        ({"size": "700 kcmil"}, (0.021, 0.025), (0.048, 0.048), ("resistance", "reactance")),
        ({"size": "700 kcmil", "reactance_ohm_per_kft": 0.04}, (0.021, 0.025), (0.04, 0.04), ("resistance",)),
        ({"size": "900 kcmil", "raceway": "nonmetallic"}, (0.015, 0.019), (0.037, 0.038), ("resistance", "reactance")),
        ({"size": "2000 kcmil"}, (0.95 * 0.00643, 0.018), (0.0159, 0.046), ("resistance", "reactance")),
        ({"size": "14 AWG", "material": "aluminum"}, (3.2, 1.05 * 5.17), (0.073, 0.073), ("resistance", "reactance")),
        ({"size": None}, (0.95 * 0.00643, 3.1), (0.0159, 0.073), ("size",)),
        (
            {"size": None, "material": None, "raceway": None},
            (0.95 * 0.00643, 1.05 * 5.17),
            (0.0159, 0.073),
            ("size", "material", "raceway"),
        ),
    ],
)
def test_ohms_of_a_run(run, resistance, reactance, widening):
    spec = {"system": WYE, "source": UNIT, "runs": [{**RUN, **run}]}
    here = found(spec)
    model = here.points.chain.secondary.runs[0]
    assert (model.resistance.low, model.resistance.high) == pytest.approx(resistance)
    assert (model.reactance.low, model.reactance.high) == pytest.approx(reactance)
    assert here.at_panelboard.missing == tuple(f"/supply/runs/0/{name}" for name in widening)


def test_sets_and_length_divide_and_multiply():
    spec = {"system": WYE, "source": UNIT, "runs": [{**RUN, "sets": 3, "length_in": 3600.0}]}
    same = {"system": WYE, "source": UNIT, "runs": [RUN]}
    assert interval(spec).value == pytest.approx(interval(same).value)
    unknown = copy.deepcopy(spec)
    unknown["runs"][0]["sets"] = None
    assert interval(unknown).high == pytest.approx(
        interval({**spec, "runs": [{**RUN, "sets": 20, "length_in": 3600.0}]}).value
    )
    assert interval(unknown).low == pytest.approx(interval({**spec, "runs": [{**RUN, "length_in": 3600.0}]}).value)


def test_a_single_phase_unit_fed_from_two_lines():
    # 480 V three-phase, 20 kA, X/R 1.5: 0.013856 ohm to neutral, two lines; 25 kVA 120/240 V, 3 %, X/R 2.
    derived = {
        "rating_va": 25e3,
        "impedance_percent": 3.0,
        "x_over_r": 2.0,
        "primary_system": "480V-3ph-3w",
        "primary_runs": [RUN],
    }
    spec = letter("480V-3ph-3w", 20e3) | {"system": TAPPED, "separately_derived": derived}
    z = 480.0 / math.sqrt(3.0) / 20e3
    line = complex(z / math.sqrt(3.25) + 0.0063, 1.5 * z / math.sqrt(3.25) + 0.0051)
    before = 2.0 * line / 4.0
    unit = 0.03 * 240.0**2 / 25e3 / math.sqrt(5.0) * complex(1.0, 2.0)
    assert at_panelboard(spec, "line to line").value == pytest.approx(240.0 / abs(before + unit))
    half = before / 4.0 + complex(1.5 * unit.real, 1.2 * unit.imag) / 4.0
    assert at_panelboard(spec, "line to neutral").value == pytest.approx(120.0 / abs(half))
