"""A bank that one rating does not describe gives no number; one that it does describe gives the same as no bank."""

import math

import pytest

from changeout.electrical.fault_current import Ceiling, available_fault_current
from electrical.fault_supplies import SYSTEMS, context, supply

HIGH_LEG = "240/120V-3ph-4w-high-leg"
UNIT = {
    "kind": "transformer",
    "rating_va": 75e3,
    "impedance_percent": 2.0,
    "x_over_r": 1.8,
    "upstream": {"kind": "unlimited"},
}
NO_ONE_RATING = ("open-delta", "unequal-units")


def found(system=HIGH_LEG, runs=(), ceiling=None, **source):
    spec = {"system": system, "source": source, "runs": list(runs), "motor_full_load_current_a": 0.0}
    return available_fault_current(supply(spec), context("commercial", busbar_a=400.0, ceiling=ceiling))


@pytest.mark.parametrize("system", SYSTEMS)
@pytest.mark.parametrize("bank", NO_ONE_RATING)
def test_nothing_is_computed_of_a_bank_without_one_rating(system, bank):
    unknown = found(system, **{**UNIT, "rating_va": None, "bank": bank})
    for number in (unknown.at_panelboard, unknown.at_source):
        assert (number.low, number.high) == (0.0, math.inf)
        assert number.missing == ("/supply/source/available_fault_current",)
        assert "/supply/source/bank" in number.inputs
    assert any("ask the utility" in caution for caution in unknown.calculation().cautions)


@pytest.mark.parametrize("bank", NO_ONE_RATING)
def test_a_letter_gives_the_fault_current_of_any_bank(bank):
    letter = {"kind": "stated", "available_fault_current_a": 9e3, "x_over_r": 2.0, "fault_type": "greatest"}
    assert found(**letter, bank=bank).at_panelboard.interval == found(**letter).at_panelboard.interval
    assert found(**letter, bank=bank).at_panelboard.interval.value == 9e3


@pytest.mark.parametrize("bank", NO_ONE_RATING)
def test_a_published_ceiling_and_conductors_still_bound_it(bank):
    unit = {**UNIT, "rating_va": None, "bank": bank}
    ceiling = Ceiling(value_a=10e3, origin="the county's table")
    assert found(**unit, ceiling=ceiling).at_panelboard.high == 10e3
    # 100 ft of one conductor, 0.05 + j0.05 ohm/kft: 0.00707 ohm a line; 240 V / (2 x 0.00707 ohm) = 16.97 kA line to
    # line, 240 V / 1.732 / 0.00707 ohm = 19.6 kA three-phase, 207.8 V / (2 x 0.00707 ohm) = 14.7 kA high leg.
    run = {"length_in": 1200.0, "sets": 1, "resistance_ohm_per_kft": 0.05, "reactance_ohm_per_kft": 0.05}
    assert found(**unit, runs=[run]).at_panelboard.high == pytest.approx(240 / math.sqrt(3) / 0.00707107, rel=1e-4)


@pytest.mark.parametrize("bank", ["single-unit", "closed-delta-equal"])
def test_a_bank_with_one_rating_is_computed_as_without_the_word(bank):
    assert found(**UNIT, bank=bank).at_panelboard.interval == found(**UNIT).at_panelboard.interval


def test_a_high_leg_of_which_nobody_said_the_bank_gets_a_caution():
    def cautioned(**source):
        return any("how the bank is made up" in c for c in found(**source).calculation().cautions)

    assert cautioned(**UNIT)
    assert not cautioned(**UNIT, bank="closed-delta-equal")
    assert not any("the bank" in c for c in found("208Y/120V-3ph-4w", **UNIT).calculation().cautions)
