"""The optional traces: what a span tells, and that it tells nothing of what was sent."""

import json

import pytest
from flask import Flask
from opentelemetry.sdk.trace.export.in_memory_span_exporter import InMemorySpanExporter
from opentelemetry.trace import StatusCode

from changeout.application.environment import SettingsError
from changeout.application.service import Service
from changeout.web import tracing
from changeout.web.app import create_app
from changeout.web.settings import Settings

SENT = "00-4bf92f3577b34da6a3ce929d0e0e4736-00f067aa0ba902b7-01"


@pytest.fixture(scope="module")
def service():
    return Service.load()


@pytest.fixture
def traced(service, monkeypatch):
    exporter, made = InMemorySpanExporter(), []
    whole = tracing.register_tracing
    monkeypatch.setattr(tracing, "BatchSpanProcessor", lambda exporter: made.append(exporter) or _simple(exporter))
    monkeypatch.setattr(tracing, "register_tracing", lambda app, url: whole(app, url, lambda: exporter))
    app = create_app(Settings(traces="http://127.0.0.1:9/v1/traces"), service)
    assert isinstance(app, Flask)
    return app.test_client(), exporter, made


def _simple(exporter):
    from opentelemetry.sdk.trace.export import SimpleSpanProcessor

    return SimpleSpanProcessor(exporter)


def test_a_span_tells_what_the_log_tells(traced, service):
    client, exporter, made = traced
    assert made == [], "nothing is made before the first request: the process may fork"
    body = service.example("dwelling-service")
    response = client.post("/v1/validations", data=body, content_type="application/json", headers={"traceparent": SENT})
    (span,) = exporter.get_finished_spans()
    assert span.name == "POST /v1/validations"
    assert span.parent.trace_id == int(SENT.split("-")[1], 16)
    assert dict(span.attributes) == {
        "http.request.method": "POST",
        "http.route": "/v1/validations",
        "http.response.status_code": 200,
        "changeout.request_id": response.headers["X-Request-Id"],
        "changeout.verdict": response.json["verdict"],
        "changeout.edition": response.json["ruleset"]["edition"],
        "changeout.decision_id": response.json["decision_id"],
    }
    document = json.loads(body)
    assert document["project"]["reference"] not in span.to_json()


def test_refusals_batches_and_addresses_of_callers(traced):
    client, exporter, _ = traced
    client.get("/v1/private-matter")
    client.post("/v1/validations", data=b"{", content_type="application/json")
    with client.post("/v1/validations/batch", data=b"{\n", content_type="application/x-ndjson") as batch:
        assert batch.data
    first, second, third = exporter.get_finished_spans()
    assert first.name == "GET unmatched"
    assert second.attributes["changeout.problem"] == "malformed-json"
    assert third.attributes["http.route"] == "/v1/validations/batch"
    assert all("private" not in span.to_json() for span in (first, second, third))
    assert all(span.status.status_code is StatusCode.UNSET for span in (first, second, third))


def test_a_trace_header_that_is_none_is_passed_over(traced):
    client, exporter, _ = traced
    assert (
        client.get("/livez", headers={"traceparent": "00-zz-" + "x" * 500, "tracestate": "a=b," * 200}).status_code
        == 200
    )
    assert exporter.get_finished_spans()[0].parent is None


def test_the_setting_is_the_address_of_a_collector():
    assert Settings.from_environment({"CHANGEOUT_TRACES": "http://127.0.0.1:4318/v1/traces"}).traces
    with pytest.raises(SettingsError, match="CHANGEOUT_TRACES"):
        Settings.from_environment({"CHANGEOUT_TRACES": "collector"})


def test_unless_it_is_set_nothing_of_it_is_loaded():
    import subprocess
    import sys

    code = (
        "import changeout.wsgi, sys; print([m for m in sys.modules if m.split('.')[0] in ('opentelemetry', 'limits')])"
    )
    assert (
        subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True).stdout.strip() == "[]"
    )
