"""Every load factor equals the independent copy in ``tests/reference/tables/load_calculation.json``, edition by edition."""

import json
import math
import pathlib

import pytest

from changeout.tables.load import EDITIONS, TableError, table
from changeout.tables.loads import factors

ROWS = {
    row["rule"]: row
    for row in json.loads(
        (pathlib.Path(__file__).parent.parent / "reference" / "tables" / "load_calculation.json").read_text("utf-8")
    )["rows"]
}
CONDITIONS = {(r.text("name"), r.text("edition")): r for r in table("load_factors").parts["conditions"]}

SIMPLE = {
    "dwelling lighting unit load for number of branch circuits": "circuit_count_va_per_ft2",
    "small-appliance branch circuit": "small_appliance_circuit_va",
    "laundry branch circuit": "laundry_circuit_va",
    "fastened-in-place appliances, four or more": "fastened_appliances_percent",
    "neutral of ranges, ovens, dryers": "cooking_and_dryer_neutral_percent",
    "fixed electric space heating, standard method": "space_heating_percent",
    "largest motor": "largest_motor_percent",
}


@pytest.mark.parametrize("edition", EDITIONS)
def test_plain_factors(edition):
    ours = factors(edition)
    for rule, name in SIMPLE.items():
        assert getattr(ours, name) == ROWS[rule]["value"], rule
    lighting = ROWS["dwelling general lighting and general-use receptacles, service/feeder"]["value"]
    assert ours.general_lighting_va_per_ft2 == lighting[edition]
    assert ours.fastened_appliances_least == 4  # the rule's own name: four or more
    assert ours.small_appliance_circuits_least == 2  # units of the row: at least two
    assert ours.laundry_circuits_least == 1  # units of the row: at least one
    assert f"larger of {ours.dryer_least_va:.0f} and nameplate" == ROWS["clothes dryer, each"]["value"]


@pytest.mark.parametrize("edition", EDITIONS)
def test_general_lighting_tiers(edition):
    first, second, third = ROWS["general lighting demand, dwelling units"]["value"]
    tiers = [(t.above_va, t.through_va, t.percent) for t in factors(edition).lighting_demand]
    assert tiers == [
        (0, first["first_va"], first["percent"]),
        (second["from_va"] - 1, second["to_va"], second["percent"]),
        (third["above_va"], math.inf, third["percent"]),
    ]


def dryer_percent_by_reference(count):
    for row in ROWS["clothes dryer demand"]["value"]:
        first, _, last = row["dryers"].rstrip("+").partition("-")
        end = math.inf if row["dryers"].endswith("+") else int(last or first)
        if int(first) <= count <= end:
            by_formula = {"47 - (n - 11)": 47 - (count - 11), "35 - 0.5*(n - 23)": 35 - 0.5 * (count - 23)}
            return row["percent"] if "percent" in row else by_formula[row["formula"]]
    raise AssertionError(count)


@pytest.mark.parametrize("count", range(1, 61))
def test_dryer_demand(count):
    ours = factors("2023").dryers(count)
    assert ours.percent_for(count) == dryer_percent_by_reference(count)
    assert factors("2023").dryers(23).percent_for(23) == 35
    assert factors("2023").dryers(42).percent_for(42) == 25.5


def range_by_reference(count):
    for row in ROWS["household electric ranges and cooking appliances over 1.75 kW"]["value"]:
        first, _, last = str(row["appliances"]).rstrip("+").partition("-")
        end = math.inf if str(row["appliances"]).endswith("+") else int(last or first)
        if int(first) <= count <= end:
            by_formula = {"15 + n": 15 + count, "25 + 0.75 n": 25 + 0.75 * count}
            column_c = row["c_kw"] if not isinstance(row["c_kw"], str) else by_formula[row["c_kw"]]
            return row["a_percent"], row["b_percent"], column_c
    raise AssertionError(count)


@pytest.mark.parametrize("count", range(1, 71))
def test_range_demand(count):
    ours = factors("2020").ranges(count)
    found = (ours.column_a_percent, ours.column_b_percent, ours.column_c_kw_for(count))
    assert found == range_by_reference(count)


def test_range_notes():
    row = ROWS["household electric ranges and cooking appliances over 1.75 kW"]
    for edition in EDITIONS:
        ours = factors(edition)
        assert row["rule"].endswith(f"over {ours.range_over_kw} kW")
        assert f"A: under {ours.range_column_a_below_kw} kW" in row["units"]
        assert f"to {ours.range_column_b_through_kw} kW" in row["units"]
        assert f"not over {ours.range_column_c_through_kw:.0f} kW" in row["units"]
        assert f"over 12 to {ours.range_raised_through_kw:.0f} kW" in row["notes"][0]
        assert f"by {ours.range_percent_per_kw:.0f} % per kW or major fraction" in row["notes"][0]


@pytest.mark.parametrize("edition", EDITIONS)
def test_optional_method(edition):
    ours = factors(edition)
    tier = ROWS["optional method, one dwelling unit, general loads"]["value"][edition]
    assert ours.optional_first_va == tier["first_va"]
    assert ours.optional_first_percent == tier["first_percent"]
    assert ours.optional_rest_percent == tier["rest_percent"]
    heating = {r["item"]: r for r in ROWS["optional method, heating and cooling: largest of"]["value"]}
    assert ours.optional_cooling_percent == heating[1]["percent"]
    assert ours.optional_heat_pump_percent == heating[2]["percent"]
    assert heating[3]["percent"] == f"100 compressor + {ours.optional_supplemental_percent:.0f} supplemental"
    assert ours.optional_heating_few_percent == heating[4]["percent"]
    assert ours.optional_heating_many_percent == heating[5]["percent"]
    assert ours.optional_heating_units_many == 4
    assert ours.optional_continuous_percent == heating[6]["percent"]
    assert f"ampacity {ours.optional_least_ampacity_a:.0f} A or more" in ROWS["optional method applies when"]["value"]
    assert CONDITIONS["optional_applies", edition].text("text") == ROWS["optional method applies when"]["value"]


@pytest.mark.parametrize("edition", EDITIONS)
def test_existing_dwellings_and_measured_demand(edition):
    ours = factors(edition)
    tier = ROWS["existing dwelling, no added heating or cooling"]["value"][edition]
    added = ROWS["existing dwelling, added heating or cooling"]["value"]
    if isinstance(tier, str):
        assert tier.startswith("unverified")
        assert ours.existing_first_va is None
        assert ours.existing_added_heating_cooling_percent is None
    else:
        assert (ours.existing_first_va, ours.existing_first_percent, ours.existing_rest_percent) == (
            tier["first_va"],
            tier["first_percent"],
            tier["rest_percent"],
        )
        assert added["other_loads"] == tier
        assert {h["percent"] for h in added["hvac"]} == {ours.existing_added_heating_cooling_percent}
    measured = ROWS["existing loads from maximum demand"]["value"]
    assert ours.measured_demand_percent == measured["factor_percent"]
    assert measured["data"].startswith("one year")
    assert ours.measured_record_days == 365
    assert measured["exception"].startswith(f"{ours.measured_short_record_days:.0f} days")
    assert CONDITIONS["measured_demand_exception", edition].text("text").startswith(measured["exception"])


def test_vehicle_supply_equipment():
    values = ROWS["EV supply equipment"]["value"]
    assert values["2017"].startswith("no specific section")
    assert values["2020"].startswith("no specific section")
    assert [factors(e).ev_least_va for e in ("2017", "2020")] == [0, 0]
    assert values["2023"] == f"larger of {factors('2023').ev_least_va:.0f} and nameplate"
    assert values["2026"].startswith("unverified")
    assert factors("2026").reviewed["ev_least_va"] == "unverified"


def test_conditions_in_words():
    assert CONDITIONS["noncoincident", "2023"].text("text") == ROWS["noncoincident loads"]["value"]
    assert (
        CONDITIONS["energy_management", "2023"].text("text")
        == ROWS["energy management system setpoint as load"]["value"]
    )


def test_appliances_left_out_of_the_fastened_ones():
    excludes = ROWS["fastened-in-place appliances, four or more"]["excludes"]
    ours = {row.text("edition"): row for row in table("load_factors").parts["fastened_exclusions"]}
    assert list(ours["2017"].texts("excluded")) == excludes["2017"]
    assert list(ours["2020"].texts("excluded")) == excludes["2020"]
    assert list(ours["2023"].texts("excluded")) == [*excludes["2020"], "EV supply equipment"]
    assert excludes["2020"][-1] == "any appliance under 1/4 hp or 500 W"
    assert [factors(e).fastened_excluded_below_w for e in EDITIONS] == [0, 500, 500, 500]
    assert [factors(e).fastened_excluded_below_hp for e in EDITIONS] == [0, 0.25, 0.25, 0.25]
    assert "ev" not in factors("2020").fastened_excluded_kinds
    assert "ev" in factors("2023").fastened_excluded_kinds


def test_sections():
    named = {
        "general_lighting_va_per_ft2": "dwelling general lighting and general-use receptacles, service/feeder",
        "ev_least_va": "EV supply equipment",
        **{name: rule for rule, name in SIMPLE.items()},
        "optional_first_va": "optional method, one dwelling unit, general loads",
        "measured_demand_percent": "existing loads from maximum demand",
    }
    for name, rule in named.items():
        for edition, printed in ROWS[rule]["section_by_edition"].items():
            assert printed.replace(" (inferred)", "").startswith(factors(edition).sections[name]), (name, edition)


def test_unknown_edition_and_impossible_count():
    with pytest.raises(TableError, match="2014"):
        factors("2014")
    with pytest.raises(TableError, match="0 appliances"):
        factors("2017").dryers(0)
    with pytest.raises(TableError, match="0 appliances"):
        factors("2017").ranges(0)
