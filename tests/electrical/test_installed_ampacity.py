"""Ampacity as installed. Figures are products of printed ones: Table 310.16 and its two tables of factors."""

import itertools

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from changeout.domain.facts import fixed
from changeout.domain.interval import Interval
from changeout.electrical.ampacity import corrected_ampacity_a, installed_ampacity
from changeout.electrical.installation import (
    Terminals,
    column_for,
    conductors_of_circuit,
    conductors_of_run,
)
from changeout.tables.ampacity import COLUMNS_DEGC, ampacity_a, ampacity_sections
from changeout.tables.conductors import MATERIALS, SIZES
from electrical.conductor_facts import conductor, number, run

CITED = ampacity_sections("2023")
KNOWN = {"size": "4/0 AWG", "material": "aluminum", "insulation_degc": 75, "ambient_degc": 30, "count": 3, "sets": 1}


def terminals(marked=75, circuit=200):
    device = fixed(circuit) if isinstance(circuit, (int, float)) else circuit
    return Terminals(marked_degc=number("/panelboard/termination_temperature", marked, 30, 250), circuit_a=device)


def ampacity(marked=75, circuit=200, **changed):
    facts = conductors_of_run(run(**{**KNOWN, **changed}))
    return installed_ampacity(facts, terminals(marked, circuit), CITED)


@pytest.mark.parametrize(
    ("changed", "marked", "circuit", "expected"),
    [
        ({}, 75, 200, 180),  # printed, 75 degC column
        ({"insulation_degc": 90}, 75, 200, 180),  # 205 in its own column, limited by the terminals
        ({"insulation_degc": 90, "ambient_degc": 40}, 75, 200, 180),  # 205 x 0.91 = 186.55, still limited
        ({"insulation_degc": 90, "ambient_degc": 50}, 75, 200, 168.1),  # 205 x 0.82
        ({"ambient_degc": 40}, 75, 200, 158.4),  # 180 x 0.88
        ({"count": 6}, 75, 200, 144),  # 180 x 0.80
        ({"ambient_degc": 38, "count": 4}, 75, 200, 126.72),  # 180 x 0.88 x 0.80
        ({"sets": 3}, 75, 200, 540),
        ({"insulation_degc": 60}, 75, 200, 150),  # 60 degC column
        ({"insulation_degc": 105}, 75, 200, 180),  # above the last column: the 90 degC one, then the terminals
        ({"insulation_degc": 85}, 75, 200, 180),  # between two columns: the lower one
        ({}, 60, 200, 150),  # marked terminals
        ({"insulation_degc": 90}, 90, 200, 180),  # marked higher than a panelboard's terminals may be used
        ({}, 70, 200, 150),  # between two columns
        ({}, None, 200, 180),  # above 100 A the 75 degC column needs no mark
        ({"ambient_degc": 5}, 75, 200, 180),  # 180 x 1.20 = 216, limited by the terminals
        ({"ambient_degc": 71}, 75, 200, 0),  # not permitted in that column
        ({"insulation_degc": 50}, 75, 200, 0),  # below every column
        ({}, 50, 200, 0),
        ({"size": "14 AWG"}, 75, 15, 0),  # no aluminum of that size
    ],
)
def test_one_value(changed, marked, circuit, expected):
    result = ampacity(marked, circuit, **changed).result
    assert result.interval.is_point
    assert result.low == pytest.approx(expected, rel=1e-12)
    assert result.missing == ()


def test_products_of_printed_figures_are_exact():
    assert corrected_ampacity_a("3/0 AWG", "copper", 75, 30, 6) == 160.0
    assert corrected_ampacity_a("12 AWG", "copper", 90, 30, 30) == 13.5


def test_terminals_without_mark_at_100_a_or_less_are_either_column():
    calculation = ampacity(None, 100, size="2 AWG", material="aluminum")
    assert calculation.result.interval == Interval(75, 90)
    assert calculation.result.missing == ("/panelboard/termination_temperature",)
    assert "/panelboard/termination_temperature" in calculation.result.inputs


def test_terminals_and_rating_both_open():
    rating = number("/supply/overcurrent_device/rating", None, 1, 6000)
    calculation = ampacity(None, rating)
    assert calculation.result.interval == Interval(150, 180)
    assert calculation.result.missing == ("/panelboard/termination_temperature", "/supply/overcurrent_device/rating")


@pytest.mark.parametrize(
    ("missing", "expected", "named"),
    [
        ({"material": None}, (180, 230), "material"),
        ({"insulation_degc": None}, (150, 180), "insulation_temperature"),
        ({"count": None}, (63, 180), "current_carrying_conductors"),  # 180 x 0.35 to 180
        ({"ambient_degc": None}, (0, 180), "ambient_temperature"),  # not permitted at the hottest band
        ({"sets": None}, (180, 2160), "sets"),  # 1 to 12 of them
        ({"size": None}, (0, 560), "size"),  # 14 AWG has no aluminum value; 2000 kcmil is the greatest
    ],
)
def test_what_is_open_widens_the_result_and_is_named(missing, expected, named):
    result = ampacity(**missing).result
    assert result.interval == Interval(*expected)
    assert result.missing == (f"/supply/runs/0/{named}",)


def test_what_is_open_and_does_not_matter_is_not_named():
    # 90 degC insulation at 30 degC stays limited by the terminals for every number of conductors up to three
    result = ampacity(insulation_degc=None, size="4/0 AWG", count=3, marked=60).result
    assert result.interval == Interval.exactly(150)
    assert result.missing == ()


def test_steps_print_the_way_to_the_result():
    calculation = ampacity(ambient_degc=40, count=6)
    symbols = {s.symbol: s for s in calculation.steps}
    assert [s.symbol for s in calculation.steps] == ["I_t", "F_a", "F_n", "I_c", "I_T", "n", "I"]
    assert symbols["I_t"].interval == Interval.exactly(180)
    assert symbols["F_a"].interval == Interval.exactly(0.88)
    assert symbols["F_n"].interval == Interval.exactly(0.8)
    assert symbols["I_c"].interval.value == pytest.approx(126.72)
    assert symbols["I_c"].expression == "I_t x F_a x F_n = 180 x 0.88 x 0.8"
    assert symbols["I_T"].interval == Interval.exactly(180)
    assert symbols["I_t"].source == "Table 310.16"
    assert symbols["F_a"].source == "Table 310.15(B)(1)(1)"
    assert calculation.id == "ampacity-supply-runs-0"
    assert calculation.results[0].interval == calculation.result.interval
    assert calculation.unit == "A"


def test_steps_of_an_unusable_column_are_zero():
    calculation = ampacity(insulation_degc=50)
    assert all(s.interval.low == 0 for s in calculation.steps if s.symbol in {"I_t", "F_a", "I_c", "I"})
    assert calculation.cautions == ("no table permits these conductors as they are described",)


def test_terminals_marked_above_the_column_are_pointed_out():
    assert "75 degC" in ampacity(90).cautions[0]
    assert ampacity(75).cautions == ()


def test_a_branch_circuit_is_taken_at_the_conditions_of_the_table():
    facts = conductors_of_circuit(conductor(size="6 AWG", material="copper", insulation_degc=90))
    calculation = installed_ampacity(facts, terminals(60, 50), CITED)
    assert calculation.result.interval == Interval.exactly(55)
    assert calculation.assumptions == (
        "branch conductors: ambient 30 degC and not more than three current-carrying conductors",
    )
    assert all(pointer for pointer in calculation.result.inputs)


def test_an_ambient_hotter_than_the_table_is_not_permitted():
    assert ampacity(ambient_degc=86, insulation_degc=90).result.interval == Interval.exactly(0)


sizes = st.sampled_from(SIZES)
materials = st.sampled_from(MATERIALS)
columns = st.sampled_from(COLUMNS_DEGC)
ambients = st.floats(-40, 90)
counts = st.integers(1, 60)


@settings(deadline=None)
@given(sizes, sizes, materials, columns, ambients, counts)
def test_a_bigger_conductor_never_has_less_ampacity(one, other, material, column, ambient, count):
    small, big = sorted((one, other), key=SIZES.index)
    found = [corrected_ampacity_a(s, material, column, ambient, count) for s in (small, big)]
    assert found[0] <= found[1]


@settings(deadline=None)
@given(sizes, materials, columns, ambients, ambients, counts)
def test_a_hotter_place_never_has_more_ampacity(size, material, column, one, other, count):
    cool, hot = sorted((one, other))
    assert corrected_ampacity_a(size, material, column, hot, count) <= corrected_ampacity_a(
        size, material, column, cool, count
    )


@settings(deadline=None)
@given(sizes, materials, columns, ambients, counts, counts)
def test_more_conductors_together_never_have_more_ampacity(size, material, column, ambient, one, other):
    few, many = sorted((one, other))
    assert corrected_ampacity_a(size, material, column, ambient, many) <= corrected_ampacity_a(
        size, material, column, ambient, few
    )


@settings(deadline=None)
@given(sizes, materials, st.sampled_from([40, 60, 75, 80, 90, 110]), st.sampled_from([50, 60, 75, 90]))
def test_terminals_never_allow_more_than_their_column(size, material, insulation, marked):
    result = ampacity(marked, size=size, material=material, insulation_degc=insulation).result
    column = column_for(min(marked, 75))
    limit = (ampacity_a(size, material, column) or 0.0) if column else 0.0
    assert result.high <= limit


whole = st.fixed_dictionaries(
    {
        "size": sizes,
        "material": materials,
        "insulation_degc": st.sampled_from([60, 75, 90]),
        "ambient_degc": st.floats(-60, 85),
        "count": st.integers(1, 200),
        "sets": st.integers(1, 12),
    }
)


@settings(max_examples=60, deadline=None)
@given(whole, st.sampled_from([60, 75]), st.sets(st.sampled_from([*KNOWN, "marked"])))
def test_the_interval_holds_every_point_and_an_answer_never_widens_it(facts, marked, left_open):
    partly = {key: None if key in left_open else value for key, value in facts.items()}
    circuit = 90
    open_result = ampacity(None if "marked" in left_open else marked, circuit, **partly).result
    point = ampacity(marked, circuit, **facts).result
    assert open_result.interval.contains(point.low)
    assert point.interval.is_point
    for key, value in itertools.islice(facts.items(), 3):
        narrower = ampacity(None if "marked" in left_open else marked, circuit, **{**partly, key: value}).result
        assert open_result.low <= narrower.low <= narrower.high <= open_result.high
    if open_result.interval.is_point:
        assert open_result.missing == ()
    else:
        assert open_result.missing
