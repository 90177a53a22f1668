"""The steps of a fault current: each can be redone from its own numbers, and they end at the result."""

from __future__ import annotations

import math
import random
import re

import pytest

from changeout.domain.interval import Interval
from changeout.electrical.fault_current import Ceiling, available_fault_current
from electrical.fault_supplies import SYSTEMS, context, supply
from electrical.random_supplies import draw, printed_run

COMMERCIAL = context("commercial", busbar_a=400.0)


def redone(expression: str) -> float:
    """Return what a pocket calculator gives for the expression of a step."""
    python = expression.replace("²", "**2").replace(" x ", " * ").replace("√(", "sqrt(")
    python = re.sub(r"√(\d+)", r"sqrt(\1)", python)
    assert re.fullmatch(r"[\d.e+\-*/() ,a-z]+", python), expression
    return float(eval(python, {"__builtins__": {}, "sqrt": math.sqrt, "max": max}))


@pytest.mark.parametrize("system", SYSTEMS)
@pytest.mark.parametrize("seed", range(12))
def test_every_step_of_a_known_supply_can_be_redone(system, seed):
    rng = random.Random(f"steps {system} {seed}")
    spec = draw(seed * 7 + 3, system)
    spec["runs"] = [*spec["runs"], printed_run(rng)]
    spec["motor_full_load_current_a"] = 33.0
    found = available_fault_current(supply(spec), COMMERCIAL)
    calculation = found.calculation()
    steps = {step.symbol: step for step in calculation.steps}
    assert len(steps) == len(calculation.steps)
    for step in calculation.steps:
        assert step.source
        assert step.name
        assert redone(step.expression) == pytest.approx(step.interval.value, rel=2e-5, abs=1e-12), step
    assert steps["I"].interval == found.at_panelboard.interval == calculation.result.interval
    assert redone(steps["I"].expression) == pytest.approx(found.at_panelboard.low, rel=1e-5)
    assert steps["In"].interval == found.near_limit.interval
    assert steps["Im"].interval == Interval.exactly(132.0)


@pytest.mark.parametrize("system", SYSTEMS)
def test_the_numbers_of_a_step_are_those_of_the_steps_before_it(system):
    spec = draw(3, system) | {"separately_derived": None}
    spec["runs"] = [printed_run(random.Random(1)), printed_run(random.Random(2))]
    calculation = available_fault_current(supply(spec), COMMERCIAL).calculation()
    known = {f"{step.interval.low:.6g}" for step in calculation.steps}
    panelboard = [step for step in calculation.steps if step.symbol[0] in "RX" and "panelboard" in step.name]
    assert panelboard
    for step in panelboard:
        for term in step.expression.split(" + "):
            assert term.split(" x ")[-1] in known, step


@pytest.mark.parametrize("system", SYSTEMS)
def test_results_stand_at_every_point_and_the_greatest_at_the_panelboard_is_the_result(system):
    spec = draw(5, system) | {
        "runs": [printed_run(random.Random(3)) | {"id": "lateral"}, printed_run(random.Random(4))]
    }
    spec["separately_derived"] = None
    found = available_fault_current(supply(spec), COMMERCIAL)
    results = found.calculation().results
    assert list(dict.fromkeys(r.at for r in results)) == ["source terminals", "end of run lateral", "panelboard"]
    assert max(r.interval.low for r in results if r.at == "panelboard") == found.at_panelboard.low
    assert max(r.interval.low for r in results if r.at == "source terminals") == found.at_source.low
    assert {r.unit for r in results} == {"A"}
    governing = {r.name for r in results if r.at == "panelboard" and r.interval == found.at_panelboard.interval}
    assert set(found.governing) == governing


def test_points_through_a_transformer_on_the_premises():
    spec = draw(4, "208Y/120V-3ph-4w")
    spec["separately_derived"] = {
        "rating_va": 75e3, "impedance_percent": 4.5, "x_over_r": 1.8, "primary_system": "480Y/277V-3ph-4w",
        "primary_runs": [printed_run(random.Random(1)) | {"id": "primary"}],
    }  # fmt: skip
    spec["runs"] = [printed_run(random.Random(2))]
    calculation = available_fault_current(supply(spec), COMMERCIAL).calculation()
    assert list(dict.fromkeys(r.at for r in calculation.results)) == [
        "source terminals",
        "end of run primary",
        "transformer's secondary terminals",
        "panelboard",
    ]
    symbols = [step.symbol for step in calculation.steps]
    assert {"Vp", "V", "Rb", "Xb", "Zt", "R1", "Rp1"} <= set(symbols)
    assert symbols.index("Rb") < symbols.index("Zt")


def test_ranges_show_both_ends():
    spec = {
        "system": "208Y/120V-3ph-4w",
        "source": {
            "kind": "transformer",
            "rating_va": 150e3,
            "impedance_percent": None,
            "x_over_r": None,
            "upstream": {},
        },
        "runs": [printed_run(random.Random(1)) | {"material": None, "length_in": None}],
    }
    calculation = available_fault_current(supply(spec), COMMERCIAL).calculation()
    steps = {step.symbol: step for step in calculation.steps}
    assert steps["Zt"].expression == "(0.1 to 20) / 100 x 208² / 150000"
    assert " to " in steps["R1"].expression
    assert "over what is not known" in steps["Z(1,3ph)"].source
    assert steps["Im"].interval.low == 0.0
    assert "half of what the transformer is rated for" in steps["Im"].source
    assert steps["I"].name.startswith("governing at the panelboard: three-phase or ")


def test_a_supply_of_which_nothing_is_known_still_has_its_calculation():
    nothing = available_fault_current(supply({}), COMMERCIAL)
    assert [step.interval for step in nothing.calculation().steps] == [None]
    assert nothing.calculation().results == ()
    unsourced = available_fault_current(supply({"system": "480V-3ph-3w"}), COMMERCIAL).calculation()
    assert [r.at for r in unsourced.results] == ["source terminals"] * 2 + ["panelboard"] * 2
    assert "Conductors are not stated: from none upward." in unsourced.assumptions
    no_primary = {
        "system": "208Y/120V-3ph-4w",
        "separately_derived": {"rating_va": 75e3, "primary_runs": []},
        "runs": [],
    }
    found = available_fault_current(supply(no_primary), COMMERCIAL)
    assert [r.at for r in found.calculation().results] == ["panelboard"] * 3
    assert any("does not fit" in caution for caution in found.calculation().cautions)


def test_primary_runs_that_nobody_states_have_a_point_at_their_end():
    spec = {
        "system": "208Y/120V-3ph-4w",
        "source": {"kind": "stated", "available_fault_current_a": 20e3, "x_over_r": 4.0},
        "separately_derived": {
            "rating_va": 75e3,
            "impedance_percent": 4.0,
            "x_over_r": 2.0,
            "primary_system": "480V-3ph-3w",
        },
        "runs": [],
    }
    calculation = available_fault_current(supply(spec), COMMERCIAL).calculation()
    assert "transformer's primary terminals" in {r.at for r in calculation.results}


def test_the_text_says_what_was_taken_for_granted():
    def said(spec, **more):
        calculation = available_fault_current(supply(spec), context(**more)).calculation()
        return " ".join((*calculation.assumptions, *calculation.cautions))

    unit = {
        "kind": "transformer",
        "rating_va": 75e3,
        "impedance_percent": 2.0,
        "x_over_r": 2.0,
        "upstream": {"kind": "unlimited"},
    }
    letter = {"kind": "stated", "available_fault_current_a": 9e3, "x_over_r": 2.0}
    assert "taken as none, as is usual in a dwelling" in said({"system": SYSTEMS[0], "source": unit, "runs": []})
    assert "1.5 x R and 1.2 x X" in said({"system": SYSTEMS[0], "source": unit, "runs": []})
    assert "three equal units" in said({"system": "240/120V-3ph-4w-high-leg", "source": unit, "runs": []})
    assert "two thirds" in said({"system": "208Y/120V-3ph-4w", "source": unit, "runs": []})
    assert "may be line to line only" in said({"system": SYSTEMS[0], "source": letter, "runs": []})
    assert "up to 1.5 times" in said({"system": "480Y/277V-3ph-4w", "source": letter, "runs": []})
    assert "every fault type at its point" in said({"system": "480Y/277V-3ph-4w", "source": letter, "runs": []})
    assert "not in the printed table" in said(
        {"system": SYSTEMS[0], "source": unit, "runs": [printed_run(random.Random(1)) | {"size": "800 kcmil"}]}
    )
    ceiling = Ceiling(value_a=10e3, origin="the county's table")
    assert "the county's table" in said({"system": SYSTEMS[0], "source": {}, "runs": []}, ceiling=ceiling)
    known = {"system": SYSTEMS[0], "source": {**letter, "fault_type": "greatest"}, "runs": []}
    assert "line to line only" not in said(known)
    assert "holds at its point and date" in said(known)
    assert "holds at its point and date" not in said({**known, "source": {**known["source"], "letter": True}})
    derived = {
        "rating_va": 45e3,
        "impedance_percent": 3.0,
        "x_over_r": 2.0,
        "primary_system": "480V-3ph-3w",
        "primary_runs": [],
    }
    assert "before the transformer on the premises" in said(
        {"system": "208Y/120V-3ph-4w", "source": letter, "runs": [], "separately_derived": derived}
    )


def test_the_offset_the_tolerance_and_the_motors_are_said():
    # The form of each sentence; its numbers are checked in test_asymmetry.py and test_fault_current_facts.py.
    spec = {
        "system": "480Y/277V-3ph-4w",
        "source": {"kind": "stated", "available_fault_current_a": 20_000.0, "x_over_r": 4.9},
        "runs": [],
        "motor_full_load_current_a": 100.0,
    }
    said = " ".join(available_fault_current(supply(spec), context()).calculation().assumptions)
    # sqrt(2) x 20,400 A x (1 + e^(-pi / 4.9)) = 44,045 A, by pocket calculator.
    assert "the first crest reaches 44045 A" in said
    assert "10 % lower" in said
    assert "4 x their full-load current" in said
