"""What is not stated of a load is an interval that names the member; bounds that need none of it stay."""

import math

import pytest

from changeout.domain.facts import Choice, Claim
from changeout.domain.interval import Interval
from changeout.domain.truth import Truth
from changeout.electrical.loads import calculated_load, demand_record_permitted
from changeout.electrical.loads.cooking import cooking_interval_va
from changeout.electrical.loads.neutral import minimum_service_a
from changeout.electrical.loads.parts import Item
from changeout.tables.loads import factors
from electrical.load_facts import SINGLE_PHASE, load_of, system_of

KNOWN = {
    "method": "dwelling-standard",
    "floor_area": "2000 ft2",
    "small_appliance_circuits": 2,
    "laundry_circuits": 1,
    "appliances": [{"rating": "12 kW", "kind": "range"}, {"rating": "5 kW", "kind": "dryer"}],
}  # 3000 + 0.35 x 7500 = 5625; + 8000 + 5000 = 18 625


def result_of(load, edition="2023", system=SINGLE_PHASE):
    return calculated_load(load_of(load), system_of(system), factors(edition))


def without(*members, **changed):
    return {**{k: v for k, v in KNOWN.items() if k not in members}, **changed}


def bounds(result):
    return result.va.low, result.va.high


def test_everything_stated_gives_one_number_and_lacks_nothing():
    result = result_of(KNOWN)
    assert bounds(result) == (18625, 18625)
    assert result.va.missing == ()
    assert result.amps.missing == ()
    assert result.va.inputs == (
        "/load/method",
        "/load/floor_area",
        "/load/small_appliance_circuits",
        "/load/laundry_circuits",
        "/load/appliances",
    )
    assert result.amps.inputs == (*result.va.inputs, "/supply/system")
    assert result.va.calculation == "load"


@pytest.mark.parametrize(
    "load, low, missing",
    [
        (without("floor_area"), 16525, ["/load/floor_area"]),  # 3000 + 0.35 x 1500 = 3525
        (without("small_appliance_circuits"), 18625, ["/load/small_appliance_circuits"]),  # two at least
        (without("laundry_circuits"), 18625, ["/load/laundry_circuits"]),  # one at least
        (without("appliances"), 5625, ["/load/appliances"]),
        (
            without("floor_area", "small_appliance_circuits", "laundry_circuits", "appliances"),
            3525,  # what every dwelling has: 3000 + 0.35 x 1500
            ["/load/floor_area", "/load/small_appliance_circuits", "/load/laundry_circuits", "/load/appliances"],
        ),
        ({"method": "stated"}, 0, ["/load/calculated_load"]),
        ({"method": "measured-demand", "added_load": "4 kVA"}, 4000, ["/load/maximum_demand"]),
        ({"method": "measured-demand", "maximum_demand": "8 kVA"}, 10000, ["/load/added_load"]),
        ({}, 0, ["/load/method"]),
    ],
)
def test_what_is_not_stated_is_named_and_leaves_a_least_load(load, low, missing):
    result = result_of(load)
    assert result.va.low == pytest.approx(low)
    assert result.va.high > 1.05 * low
    assert list(result.va.missing) == missing
    assert list(result.amps.missing) == missing


def test_circuits_that_are_not_stated_have_an_upper_bound():
    result = result_of(without("small_appliance_circuits", "laundry_circuits"))
    assert result.va.high == 18625 + 0.35 * 1500 * (18 + 19)  # up to twenty of each


@pytest.mark.parametrize("method", ["dwelling-optional", "dwelling-existing"])
def test_the_least_load_of_a_dwelling_of_which_nothing_is_known(method):
    result = result_of({"method": method})
    assert bounds(result) == (4500, math.inf)
    assert ("/load/added_load" in result.va.missing) is (method == "dwelling-existing")


# -- the system ---------------------------------------------------------------------------------------------------


def test_a_system_that_is_not_stated_widens_the_amperes_only_where_the_load_is_in_va():
    result = result_of(KNOWN, system=None)
    assert bounds(result) == (18625, 18625)
    assert result.va.missing == ()
    assert result.amps.missing == ("/supply/system",)
    assert result.amps.low == pytest.approx(18625 / (math.sqrt(3) * 480))
    assert result.amps.high == pytest.approx(18625 / 208)


def test_a_system_that_is_not_stated_widens_the_load_where_a_rating_is_in_amperes():
    result = result_of(without(appliances=[{"rating": "40 A", "kind": "fixed"}]), system=None)
    assert result.va.low == pytest.approx(5625 + 40 * 208)
    assert result.va.high == pytest.approx(5625 + 40 * 480 * math.sqrt(3))
    assert result.va.missing == ("/supply/system",)
    # The lines carry the 40 A on any system, and the rest as on 480 V three-phase at least, on 208 V at most.
    assert result.amps.low == pytest.approx(40 + 5625 / (480 * math.sqrt(3)))
    assert result.amps.high == pytest.approx(40 + 5625 / 208)


def test_a_correction_of_a_stated_load_holds_on_every_system():
    stated = {"method": "stated", "floor_area": "2000 ft2", "general_lighting": "0 VA", "calculated_load": "100 A"}
    result = result_of(stated, system=None)
    for system in ("120/240V-1ph-3w", "120/208V-1ph-3w", "208Y/120V-3ph-4w", "480V-3ph-3w"):
        known = result_of(stated, system=system)
        assert result.corrected_a.low <= known.corrected_a.low <= known.corrected_a.high <= result.corrected_a.high
    assert result.corrected_a.missing == ("/supply/system",)


# -- appliances ---------------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    "appliance, low",
    [
        ({"kind": "fixed"}, 0),
        ({"kind": "range"}, 0),
        ({"kind": "dryer"}, 5000),
        ({"kind": "ev"}, 7200),
        ({"kind": "heat"}, 0),
        ({"kind": "cool"}, 0),
        ({"kind": "motor"}, 0),
    ],
)
def test_an_appliance_without_a_rating_counts_at_its_least(appliance, low):
    result = result_of(without(appliances=[appliance]))
    assert bounds(result) == (5625 + low, math.inf)
    assert result.va.missing == ("/load/appliances/0/rating",)


def test_a_line_that_is_not_known_says_so():
    load = without(appliances=[{"kind": "range"}, {"kind": "range", "rating": "12 kW"}])
    steps = {step.symbol: step for step in result_of(load).calculation().steps}
    assert steps["D_R"].interval == Interval(8000, math.inf)
    assert steps["D_R"].expression == "2 listed, not all of them known, by the table"
    assert steps["S"].expression == "5625 + (8000 or more)"


def test_a_heat_pump_of_which_nobody_has_said_whether_it_has_supplemental_heat():
    result = result_of(without(appliances=[{"rating": "4 kVA", "kind": "heat-pump"}]))
    assert bounds(result) == (5625 + 5000, 5625 + 5000 + 1_000_000)
    assert result.va.missing == ("/load/appliances/0/supplemental",)


def test_an_appliance_of_no_stated_kind_is_any_of_them():
    appliances = [{"rating": "6 kW", "supplemental": "0 W"}]
    result = result_of(without(appliances=appliances))
    # Least: a range, 0.80 x 6000 by column B. Greatest: 7200 for charging, or a motor with a quarter more: 7500.
    assert bounds(result) == (5625 + 4800, 5625 + 7500)
    assert result.va.missing == ("/load/appliances/0/kind",)
    assert (result.ev_required_va.low, result.ev_required_va.high) == (0, 7200)
    assert result.ev_required_va.missing == ("/load/appliances/0/kind",)


def test_two_appliances_of_no_stated_kind_are_tried_as_every_kind():
    result = result_of(without(appliances=[{"rating": "6 kW", "supplemental": "0 W"}] * 2))
    # Least: one heats and one cools: 6000 x 1.25. Greatest: a motor and a charger, 7200 + 6000 + 1500 (or two cooling, 13 500).
    assert result.va.low == 5625 + 7500
    assert result.va.high == 5625 + 14700


def test_more_appliances_of_no_stated_kind_leave_no_upper_bound():
    result = result_of(without(appliances=[*KNOWN["appliances"], *[{"rating": "6 kW"}] * 3]))
    assert math.isinf(result.va.high)
    assert result.va.low <= 18625
    assert {f"/load/appliances/{i}/kind" for i in (2, 3, 4)} <= set(result.va.missing)


def test_a_line_that_differs_shows_its_least_and_its_greatest():
    steps = {s.symbol: s for s in result_of(without(appliances=[{"rating": "6 kW", "kind": None}])).calculation().steps}
    assert steps["D_D"].interval == Interval(0, 6000)
    assert steps["D_D"].expression == "0 x 100 % or 6000 x 100 %"


# -- vehicle charging and lighting --------------------------------------------------------------------------------


def test_charging_of_a_stated_load_is_known_from_its_list_only():
    stated = {"method": "stated", "calculated_load": "40 kVA"}
    assert result_of(stated).ev_required_va.missing == ("/load/appliances",)
    assert result_of(stated).ev_counted_va.missing == ("/load/ev_counted",)
    listed = result_of({**stated, "appliances": [{"rating": "9 kVA", "kind": "ev"}]})
    assert listed.ev_required_va.interval.value == 9000
    assert result_of({**stated, "appliances": []}).ev_required_va.interval.value == 0


def test_charging_within_a_measured_demand_is_not_known_and_not_asked():
    result = result_of({"method": "measured-demand", "maximum_demand": "8 kVA", "added_load": "0 VA"})
    assert (result.ev_required_va.interval, result.ev_required_va.missing) == (Interval(0, math.inf), ())


def test_a_charger_in_amperes_depends_on_the_system():
    stated = {"method": "stated", "calculated_load": "40 kVA", "appliances": [{"rating": "40 A", "kind": "ev"}]}
    assert result_of(stated).ev_required_va.interval.value == 9600
    unknown = result_of(stated, system=None).ev_required_va
    assert unknown.low == 40 * 208
    assert unknown.missing == ("/supply/system",)


def test_general_lighting_without_a_floor_area_is_not_known():
    assert result_of(without("floor_area")).general_lighting_va.missing == ("/load/floor_area",)
    stated = result_of({"method": "stated", "calculated_load": "40 kVA"})
    assert stated.corrected_va.missing == ("/load/floor_area", "/load/general_lighting")
    assert stated.corrected_va.low == 40000
    assert stated.va.missing == ()


def test_lighting_that_the_applicant_did_not_count_may_be_short_by_all_of_it():
    result = result_of({"method": "stated", "calculated_load": "40 kVA", "floor_area": "2000 ft2"})
    assert (result.corrected_va.low, result.corrected_va.high) == (40000, 46000)
    assert result.corrected_va.missing == ("/load/general_lighting",)


def test_a_continuous_share_that_is_not_stated_is_any():
    result = result_of({"method": "stated", "calculated_load": "48 kVA"})
    assert (result.continuous_adjusted_a.low, result.continuous_adjusted_a.high) == (200, 250)
    assert result.continuous_adjusted_a.missing == ("/load/continuous_share",)
    assert "/load/continuous_share" in result.continuous_adjusted_a.inputs


# -- records ------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    "record, own_source, truth",
    [
        ("one-year", Truth.YES, Truth.YES),
        ("one-year", Truth.UNKNOWN, Truth.YES),
        ("thirty-day", Truth.NO, Truth.YES),
        ("thirty-day", Truth.YES, Truth.NO),
        ("thirty-day", Truth.UNKNOWN, Truth.UNKNOWN),
        (None, Truth.NO, Truth.YES),
        (None, Truth.YES, Truth.UNKNOWN),
    ],
)
def test_a_record_is_permitted(record, own_source, truth):
    claim = demand_record_permitted(Choice("/load/demand_record", record), Claim(own_source, ("/generation",)))
    assert claim.truth is truth
    assert ("/load/demand_record" in claim.missing) is (truth is Truth.UNKNOWN and record is None)


def test_a_service_beyond_every_standard_rating_is_refused():
    with pytest.raises(ValueError, match="no standard rating"):
        minimum_service_a(201, (100, 200), 100)
    assert minimum_service_a(200, (100, 200), 100) == 200
    assert minimum_service_a(20, (15, 60, 100), 100) == 100


def test_an_appliance_of_exactly_the_least_rating_is_not_in_the_range_table():
    # Table 220.55 is for appliances over 1 3/4 kW: this one counts at nameplate, whatever else there may be
    known = [Item(name="", kind="range", va=Interval.exactly(1750.0))]
    assert cooking_interval_va(known, all_listed=False, factors=factors("2023")).low == 1750.0


@pytest.mark.parametrize("method", ["dwelling-standard", "dwelling-optional"])
def test_appliances_of_no_stated_kind_hide_none_that_follow_them(method):
    known = {"rating": "30 kVA", "kind": "fixed"}
    others = [{"rating": "2 kVA"} for _ in range(8)]
    first, last = (
        result_of(without(method=method, appliances=found)).va for found in ([known, *others], [*others, known])
    )
    assert (first.low, first.high) == (last.low, last.high)
    assert last.low > result_of(without(method=method, appliances=others)).va.low


def test_an_added_load_in_amperes_needs_the_system():
    load = without(method="dwelling-existing", added_load="30 A")
    assert "/supply/system" in result_of(load, system=None).va.missing
    assert result_of(without(method="dwelling-existing", added_load="3 kVA"), system=None).va.missing == ()
