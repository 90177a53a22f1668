"""The smallest conductor for a need. Ampacities in the comments are those of Table 310.16, factors those of its notes."""

import math

import pytest

from changeout.domain.facts import Measurement, fixed
from changeout.domain.interval import Interval
from changeout.electrical.installation import Terminals, conductors_of_run
from changeout.electrical.overcurrent import permitted_rating_a
from changeout.electrical.smallest_conductor import Need, sized, smallest_conductor, smallest_steps
from changeout.tables.ampacity import ampacity_sections
from changeout.tables.overcurrent import standard_ratings
from electrical.conductor_facts import number, run

CITED = ampacity_sections("2023")
RATINGS = standard_ratings("2023")


def smallest(need, *, marked=75, device=200, **known):
    known = {"material": "copper", "insulation_degc": 75, "ambient_degc": 30, "count": 3, **known}
    terminals = Terminals(
        marked_degc=number("/panelboard/termination_temperature", marked, 0, 250),
        circuit_a=number("/panelboard/main/rating", device, 1, 6000),
    )
    return smallest_conductor(conductors_of_run(run(**known)), terminals, need)


def rounded_up(ampacity_a):
    return max(ampacity_a, permitted_rating_a(ampacity_a, RATINGS, 800.0))


@pytest.mark.parametrize(
    ("need", "known", "size"),
    [
        (Need(as_installed=fixed(150)), {}, "1/0 AWG"),  # 150
        (Need(as_installed=fixed(150.03)), {}, "2/0 AWG"),  # 1/0: 150, 2/0: 175
        (Need(as_installed=fixed(166)), {}, "2/0 AWG"),  # 0.83 x 200; 175
        (Need(as_installed=fixed(166)), {"material": "aluminum"}, "4/0 AWG"),  # 3/0: 155, 4/0: 180
        (Need(as_installed=fixed(200), counted=rounded_up), {}, "3/0 AWG"),  # 2/0: 175 permits 175, 3/0: 200
        (Need(as_installed=fixed(200), counted=rounded_up), {"material": "aluminum"}, "4/0 AWG"),  # 180 permits 200
        (Need(as_installed=fixed(100)), {"ambient_degc": 40}, "2 AWG"),  # 3: 100 x 0.88, 2: 115 x 0.88 = 101.2
        (Need(as_installed=fixed(100)), {"count": 6}, "1 AWG"),  # 2: 115 x 0.8 = 92, 1: 130 x 0.8 = 104
        (Need(as_installed=fixed(60), before_factors=fixed(75)), {}, "4 AWG"),  # 6: 65, 4: 85
        (Need(as_installed=fixed(0), before_factors=fixed(75)), {"ambient_degc": 50}, "4 AWG"),  # before the factor
        (Need(as_installed=fixed(200)), {"sets": 2}, "1/0 AWG"),  # 3 AWG carries 100, too small to run in parallel
        (Need(as_installed=fixed(600)), {"sets": 2}, "350 kcmil"),  # 300 each: 310
        (Need(as_installed=fixed(100)), {"marked": 60}, "1 AWG"),  # 2: 95, 1: 110 in the 60 degC column
        (Need(as_installed=fixed(0)), {}, "14 AWG"),
    ],
)
def test_the_smallest_size(need, known, size):
    found = smallest(need, **known)
    assert (found.least, found.surely) == (size, size)
    assert found.is_known
    assert found.area.missing == ()


def test_unknown_insulation_reaches_from_the_best_column_to_the_worst():
    found = smallest(Need(as_installed=fixed(150)), insulation_degc=None)
    # 75 degC: 1/0 has 150; 60 degC: 2/0 has 145, 3/0 has 165
    assert (found.least, found.surely) == ("1/0 AWG", "3/0 AWG")
    assert found.area.interval == Interval(105.6, 167.8)
    assert found.area.missing == ("/supply/runs/0/insulation_temperature",)


def test_unknown_material():
    found = smallest(Need(as_installed=fixed(150)), material=None)
    assert (found.least, found.surely) == ("1/0 AWG", "3/0 AWG")  # aluminum 3/0: 155
    assert "/supply/runs/0/material" in found.area.missing
    assert "/supply/runs/0/size" not in (*found.area.missing, *found.area.inputs)


def test_an_unknown_need():
    load = Measurement(Interval(95.0, 120.0), ("/load",), ("/load/floor_area",))
    found = smallest(Need(as_installed=load))
    assert (found.least, found.surely) == ("3 AWG", "1 AWG")  # 100; 2: 115, 1: 130
    assert found.area.missing == ("/load/floor_area",)


def test_unknown_sets_may_be_one_or_need_the_smallest_parallel_size():
    found = smallest(Need(as_installed=fixed(100)), sets=None)
    assert (found.least, found.surely) == ("14 AWG", "1/0 AWG")  # twelve sets of 14 AWG would carry it
    assert "/supply/runs/0/sets" in found.area.missing


def test_beyond_the_table():
    found = smallest(Need(as_installed=fixed(5000)))
    assert (found.least, found.surely) == (None, None)
    assert found.area.interval == Interval(2000.0, math.inf)
    assert not found.is_known


def test_an_ambient_that_nobody_states_leaves_no_upper_end():
    found = smallest(Need(as_installed=fixed(100)), ambient_degc=None)
    assert found.least == "3 AWG"  # 100, and never more than the terminals
    assert found.surely is None
    assert found.area.interval == Interval(52.62, math.inf)


@pytest.mark.parametrize(
    ("area", "words"),
    [
        ((41.74, 41.74), "4 AWG"),
        ((150.0, 150.0), "3/0 AWG"),
        ((41.74, 66.36), "4 AWG to 2 AWG"),
        ((41.74, math.inf), "4 AWG or larger"),
        ((2500.0, math.inf), "larger than 2000 kcmil"),
    ],
)
def test_areas_in_trade_sizes(area, words):
    assert sized(Interval(*area)) == words


def test_steps_show_the_size_and_the_next_smaller_one():
    lines = list(smallest_steps("L", "smallest", smallest(Need(as_installed=fixed(166))), CITED))
    assert [line.symbol for line in lines] == ["A_L", "I(A_L)", "I(A_L)-"]
    assert lines[0].name == "smallest: 2/0 AWG, copper"
    assert lines[0].interval == Interval.exactly(133.1)
    assert lines[1].interval == Interval.exactly(175)
    assert "the next smaller, 1/0 AWG" in lines[2].name
    assert lines[2].interval == Interval.exactly(150)


def test_steps_show_what_it_carries_before_the_factors_where_they_matter():
    found = smallest(Need(as_installed=fixed(100), before_factors=fixed(90)), ambient_degc=40)
    lines = {line.symbol: line for line in smallest_steps("L", "smallest", found, CITED)}
    assert set(lines) == {"A_L", "I(A_L)", "I0(A_L)", "I(A_L)-", "I0(A_L)-"}
    assert lines["I(A_L)"].interval.value == pytest.approx(101.2)
    assert lines["I0(A_L)"].interval == Interval.exactly(115)


def test_steps_of_the_smallest_size_of_all_and_of_a_range():
    lines = list(smallest_steps("L", "smallest", smallest(Need(as_installed=fixed(0))), CITED))
    assert [line.symbol for line in lines] == ["A_L", "I(A_L)"]
    lines = list(smallest_steps("L", "smallest", smallest(Need(as_installed=fixed(150)), material=None), CITED))
    assert [line.name for line in lines] == ["smallest: 1/0 AWG to 3/0 AWG, copper or aluminum"]
    lines = list(smallest_steps("L", "smallest", smallest(Need(as_installed=fixed(5000))), CITED))
    assert [line.name for line in lines] == ["smallest: larger than 2000 kcmil, copper"]
