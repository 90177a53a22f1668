"""Each method of the load calculation on small loads worked out by hand beside the row.

Factors: ``tables/data/load_factors.toml``, ``lighting_demand.toml``, ``dryer_demand.toml``, ``range_demand.toml`` and the
motor tables, which name their sources. The arithmetic stands in the comments.
"""

import math
import re

import pytest

from changeout.domain.interval import Interval
from changeout.electrical.loads import calculated_load
from changeout.electrical.loads.cooking import cooking_demand
from changeout.electrical.loads.lighting import lighting_demand_va
from changeout.tables.loads import factors
from electrical.load_facts import SINGLE_PHASE, load_of, system_of

THREE_PHASE = "208Y/120V-3ph-4w"
EDITIONS = ("2017", "2020", "2023", "2026")


def result_of(load, edition="2023", system=SINGLE_PHASE):
    return calculated_load(load_of(load), system_of(system), factors(edition))


def appliances(*rows):
    return [{"rating": rating, "kind": kind} for rating, kind in rows]


def house(method, *rows, area="0 ft2", **more):
    """A dwelling without general lighting, unless an area is given, with the least circuits."""
    return {
        "method": method,
        "floor_area": area,
        "small_appliance_circuits": 2,
        "laundry_circuits": 1,
        "appliances": appliances(*rows),
        **({"added_load": "0 VA"} if method == "dwelling-existing" else {}),
        **more,
    }


def part(load, symbol, edition="2023", system=SINGLE_PHASE):
    return result_of(load, edition, system).tally.part(symbol).value.value


# -- general lighting ---------------------------------------------------------------------------------------------


@pytest.mark.parametrize("edition, va", [("2017", 6000), ("2020", 6000), ("2023", 6000), ("2026", 4000)])
def test_general_lighting_counts_at_the_density_of_the_edition(edition, va):
    load = house("dwelling-standard", area="2000 ft2")
    assert result_of(load, edition).general_lighting_va.interval.value == va  # 2000 x 3, and x 2
    assert part(load, "S_G", edition) == va


@pytest.mark.parametrize(
    "connected_va, demand_va",
    [
        (3000, 3000),
        (3001, 3000.35),
        (120000, 43950),  # 3000 + 0.35 x 117 000
        (130000, 46450),  # and 0.25 x 10 000
    ],
)
def test_lighting_demand_has_three_tiers(connected_va, demand_va):
    found = lighting_demand_va(Interval.exactly(connected_va), factors("2023"))
    assert found.value == pytest.approx(demand_va)


@pytest.mark.parametrize("small, laundry, va", [(2, 1, 4500), (3, 2, 7500), (1, 1, 4500), (0, 0, 4500), (5, 0, 9000)])
def test_circuits_count_at_1500_va_each_and_at_least_two_and_one(small, laundry, va):
    load = house("dwelling-optional", small_appliance_circuits=small, laundry_circuits=laundry)
    result = result_of(load)
    assert result.va.interval.value == va
    said = [c for c in result.calculation().cautions if "circuits are stated" in c]
    assert len(said) == (small < 2) + (laundry < 1)


# -- fastened appliances ------------------------------------------------------------------------------------------

FOUR = [("4500 W", "fixed"), ("1200 W", "fixed"), ("900 W", "fixed"), ("1500 W", "fixed")]


@pytest.mark.parametrize(
    "edition, rows, va",
    [
        ("2023", FOUR[:3], 6600),
        ("2023", FOUR, 6075),  # 8100 x 0.75
        ("2023", [*FOUR[:3], ("400 W", "fixed")], 7000),  # under 500 W: not the fourth
        ("2017", [*FOUR[:3], ("400 W", "fixed")], 5250),  # 7000 x 0.75: no least rating yet
        ("2020", [*FOUR, ("400 W", "fixed")], 6475),  # 8100 x 0.75 + 400
        ("2020", [*FOUR[:3], ("500 W", "fixed")], 5325),  # 7100 x 0.75
        ("2020", [*FOUR[:3], ("0.25 hp", "fixed")], 5472),  # 2.9 A x 240 V = 696; 7296 x 0.75
        ("2020", [*FOUR[:3], (f"{1 / 6} hp", "fixed")], 7128),  # 2.2 A x 240 V = 528, under 1/4 hp: 6600 + 528
        ("2023", [*FOUR[:3], ("900 W", "motor"), ("5000 W", "dryer"), ("7200 VA", "ev"), ("9 kW", "heat")], 6600),
    ],
)
def test_fastened_appliances_count_at_75_percent_from_four_on(edition, rows, va):
    assert part(house("dwelling-standard", *rows), "D_F", edition) == pytest.approx(va)


# -- ranges -------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    "ratings_kw, kw",
    [
        ([], 0),
        ([12], 8),
        ([9.6], 8),
        ([8.75], 7),  # column B: 0.80 x 8.75, less than 8
        ([8.76], 8),
        ([3.4], 2.72),  # column A: 0.80
        ([3.4, 3.4, 3.4], 7.14),  # 0.70 x 10.2
        ([3.0, 6.0], 7.2),  # 0.80 x 3 + 0.80 x 6; column C for 2 would be 11
        ([6.0, 6.0, 6.0], 9.9),  # column B: 0.55 x 18
        ([8.75, 8.75], 11),  # column B gives 11.375
        ([6.0, 12.0], 11),  # a larger one among them: column C for 2
        ([12.4], 8),  # less than a major fraction over 12
        ([12.5], 8.4),
        ([13], 8.4),
        ([14], 8.8),
        ([27], 14),  # 15 over: + 75 %
        ([27.1], 27.1),  # beyond the table: nameplate
        ([1.75], 1.75),  # not over 1.75 kW: nameplate
        ([1.75, 12], 9.75),
        ([9.6, 4.5], 11),
        ([14, 10], 11.55),  # average of 14 and 12: 13, + 5 % of 11
        ([12] * 25, 40),
        ([12] * 26, 41),
        ([12] * 30, 45),
        ([12] * 40, 55),
        ([12] * 50, 62.5),  # 25 + 0.75 x 50
        ([12] * 61, 70.75),
        ([12] * 100, 100),
    ],
)
def test_ranges_count_by_the_table_and_its_notes(ratings_kw, kw):
    assert cooking_demand(ratings_kw, factors("2023")).kw == pytest.approx(kw)


def test_ranges_of_a_load_count_by_the_table():
    assert part(house("dwelling-standard", ("14 kW", "range"), ("10 kW", "range")), "D_R") == 11550
    assert part(house("dwelling-optional", ("14 kW", "range"), ("10 kW", "range")), "S_N") == 24000


def test_a_range_beyond_the_table_is_said():
    said = result_of(house("dwelling-standard", ("30 kW", "range"))).calculation().cautions
    assert any("27 kW" in caution for caution in said)
    assert result_of(house("dwelling-standard", ("27 kW", "range"))).calculation().cautions == ()


# -- dryers, vehicle charging -------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    "count, va",
    [
        (1, 5000), (4, 20000), (5, 21250), (6, 22500), (7, 22750), (8, 24000), (9, 24750), (10, 25000),
        (11, 25850),  # 0.47 x 55 000
        (12, 27600),  # 47 - 1 = 46 %
        (23, 40250),  # 47 - 12 = 35 %
        (24, 41400),  # 35 - 0.5 = 34.5 %
        (42, 53550),  # 35 - 9.5 = 25.5 %
        (43, 53750), (60, 75000),
    ],
)  # fmt: skip
def test_dryers_count_by_their_number(count, va):
    load = house("dwelling-standard", *[("4 kW", "dryer")] * count)  # each at least 5000
    assert part(load, "D_D") == pytest.approx(va)


def test_a_dryer_counts_at_nameplate_where_that_is_more_and_by_the_optional_method_always():
    assert part(house("dwelling-standard", ("5500 W", "dryer")), "D_D") == 5500
    assert part(house("dwelling-optional", ("4 kW", "dryer")), "S_N") == 4000


@pytest.mark.parametrize("edition, va", [("2017", 16500), ("2020", 16500), ("2023", 18700), ("2026", 18700)])
@pytest.mark.parametrize("method", ["dwelling-standard", "dwelling-optional", "dwelling-existing"])
def test_chargers_count_at_nameplate_or_the_least_value_of_the_edition(method, edition, va):
    result = result_of(house(method, ("5 kVA", "ev"), ("11.5 kW", "ev"), ev_counted="5 kVA"), edition)
    assert result.tally.part("S_E").value.value == va  # 5000 raised to 7200 where there is a least value
    assert result.ev_required_va.interval.value == va
    assert result.ev_counted_va.interval.value == 5000


def test_charging_that_nobody_said_was_counted_counts_as_required():
    result = result_of(house("dwelling-standard", ("5 kVA", "ev")))
    assert result.ev_counted_va.interval == result.ev_required_va.interval
    assert result.ev_counted_va.missing == ()


def test_charging_that_is_counted_but_not_listed_is_in_the_load():
    result = result_of(house("dwelling-standard", ev_counted="5 kVA"))
    assert result.tally.part("S_E").value.value == 7200
    assert result.ev_required_va.interval.value == 7200
    assert "/load/ev_counted" in result.va.inputs
    assert any("no such equipment is listed" in caution for caution in result.calculation().cautions)
    assert result_of(house("dwelling-standard", ev_counted="0 VA")).ev_required_va.interval.value == 0


def test_where_charging_belongs_in_the_optional_method_is_said():
    def cautions(method):
        return result_of(house(method, ("9 kVA", "ev"))).calculation().cautions

    assert any("judgement" in caution for caution in cautions("dwelling-optional"))
    assert any("judgement" in caution for caution in cautions("dwelling-existing"))
    assert cautions("dwelling-standard") == ()


# -- heating, cooling, motors -------------------------------------------------------------------------------------

HEAT_PUMP = {"rating": "4 kVA", "kind": "heat-pump", "supplemental": "10 kW"}


@pytest.mark.parametrize(
    "rows, va",
    [
        ([("10 kW", "heat"), ("5 kVA", "cool")], 10000),  # 5000 x 1.25 = 6250
        ([("10 kW", "heat"), ("9 kVA", "cool")], 11250),  # 9000 x 1.25
        ([("10 kW", "heat"), ("9 kVA", "cool"), ("8 kVA", "motor")], 12000),  # heat 10 000 + 2000; cool 9000 + 2250
        ([("5 kVA", "cool"), ("3 kVA", "cool")], 9250),  # 8000 + 0.25 x 5000
        ([("3 kVA", "motor")], 750),
        ([("0.5 hp", "fixed")], 294),  # 4.9 A x 240 V = 1176: a quarter of it
        ([("1 kVA", "fixed")], 0),
    ],
)
def test_the_season_that_asks_more_counts_with_its_share_of_the_largest_motor(rows, va):
    assert part(house("dwelling-standard", *rows), "S_HC") == pytest.approx(va)


def test_a_heat_pump_runs_in_both_seasons_by_the_standard_method():
    load = {**house("dwelling-standard"), "appliances": [HEAT_PUMP, *appliances(("3 kVA", "cool"))]}
    result = result_of(load)
    assert result.tally.part("S_H").value.value == 14000  # 4000 + 10 000
    assert result.tally.part("S_C").value.value == 7000  # 4000 + 3000
    assert result.tally.part("S_HC").value.value == 15000  # 14 000 + 0.25 x 4000


@pytest.mark.parametrize(
    "rows, va",
    [
        ([("9 kW", "heat")], 5850),  # 65 %
        ([("3 kW", "heat")] * 3, 5850),
        ([("2 kW", "heat")] * 4, 3200),  # 40 %
        ([("9 kW", "heat"), ("6 kVA", "cool")], 6000),
        ([("4 kVA", "heat-pump"), ("3 kVA", "cool")], 7000),
    ],
)
@pytest.mark.parametrize("edition", EDITIONS)
def test_heating_or_cooling_of_the_optional_method(edition, rows, va):
    load = house("dwelling-optional", *rows)
    for appliance in load["appliances"]:
        if appliance["kind"] == "heat-pump":
            appliance["supplemental"] = "0 W"
    assert part(load, "S_HC", edition) == pytest.approx(va)


def test_a_heat_pump_with_separate_heaters_counts_with_both_by_the_optional_method():
    load = {**house("dwelling-optional"), "appliances": [HEAT_PUMP, *appliances(("2 kW", "heat"))]}
    assert part(load, "S_HC") == pytest.approx(11800)  # 4000 + 0.65 x 10 000 + 0.65 x 2000


@pytest.mark.parametrize("edition, va", [("2017", 16000), ("2020", 16000), ("2023", 16000), ("2026", 14800)])
def test_the_optional_method_counts_the_first_part_in_full(edition, va):
    load = house("dwelling-optional", ("20500 W", "fixed"))  # with 4500 of circuits: 25 000
    assert result_of(load, edition).va.interval.value == va  # 10 000 + 0.4 x 15 000; 8000 + 0.4 x 17 000


# -- existing dwelling, measured demand, stated load --------------------------------------------------------------


def test_an_existing_dwelling_counts_what_is_added():
    load = house("dwelling-existing", ("15500 W", "fixed"), ("5 kW", "heat"), ("6 kVA", "cool"), added_load="10 kVA")
    result = result_of(load)
    assert result.va.interval.value == 22800  # 8000 + 0.4 x (4500 + 15 500 + 10 000 - 8000) + 6000
    assert any("existing heating and cooling" in caution for caution in result.calculation().cautions)


def test_an_added_load_in_amperes_is_turned_into_va_for_an_existing_dwelling():
    load = house("dwelling-existing", added_load="32 A")
    assert part(load, "S_X") == 7680  # 32 x 240
    assert part(load, "A_X") == 7680


def test_percentages_that_were_not_seen_leave_bounds():
    load = house("dwelling-existing", ("15500 W", "fixed"), ("6 kVA", "cool"), added_load="10 kVA")
    result = result_of(load, "2026")
    assert (result.va.low, result.va.high) == (14400, 36000)  # 0.4 x 30 000 + 0.4 x 6000; all of it
    assert result.va.missing == ()
    assert any("were not seen" in caution for caution in result.calculation().cautions)
    seen = result_of(load, "2023").calculation().cautions
    assert not any("were not seen" in caution for caution in seen)


@pytest.mark.parametrize(
    "demand, added, va, amps",
    [
        ("30 kVA", "10500 VA", 48000, 200),
        ("12 kW", "32 A", 22680, 94.5),  # 15 000 + 7680; 62.5 + 32
        ("56 A", "30 A", 24000, 100),
    ],
)
def test_measured_demand_counts_at_125_percent(demand, added, va, amps):
    result = result_of({"method": "measured-demand", "maximum_demand": demand, "added_load": added})
    assert result.va.interval.value == va
    assert result.amps.interval.value == amps


@pytest.mark.parametrize("system", [SINGLE_PHASE, THREE_PHASE, "480V-3ph-3w", None])
def test_a_load_in_amperes_is_that_current_on_any_system(system):
    stated = result_of({"method": "stated", "calculated_load": "100 A"}, system=system)
    assert (stated.amps.low, stated.amps.high, stated.amps.missing) == (100, 100, ())
    measured = result_of({"method": "measured-demand", "maximum_demand": "56 A", "added_load": "30 A"}, system=system)
    assert (measured.amps.low, measured.amps.high, measured.amps.missing) == (100, 100, ())


@pytest.mark.parametrize(
    "system, amps",
    [
        (SINGLE_PHASE, 250),
        ("120/208V-1ph-3w", 288.4615),  # 60 000 / 208
        (THREE_PHASE, 166.5434),  # 60 000 / (1.7320508 x 208)
        ("480Y/277V-3ph-4w", 72.1688),
        ("240V-3ph-3w", 144.3376),
    ],
)
def test_amperes_of_a_load_on_each_system(system, amps):
    result = result_of({"method": "stated", "calculated_load": "60 kVA"}, system=system)
    assert result.amps.interval.value == pytest.approx(amps, rel=1e-6)
    assert result.va.interval.value == 60000


def test_a_stated_load_in_amperes_is_so_many_va():
    result = result_of({"method": "stated", "calculated_load": "100 A"}, system=THREE_PHASE)
    assert result.va.interval.value == pytest.approx(36026.66, rel=1e-6)  # 100 x 1.7320508 x 208


@pytest.mark.parametrize("share, amps", [(0, 200), (0.8, 240), (1, 250)])
def test_the_continuous_part_counts_at_125_percent(share, amps):
    load = {"method": "stated", "calculated_load": "48 kVA", "continuous_share": share}
    assert result_of(load).continuous_adjusted_a.interval.value == pytest.approx(amps)


# -- general lighting of a stated load ----------------------------------------------------------------------------

STATED = {"method": "stated", "floor_area": "2000 ft2", "general_lighting": "4000 VA", "calculated_load": "47.5 kVA"}


@pytest.mark.parametrize(
    "edition, low, high",
    [
        ("2023", 48200, 49500),  # 2000 VA short: between 35 % of it and all of it
        ("2026", 47500, 47500),  # 2 VA/ft2: nothing short
    ],
)
def test_a_stated_load_grows_by_the_general_lighting_it_lacks(edition, low, high):
    result = result_of(STATED, edition)
    assert (result.corrected_va.low, result.corrected_va.high) == (low, high)
    assert (result.corrected_a.low, result.corrected_a.high) == (pytest.approx(low / 240), pytest.approx(high / 240))
    assert result.va.interval.value == 47500
    assert any("short" in c for c in result.calculation().cautions) is (edition == "2023")


def test_lighting_that_was_counted_in_plenty_takes_nothing_off():
    assert result_of({**STATED, "general_lighting": "9000 VA"}).corrected_va.interval.value == 47500


def test_lighting_of_a_very_large_dwelling_may_count_at_the_last_percent():
    result = result_of({**STATED, "floor_area": "40000 ft2", "general_lighting": "119 kVA"})
    assert result.corrected_va.low == 47750  # 1000 VA short, 124 500 connected: a quarter of it


def test_only_a_stated_load_is_corrected():
    result = result_of(house("dwelling-standard", area="2000 ft2", general_lighting="4000 VA"))
    assert result.corrected_va.interval == result.va.interval
    assert result.corrected_a.interval == result.amps.interval


# -- motors -------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    "rating, system, va",
    [
        ("5 hp", SINGLE_PHASE, 6720),  # 28 A x 240 V
        ("5 hp", "120/208V-1ph-3w", 6406.4),  # 30.8 A x 208 V
        ("5 hp", THREE_PHASE, 6016.452),  # 16.7 A x 1.7320508 x 208 V
        ("10 hp", "480Y/277V-3ph-4w", 11639.381),  # 14 A x 1.7320508 x 480 V
        ("4 hp", SINGLE_PHASE, 6720),  # between two rows: the greater
        ("0 hp", SINGLE_PHASE, 0),
    ],
)
def test_a_motor_in_horsepower_draws_the_current_of_the_table(rating, system, va):
    assert part(house("dwelling-optional", (rating, "motor")), "S_N", system=system) == pytest.approx(va, rel=1e-6)


def test_a_motor_beyond_the_table_has_no_upper_bound():
    result = result_of(house("dwelling-optional", ("15 hp", "motor")))
    assert result.tally.part("S_N").value.low == pytest.approx(15 * 745.7)
    assert math.isinf(result.va.high)
    assert result.va.missing == ("/load/appliances/0/rating",)
    assert any("state its current in amperes" in caution for caution in result.calculation().cautions)


# -- the lines of the calculation ---------------------------------------------------------------------------------

FULL = {
    **house(
        "dwelling-standard", *FOUR, ("400 W", "fixed"), ("12 kW", "range"), ("5500 W", "dryer"), ("24 A", "dryer"), ("6.6 kW", "ev"),
        ("1 hp", "motor"), ("5760 VA", "cool"), ("5 kW", "heat"), area="2400 ft2",
    ),
    "continuous_share": 0.5,
    "added_load": "32 A",
}  # fmt: skip


def computed(expression, values):
    """Evaluate a line as a person would: units left out, percent as such, the larger of two."""
    if expression.startswith("the larger of"):
        return max(float(n) for n in expression.removeprefix("the larger of ").split(" and "))
    bare = re.sub(r"^[0-9./]+ hp:|^column [ABC] for [0-9]+:|for an average of .*$", "", expression)
    bare = re.sub(r"\b(VA/ft2|ft2|VA|kW|A|V)(?=[\s)+x/]|$)", "", bare)
    bare = bare.replace(" x ", " * ").replace("%", "/ 100")
    assert re.fullmatch(r"[-+*/(). 0-9e]+", bare), expression
    return eval(bare, {"__builtins__": {}}, values)


@pytest.mark.parametrize("method", ["dwelling-standard", "dwelling-optional", "dwelling-existing"])
@pytest.mark.parametrize("system", [SINGLE_PHASE, THREE_PHASE])
def test_every_line_gives_its_value_when_a_person_redoes_it(method, system):
    steps = result_of({**FULL, "method": method}, system=system).calculation().steps
    lines = [step for step in steps if step.interval is not None]
    assert len(lines) > 12
    for step in lines:
        kilo = 1000.0 if step.symbol == "D_R" else 1.0
        assert computed(step.expression, {}) * kilo == pytest.approx(step.interval.value, rel=2e-5), step


@pytest.mark.parametrize("edition", EDITIONS)
@pytest.mark.parametrize("method", ["dwelling-standard", "dwelling-optional", "dwelling-existing"])
def test_every_line_of_code_names_the_section_of_its_edition(method, edition):
    steps = result_of({**FULL, "method": method}, edition).calculation().steps
    article = "120." if edition == "2026" else "220."
    found = [step for step in steps if step.symbol in {"S_G", "S_A", "S_L", "D_G", "S_N", "S_HC"}]
    assert len(found) >= 5
    assert all(article in step.source for step in found), [(s.symbol, s.source) for s in found]


def test_watts_and_amperes_are_said_in_the_calculation():
    calculation = result_of(FULL).calculation()
    assert len(calculation.assumptions) == 3
    assert any("power factor 1" in sentence for sentence in calculation.assumptions)
    assert [step.expression for step in calculation.steps if step.interval is None] == list(calculation.assumptions)
    plain = result_of({"method": "stated", "calculated_load": "48 kVA"}).calculation()
    assert plain.assumptions == ()
    in_watts = result_of({"method": "stated", "calculated_load": "48 kW"}).calculation()
    assert in_watts.assumptions == ("Watts count as volt-amperes, at power factor 1.",)
