"""The ampacity of every conductor of a proposal. Ampacities: Table 310.16; factors: its notes' tables."""

import json
from pathlib import Path

import pytest

from changeout.application.service import Service
from edited_proposals import ABSENT, edited, example

SERVICE = Service.load()
PRINTED = {
    (row["size"], material): row[f"{short}_75c"]
    for row in json.loads(
        (Path(__file__).parents[1] / "reference/tables/conductor_ampacity_310_16.json").read_text("utf-8")
    )["rows"]
    for material, short in (("copper", "cu"), ("aluminum", "al"))
}


def ampacity(name, changes=None, edition=None):
    return SERVICE.calculate("ampacity", edited(name, changes), edition=edition)


def results(page):
    return {result["at"]: (result["low"], result["high"]) for result in page["results"]}


def lines(page):
    return {step["symbol"]: step for step in page["steps"]}


@pytest.mark.parametrize(
    ("name", "expected"),
    [
        ("dwelling-service", 180),  # 4/0 aluminum
        ("cottage-feeder", 100),  # 1 AWG aluminum
        ("motel-pool-room", 130),  # 1 AWG copper
        ("shop-feeder", 230),  # 4/0 copper
        ("workshop-high-leg", 200),  # 3/0 copper
        ("new-cabinet-shop", 400),  # 2 x 200
        ("plant-service-480y", 1005),  # 3 x 335
        ("office-behind-transformer", 230),
    ],
)
def test_the_run_that_ends_at_the_panelboard(name, expected):
    page = ampacity(name)
    assert page["id"] == "ampacity"
    assert page["result"] == {"value": expected, "low": expected, "high": expected, "unit": "A"}


@pytest.mark.parametrize("name", SERVICE.examples())
def test_every_circuit_has_the_printed_ampacity_of_its_conductor(name):
    found = results(ampacity(name))
    known = 0
    for place, circuit in enumerate(json.loads(example(name))["panelboard"]["circuits"]):
        conductor = circuit.get("conductor", {})
        own = found[f"/panelboard/circuits/{place}/conductor"]
        if conductor.get("insulation_temperature") == "75 degC":
            printed = PRINTED[conductor["size"].split()[0], conductor["material"]]
            assert own == (printed, printed)
            known += 1
        else:
            assert own[0] < own[1]
    assert known > 5 or name == "half-known-dwelling"


def test_factors_of_ambient_and_number_of_conductors():
    run = "/supply/runs/0"
    page = ampacity(
        "dwelling-service", {f"{run}/ambient_temperature": "43 degC", f"{run}/current_carrying_conductors": 6}
    )
    assert page["result"]["value"] == pytest.approx(180 * 0.82 * 0.8)
    assert lines(page)["I_c(1)"]["expression"] == "I_t x F_a x F_n = 180 x 0.82 x 0.8"


@pytest.mark.parametrize(("edition", "table"), [("2017", "Table 310.15(B)(16)"), ("2023", "Table 310.16")])
def test_tables_are_those_of_the_edition(edition, table):
    assert lines(ampacity("dwelling-service", edition=edition))["I_t(1)"]["source"] == table


def test_conductors_that_are_alike_share_their_lines():
    page = ampacity("house-with-pv")
    found = lines(page)
    assert found["I_t(1)"]["name"].startswith("runs lateral, entrance: ")
    assert "I_t(2)" not in found
    assert results(page)["/supply/runs/1"] == (180, 180)
    assert found["I_t(c14)"]["name"].startswith("circuits 14, 38: ")
    assert any("end before the panelboard" in said for said in page["assumptions"])


def test_runs_before_a_transformer_have_terminals_that_nobody_states():
    page = ampacity("office-behind-transformer")
    # 1 AWG copper: 110 in the 60 degC column, 130 in the 75 degC column; its device is not stated
    assert results(page)["/supply/separately_derived/primary_runs/0"] == (110, 130)
    assert any("before the transformer" in said for said in page["assumptions"])
    assert page["missing"] == []
    assert "" not in page["inputs"]


def test_a_device_before_the_transformer_sets_the_column_there():
    page = ampacity(
        "office-behind-transformer",
        {"/supply/overcurrent_device": {"kind": "breaker", "rating": "125 A", "position": "before-transformer"}},
    )
    assert results(page)["/supply/separately_derived/primary_runs/0"] == (130, 130)


def test_what_is_not_stated_is_a_range_and_named():
    page = ampacity("half-known-dwelling")
    assert (page["result"]["low"], page["result"]["high"]) == (0, 135)  # 2/0 aluminum; no ambient is stated
    assert page["missing"][:3] == [
        "/supply/runs/0/insulation_temperature",
        "/supply/runs/0/ambient_temperature",
        "/supply/runs/0/current_carrying_conductors",
    ]
    assert "/panelboard/circuits/0/conductor/size" in page["missing"]
    assert results(page)["/panelboard/circuits/1/conductor"] == (30, 35)  # 10 AWG copper: 60 or 75 degC


@pytest.mark.parametrize(
    ("runs", "words", "missing"),
    [([], "no conductors lie between", []), (ABSENT, "are not stated", ["/supply/runs"])],
)
def test_without_supply_conductors_no_bound_is_known(runs, words, missing):
    page = ampacity("dwelling-service", {"/supply/runs": runs})
    assert page["result"] == {"value": None, "low": 0, "high": None, "unit": "A"}
    assert words in page["steps"][0]["expression"]
    assert page["missing"] == missing
    assert results(page)["/panelboard/circuits/0/conductor"] == (65, 65)


def test_what_no_table_permits_is_nothing_and_is_said():
    page = ampacity("dwelling-service", {"/supply/runs/0/ambient_temperature": "75 degC"})
    assert page["result"]["value"] == 0
    assert page["cautions"] == ["run lateral: no table permits these conductors as they are described."]
