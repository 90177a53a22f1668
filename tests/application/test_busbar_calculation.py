"""The permitted sums on the busbar of a proposal; the house with a solar inverter is worked out beside its fixture."""

import pytest

from changeout.application.service import Service
from edited_proposals import ABSENT, edited

SERVICE = Service.load()


def busbar(name, changes=None, edition=None):
    return SERVICE.calculate("busbar", edited(name, changes), edition=edition)


def amperes(page):
    return {result["name"]: (result["low"], result["high"]) for result in page["results"]}


def which(page):
    return page["steps"][-1]["expression"]


@pytest.mark.parametrize("edition", SERVICE.editions())
def test_the_house_with_an_inverter_needs_the_120_percent_sum(edition):
    page = busbar("house-with-pv", edition=edition)
    found = amperes(page)
    assert found["sum: total"] == found["120-percent: total"] == (237.5, 237.5)
    assert found["sum: limit"] == (200, 200)
    assert found["120-percent: limit"] == (240, 240)
    assert found["sum-of-breakers: total"] == (420, 420)
    assert which(page) == "120-percent"
    assert page["result"]["value"] == pytest.approx(100 * 237.5 / 240)
    assert page["missing"] == []


@pytest.mark.parametrize(
    ("changes", "expected"),
    [
        ({"/generation/0/position": "other"}, "none"),
        ({"/generation/0/position": ABSENT}, "cannot be told"),
        ({"/generation/0/output_current": "33 A"}, "none"),  # 241.25 of 240
        ({"/panelboard/busbar_rating": "225 A"}, "120-percent"),  # 237.5 of 225; 237.5 of 270
        ({"/panelboard/main/rating": "150 A"}, "sum, 120-percent"),  # 187.5
        ({"/generation": []}, "sum, 120-percent"),
    ],
)
def test_which_sum_holds(changes, expected):
    assert which(busbar("house-with-pv", changes)) == expected


def test_with_lugs_the_device_ahead_protects_the_busbar():
    lugs = {"/panelboard/main": {"kind": "lugs"}}
    found = amperes(busbar("shop-feeder", lugs))
    assert found["sum: total"] == (225, 225)
    page = busbar("dwelling-service", {**lugs, "/generation": []})
    assert "No device protects the busbar" in " ".join(page["cautions"])  # a service with lugs and nothing ahead
    assert which(page) == "none"
    # nobody says whether there is a main of 150 A, or lugs behind the device of 225 A
    page = busbar("shop-feeder", {"/panelboard/main": {"rating": "150 A"}})
    assert amperes(page)["sum: total"] == (150, 225)
    assert "/panelboard/main/kind" in page["missing"]


def test_nothing_said_of_other_sources():
    page = busbar("half-known-dwelling")
    assert which(page) == "cannot be told"
    assert page["missing"] == ["/generation"]
    assert page["cautions"] == ["Whether there are other sources is not stated."]
    assert page["result"]["high"] is None


def test_a_generator_behind_transfer_equipment_is_not_on_the_busbar():
    generator = {"/generation/0/kind": "generator", "/generation/0/position": "other"}
    page = busbar("house-with-pv", {**generator, "/service/transfer_equipment": "listed"})
    assert amperes(page)["sum: total"] == (200, 200)
    page = busbar("house-with-pv", generator)
    assert amperes(page)["sum: total"] == (237.5, 237.5)
    assert any("transfer equipment" in said for said in page["cautions"])


def test_a_busbar_fed_at_its_center_in_a_dwelling():
    page = busbar("house-with-pv", {"/panelboard/center_fed": True})
    assert which(page) == "center-fed"
    assert amperes(page)["center-fed: limit"] == (240, 240)
