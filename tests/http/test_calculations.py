"""POST /v1/calculations/{kind}: every kind, with known and unknown facts, and what is refused."""

import json

import pytest

from changeout.application.calculations import CALCULATIONS
from edited_proposals import ABSENT, edited, example

UNITS = {"fault-current": "A", "load": "VA", "ampacity": "A", "conductor-sizes": "kcmil", "busbar": "percent"}
EXAMPLES = (
    "dwelling-service",
    "house-with-pv",
    "office-behind-transformer",
    "plant-service-480y",
    "half-known-dwelling",
)


def post(client, kind, body, query="", content_type="application/json"):
    return client.post(f"/v1/calculations/{kind}{query}", data=body, content_type=content_type)


def test_there_are_five_kinds():
    assert set(CALCULATIONS) == set(UNITS)


@pytest.mark.parametrize("kind", UNITS)
@pytest.mark.parametrize("name", EXAMPLES)
def test_every_kind_answers_every_example(client, service, kind, name):
    answer = post(client, kind, example(name))
    assert answer.status_code == 200
    assert answer.mimetype == "application/json"
    page = answer.get_json()
    assert page == json.loads(json.dumps(service.calculate(kind, example(name))))
    assert (page["id"], page["edition"], page["result"]["unit"]) == (kind, "2023", UNITS[kind])
    assert page["steps"]
    for step in page["steps"]:
        assert step["symbol"]
        assert step["name"]
        assert step["expression"]
        assert step["source"]


@pytest.mark.parametrize(
    ("kind", "name", "value"),
    [
        # worked out beside the fixtures
        ("fault-current", "plant-service-480y", pytest.approx(15232, abs=1)),
        ("load", "plant-service-480y", 520000),
        ("ampacity", "plant-service-480y", 1005),
        ("conductor-sizes", "plant-service-480y", 400),
        ("busbar", "house-with-pv", pytest.approx(100 * 237.5 / 240)),
    ],
)
def test_results(client, kind, name, value):
    assert post(client, kind, example(name)).get_json()["result"]["value"] == value


@pytest.mark.parametrize(
    ("kind", "absent", "name"),
    [
        ("fault-current", "/supply/runs/0/length", "dwelling-service"),
        ("load", "/load/floor_area", "dwelling-service"),
        ("ampacity", "/supply/runs/0/insulation_temperature", "dwelling-service"),
        ("ampacity", "/panelboard/circuits/0/conductor/size", "dwelling-service"),
        ("conductor-sizes", "/supply/runs/0/current_carrying_conductors", "plant-service-480y"),
        ("conductor-sizes", "/grounding/electrode_conductor/material", "plant-service-480y"),
        ("busbar", "/generation/0/position", "house-with-pv"),
        ("busbar", "/panelboard/main/rating", "house-with-pv"),
    ],
)
def test_what_is_not_stated_is_a_range_and_named(client, kind, absent, name):
    page = post(client, kind, edited(name, {absent: ABSENT})).get_json()
    assert absent in page["missing"]
    ends = [(number["low"], number["high"]) for number in (page["result"], *page["results"])]
    assert any(low != high for low, high in ends)


@pytest.mark.parametrize("kind", UNITS)
def test_a_supply_of_which_nothing_is_known_is_still_answered(client, kind):
    bare = {
        "changeout": 1,
        "project": {"edition": "2023", "occupancy": "commercial"},
        "work": {"scope": "interior-only"},
    }
    for supply in ({}, {"supply": {"system": "120/240V-1ph-3w", "runs": []}}, {"supply": {"runs": [{}]}}):
        answer = post(client, kind, json.dumps({**bare, **supply}))
        assert answer.status_code == 200, answer.text
        assert "Infinity" not in answer.text


@pytest.mark.parametrize("kind", ["tea", "Fault-Current", "fault-current/", "conductor_sizes"])
def test_another_kind_is_not_found(client, kind):
    answer = post(client, kind, example("dwelling-service"))
    assert answer.status_code == 404
    assert answer.mimetype == "application/problem+json"
    assert answer.get_json()["code"] == "not-found"


@pytest.mark.parametrize("kind", UNITS)
def test_refusals(client, kind):
    answer = post(client, kind, b"{")
    assert (answer.status_code, answer.get_json()["code"]) == (400, "malformed-json")
    answer = post(client, kind, edited("dwelling-service", {"/supply/runs/0/length": "70"}))
    assert (answer.status_code, answer.get_json()["code"]) == (422, "unreadable-proposal")
    assert answer.get_json()["errors"][0]["pointer"] == "/supply/runs/0/length"
    assert post(client, kind, example("dwelling-service"), content_type="text/plain").status_code == 415
    assert client.get(f"/v1/calculations/{kind}").status_code == 405
    assert post(client, kind, example("dwelling-service"), "?edition=1999").status_code in {400, 404, 422}


@pytest.mark.parametrize(("edition", "value"), [("2023", 29035), ("2026", 26875)])
def test_the_edition_can_be_chosen(client, edition, value):
    page = post(client, "load", example("house-with-pv"), f"?edition={edition}").get_json()
    assert (page["edition"], page["result"]["value"]) == (edition, value)
