"""The permitted sums on a busbar as a calculation: 705.12(B). Sums in the comments are done by hand."""

import dataclasses
import math

import pytest

from changeout.domain.facts import Claim, fixed
from changeout.domain.interval import Interval
from changeout.domain.truth import Truth
from changeout.electrical.busbar import Busbar, center_fed_sum, one_holds, permitted_sums
from changeout.electrical.other_sources import BusbarAsked, busbar_calculation, busbar_not_asked
from changeout.tables.overcurrent import busbar_factors
from electrical.conductor_facts import circuit, listed, number, source
from step_arithmetic import agrees, encloses, redone

PLAIN, OPPOSITE, CENTER = (busbar_factors(name) for name in ("sum", "120-percent", "center-fed"))
FACTORS = {"sum": 1.0, "120-percent": 1.2, "center-fed": 1.2}
CIRCUITS = listed("/panelboard/circuits", *(circuit(i, 20) for i in range(12)))


def bus(*sources, rating=200, main=200, circuits=CIRCUITS, given=True):
    return Busbar(
        rating=fixed(rating) if rating else number("/panelboard/busbar_rating", None, 10, 6000),
        protection=fixed(main) if main else number("/panelboard/main/rating", None, 10, 6000),
        sources=listed("/generation", *sources, given=given),
        circuits=circuits,
    )


def asked(busbar, sums=None, protected=True):
    return BusbarAsked(
        busbar=busbar,
        protected=protected,
        sums=sums or permitted_sums(busbar, PLAIN, OPPOSITE),
        fits=lambda found: found.fits,
        output_factor=1.25,
        factors=FACTORS,
        section="705.12(B)",
    )


def calculated(busbar):
    return busbar_calculation(asked(busbar))


def lines(calculation):
    return {step.symbol: step for step in calculation.steps if step.interval is not None}


def test_every_sum_is_there_and_the_one_that_holds_is_named():
    calculation = calculated(bus(source(0, 32, 40)))
    steps = lines(calculation)
    assert steps["T_a"].expression == "1.25 x 32 + 200"
    assert {s: steps[s].interval.value for s in ("T_a", "L_a", "T_b", "L_b", "T_c", "L_c")} == {
        "T_a": 240, "L_a": 200, "T_b": 240, "L_b": 240, "T_c": 280, "L_c": 200,
    }  # fmt: skip
    assert steps["T_c"].expression == "12 x 20 + 40"
    assert steps["I_1"].name == "pv, load-side, opposite-end: output"
    assert calculation.steps[-1].expression == "120-percent"
    assert calculation.result.interval == Interval.exactly(100)  # 240 of 240
    assert calculation.unit == "percent"
    assert calculation.cautions == ()
    assert [(r.name, r.interval.value) for r in calculation.results] == [
        ("sum: total", 240), ("sum: limit", 200), ("120-percent: total", 240), ("120-percent: limit", 240),
        ("sum-of-breakers: total", 280), ("sum-of-breakers: limit", 200),
    ]  # fmt: skip


@pytest.mark.parametrize(
    ("busbar", "result", "which"),
    [
        (bus(source(0, 32, 40)), (100, 100), "120-percent"),
        # the best that is in its place is 240 of 200: 280 of 200 is worse
        (bus(source(0, 32, 40, "other")), (120, 120), "none"),
        (bus(source(0, 32, 40, None)), (100, 120), "cannot be told"),
        (bus(source(0, 40, 50), rating=280, main=300), (290 / 2.8, 290 / 2.8), "none"),  # 290 = 12 x 20 + 50
        (bus(source(0, 40, 40), rating=280, main=300), (100, 100), "sum-of-breakers"),  # 280; 350 of 336
        (bus(source(0, 32, 40), rating=240), (100 * 240 / 288, 100 * 240 / 288), "sum, 120-percent"),
        (bus(), (100 * 200 / 240, 100 * 200 / 240), "sum, 120-percent"),
        (bus(given=False), (100 * 200 / 240, math.inf), "cannot be told"),
    ],
)
def test_how_full_the_busbar_is_in_the_sum_that_fits_best(busbar, result, which):
    calculation = calculated(busbar)
    found = calculation.result.interval
    assert (found.low, found.high) == pytest.approx(result)
    assert calculation.steps[-1].expression == which
    claim = one_holds(permitted_sums(busbar, PLAIN, OPPOSITE))
    assert claim.holds == (found.high <= 100)
    assert claim.fails == (found.low > 100)


def test_what_is_missing_is_named():
    assert calculated(bus(source(0, 32, 40, None))).result.missing == ("/generation/0/position",)
    assert calculated(bus(given=False)).result.missing == ("/generation",)
    assert "/panelboard/busbar_rating" in calculated(bus(source(0, 32, 40), rating=None)).result.missing
    assert calculated(bus(source(0, 32, 40))).result.missing == ()


def test_it_says_whether_there_are_other_sources():
    assert calculated(bus(given=False)).cautions == ("Whether there are other sources is not stated.",)
    assert calculated(bus()).cautions == ("There are no other sources on the busbar: none of these sums is asked.",)


def test_position_is_a_line_where_it_is_not_right():
    said = {s.name: s.expression for s in calculated(bus(source(0, 32, 40, "other"))).steps if s.interval is None}
    assert said["120-percent: may be used as the sources stand"] == "does not hold"
    assert said["120-percent: within its limit"] == "240 A is no more than 240 A: holds"
    said = {s.name: s.expression for s in calculated(bus(source(0, 32, 40))).steps if s.interval is None}
    assert "120-percent: may be used as the sources stand" not in said


@pytest.mark.parametrize(
    ("busbar", "written"),
    [
        (bus(source(0, 16, 20), source(1, 10, 15)), "16 + 10"),
        (bus(source(0, 80, 100, "other", "supply-side")), "0"),
        (bus(source(0, 32, 40, "other", None)), "(0 to 32)"),
        (bus(), "0"),
        (bus(given=False), "0 or more"),
    ],
)
def test_outputs_are_written_as_they_count(busbar, written):
    assert lines(calculated(busbar))["I_o"].expression == written


@pytest.mark.parametrize(
    ("circuits", "sources", "written"),
    [
        ((circuit(0, 30), circuit(1, 40, backfed=True)), (source(0, 32, 40),), "30 + 40"),  # its breaker is a circuit
        ((circuit(0, 30), circuit(1, 30), circuit(2, 60)), (), "2 x 30 + 60"),
        ((circuit(0, 30), circuit(1, 40, backfed=None)), (source(0, 32, 40),), "30 + 40 + (0 to 40)"),
        ((circuit(0, None),), (), "(1 to 6000)"),
        ((), (), "0"),
    ],
)
def test_breakers_are_counted_by_rating(circuits, sources, written):
    found = lines(calculated(bus(*sources, circuits=listed("/panelboard/circuits", *circuits))))["T_c"]
    assert found.expression == written


def test_circuits_that_nobody_states_have_no_upper_end():
    found = lines(calculated(bus(source(0, 32, 40), circuits=listed("/panelboard/circuits", given=False))))["T_c"]
    assert found.expression == "(40 or more)"
    assert found.interval == Interval(40, math.inf)


def test_a_busbar_fed_at_its_center():
    busbar = bus(source(0, 32, 40))
    plain, _, breakers = permitted_sums(busbar, PLAIN, OPPOSITE)
    sums = (plain, center_fed_sum(busbar, CENTER, Claim(Truth.YES)), breakers)
    calculation = busbar_calculation(asked(busbar, sums))
    assert calculation.steps[-1].expression == "center-fed"
    assert lines(calculation)["L_b"].expression == "1.2 x 200"


def test_a_busbar_that_no_device_protects():
    calculation = busbar_calculation(asked(bus(source(0, 32, 40)), protected=False))
    assert lines(calculation)["I_p"].name.endswith(": none")
    assert calculation.cautions == ("No device protects the busbar: only the sum of its breakers can count.",)


def test_no_sum_that_is_surely_in_its_place_leaves_no_upper_end():
    busbar = bus(source(0, 32, 40))
    sums = tuple(dataclasses.replace(s, placed=Claim(Truth.UNKNOWN)) for s in permitted_sums(busbar, PLAIN, OPPOSITE))
    assert busbar_calculation(asked(busbar, sums)).result.interval == Interval(100, math.inf)


def test_a_ruleset_that_asks_for_no_sum():
    assert [step.interval for step in busbar_not_asked().steps] == [None]


def test_a_source_of_which_little_is_stated():
    bare = source(0, None, None, None, None)
    assert lines(calculated(bus(bare)))["I_1"].name == "pv: output"


@pytest.mark.parametrize(
    "busbar",
    [
        bus(source(0, 32, 40)),
        bus(source(0, 32, 40, None), rating=None),
        bus(source(0, None, None, None, None), main=None),
        bus(given=False, circuits=listed("/panelboard/circuits", given=False)),
    ],
)
def test_every_line_can_be_redone(busbar):
    for step in lines(calculated(busbar)).values():
        found = redone(step.expression)
        assert found is not None, step
        assert encloses(found, step.interval.low, step.interval.high, 1e-5), step
        if step.interval.is_point:
            assert agrees(found, step.interval.low, step.interval.high, 1e-5), step
