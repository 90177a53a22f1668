"""Where circuits stand: odd positions left, even right, a leg a row. Common practice, no source; counted by hand."""

import pytest

from changeout.electrical.positions import legs_taken


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
