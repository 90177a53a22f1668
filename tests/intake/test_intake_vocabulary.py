"""The closed lists: complete, without repetition, in an order that means something."""

import re

import pytest

from changeout.domain import vocabulary

LISTS = {name: value for name, value in vars(vocabulary).items() if isinstance(value, tuple)}


@pytest.mark.parametrize("name", LISTS)
def test_a_list_has_different_plain_words(name):
    words = LISTS[name]
    assert len(words) > 1
    assert len(set(words)) == len(words)
    assert all(re.fullmatch(r"[A-Za-z0-9/ -]+", word) for word in words)


def area_kcmil(size):
    """The definition of American wire gauge: 36 AWG is 5 mil across, 4/0 AWG 460 mil, 39 equal ratios between."""
    number, unit = size.split(" ")
    if unit == "kcmil":
        return float(number)
    gauge = 1 - int(number[0]) if "/" in number else int(number)
    return (5.0 * 92.0 ** ((36 - gauge) / 39)) ** 2 / 1000.0


def test_conductor_sizes_rise_by_area():
    areas = [area_kcmil(size) for size in vocabulary.CONDUCTOR_SIZES]
    assert areas == sorted(areas)
    assert len(areas) == 28
    assert (vocabulary.CONDUCTOR_SIZES[0], vocabulary.CONDUCTOR_SIZES[-1]) == ("14 AWG", "2000 kcmil")
