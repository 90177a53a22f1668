"""Laws that the load calculation keeps for any load, and the dips that the trade's own tables have.

Bounds: whatever completes a proposal, its load lies inside the bounds of what was known before.
Growth: more load never asks for less, except where a table's percent falls with the number of appliances or a limit
of a table is crossed. Each such exception is named below and shown by an example.
"""

import math
from dataclasses import replace

import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st

from changeout.domain.facts import PowerOrCurrent
from changeout.domain.interval import Interval
from changeout.electrical.loads import calculated_load
from changeout.electrical.loads.appliances import fastened_demand
from changeout.electrical.loads.existing import existing_load
from changeout.electrical.loads.optional import optional_load
from changeout.electrical.loads.parts import KINDS, Dwelling, Item
from changeout.electrical.loads.standard import standard_load
from changeout.electrical.systems import SYSTEMS
from changeout.tables.loads import factors
from electrical.load_facts import SINGLE_PHASE, load_of, system_of

EDITIONS = ("2017", "2020", "2023", "2026")
METHODS = ("dwelling-standard", "dwelling-optional", "dwelling-existing")
MEASURED = (
    "va",
    "amps",
    "continuous_adjusted_a",
    "general_lighting_va",
    "ev_required_va",
    "corrected_va",
    "corrected_a",
)
ROUNDING = 1e-9

watts = st.sampled_from(
    [0, 300, 499, 500, 1500, 1750, 1751, 3400, 3500, 5000, 8750, 8751, 12000, 13500, 27000, 28000]
) | st.integers(0, 40000)
ratings = st.one_of(
    watts.map(lambda w: f"{w} W"),
    watts.map(lambda w: f"{w} VA"),
    st.integers(0, 100).map(lambda a: f"{a} A"),
    st.sampled_from(["0.125 hp", "0.25 hp", "0.5 hp", "1 hp", "4 hp", "5 hp", "10 hp"]),
)


@st.composite
def appliances(draw, kinds=KINDS, most=9):
    found = draw(st.lists(st.fixed_dictionaries({"kind": st.sampled_from(kinds), "rating": ratings}), max_size=most))
    return [{**a, "supplemental": f"{draw(watts)} W"} if a["kind"] == "heat-pump" else a for a in found]


@st.composite
def complete_loads(draw):
    method = draw(st.sampled_from([*METHODS, "stated", "measured-demand"]))
    load = {"method": method, "continuous_share": draw(st.floats(0, 1))}
    if method == "stated":
        load |= {"calculated_load": draw(ratings.filter(lambda r: "hp" not in r))}
        load |= {"floor_area": f"{draw(st.integers(1, 50000))} ft2", "general_lighting": f"{draw(watts)} VA"}
        load |= {"appliances": draw(appliances())}
    elif method == "measured-demand":
        load |= {m: draw(ratings.filter(lambda r: "hp" not in r)) for m in ("maximum_demand", "added_load")}
    else:
        load |= {"floor_area": f"{draw(st.integers(1, 50000))} ft2", "appliances": draw(appliances())}
        load |= {m: draw(st.integers(0, 20)) for m in ("small_appliance_circuits", "laundry_circuits")}
        if method == "dwelling-existing":
            load["added_load"] = draw(ratings)
    return load


@st.composite
def hidden(draw, load):
    """The load with some of its members, and some members of its appliances, not said."""
    kept = {k: v for k, v in load.items() if k == "method" or draw(st.booleans())}
    if "appliances" in kept:
        kept["appliances"] = [
            {k: v for k, v in appliance.items() if draw(st.integers(0, 3)) != 0} for appliance in kept["appliances"]
        ]
    return kept


@given(
    data=st.data(), load=complete_loads(), edition=st.sampled_from(EDITIONS), system=st.sampled_from(sorted(SYSTEMS))
)
@settings(max_examples=250, deadline=None)
def test_what_completes_a_load_lies_within_its_bounds(data, load, edition, system):
    full = calculated_load(load_of(load), system_of(system), factors(edition))
    known = data.draw(hidden(load))
    said = system if data.draw(st.booleans()) else None
    partly = calculated_load(load_of(known), system_of(said), factors(edition))
    for name in MEASURED:
        inner, outer = getattr(full, name), getattr(partly, name)
        assert outer.low <= inner.low * (1 + ROUNDING) + ROUNDING, name
        assert inner.high <= outer.high * (1 + ROUNDING) + ROUNDING, name
        if inner.missing == () and inner.interval.is_point and not outer.interval.is_point:
            assert outer.missing, name


@given(
    load=complete_loads(), edition=st.sampled_from(["2017", "2020", "2023"]), system=st.sampled_from(sorted(SYSTEMS))
)
@settings(max_examples=150, deadline=None)
def test_a_complete_load_is_one_number(load, edition, system):
    found = load_of(load)
    within_tables = not any(a.rating.unit == "hp" for a in found.appliances)
    assume(within_tables and found.added_load.unit != "hp")
    result = calculated_load(found, system_of(system), factors(edition))
    for name in ("va", "amps", "continuous_adjusted_a"):
        assert getattr(result, name).interval.is_point, name
        assert getattr(result, name).missing == (), name


@given(load=complete_loads(), edition=st.sampled_from(EDITIONS), system=st.sampled_from(sorted(SYSTEMS)))
@settings(max_examples=100, deadline=None)
def test_the_lines_end_in_the_result(load, edition, system):
    result = calculated_load(load_of(load), system_of(system), factors(edition))
    steps = {step.symbol: step for step in result.calculation().steps}
    assert steps["S"].interval == result.va.interval
    assert steps["I"].interval == result.amps.interval


CORE = {"dwelling-standard": standard_load, "dwelling-optional": optional_load, "dwelling-existing": existing_load}
SHARP = [0, 1, 499, 500, 1750, 1751, 3499, 3500, 5000, 8750, 8751, 12000, 27000, 27001]
"""Ratings beside the limits of the tables."""


@st.composite
def partly_known(draw):
    """Appliances of one kind or two, some within bounds only, and others that were not listed; all of them exactly."""
    kinds = st.sampled_from(draw(st.lists(st.sampled_from(KINDS), min_size=1, max_size=2)))
    va = st.sampled_from(SHARP) | st.integers(0, 30000)
    known, exact = [], []
    for kind, low, above in draw(
        st.lists(st.tuples(kinds, va, st.sampled_from([0, 0, 0, 1, 1000, math.inf])), max_size=14)
    ):
        known.append(Item(name="", kind=kind, va=Interval(low, low + above)))
        exact.append(replace(known[-1], va=Interval.exactly(low + draw(st.integers(0, int(min(above, 40000)))))))
    others = [
        Item(name="", kind=kind, va=Interval.exactly(rating))
        for kind, rating in draw(st.lists(st.tuples(kinds, va), max_size=14))
    ]
    return tuple(known), (*exact, *others), not others and draw(st.booleans())


@given(found=partly_known(), method=st.sampled_from(METHODS), edition=st.sampled_from(EDITIONS))
@settings(max_examples=400, deadline=None)
def test_what_completes_the_appliances_lies_within_the_bounds_of_each_line(found, method, edition):
    known, exact, all_listed = found
    nothing = Interval.exactly(0.0)
    house = Dwelling(
        floor_area_ft2=nothing,
        small_appliance_circuits=nothing,
        laundry_circuits=nothing,
        items=known,
        all_listed=all_listed,
    )
    outer = CORE[method](house, factors(edition))
    inner = CORE[method](replace(house, items=exact, all_listed=True), factors(edition))
    for part in inner.parts:
        bounds = outer.part(part.symbol).value
        assert bounds.low <= part.value.low * (1 + ROUNDING) + ROUNDING, part.name
        assert part.value.high <= bounds.high * (1 + ROUNDING) + ROUNDING, part.name


@pytest.mark.parametrize(
    "method, symbol, kind, known, low",
    [
        ("dwelling-standard", "D_F", "fixed", [4000] * 3, 9000),  # a fourth may bring 75 %
        ("dwelling-standard", "D_D", "dryer", [10000] * 4, 35000),  # with six of 5000: 70 000 x 50 %
        ("dwelling-standard", "D_R", "range", [5000] * 15, 12000),  # column B: 75 000 at 16 %, from 61 on
        ("dwelling-standard", "D_R", "range", [27000] * 25, 69700),  # one of 12 kW: 41 kW x 170 %
        ("dwelling-optional", "S_H", "heat", [4000] * 3, 4800),  # a fourth may bring 40 %
    ],
)
def test_appliances_that_were_not_listed_may_lower_what_the_others_count(method, symbol, kind, known, low):
    nothing = Interval.exactly(0.0)
    items = tuple(Item(name="", kind=kind, va=Interval.exactly(va)) for va in known)
    house = Dwelling(
        floor_area_ft2=nothing,
        small_appliance_circuits=nothing,
        laundry_circuits=nothing,
        items=items,
        all_listed=False,
    )
    found = CORE[method](house, factors("2023")).part(symbol).value
    assert found.low == pytest.approx(low)
    assert math.isinf(found.high)


def test_a_fourth_appliance_that_may_be_too_small_to_count_leaves_the_others_in_full():
    va = (*[Interval.exactly(4000.0)] * 3, Interval(400.0, 600.0))
    items = tuple(Item(name="", kind="fixed", va=rating) for rating in va)
    # Least: (12 000 + 400) x 75 %, taken as if 400 could count. Greatest: 12 000 + 600.
    assert fastened_demand(items, all_listed=True, factors=factors("2023")) == Interval(9300.0, 12600.0)
    assert fastened_demand(items, all_listed=True, factors=factors("2017")) == Interval(
        9300.0, 9450.0
    )  # no least rating: four for sure


def test_a_line_that_a_method_has_not_is_refused():
    tally = calculated_load(load_of({"method": "stated"}), system_of(SINGLE_PHASE), factors("2023")).tally
    with pytest.raises(KeyError, match="D_D"):
        tally.part("D_D")


# -- growth -------------------------------------------------------------------------------------------------------


def va_of(load, edition):
    result = calculated_load(load_of(load), system_of(SINGLE_PHASE), factors(edition))
    return result.va.low, result.va.high


def dwelling(method, area, rows, **more):
    return {
        "method": method,
        "floor_area": f"{area} ft2",
        "small_appliance_circuits": 2,
        "laundry_circuits": 1,
        "appliances": [
            {"kind": kind, "rating": f"{va} VA", **({"supplemental": "0 W"} if kind == "heat-pump" else {})}
            for kind, va in rows
        ],
        **({"added_load": "0 VA"} if method == "dwelling-existing" else {}),
        **more,
    }


def assert_not_smaller(before, after, edition):
    low, high = va_of(before, edition), va_of(after, edition)
    assert high[0] >= low[0] * (1 - ROUNDING)
    assert high[1] >= low[1] * (1 - ROUNDING)


def rows(kinds=KINDS, least=0):
    return st.lists(st.tuples(st.sampled_from(kinds), st.integers(least, 40000)), max_size=9)


@given(
    method=st.sampled_from(METHODS),
    edition=st.sampled_from(EDITIONS),
    found=rows(),
    area=st.integers(1, 50000),
    more=st.integers(0, 5000),
)
@settings(max_examples=150, deadline=None)
def test_a_larger_floor_area_and_more_circuits_never_ask_for_less(method, edition, found, area, more):
    before = dwelling(method, area, found)
    assert_not_smaller(before, dwelling(method, area + more, found), edition)
    assert_not_smaller(before, dwelling(method, area, found, small_appliance_circuits=3), edition)
    assert_not_smaller(before, dwelling(method, area, found, laundry_circuits=2), edition)


@given(
    method=st.sampled_from(["dwelling-optional", "dwelling-existing"]),
    edition=st.sampled_from(EDITIONS),
    found=rows(),
    added=st.tuples(st.sampled_from(KINDS), st.integers(0, 40000)),
)
@settings(max_examples=200, deadline=None)
def test_one_more_appliance_never_asks_for_less_by_the_optional_and_the_existing_method(method, edition, found, added):
    heaters = sum(1 for kind, _ in found if kind == "heat")
    # Exception: the fourth separately controlled heater of the optional method, see below.
    assume(method == "dwelling-existing" or added[0] != "heat" or heaters != 3)
    assert_not_smaller(dwelling(method, 1500, found), dwelling(method, 1500, [*found, added]), edition)


@given(
    method=st.sampled_from(["dwelling-optional", "dwelling-existing"]),
    edition=st.sampled_from(EDITIONS),
    found=rows().filter(bool),
    more=st.integers(0, 20000),
    data=st.data(),
)
@settings(max_examples=200, deadline=None)
def test_a_larger_appliance_never_asks_for_less_by_the_optional_and_the_existing_method(
    method, edition, found, more, data
):
    index = data.draw(st.integers(0, len(found) - 1))
    larger = [(kind, va + more) if i == index else (kind, va) for i, (kind, va) in enumerate(found)]
    assert_not_smaller(dwelling(method, 1500, found), dwelling(method, 1500, larger), edition)


STEADY = ("ev", "motor", "heat", "heat-pump", "cool")
"""Kinds that the standard method counts without a table by number."""


@given(edition=st.sampled_from(EDITIONS), found=rows(), added=st.tuples(st.sampled_from(STEADY), st.integers(0, 40000)))
@settings(max_examples=150, deadline=None)
def test_one_more_appliance_counted_without_a_table_never_asks_for_less(edition, found, added):
    method = "dwelling-standard"
    assert_not_smaller(dwelling(method, 1500, found), dwelling(method, 1500, [*found, added]), edition)


@given(
    edition=st.sampled_from(EDITIONS),
    found=rows((*STEADY, "dryer", "fixed"), least=500).filter(bool),
    more=st.integers(0, 20000),
    data=st.data(),
)
@settings(max_examples=150, deadline=None)
def test_a_larger_appliance_never_asks_for_less_by_the_standard_method(edition, found, more, data):
    # From 500 W on, and without ranges: crossing the limits of those tables is among the exceptions.
    index = data.draw(st.integers(0, len(found) - 1))
    larger = [(kind, va + more) if i == index else (kind, va) for i, (kind, va) in enumerate(found)]
    method = "dwelling-standard"
    assert_not_smaller(dwelling(method, 1500, found), dwelling(method, 1500, larger), edition)


@given(edition=st.sampled_from(EDITIONS), found=rows(("fixed",)), added=st.integers(0, 40000))
@settings(max_examples=150, deadline=None)
def test_one_more_fastened_appliance_never_asks_for_less_but_for_the_fourth(edition, found, added):
    least = factors(edition).fastened_excluded_below_w
    counted = sum(1 for _, va in found if va >= least)
    assume(added < least or counted != 3)
    method = "dwelling-standard"
    assert_not_smaller(dwelling(method, 1500, found), dwelling(method, 1500, [*found, ("fixed", added)]), edition)


@given(count=st.integers(0, 60), va=st.integers(0, 20000))
@settings(max_examples=100, deadline=None)
def test_one_more_dryer_like_the_others_never_asks_for_less(count, va):
    before, after = ([("dryer", va)] * n for n in (count, count + 1))
    assert_not_smaller(dwelling("dwelling-standard", 1500, before), dwelling("dwelling-standard", 1500, after), "2023")


@given(count=st.integers(0, 70), va=st.integers(8751, 12000))
@settings(max_examples=100, deadline=None)
def test_one_more_range_in_column_c_never_asks_for_less(count, va):
    before, after = ([("range", va)] * n for n in (count, count + 1))
    assert_not_smaller(dwelling("dwelling-standard", 1500, before), dwelling("dwelling-standard", 1500, after), "2023")


@given(found=st.lists(st.integers(8751, 27000), min_size=1, max_size=8), more=st.integers(0, 20000), data=st.data())
@settings(max_examples=100, deadline=None)
def test_a_larger_range_in_column_c_never_asks_for_less(found, more, data):
    index = data.draw(st.integers(0, len(found) - 1))
    larger = [va + more if i == index else va for i, va in enumerate(found)]
    before, after = ([("range", va) for va in rows] for rows in (found, larger))
    assert_not_smaller(dwelling("dwelling-standard", 1500, before), dwelling("dwelling-standard", 1500, after), "2023")


@pytest.mark.parametrize(
    "why, method, before, after, dip_va",
    [
        # 3 x 4000 x 65 % = 7800; 4 x 4000 x 40 % = 6400
        ("the fourth heater", "dwelling-optional", [("heat", 4000)] * 3, [("heat", 4000)] * 4, 1400),
        # 3 x 4000; (12 000 + 500) x 75 %
        ("the fourth fastened appliance", "dwelling-standard", [("fixed", 4000)] * 3, [*[("fixed", 4000)] * 3, ("fixed", 500)], 2625),
        # 3 x 4000 + 499; 12 500 x 75 %
        ("a fourth of 500 W instead of 499 W", "dwelling-standard", [*[("fixed", 4000)] * 3, ("fixed", 499)], [*[("fixed", 4000)] * 3, ("fixed", 500)], 3124),
        # 4 x 10 000; 45 000 x 85 %
        ("a small fifth dryer", "dwelling-standard", [("dryer", 10000)] * 4, [*[("dryer", 10000)] * 4, ("dryer", 5000)], 1750),
        # 1750 at nameplate; 1800 x 80 % = 1440 by column A
        ("a range just inside the table", "dwelling-standard", [("range", 1750)], [("range", 1800)], 310),
        # 3400 x 80 % + 8750 x 80 % = 9720; (3500 + 8750) x 65 % = 7962.5 by column B alone
        ("a range that leaves column A for B", "dwelling-standard", [("range", 3400), ("range", 8750)], [("range", 3500), ("range", 8750)], 1757.5),
        # 15 x 5000 x 32 % = 24 000; 16 x 5000 x 28 % = 22 400
        ("the sixteenth range of column B", "dwelling-standard", [("range", 5000)] * 15, [("range", 5000)] * 16, 1600),
        # 40 kW x 175 % = 70; average of 25 of 27 and one of 12: 26.4, 14 over: 41 kW x 170 % = 69.7
        ("a small range that lowers the average", "dwelling-standard", [("range", 27000)] * 25, [*[("range", 27000)] * 25, ("range", 9000)], 300),
    ],
)  # fmt: skip
def test_the_dips_of_the_tables_are_known(why, method, before, after, dip_va):
    larger, smaller = (va_of(dwelling(method, 1500, found), "2023")[0] for found in (before, after))
    assert larger - smaller == pytest.approx(dip_va), why


@given(demand=st.integers(0, 100000), added=st.integers(0, 100000), more=st.integers(0, 10000))
@settings(max_examples=60, deadline=None)
def test_a_larger_measured_demand_or_added_load_never_asks_for_less(demand, added, more):
    def load(demand_va, added_va):
        return {"method": "measured-demand", "maximum_demand": f"{demand_va} VA", "added_load": f"{added_va} VA"}

    assert_not_smaller(load(demand, added), load(demand + more, added), "2023")
    assert_not_smaller(load(demand, added), load(demand, added + more), "2023")


@given(stated=st.floats(0, 1e6), share=st.floats(0, 1), more=st.floats(0, 1e5))
@settings(max_examples=60, deadline=None)
def test_a_larger_stated_load_or_share_never_asks_for_less(stated, share, more):
    facts = load_of({"method": "stated", "continuous_share": share})

    def amperes(va):
        load = replace(facts, calculated_load=PowerOrCurrent("/load/calculated_load", va, "VA"))
        return calculated_load(load, system_of(SINGLE_PHASE), factors("2023"))

    low, high = amperes(stated), amperes(stated + more)
    assert high.amps.low >= low.amps.low
    assert high.continuous_adjusted_a.low >= low.continuous_adjusted_a.low >= low.amps.low
    assert not math.isinf(high.continuous_adjusted_a.high)
