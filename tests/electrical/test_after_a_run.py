"""The fault current at the end of each run of the supply, worked beside each case with V / |Z|.

The source and the runs have the same X/R of 1, so that magnitudes add: 10 kA at 208Y/120 V is 208 V / sqrt(3) / 10 kA
= 12.009 mohm, and 100 ft of 0.05 + j0.05 ohm/kft are 5 x sqrt(2) = 7.0711 mohm. A three-phase fault is the greatest.
"""

import math

import pytest

from changeout.electrical.fault_current import available_fault_current
from electrical.fault_supplies import context, supply

ID = "fault-current"
SOURCE = {"kind": "stated", "available_fault_current_a": 10e3, "x_over_r": 1.0, "fault_type": "greatest"}
RUN = {"length_in": 1200.0, "sets": 1, "resistance_ohm_per_kft": 0.05, "reactance_ohm_per_kft": 0.05}
AFTER_ONE = 120.089 / (12.009e-3 + 7.0711e-3)  # 6,294 A
AFTER_TWO = 120.089 / (12.009e-3 + 2 * 7.0711e-3)  # 4,592 A


def found(*runs, system="208Y/120V-3ph-4w", motors_a=0.0):
    spec = {"system": system, "source": SOURCE, "runs": list(runs), "motor_full_load_current_a": motors_a}
    current = available_fault_current(supply(spec), context("commercial", busbar_a=400.0))
    return current, current.supply.runs.items


def test_each_run_has_its_own_fault_current():
    current, (first, second) = found(RUN, RUN)
    assert current.after_run(first).interval.value == pytest.approx(AFTER_ONE, rel=1e-3)
    assert current.after_run(second).interval.value == pytest.approx(AFTER_TWO, rel=1e-3)
    assert current.after_run(first).calculation == ID
    assert current.after_run(first).missing == ()


def test_what_is_not_stated_of_a_later_run_does_not_matter_at_an_earlier_one():
    current, (first, second) = found(RUN, {**RUN, "length_in": None})
    here = current.after_run(first)
    assert here.interval.value == pytest.approx(AFTER_ONE, rel=1e-3)
    assert here.missing == ()
    assert "/supply/runs/0/length" in here.inputs
    assert not [pointer for pointer in here.inputs if pointer.startswith("/supply/runs/1/")]
    assert "/supply/source/available_fault_current" in here.inputs
    assert current.after_run(second).missing == ("/supply/runs/1/length",)


def test_what_is_not_stated_of_the_run_itself_leaves_a_range_and_is_named_alone():
    current, (first, _) = found({**RUN, "length_in": None}, {**RUN, "length_in": None})
    here = current.after_run(first)
    assert here.high == pytest.approx(10e3)  # no length at all
    assert here.low < 100.0
    assert here.missing == ("/supply/runs/0/length",)


def test_every_number_names_its_calculation():
    current, _ = found(RUN)
    for number in (current.at_panelboard, current.at_source, current.x_over_r, current.network_only):
        assert number.calculation == ID
    assert current.calculation().id == ID


def test_motors_add_at_every_run():
    current, (first,) = found(RUN, motors_a=100.0)
    without, (same,) = found(RUN)
    added = current.after_run(first).interval.value - without.after_run(same).interval.value
    assert added == pytest.approx(400.0)  # four times their full-load current, unless another multiplier is stated


def test_a_run_of_which_no_point_is_known_has_no_bound():
    current, (first,) = found(RUN, system=None)
    here = current.after_run(first)
    assert (here.low, here.high) == (0.0, math.inf)
    assert here.missing == ("/supply/system",)
    assert here.calculation == ID


def test_without_a_system_every_number_is_open_and_says_why():
    current, _ = found(RUN, system=None)
    for number in (current.at_panelboard, current.at_source, current.x_over_r, current.network_only):
        assert (number.low, number.high) == (0.0, math.inf)
        assert number.missing == ("/supply/system",)
        assert set(number.inputs) == {"/supply/system", "/supply/source/kind"}
        assert number.calculation == ID
    assert current.near_limit.low == math.inf
    assert current.near_limit.missing == ("/supply/system",)
    assert current.near_limit.calculation == ID
