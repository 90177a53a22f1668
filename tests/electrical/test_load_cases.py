"""Loads of whole proposals; ``tests/reference/load-cases.json`` names the origin of each expectation."""

import json
from pathlib import Path

import pytest

from changeout.electrical.loads import calculated_load
from changeout.tables.loads import factors
from electrical.load_facts import load_of, system_of

CASES = json.loads((Path(__file__).parents[1] / "reference/load-cases.json").read_text("utf-8"))


@pytest.mark.parametrize("case", CASES, ids=lambda case: case["id"])
def test_the_load_of_a_proposal_is_the_expected_one(case):
    result = calculated_load(load_of(case["load"]), system_of(case["system"]), factors(case["edition"]))
    found = {
        "va": result.va.interval.value,
        "amps": result.amps.interval.value,
        "continuous_adjusted_a": result.continuous_adjusted_a.interval.value,
        "ev_counted_va": result.ev_counted_va.interval.value,
        "ev_required_va": result.ev_required_va.interval.value,
    }
    expect = {**case["expect"]}
    rel = expect.pop("rel", 0.005)
    assert rel <= 0.005
    for name, value in expect.items():
        assert found[name] == pytest.approx(value, rel=rel), (name, case["origin"])


@pytest.mark.parametrize("case", CASES, ids=lambda case: case["id"])
def test_the_calculation_ends_in_the_load(case):
    result = calculated_load(load_of(case["load"]), system_of(case["system"]), factors(case["edition"]))
    calculation = result.calculation()
    steps = {step.symbol: step for step in calculation.steps}
    assert calculation.id == "load"
    assert calculation.unit == "VA"
    assert calculation.result == result.va
    assert steps["S"].interval == result.va.interval
    assert steps["I"].interval == result.amps.interval
    assert all(step.source and step.expression and step.name for step in calculation.steps)
