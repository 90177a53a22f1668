"""Sums of impedances that are not known: their bounds against dense sampling, and where they are exact."""

from __future__ import annotations

import math
import random

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from changeout.domain.interval import Interval
from changeout.electrical.impedance import (
    ANYTHING,
    NOTHING,
    advised_ohm,
    angle_matters,
    at_x_over_r,
    box,
    greatest_ohm,
    in_series,
    least_ohm,
    polar,
    x_over_r,
)

magnitudes = st.floats(0.0, 10.0, allow_subnormal=False)
ratios = st.floats(0.0, 50.0, allow_subnormal=False)
weights = st.sampled_from([0.25, 0.3, 0.375, 0.5, 2.0 / 3.0, 0.65, 0.875, 1.0, 1.65, 1.875, 2.0])
fractions = st.floats(0.0, 1.0)


@st.composite
def ordered(draw, values):
    low, high = sorted((draw(values), draw(values)))
    return Interval(low, high)


@st.composite
def polars(draw):
    size, ratio = draw(ordered(magnitudes)), draw(ordered(ratios))
    return (polar(size, ratio), draw(weights), draw(weights)), ("polar", size, ratio)


@st.composite
def boxes(draw):
    r, x, weight = draw(ordered(magnitudes)), draw(ordered(magnitudes)), draw(weights)
    return (box(r, x), weight, weight), ("box", r, x)


def along(interval: Interval, fraction: float) -> float:
    return interval.low + fraction * (interval.high - interval.low)


def point(kind, first, second, fraction_1, fraction_2) -> complex:
    if kind == "box":
        return complex(along(first, fraction_1), along(second, fraction_2))
    angle = along(Interval(math.atan(second.low), math.atan(second.high)), fraction_2)
    return along(first, fraction_1) * complex(math.cos(angle), math.sin(angle))


@settings(max_examples=400, deadline=None)
@given(st.lists(st.one_of(polars(), boxes()), min_size=1, max_size=4), st.lists(fractions, min_size=64, max_size=64))
def test_no_sum_of_possible_impedances_is_outside_the_bounds(drawn, picked):
    parts = [part for part, _ in drawn]
    low, high, slope = least_ohm(parts), greatest_ohm(parts), x_over_r(parts)
    for start in range(0, 64, 8):
        total = 0j
        for index, (part, described) in enumerate(drawn):
            z = point(*described, picked[start + 2 * index], picked[start + 2 * index + 1])
            total += complex(z.real * part[1], z.imag * part[2])
        assert low * (1 - 1e-9) - 1e-12 <= abs(total) <= high * (1 + 1e-9) + 1e-12
        if total.real > 1e-9:
            assert slope.low * (1 - 1e-6) - 1e-9 <= total.imag / total.real <= slope.high * (1 + 1e-6) + 1e-9


@settings(max_examples=150, deadline=None)
@given(st.lists(st.one_of(polars(), boxes()), min_size=1, max_size=3))
def test_the_bounds_are_reached(drawn):
    parts = [part for part, _ in drawn]
    totals = [0j]
    for (_, r_weight, x_weight), (kind, first, second) in drawn:
        steps = [i / 24 for i in range(25)] if kind == "polar" else [0.0, 1.0]
        points = [point(kind, first, second, end, step) for end in (0.0, 1.0) for step in steps]
        totals = [t + complex(p.real * r_weight, p.imag * x_weight) for t in totals for p in points]
    sizes = [abs(total) for total in totals]
    assert min(sizes) == pytest.approx(least_ohm(parts), rel=1e-9, abs=1e-12)
    assert max(sizes) == pytest.approx(greatest_ohm(parts), rel=2e-3, abs=1e-12)


def random_part(chance):
    kind = chance.choice(("polar", "box"))
    first, second = (Interval(*sorted(chance.uniform(0.0, most) for _ in range(2))) for most in (10.0, 8.0))
    z = polar(first, second) if kind == "polar" else box(first, second)
    return (z, chance.choice((0.375, 0.875, 1.0, 1.875)), chance.choice((0.3, 0.65, 1.0, 1.65))), (kind, first, second)


@pytest.mark.parametrize("seed", range(60))
def test_the_bounds_of_sums_drawn_by_a_seed_are_reached_and_not_passed(seed):
    chance = random.Random(seed)
    drawn = [random_part(chance) for _ in range(chance.choice((2, 2, 3)))]
    parts = [part for part, _ in drawn]
    totals = [0j]
    for (_, r_weight, x_weight), (kind, first, second) in drawn:
        steps = [i / 16 for i in range(17)] if kind == "polar" else [0.0, 1.0]
        points = [point(kind, first, second, end, step) for end in (0.0, 1.0) for step in steps]
        totals = [t + complex(p.real * r_weight, p.imag * x_weight) for t in totals for p in points]
    sizes = [abs(total) for total in totals]
    least, greatest = least_ohm(parts), greatest_ohm(parts)
    assert least * (1 - 1e-9) <= min(sizes)
    assert max(sizes) <= greatest * (1 + 1e-9)
    assert (min(sizes), max(sizes)) == (pytest.approx(least, rel=2e-3), pytest.approx(greatest, rel=2e-3))


def test_times_keeps_what_is_known_of_the_angle():
    straight = polar(Interval(1.0, 2.0), Interval.exactly(1.0)).times(2.0)
    assert (least_ohm([(straight, 1.0, 1.0)]), greatest_ohm([(straight, 1.0, 1.0)])) == pytest.approx((2.0, 4.0))
    assert NOTHING.times(3.0).straight


@settings(deadline=None)
@given(magnitudes, ratios, weights)
def test_a_known_impedance_has_one_magnitude(size, ratio, weight):
    parts = [(polar(Interval.exactly(size), Interval.exactly(ratio)), weight, weight)]
    assert least_ohm(parts) == greatest_ohm(parts) == pytest.approx(size * weight)


def test_an_unknown_angle_of_a_single_part_does_not_matter():
    z = polar(Interval(2.0, 3.0), Interval(0.1, 10.0))
    assert (least_ohm([(z, 1.0, 1.0)]), greatest_ohm([(z, 1.0, 1.0)])) == (2.0, 3.0)
    assert (least_ohm([(z, 2.0, 2.0)]), greatest_ohm([(z, 2.0, 2.0)])) == (4.0, 6.0)
    assert not angle_matters([(z, 1.0, 1.0)], z)
    assert angle_matters([(z, 1.5, 1.2)], z)
    assert angle_matters([(z, 1.0, 1.0), (NOTHING, 1.0, 1.0)], z)
    assert not angle_matters([(NOTHING, 1.0, 1.0)], z)


def test_the_half_winding_of_an_unknown_angle_is_between_its_two_weights():
    z = polar(Interval.exactly(1.0), Interval(0.0, math.inf))
    assert least_ohm([(z, 1.5, 1.2)]) == pytest.approx(1.2)
    assert greatest_ohm([(z, 1.5, 1.2)]) == pytest.approx(1.5, rel=1e-4)
    assert greatest_ohm([(z, 1.5, 1.2)]) >= 1.5


def test_anything_has_no_greatest_magnitude_and_any_ratio():
    parts = [(ANYTHING, 1.0, 1.0), (box(Interval.exactly(1.0), Interval.exactly(1.0)), 2.0, 2.0)]
    assert (least_ohm(parts), greatest_ohm(parts)) == (pytest.approx(math.sqrt(8.0)), math.inf)
    assert x_over_r(parts) == Interval(0.0, math.inf)
    unbounded = polar(Interval(1.0, math.inf), Interval(0.5, 2.0))
    assert greatest_ohm([(unbounded, 1.0, 1.0), (NOTHING, 1.0, 1.0)]) == math.inf
    assert not unbounded.is_bounded
    assert ANYTHING.times(2.0).far == complex(math.inf, math.inf)


def test_all_reactance_has_no_resistance():
    assert at_x_over_r(3.0, math.inf) == 3j
    z = polar(Interval.exactly(3.0), Interval.exactly(math.inf))
    assert x_over_r([(z, 1.0, 1.0)]) == Interval(math.inf, math.inf)
    assert x_over_r([(NOTHING, 1.0, 1.0)]) == Interval(0.0, math.inf)


def test_boxes_in_series_add():
    one, other = (
        box(Interval(1.0, 2.0), Interval(3.0, 4.0), cold=0.8),
        box(Interval.exactly(1.0), Interval.exactly(1.0)),
    )
    total = in_series([one, other])
    assert (total.near, total.far) == ((complex(2.0, 4.0),), complex(3.0, 5.0))
    assert total.advised == (complex(1.8, 4.0),)
    assert (total.resistance_ohm, total.reactance_ohm) == (Interval(2.0, 3.0), Interval(4.0, 5.0))


def test_the_advised_magnitude_takes_tolerance_and_cold():
    unit = polar(Interval.exactly(10.0), Interval.exactly(0.0), tolerance=0.9)
    wire = box(Interval.exactly(1.0), Interval.exactly(0.0), cold=0.8)
    assert advised_ohm([(unit, 1.0, 1.0), (wire, 2.0, 2.0)]) == pytest.approx(9.0 + 1.6)


def test_a_sector_shows_the_resistances_and_reactances_it_may_have():
    z = polar(Interval(1.0, 2.0), Interval(0.0, math.inf)).times(2.0)
    assert z.resistance_ohm.high == pytest.approx(4.0)
    assert z.reactance_ohm.high == pytest.approx(4.0)
    assert z.resistance_ohm.low == pytest.approx(0.0, abs=1e-12)
    straight = polar(Interval(1.0, 2.0), Interval.exactly(1.0))
    assert (
        x_over_r([(straight, 1.0, 1.0), (box(Interval.exactly(1.0), Interval.exactly(0.0)), 1.0, 1.0)]).is_point
        is False
    )


def test_a_resistance_that_may_be_nothing_has_any_ratio():
    """Nothing at all has no ratio of its own: a run of no length, of conductors without reactance."""
    part = (box(Interval(0.0, 2.0), Interval.exactly(0.0)), 1.0, 1.0)
    slope = x_over_r([part])
    assert slope.low == 0.0
    assert slope.high >= 0.0
