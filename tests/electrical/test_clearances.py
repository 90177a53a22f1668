"""Working space and bending space: Tables 110.26(A)(1), 312.6(A) and 312.6(B)(2)."""

import math

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from changeout.domain.facts import Claim, Measurement, fixed
from changeout.domain.interval import Interval
from changeout.domain.truth import Truth
from changeout.electrical.clearances import (
    bending_space,
    bending_space_in,
    working_space_depth,
    working_space_height,
    working_space_width,
)
from changeout.tables.conductors import SIZES
from electrical.conductor_facts import choice, number, size

YES, NO, OPEN = Claim(Truth.YES, ("/w",)), Claim(Truth.NO, ("/w",)), Claim(Truth.UNKNOWN, ("/w",), ("/w",))


@pytest.mark.parametrize(
    ("volts", "opposite", "expected"),
    [
        ((120, 120), "live", (36, 36)),
        ((120, 120), None, (36, 36)),  # what stands opposite does not matter at 150 V or less
        ((208, 208), "grounded", (42, 42)),
        ((277.1, 277.1), "live", (48, 48)),
        ((277.1, 277.1), None, (36, 48)),
        ((120, 480), "insulated", (36, 36)),
        ((120, 480), "grounded", (36, 42)),
        ((150, 150.1), "grounded", (36, 42)),
        ((1000, 1001), "insulated", (36, math.inf)),
    ],
)
def test_working_space_depth(volts, opposite, expected):
    voltage = Measurement(Interval(*volts), ("/supply/system",), ("/supply/system",))
    found = working_space_depth(voltage, choice("/opposite", opposite))
    assert found.interval == Interval(*expected)
    assert (found.missing == ()) is (expected[0] == expected[1])


def test_width_and_height_are_the_greater_of_the_printed_and_the_equipment():
    assert working_space_width(number("/w", 36)).interval == Interval.exactly(36)
    assert working_space_width(number("/w", 14)).interval == Interval.exactly(30)
    assert working_space_width(number("/w", None, 1, 100)).interval == Interval(30, 100)
    assert working_space_width(number("/w", None, 1, 30)).missing == ()
    assert working_space_height(number("/t", 80)).interval == Interval.exactly(80)
    assert working_space_height(number("/t", 60)).interval == Interval.exactly(78)


@pytest.mark.parametrize(
    ("named", "wires", "wall", "expected"),
    [
        ("4/0 AWG", 1, True, (7, 7)),
        ("4/0 AWG", 1, False, (4, 4)),
        ("4/0 AWG", 2, True, (7.5, 7.5)),
        ("500 kcmil", 4, True, (16, 16)),
        ("500 kcmil", 5, True, (16, 16)),  # four or more
        ("12 AWG", 1, True, (0, 0)),  # none is asked for these sizes
        ("12 AWG", 1, False, (0, 0)),
        ("6 AWG", 2, True, (0, math.inf)),  # no column: nothing is printed for several wires
        ("500 kcmil", 6, False, (0, math.inf)),
    ],
)
def test_bending_space_in(named, wires, wall, expected):
    assert bending_space_in(named, wires, through_opposite_wall=wall) == Interval(*expected)


def test_bending_space_of_facts():
    found = bending_space(size("/s", "4/0 AWG"), number("/n", 1), YES)
    assert (found.interval, found.missing) == (Interval.exactly(7), ())
    found = bending_space(size("/s", "4/0 AWG"), number("/n", 1), OPEN)
    assert (found.interval, found.missing) == (Interval(4, 7), ("/w",))
    found = bending_space(size("/s", "4/0 AWG"), number("/n", 1), NO)
    assert found.interval == Interval.exactly(4)
    found = bending_space(size("/s"), number("/n", 1), YES)
    assert found.interval == Interval(0, 24)
    found = bending_space(size("/s", "500 kcmil"), number("/n", None, 1, 3), NO)
    assert (found.interval, found.missing) == (Interval(6, 10), ("/n",))
    found = bending_space(size("/s", "500 kcmil"), number("/n", 9), YES)
    assert found.interval == Interval.exactly(16)


@settings(deadline=None)
@given(st.sampled_from(SIZES), st.integers(1, 8), st.sampled_from([YES, NO]))
def test_bounds_hold_every_point(named, wires, wall):
    point = bending_space(size("/s", named), number("/n", wires), wall).interval
    whole = bending_space(size("/s"), number("/n", None, 1, 8), OPEN).interval
    assert whole.low <= point.low
    assert point.high <= whole.high


@settings(deadline=None)
@given(st.sampled_from(SIZES), st.sampled_from(SIZES), st.integers(1, 4), st.booleans())
def test_bigger_conductors_never_need_less_space(one, other, wires, wall):
    small, big = sorted((one, other), key=SIZES.index)
    found = [bending_space_in(s, wires, through_opposite_wall=wall) for s in (small, big)]
    if all(f.is_point for f in found):
        assert found[0].low <= found[1].low


def test_depth_rests_on_its_facts():
    found = working_space_depth(fixed(277.1), choice("/opposite"))
    assert found.inputs == ("/opposite",)
    assert found.missing == ("/opposite",)
