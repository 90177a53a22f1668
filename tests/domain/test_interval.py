"""Interval arithmetic: any point inside the inputs lands inside the result (the definition of interval arithmetic)."""

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from changeout.domain.interval import Interval, greatest, least

numbers = st.floats(min_value=0, max_value=1e9, allow_nan=False)


@st.composite
def intervals_with_points(draw):
    low, high = sorted((draw(numbers), draw(numbers)))
    return Interval(low, high), draw(st.floats(min_value=low, max_value=high))


@given(intervals_with_points(), intervals_with_points())
def test_every_operation_keeps_its_points(first, second):
    (a, x), (b, y) = first, second
    assert (a + b).contains(x + y)
    assert (a * b).contains(x * y)
    assert (a - b).contains(x - y)
    assert greatest(a, b).contains(max(x, y))
    assert least(a, b).contains(min(x, y))
    assert a.hull(b).contains(x)
    assert a.hull(b).contains(y)
    if y > 0:
        assert (a / b).contains(x / y) or math.isinf(x / y)


def test_a_point_stays_a_point():
    assert (Interval.exactly(3) * 2 + 1).value == 7
    assert Interval(1, 2).value is None


def test_bounds_in_the_wrong_order_are_refused():
    with pytest.raises(ValueError, match="not an interval"):
        Interval(2, 1)
    with pytest.raises(ValueError, match="not an interval"):
        Interval(math.nan, 1)


def test_products_and_quotients_of_negative_values_are_refused():
    with pytest.raises(ValueError, match="zero and above"):
        Interval(-1, 1) * 2
    with pytest.raises(ValueError, match="zero and above"):
        Interval(1, 2) / Interval(-1, 1)


def test_no_upper_bound_survives():
    unbounded = Interval(0, math.inf)
    assert not unbounded.is_bounded
    assert (unbounded * 2).high == math.inf
    assert (unbounded * Interval.exactly(0)).high == 0
    assert (Interval(1, 2) / Interval(0, 1)).high == math.inf
    assert (Interval(1, 2) / unbounded).low == 0
