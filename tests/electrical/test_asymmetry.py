"""Offset of the first crest against the test circuit of a breaker.

Expected factors: table of multiplying factors computed from the same bracket by hand, rounded to two places; test
power factors: Tri-Service Electrical Working Group, technical paper TP-6 (2008), tables 1 and 2.
"""

from __future__ import annotations

import math

import pytest

from changeout.domain.vocabulary import MAIN_CLASSES
from changeout.electrical.asymmetry import (
    TESTED_CLASSES,
    crest_a,
    multiplying_factor,
    x_over_r_of_power_factor,
    x_over_r_of_test,
)

RATIOS = (2.0, 3.18, 4.0, 4.9, 6.6, 8.0, 10.0, 15.0, 20.0)
FACTORS = {
    10_000.0: (1.04, 1.18, 1.25, 1.31, 1.39, 1.44, 1.49, 1.56, 1.60),
    20_000.0: (1.0, 1.0, 1.06, 1.11, 1.18, 1.22, 1.26, 1.32, 1.35),
    65_000.0: (1.0, 1.0, 1.0, 1.0, 1.06, 1.10, 1.13, 1.19, 1.21),
}


@pytest.mark.parametrize("rating", FACTORS)
def test_multiplying_factors(rating):
    tested = x_over_r_of_test("molded-case", rating)
    found = tuple(round(multiplying_factor(ratio, tested), 2) for ratio in RATIOS)
    assert found == pytest.approx(FACTORS[rating], abs=0.011)


@pytest.mark.parametrize(
    "device, rating, fused, expected",
    [
        ("molded-case", 10_000.0, False, 1.73),
        ("molded-case", 10_001.0, False, 3.18),
        ("insulated-case", 20_000.0, False, 3.18),
        ("molded-case", 20_001.0, False, 4.90),
        ("power", 42_000.0, False, 6.6),
        ("power", 200_000.0, True, 4.9),
    ],
)
def test_x_over_r_of_the_test_circuit(device, rating, fused, expected):
    assert x_over_r_of_test(device, rating, fused=fused) == pytest.approx(expected, abs=0.02)


def test_a_fuse_has_no_figure_here():
    assert x_over_r_of_test("fuse", 200_000.0) is None


def test_crest():
    assert crest_a(10_000.0, 0.0) == pytest.approx(14_142.0, rel=1e-4)
    assert crest_a(10_000.0, math.inf) == pytest.approx(28_284.0, rel=1e-4)
    assert crest_a(10_000.0, 4.899) == pytest.approx(21_590.0, rel=1e-4)


@pytest.mark.parametrize("wrong", [0.0, -0.1, 1.01])
def test_no_such_power_factor(wrong):
    with pytest.raises(ValueError, match="power factor"):
        x_over_r_of_power_factor(wrong)


def test_a_power_factor_of_one_has_no_reactance():
    assert x_over_r_of_power_factor(1.0) == 0.0


def test_every_class_of_breaker_has_a_figure_at_every_rating():
    assert set(TESTED_CLASSES) == set(MAIN_CLASSES) - {"fuse"}
    for device in TESTED_CLASSES:
        each = [x_over_r_of_test(device, rating) for rating in (0.0, 10_000.0, 10_001.0, 20_000.0, 20_001.0, math.inf)]
        assert each == sorted(each), "both ends of an unknown rating bound what lies between"
