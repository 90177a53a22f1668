"""Sums on busbars with other sources: 705.12(B)."""

import math

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from changeout.domain.facts import Claim, fixed
from changeout.domain.interval import Interval
from changeout.domain.truth import Truth
from changeout.electrical.busbar import (
    Busbar,
    center_fed_sum,
    contribution,
    greatest_contribution,
    one_holds,
    permitted_sums,
    sum_of_breakers,
)
from changeout.tables.overcurrent import busbar_factors
from electrical.conductor_facts import circuit, listed, number, source

PLAIN, OPPOSITE, CENTER = (busbar_factors(r) for r in ("sum", "120-percent", "center-fed"))
CIRCUITS = listed("/panelboard/circuits", *(circuit(i, 20) for i in range(12)))


def bus(*sources, rating=200, main=200, circuits=CIRCUITS, given=True):
    return Busbar(
        rating=fixed(rating) if rating is not None else number("/panelboard/busbar_rating", None, 10, 6000),
        protection=fixed(main) if main is not None else number("/panelboard/main/rating", None, 10, 6000),
        sources=listed("/generation", *sources, given=given),
        circuits=circuits,
    )


def sums(busbar):
    return {s.rule: s for s in permitted_sums(busbar, PLAIN, OPPOSITE)}


def truths(busbar):
    return {rule: s.holds.truth.value for rule, s in sums(busbar).items()}


@pytest.mark.parametrize(
    ("busbar", "expected"),
    [
        # 1.25 x 32 = 40; 200 + 40 = 240 = 1.2 x 200; 12 x 20 + 40 = 280
        (bus(source(0, 32, 40)), ("no", "yes", "no")),
        (bus(source(0, 32.1, 40)), ("no", "no", "no")),
        (bus(source(0, 32, 40, "other")), ("no", "no", "no")),
        (bus(source(0, 32, 40, None)), ("no", "unknown", "no")),
        (bus(source(0, 32, 40), rating=240), ("yes", "yes", "no")),
        (bus(source(0, 32, 40), rating=280, main=300), ("no", "no", "yes")),
        (bus(source(0, None, 40)), ("no", "unknown", "no")),
        (bus(source(0, 32, 40), main=None), ("unknown", "unknown", "no")),
        (bus(source(0, 32, 40), rating=None), ("unknown", "unknown", "unknown")),
        # two sources at that end: nowhere said that they count as one
        (bus(source(0, 16, 20), source(1, 16, 20)), ("no", "unknown", "no")),
        # a source ahead of the service device is not on the busbar
        (bus(source(0, 80, 100, "other", "supply-side")), ("yes", "yes", "no")),
        (bus(source(0, 32, 40, "other", None)), ("unknown", "unknown", "no")),
        (bus(given=False), ("unknown", "unknown", "no")),
        (bus(source(0, 32, 40), circuits=listed("/panelboard/circuits", given=False)), ("no", "yes", "unknown")),
        (bus(source(0, 170, 210), circuits=listed("/panelboard/circuits", given=False)), ("no", "no", "no")),
    ],
)
def test_which_sums_hold(busbar, expected):
    assert tuple(truths(busbar).values()) == expected
    words = {"yes": Truth.YES, "no": Truth.NO, "unknown": Truth.UNKNOWN}
    overall = Truth.YES if "yes" in expected else Truth.UNKNOWN if "unknown" in expected else Truth.NO
    assert one_holds(permitted_sums(busbar, PLAIN, OPPOSITE)).truth is overall
    assert set(expected) <= words.keys()


def test_what_would_settle_a_sum_is_named():
    found = sums(bus(source(0, 32, 40, None)))["120-percent"]
    assert found.fits.holds
    assert found.holds.missing == ("/generation/0/position",)
    assert sums(bus(source(0, None, 40)))["120-percent"].holds.missing == ("/generation/0/output_current",)
    assert sums(bus(given=False))["sum"].holds.missing == ("/generation",)
    assert sums(bus(source(0, 32, 40, "other", None)))["sum"].holds.missing == ("/generation/0/connection",)


def test_sums_are_exact():
    found = sums(bus(source(0, 56, 70), rating=225))["120-percent"]
    assert (found.total.low, found.limit.low) == (270.0, 270.0)
    assert contribution(listed("/generation", source(0, 56, 70)), 125).low == 70.0
    assert contribution(listed("/generation"), 125).low == 0.0
    assert contribution(listed("/generation", given=False), 125).interval == Interval(0, math.inf)


def test_center_fed():
    one_end = Claim(Truth.YES)
    assert center_fed_sum(bus(source(0, 32, 40)), CENTER, one_end).holds.holds
    assert center_fed_sum(bus(source(0, 32, 40)), CENTER, Claim(Truth.NO)).holds.fails
    assert greatest_contribution(fixed(200), fixed(200), CENTER).low == 40
    assert greatest_contribution(fixed(200), fixed(300), CENTER).low == 0


@pytest.mark.parametrize(
    ("circuits", "sources", "expected"),
    [
        ([circuit(0, 30), circuit(1, 60)], [], (90, 90)),
        ([circuit(0, 30), circuit(1, 40, backfed=True)], [source(0, 32, 40)], (70, 70)),  # listed once
        ([circuit(0, 30), circuit(1, 40, backfed=None)], [source(0, 32, 40)], (70, 110)),  # may be the same
        ([circuit(0, 30), circuit(1, 40)], [source(0, 32, 40)], (110, 110)),  # a load of that rating
        ([circuit(0, 30), circuit(1, 50, backfed=True)], [source(0, 32, 40)], (120, 120)),
        ([circuit(0, 30), circuit(1, 40, backfed=True)], [source(0, 32, 40), source(1, 32, 40)], (110, 110)),
        ([circuit(0, 30), circuit(1, None, backfed=True)], [source(0, 32, 40)], (31, 6070)),
        ([circuit(0, 30), circuit(1, 40, backfed=True)], [source(0, 32, 40, connection="supply-side")], (70, 70)),
    ],
)
def test_sum_of_breakers(circuits, sources, expected):
    found = sum_of_breakers(listed("/panelboard/circuits", *circuits), listed("/generation", *sources))
    assert found.interval == Interval(*expected)


amperes = st.integers(1, 400)


@settings(deadline=None)
@given(amperes, amperes, st.integers(50, 600), st.integers(50, 600), st.sampled_from(["opposite-end", "other"]))
def test_an_answer_never_contradicts_the_open_one(output, breaker, rating, main, position):
    closed = truths(bus(source(0, output, breaker, position), rating=rating, main=main))
    for opened in (
        bus(source(0, None, breaker, position), rating=rating, main=main),
        bus(source(0, output, None, position), rating=rating, main=main),
        bus(source(0, output, breaker, None), rating=rating, main=main),
        bus(source(0, output, breaker, position), rating=None, main=main),
        bus(source(0, output, breaker, position), rating=rating, main=None),
        bus(given=False, rating=rating, main=main),
    ):
        for rule, truth in truths(opened).items():
            assert truth in {"unknown", closed[rule]}, (rule, opened)
