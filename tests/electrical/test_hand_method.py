"""The trade's point-to-point method on the reference networks, and how far it is from the sum of R + jX.

Expected numbers: ``reference/fault-current-cases.json``; the published worksheets are in the reference tests.
"""

from __future__ import annotations

import pytest

from changeout.electrical import hand_method
from changeout.electrical.fault_current import available_fault_current
from electrical.fault_supplies import context, supply
from electrical.hand_figures import CASES, by_hand
from electrical.reference_networks import supply_spec


def test_most_cases_have_a_hand_figure():
    assert len(CASES) >= 30


@pytest.mark.parametrize("case", CASES, ids=lambda case: case["id"])
def test_hand_method_gives_the_reference_figures(case):
    names: dict[str, hand_method.FaultType] = {"three_phase_a": "three-phase", "line_line_a": "line to line"}
    for key, figure in case["point_to_point"].items():
        if key in names and figure is not None:
            assert by_hand(case["input"], names[key]) == pytest.approx(figure, rel=2e-3), key


@pytest.mark.parametrize("case", CASES, ids=lambda case: case["id"])
def test_hand_method_is_never_above_the_complex_sum(case, record_property):
    first: hand_method.FaultType = "three-phase" if "3ph" in case["input"]["system"] else "line to line"
    found = available_fault_current(supply(supply_spec(case)), context("commercial"))
    complex_sum = next(r.interval.low for r in found.calculation().results if r.at == "panelboard" and r.name == first)
    percent = 100.0 * (by_hand(case["input"], first) / complex_sum - 1.0)
    record_property("hand_method_minus_complex_sum_percent", round(percent, 2))
    assert -20.0 <= percent <= 1e-6
    assert percent == pytest.approx(case["point_to_point_minus_opendss_percent"], abs=0.1)


def test_no_impedance_no_answer():
    with pytest.raises(ValueError, match="percent impedance"):
        hand_method.transformer_terminals_a(100.0, 0.0)
