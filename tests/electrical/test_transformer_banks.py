"""A bank that one rating does not describe gives no number; one that it does describe gives the same as no bank."""

import math

import pytest

from changeout.electrical.fault_current import Ceiling, available_fault_current
from changeout.electrical.network import seen_through_transformer
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


@pytest.mark.parametrize(
    ("primary", "secondary", "seen"),
    [
        # between two lines: the loop of both, twice the impedance to neutral of a line and twice one conductor
        ("208Y/120V-3ph-4w", "120/240V-1ph-3w", (2.0, 2.0)),
        ("480V-3ph-3w", "120/240V-1ph-3w", (2.0, 2.0)),
        # a centre-tapped unit is stated whole; its two conductors are a loop
        ("120/240V-1ph-3w", "120/240V-1ph-3w", (1.0, 2.0)),
        # a three-phase unit sees each line to neutral
        ("480Y/277V-3ph-4w", "208Y/120V-3ph-4w", (1.0, 1.0)),
    ],
)
def test_what_a_transformer_shows_of_the_system_before_it(primary, secondary, seen):
    assert seen_through_transformer(primary, secondary) == seen


def test_a_ceiling_bounds_each_fault_by_itself():
    # 10 kA at 208Y/120 V is 12.009 mohm to neutral at any angle; 100 ft of 0.05 + j0.05 ohm/kft are 7.0711 mohm at 45
    # degrees, so that they add to no less than sqrt(12.009^2 + 7.0711^2 + 2 x 12.009 x 7.0711 x cos 45) = 17.73 mohm.
    # Three-phase, 120.09 V / 17.73 mohm = 6,773 A; line to line is sqrt(3)/2 of it.
    run = {"length_in": 1200.0, "sets": 1, "resistance_ohm_per_kft": 0.05, "reactance_ohm_per_kft": 0.05}
    bounded = found(
        "208Y/120V-3ph-4w", [run], Ceiling(value_a=10e3, origin="the county's table"), **{**UNIT, "rating_va": None}
    )
    assert bounded.at_panelboard.high == pytest.approx(6773, rel=2e-3)
    between = next(r for r in bounded.calculation().results if r.at == "panelboard" and r.name == "line to line")
    assert between.interval.high == pytest.approx(6773 * math.sqrt(3) / 2, rel=2e-3)


def test_a_ceiling_bounds_a_point_between_runs_by_the_runs_before_it():
    # As above; a second run of 7.0711 mohm makes it sqrt(12.009^2 + 14.142^2 + 2 x 12.009 x 14.142 x cos 45) = 24.17
    # mohm at the panelboard, 4,969 A, and leaves the 6,773 A before it.
    run = {"length_in": 1200.0, "sets": 1, "resistance_ohm_per_kft": 0.05, "reactance_ohm_per_kft": 0.05}
    ceiling = Ceiling(value_a=10e3, origin="the county's table")
    bounded = found("208Y/120V-3ph-4w", [run, run], ceiling, **{**UNIT, "rating_va": None})
    assert bounded.at_panelboard.high == pytest.approx(4969, rel=2e-3)
    assert bounded.after_run(bounded.supply.runs.items[0]).high == pytest.approx(6773, rel=2e-3)
