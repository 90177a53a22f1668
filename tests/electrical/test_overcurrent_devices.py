"""Standard ratings and what conductors permit: 240.4(B) to (D) and 240.6(A)."""

import math

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from changeout.domain.facts import Measurement
from changeout.domain.interval import Interval
from changeout.electrical.overcurrent import (
    greatest_device,
    next_standard_rating_a,
    permitted_rating_a,
    small_conductor_limit,
    standard_rating_within_a,
)
from changeout.tables.overcurrent import small_conductor_limits, standard_ratings
from electrical.conductor_facts import choice, size

RATINGS = standard_ratings("2023")
currents = st.floats(0, 7000)


@pytest.mark.parametrize(
    ("ampacity", "permitted"),
    [
        (380, 400),  # rounded up
        (200, 200),  # itself standard
        (180, 200),
        (790, 800),  # up to 800 A
        (800, 800),
        (801, 800),  # no rounding up above
        (1005, 1000),
        (9, 10),
        (7000, 6000),  # above the greatest
    ],
)
def test_permitted_rating(ampacity, permitted):
    assert permitted_rating_a(ampacity, RATINGS, 800) == permitted


def test_without_rounding_up():
    assert permitted_rating_a(55, RATINGS, 0) == 50
    assert permitted_rating_a(5, RATINGS, 0) == 0
    assert permitted_rating_a(9, standard_ratings("2020"), 800) == 15


def test_an_adjustable_device_may_be_set_to_the_ampacity():
    found = greatest_device(Measurement(Interval(1005, 1180), ("/a",), ("/b",)), RATINGS, 800)
    assert found.interval == Interval(1005, 1180)
    assert (found.inputs, found.missing) == (("/a",), ("/b",))
    assert greatest_device(Measurement(Interval(151, 175), ("/a",), ("/b",)), RATINGS, 800).interval.value == 175


@settings(deadline=None)
@given(currents)
def test_the_next_size_up_is_not_below_the_value(current):
    above, below = next_standard_rating_a(current, RATINGS), standard_rating_within_a(current, RATINGS)
    assert below <= current <= above
    assert above in RATINGS or (above == math.inf and current > max(RATINGS))
    assert below in RATINGS or (below == 0 and current < min(RATINGS))


@settings(deadline=None)
@given(currents, currents)
def test_more_ampacity_never_permits_less(one, other):
    low, high = sorted((one, other))
    assert permitted_rating_a(low, RATINGS, 800) <= permitted_rating_a(high, RATINGS, 800)
    interval = greatest_device(Measurement(Interval(low, high)), RATINGS, 800)
    for point in (low, (low + high) / 2, high):
        assert interval.interval.contains(greatest_device(Measurement(Interval.exactly(point)), RATINGS, 800).low)


@settings(deadline=None)
@given(currents)
def test_a_permitted_rating_is_at_most_one_size_up(current):
    permitted = permitted_rating_a(current, RATINGS, 800)
    assert permitted <= current or (permitted <= 800 and permitted == next_standard_rating_a(current, RATINGS))


@pytest.mark.parametrize(
    ("named", "material", "expected"),
    [
        ("14 AWG", "copper", (15, 15)),
        ("12 AWG", "aluminum", (15, 15)),
        ("12 AWG", None, (15, 20)),
        ("8 AWG", "copper", (math.inf, math.inf)),
        ("14 AWG", "aluminum", (0, 0)),  # no row for it: no device at all
        (None, "copper", (15, math.inf)),
    ],
)
def test_small_conductor_limit(named, material, expected):
    found = small_conductor_limit(size("/s", named), choice("/m", material), small_conductor_limits("2020"))
    assert found.interval == Interval(*expected)
    assert found.inputs == ("/s", "/m")
    missing = tuple(at for at, value in (("/s", named), ("/m", material)) if value is None)
    assert found.missing == (() if found.interval.is_point else missing)
