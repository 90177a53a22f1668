"""Where circuits stand: odd positions left, even right, a leg a row. Common practice, no source; counted by hand."""

import math
from types import SimpleNamespace

import pytest

from changeout.domain.facts import Listed
from changeout.electrical.positions import legs_taken, poles_taken
from electrical.conductor_facts import number


@pytest.mark.parametrize(
    ("number", "poles", "phases", "legs"),
    [
        (1, 1, 3, ("a",)),
        (2, 1, 3, ("a",)),
        (3, 1, 3, ("b",)),
        (6, 1, 3, ("c",)),
        (7, 1, 3, ("a",)),
        (1, 3, 3, ("a", "b", "c")),
        (15, 2, 3, ("b", "c")),
        (17, 2, 3, ("c", "a")),
        (1, 2, 1, ("a", "b")),
        (3, 1, 1, ("b",)),
        (6, 1, 1, ("a",)),
    ],
)
def test_legs_follow_the_rows(number, poles, phases, legs):
    assert legs_taken(number, poles, phases) == legs


@pytest.mark.parametrize(("number", "poles"), [(0, 1), (1, 0)])
def test_positions_and_poles_are_counted_from_one(number, poles):
    with pytest.raises(ValueError, match="counted from 1"):
        legs_taken(number, poles, 3)


def listed(*poles):
    items = tuple(SimpleNamespace(poles=number(f"/c/{i}/poles", p, 1, 3)) for i, p in enumerate(poles))
    return Listed("/c", items, given=True)


def test_poles_add_up():
    assert poles_taken(listed(1, 2, 3)).interval.value == 6.0
    assert poles_taken(listed()).interval.value == 0.0
    open_ = poles_taken(listed(2, None))
    assert (open_.low, open_.high, open_.missing) == (3.0, 5.0, ("/c/1/poles",))


def test_circuits_that_nobody_stated_take_any_number_of_poles():
    found = poles_taken(Listed("/c", (), given=False))
    assert (found.low, found.high) == (0.0, math.inf)
    assert found.missing == ("/c",)
