"""Sizes of supply, grounding and bonding conductors at a panelboard, as a calculation.

Figures: Tables 310.16, 250.66, 250.102(C)(1) and 250.122 as beside each; areas in kcmil from Chapter 9 Table 8.
The derivations for the unaltered examples stand beside the fixtures.
"""

import dataclasses

import pytest

from changeout.application.choice import choose
from changeout.application.service import Service
from changeout.domain.findings import Effect
from changeout.intake.read import read_proposal
from changeout.render.report_json import calculation_object
from changeout.review.calculations import case_of
from changeout.review.conductors import busbar_of, sizes_of
from edited_proposals import ABSENT, edited

SERVICE = Service.load()
GROUNDING = "/grounding"


def sizes(name, changes=None, edition=None):
    return SERVICE.calculate("conductor-sizes", edited(name, changes), edition=edition)


def results(page):
    return {result["name"]: (result["low"], result["high"]) for result in page["results"]}


def lines(page):
    return {step["symbol"]: step for step in page["steps"]}


def words(page):
    return {step["name"]: step["expression"] for step in page["steps"] if step["low"] is None}


def point(kcmil):
    return (kcmil, kcmil)


def test_a_house_by_the_rule_for_dwelling_services():
    page = sizes("dwelling-service")
    found = results(page)
    # 0.83 x 200 = 166: 4/0 aluminum (180); the load of 99.17 A needs 1 AWG (100), before any rule on the rating
    assert lines(page)["I_83"]["value"] == pytest.approx(166)
    assert found["smallest conductor by the rule for dwelling services"] == point(211.6)
    assert found["smallest conductor for its device"] == point(211.6)  # 180 A, rounded up to 200
    assert found["smallest conductor for the calculated load"] == point(83.69)
    assert page["result"] == {"value": 211.6, "low": 211.6, "high": 211.6, "unit": "kcmil"}
    assert words(page)["supply conductor proposed: large enough"].endswith("holds")
    assert found["grounding electrode conductor"] == point(41.74)  # 4 AWG copper
    assert "main bonding jumper" not in found
    assert "screw" in words(page)["main bonding jumper"]
    assert "equipment grounding conductor" not in found
    assert page["missing"] == []


def test_the_rule_for_dwelling_services_lets_a_smaller_conductor_serve_where_it_may_be_used():
    copper = {"/supply/runs/0/material": "copper", "/supply/runs/0/size": "2/0 AWG"}
    page = sizes("dwelling-service", copper)
    assert page["result"]["value"] == 133.1  # 175 A, at least 166
    assert "by the rule for dwelling services" in words(page)["main: small enough for the conductors"]
    page = sizes("dwelling-service", {**copper, "/supply/carries_entire_dwelling_load": False})
    assert page["result"]["value"] == 167.8  # 3/0: 200 A; 2/0 permits no more than 175
    assert words(page)["main: small enough for the conductors"] == "200 A is no more than 175 A: does not hold"
    assert words(page)["supply conductor proposed: large enough"].endswith("does not hold")
    page = sizes("dwelling-service", {**copper, "/supply/carries_entire_dwelling_load": ABSENT})
    assert (page["result"]["low"], page["result"]["high"]) == (133.1, 167.8)
    assert page["missing"] == ["/supply/carries_entire_dwelling_load"]


def test_a_plant_over_800_a_where_nothing_is_rounded_up():
    page = sizes("plant-service-480y")
    found = results(page)
    assert found["smallest conductor for its device"] == point(400)  # 3 x 335; 350 kcmil: 3 x 310 = 930
    assert found["smallest conductor for the calculated load"] == point(250)  # 719.28 before factors; 3 x 255
    assert found["grounding electrode conductor"] == point(167.8)  # 3/0, over 1100 kcmil
    assert found["main bonding jumper"] == point(150)  # 12.5 % of 1200
    assert lines(page)["A_b"]["name"] == "main bonding jumper: 3/0 AWG, copper"
    assert words(page)["main bonding jumper proposed: large enough"] == "150 kcmil is no more than 211.6 kcmil: holds"


def test_an_office_behind_its_own_transformer():
    page = sizes("office-behind-transformer")
    found = results(page)
    assert found["smallest conductor for its device"] == point(211.6)  # 225 A: 3/0 permits 200, 4/0 permits 250
    assert found["smallest conductor for the calculated load"] == point(133.1)  # 150.03 A: 2/0
    assert found["grounding electrode conductor"] == point(66.36)  # 2 AWG
    assert found["system bonding jumper"] == (66.36, 105.6)  # 2 AWG copper or 1/0 aluminum: nobody asks which
    assert found["equipment grounding conductor"] == point(41.74)  # 4 AWG, row of 300 A
    assert page["missing"] == []


def test_straight_from_a_transformer_nothing_is_rounded_up_and_the_wire_is_a_bonding_jumper():
    ahead = {"/supply/overcurrent_device/position": "before-transformer"}
    page = sizes("office-behind-transformer", ahead)
    found = results(page)
    assert lines(page)["A_D"]["name"].startswith("smallest conductor for the main at the end of the secondary")
    assert found["smallest conductor for its device"] == point(211.6)  # 225 A within 230
    assert found["supply-side bonding jumper"] == point(66.36)  # 2 AWG copper for 4/0 copper
    assert "equipment grounding conductor" not in found
    main = {**ahead, "/panelboard/main/rating": "250 A"}
    assert results(sizes("office-behind-transformer", main))["smallest conductor for its device"] == point(250)  # 255
    lugs = {**ahead, "/panelboard/main": {"kind": "lugs"}}
    assert "smallest conductor for its device" not in results(sizes("office-behind-transformer", lugs))


def test_a_feeder():
    page = sizes("shop-feeder")
    found = results(page)
    assert page["result"]["value"] == 211.6  # 225 A: 4/0 copper (230); 3/0 permits 200
    assert found["equipment grounding conductor"] == point(41.74)  # 4 AWG copper, row of 300 A
    assert "grounding electrode conductor" not in found
    assert "main bonding jumper" not in found


@pytest.mark.parametrize(
    ("upsized", "expected"),
    [
        # in proportion: 41.74 x 211.6 / 167.8 = 52.635, just over 3 AWG (52.62)
        ({"/supply/conductors_upsized": True, "/supply/upsized_from": "3/0 AWG"}, (52.635, 52.635)),
        ({"/supply/conductors_upsized": True}, (41.74, 211.6)),
        ({"/supply/conductors_upsized": ABSENT}, (41.74, 211.6)),
        ({"/supply/conductors_upsized": False}, (41.74, 41.74)),
    ],
)
def test_the_equipment_grounding_conductor_grows_with_the_feeder(upsized, expected):
    page = sizes("shop-feeder", upsized)
    assert results(page)["equipment grounding conductor"] == pytest.approx(expected, rel=1e-4)
    if expected[0] > 50:
        assert lines(page)["A_e"]["name"] == "equipment grounding conductor: 2 AWG, copper"


def test_other_kinds_of_equipment_grounding_conductor():
    kind = f"{GROUNDING}/equipment_grounding_conductor"
    page = sizes("shop-feeder", {kind: {"kind": "raceway"}})
    assert "equipment grounding conductor" not in results(page)
    assert "raceway" in words(page)["equipment grounding conductor"]
    page = sizes("shop-feeder", {kind: {"kind": "none"}})
    assert results(page)["equipment grounding conductor"] == (41.74, 66.36)  # 4 AWG copper or 2 AWG aluminum
    assert words(page)["equipment grounding conductor proposed"] == "none"
    page = sizes("shop-feeder", {kind: {"kind": "wire", "material": "copper"}})
    assert words(page)["equipment grounding conductor proposed: large enough"].endswith("cannot be told")


def test_a_cottage_in_a_building_of_its_own():
    found = results(sizes("cottage-feeder"))
    # 1 AWG aluminum, 1/0 or smaller: 8 AWG copper; the cap of rods (6 AWG) is above that
    assert found["grounding electrode conductor"] == point(16.51)
    assert found["equipment grounding conductor"] == point(16.51)  # 8 AWG copper at 100 A
    page = sizes("cottage-feeder", {"/supply/separate_building": ABSENT})
    assert any("/supply/separate_building" in said for said in page["cautions"])
    assert "grounding electrode conductor" not in results(sizes("cottage-feeder", {"/supply/separate_building": False}))


@pytest.mark.parametrize(
    ("electrodes", "expected"),
    [
        (["ground-rod", "second-ground-rod"], point(26.24)),  # 6 AWG is enough for rods alone
        (["ground-rod", "concrete-encased"], point(41.74)),  # 4 AWG
        (["water-pipe", "ground-rod"], point(41.74)),  # the table's
        ([], point(41.74)),
        (ABSENT, (26.24, 41.74)),
    ],
)
def test_electrodes_that_have_a_cap(electrodes, expected):
    page = sizes("dwelling-service", {f"{GROUNDING}/electrodes": electrodes})
    assert results(page)["grounding electrode conductor"] == expected
    assert ("/grounding/electrodes" in page["missing"]) == (expected[0] < expected[1])


def test_a_role_that_nobody_states_asks_for_both():
    page = sizes("shop-feeder", {"/panelboard/role": ABSENT})
    found = results(page)
    assert {"grounding electrode conductor", "main bonding jumper", "equipment grounding conductor"} <= set(found)
    assert sum("depends on what is not stated: /panelboard/role" in said for said in page["cautions"]) >= 2


def test_a_tap_is_sized_for_the_main_at_its_end():
    page = sizes("shop-feeder", {"/supply/tap": True, "/panelboard/main/rating": "200 A"})
    assert lines(page)["I_d"]["name"] == "main at the end of the tap"
    assert results(page)["smallest conductor for its device"] == point(167.8)  # 3/0: 200 A


def test_several_disconnects_behind_service_conductors_go_by_the_load():
    lugs = {"/panelboard/main": {"kind": "lugs"}}
    page = sizes("workshop-high-leg", lugs)
    assert lines(page)["I_d"]["name"].startswith("calculated load")
    assert results(page)["smallest conductor for its device"] == point(52.62)  # 96.23 A: 3 AWG copper, 100


@pytest.mark.parametrize(
    ("listed", "expected"),
    [
        (False, point(133.1)),  # 52 kVA / 360.27 = 144.34; with half of it at 125 %: 162.38: 2/0 (175)
        (True, point(105.6)),  # 144.34: 1/0 (150)
        (ABSENT, (105.6, 133.1)),
    ],
)
def test_a_main_for_its_full_rating_needs_nothing_more_for_the_continuous_part(listed, expected):
    page = sizes("shop-feeder", {"/panelboard/main/hundred_percent_rated": listed})
    assert results(page)["smallest conductor for the calculated load"] == expected


def test_the_load_of_the_common_area_of_an_apartment_house_has_its_continuous_part_raised():
    common = {"/project/occupancy": "multifamily-dwelling", "/project/serves": "common-area"}
    assert lines(sizes("shop-feeder", common))["I_LC"]["value"] == pytest.approx(162.38, abs=0.01)
    unit = {"/project/occupancy": "multifamily-dwelling", "/project/serves": "dwelling-unit"}
    assert lines(sizes("shop-feeder", unit))["I_LC"]["value"] == pytest.approx(144.34, abs=0.01)


def test_aluminum_jumper_above_the_table():
    jumper = {f"{GROUNDING}/main_bonding_jumper": {"kind": "wire", "size": "250 kcmil", "material": "aluminum"}}
    page = sizes("plant-service-480y", jumper)
    # 400 kcmil copper carries 335 A: aluminum of equal ampacity is 600 kcmil (340); 12.5 % of 3 x 600 = 225
    assert results(page)["main bonding jumper"] == point(225)
    assert lines(page)["A_b"]["expression"] == "225"


@pytest.mark.parametrize(
    ("runs", "words_", "missing"),
    [([], "no conductors lie between", []), (ABSENT, "are not stated", ["/supply/runs"])],
)
def test_without_supply_conductors_nothing_can_be_sized(runs, words_, missing):
    page = sizes("dwelling-service", {"/supply/runs": runs})
    assert page["result"] == {"value": None, "low": 0, "high": None, "unit": "kcmil"}
    assert words_ in page["steps"][0]["expression"]
    assert page["missing"] == missing


def test_conductors_that_no_table_permits():
    page = sizes("dwelling-service", {"/supply/runs/0/ambient_temperature": "75 degC"})
    assert (page["result"]["low"], page["result"]["high"]) == (2000, None)
    assert "larger than 2000 kcmil" in lines(page)["A_L"]["name"]
    assert page["cautions"] == ["No table permits these conductors as they are described."]


def test_what_is_not_stated_is_a_range_and_named():
    page = sizes("half-known-dwelling")
    assert page["result"]["low"] < 133.1 or page["result"]["high"] is None
    assert "/supply/runs/0/insulation_temperature" in page["missing"]
    assert words(page)["supply conductor proposed: large enough"].endswith("cannot be told")


@pytest.mark.parametrize(("edition", "section"), [("2017", "310.15(B)(7)"), ("2020", "310.12(A)"), ("2026", "310.12")])
def test_sections_are_those_of_the_edition(edition, section):
    assert lines(sizes("dwelling-service", edition=edition))["I_83"]["source"] == section


SILENT = (
    "supply-conductors-protected-at-ampacity",
    "dwelling-service-conductor-83-percent",
    "grounding-electrode-conductor-size",
    "main-bonding-jumper-present-and-sized",
    "interconnected-source-busbar-rule",
)


def test_a_ruleset_that_does_not_ask_leaves_its_part_out_and_takes_the_tables():
    proposal = read_proposal(edited("plant-service-480y")).proposal
    ruleset, adoption = choose(proposal, None, SERVICE.rulesets, SERVICE.jurisdictions_by_id)
    rows = {
        name: dataclasses.replace(row, in_force=False, effect=Effect.NONE) if name in SILENT else row
        for name, row in ruleset.edition.rows.items()
    }
    silent = dataclasses.replace(ruleset, edition=dataclasses.replace(ruleset.edition, rows=rows))
    case = case_of(proposal, ruleset, adoption)
    assert words(calculation_object(busbar_of(case, silent)))["permitted sums"] == "this ruleset asks for none of them"
    page = calculation_object(sizes_of(case, silent))
    found = results(page)
    assert "smallest conductor for its device" not in found
    assert "I_83" not in lines(page)
    assert found["smallest supply conductor"] == point(250)  # the load alone
    assert found["main bonding jumper"] == point(150)
    assert found["grounding electrode conductor"] == point(167.8)


def test_the_smallest_conductor_serves_a_load_above_its_device_too():
    # Table 310.16, copper at 75 degC: 300 A needs 350 kcmil (310 A), the device of 225 A less
    page = sizes("shop-feeder", {"/load": {"method": "stated", "calculated_load": "300 A", "continuous_share": 0}})
    assert results(page)["smallest conductor for the calculated load"] == point(350.0)
    assert page["result"]["value"] == 350.0
