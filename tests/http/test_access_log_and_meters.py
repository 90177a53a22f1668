"""What an operator sees: a line for each request, and meters with bounded labels."""

import json
import re

import pytest
import requests

from changeout.web.app import create_app
from changeout.web.settings import Settings
from serving import serving

TOLD = {
    "time",
    "method",
    "route",
    "status",
    "duration_ms",
    "decision_id",
    "verdict",
    "edition",
    "problem",
    "request_bytes",
    "response_bytes",
    "request_id",
}


@pytest.fixture
def lines(caplog):
    caplog.set_level("INFO", logger="changeout")
    return lambda: [json.loads(r.message) for r in caplog.records if r.name == "changeout.access"]


def test_a_validation_is_told_without_anything_it_said(client, proposal, lines, caplog):
    response = client.post("/v1/validations", data=proposal, content_type="application/json")
    (line,) = lines()
    assert set(line) == TOLD
    assert (line["method"], line["route"], line["status"]) == ("POST", "/v1/validations", 200)
    assert line["decision_id"] == response.json["decision_id"]
    assert (line["verdict"], line["edition"]) == (response.json["verdict"], "2023")
    assert (line["request_bytes"], line["response_bytes"]) == (len(proposal), len(response.data))
    assert line["request_id"] == response.headers["X-Request-Id"]
    assert line["problem"] is None
    assert re.fullmatch(r"\d{4}-\d\d-\d\dT\d\d:\d\d:\d\d\.\d{3}Z", line["time"])
    project = json.loads(proposal)["project"]
    for told in (project["reference"], *project.get("annotations", {}).values()):
        assert told not in caplog.text


def test_a_refusal_is_told_by_its_code(client, lines):
    client.post("/v1/validations", data=b"{", content_type="application/json")
    (line,) = lines()
    assert (line["status"], line["problem"], line["verdict"]) == (400, "malformed-json", None)


def test_addresses_and_methods_of_callers_are_not_told(client, lines, caplog):
    client.get("/secret-street-12?owner=me")
    client.open("/livez", method="SECRET")
    client.get("/v1/editions/2023/rules/secret")
    assert [(line["route"], line["method"]) for line in lines()] == [
        ("unmatched", "GET"),
        ("unmatched", "other"),
        ("/v1/editions/<edition>/rules/<rule>", "GET"),
    ]
    assert "ecret" not in caplog.text
    assert "SECRET" not in caplog.text


def test_meters_count_by_route_verdict_and_code(client, proposal):
    before = client.get("/metrics").text
    verdict = client.post("/v1/validations", data=proposal, content_type="application/json").json["verdict"]
    client.post("/v1/validations", data=b"{", content_type="application/json")
    after = client.get("/metrics").text

    def grown(series):
        values = [re.search(rf"^{re.escape(series)} (\S+)$", text, re.MULTILINE) for text in (before, after)]
        return float(values[1][1]) - (float(values[0][1]) if values[0] else 0)

    assert grown('changeout_requests_total{method="POST",route="/v1/validations",status="200"}') == 1
    assert grown('changeout_requests_total{method="POST",route="/v1/validations",status="400"}') == 1
    assert grown(f'changeout_validations_total{{edition="2023",verdict="{verdict}"}}') == 1
    assert grown('changeout_refusals_total{code="malformed-json"}') == 1
    assert "changeout_build{" in after


def test_findings_are_counted_by_outcome_and_open_ones_by_rule(service):
    client = create_app(Settings(), service).test_client()
    body = service.example("half-known-dwelling")
    report = client.post("/v1/validations", data=body, content_type="application/json").json
    with client.post(
        "/v1/validations/batch", data=b" ".join(body.split()), content_type="application/x-ndjson"
    ) as batch:
        assert batch.data
    meters = client.get("/metrics").text
    edition = report["ruleset"]["edition"]
    for outcome, number in report["counts"].items():
        if outcome != "waived":
            assert f'changeout_findings_total{{edition="{edition}",outcome="{outcome}"}} {2.0 * number}' in meters
    open_findings = [f for f in report["findings"] if f["outcome"] in {"violation", "undetermined"}]
    assert open_findings
    told = re.findall(
        r'^changeout_open_findings_total\{outcome="([\w-]+)",rule="([\w-]+)"\} (\S+)', meters, re.MULTILINE
    )
    assert sum(float(number) for _, _, number in told) == 2 * len(open_findings)
    assert {rule for _, rule, _ in told} == {f["rule"] for f in open_findings}


def test_callers_cannot_make_new_series(client):
    def series():
        text = client.get("/metrics").text
        return len([line for line in text.splitlines() if not line.startswith("#")])

    client.get("/nothing-0")
    client.open("/livez", method="ODD0")
    before = series()
    for number in range(20):
        client.get(f"/nothing-{number}")
        client.open("/livez", method=f"ODD{number}")
    assert series() == before


def test_the_log_of_a_served_request_is_one_line_of_json(served):
    requests.get(f"{served.url}/v1/editions", headers={"X-Request-Id": "told-once"}, timeout=10)
    told = [line for line in served.log() if line["request_id"] == "told-once"]
    assert [line["route"] for line in told] == ["/v1/editions"]


def test_several_workers_count_together(tmp_path):
    with serving(tmp_path, "--workers", "2", "--threads", "2") as running:
        for _ in range(30):
            requests.get(f"{running.url}/v1/editions", timeout=10)
        text = requests.get(f"{running.url}/metrics", timeout=10).text
    assert 'changeout_requests_total{method="GET",route="/v1/editions",status="200"} 30.0' in text
    assert text.count("changeout_build{") == 1
