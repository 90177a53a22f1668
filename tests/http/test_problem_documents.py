"""Every refusal is a problem document with the right code and status."""

import json

import pytest
from jsonschema import Draft202012Validator

from changeout.domain.problems import PROBLEMS, Refusal
from changeout.render.problem_json import problem_schema
from changeout.web.app import create_app
from changeout.web.settings import Settings

PROBLEM = Draft202012Validator(problem_schema())
AN_ARRAY = b"[" * 33 + b"]" * 33


def is_problem(response, status, code):
    assert (response.status_code, response.content_type) == (status, "application/problem+json")
    PROBLEM.validate(response.json)
    assert (response.json["status"], response.json["code"]) == (status, code)
    assert response.json["type"] == f"/docs/problems#{code}"
    assert response.json["title"] == PROBLEMS[code].title
    assert response.headers["Cache-Control"] == "no-store"
    return response.json


@pytest.mark.parametrize("path", ["/v1/validations", "/v1/calculations/fault-current"])
@pytest.mark.parametrize(
    "body, status, code",
    [
        (b"", 400, "empty-body"),
        (b" \n", 400, "empty-body"),
        (b'{"changeout": 1,}', 400, "malformed-json"),
        (b'{"changeout": 01}', 400, "malformed-json"),
        (b'{"a": 1, "a": 1}', 400, "duplicate-key"),
        (b'{"a": NaN}', 400, "not-a-number"),
        (b'{"a": -Infinity}', 400, "not-a-number"),
        (b'{"a": 1e400}', 400, "number-out-of-range"),
        (b'{"a": "\\ud800"}', 400, "lone-surrogate"),
        (b'\xef\xbb\xbf{"changeout": 1}', 400, "byte-order-mark"),
        (b'{"a": "\xff"}', 400, "not-utf-8"),
        (AN_ARRAY, 400, "nesting-too-deep"),
        (b"[" * 100_000, 400, "nesting-too-deep"),
        (b'{"changeout": 1}', 422, "unreadable-proposal"),
        (b"[]", 422, "unreadable-proposal"),
        (b"null", 422, "unreadable-proposal"),
        (b'"proposal"', 422, "unreadable-proposal"),
    ],
)
def test_a_document_that_cannot_be_read(client, path, body, status, code):
    is_problem(client.post(path, data=body, content_type="application/json"), status, code)


def test_what_is_malformed_is_located(client):
    body = b'{\n  "changeout": 1,\n  "project": {"occupancy" "x"}\n}'
    problem = is_problem(
        client.post("/v1/validations", data=body, content_type="application/json"), 400, "malformed-json"
    )
    # The colon is missed on line 3 after `  "project": {"occupancy" `, which is 26 characters long.
    assert [(e["line"], e["column"]) for e in problem["errors"]] == [(3, 27)]


def test_every_error_of_a_proposal_is_listed_with_its_place(client, proposal):
    document = json.loads(proposal)
    document["panelboard"]["busbar_rating"] = 200
    document["panelboard"]["colour"] = "grey"
    body = json.dumps(document, indent=1).encode()
    problem = is_problem(
        client.post("/v1/validations", data=body, content_type="application/json"), 422, "unreadable-proposal"
    )
    found = {(error["pointer"], error["code"]) for error in problem["errors"]}
    assert {("/panelboard/busbar_rating", "bare-number"), ("/panelboard/colour", "unknown-member")} <= found
    lines = body.decode().splitlines()
    for error in problem["errors"]:
        member = error["pointer"].rsplit("/", 1)[1]
        assert f'"{member}"' in lines[error["line"] - 1]


@pytest.mark.parametrize(
    "query",
    ["edition=1999", "edition=", "edition=2023&edition=2023", "Edition=2023", "detail=all", "verbose", "edition=%ff"],
)
def test_a_query_that_cannot_be_taken(client, proposal, query):
    response = client.post(f"/v1/validations?{query}", data=proposal, content_type="application/json")
    is_problem(response, 400, "bad-query")


@pytest.mark.parametrize("path", ["/v1/editions?page=2", "/v1/editions/2023/changes", "/livez?x=1", "/docs?x=1"])
def test_unknown_and_missing_parameters_anywhere(client, path):
    is_problem(client.get(path), 400, "bad-query")


@pytest.mark.parametrize(
    "path",
    [
        "/",
        "/v1",
        "/v1/editions/",
        "/v1//editions",
        "/v1/editions/1999",
        "/v1/editions/1999/rules/short-circuit-rating-at-least-fault-current",
        "/v1/editions/2023/rules/nothing",
        "/v1/editions/1999/changes?since=2020",
        "/v1/jurisdictions/nowhere",
        "/v1/examples/nothing",
        "/v1/examples/..%2f__init__",
        "/docs/nothing",
        "/docs/assets/nothing",
        "/docs/assets/..%2f..%2fapp.py",
        "/v1/editions/%ff%00",
    ],
)
def test_an_address_that_leads_nowhere(client, path):
    is_problem(client.get(path), 404, "not-found")


def test_an_unknown_calculation_is_not_found(client, proposal):
    is_problem(client.post("/v1/calculations/tea", data=proposal, content_type="application/json"), 404, "not-found")


@pytest.mark.parametrize(
    "method, path, allowed",
    [
        ("GET", "/v1/validations", "OPTIONS, POST"),
        ("HEAD", "/v1/validations", "OPTIONS, POST"),
        ("DELETE", "/v1/editions", "GET, HEAD, OPTIONS"),
        ("POST", "/docs", "GET, HEAD, OPTIONS"),
        ("BREW", "/livez", "GET, HEAD, OPTIONS"),
        ("TRACE", "/livez", "GET, HEAD, OPTIONS"),
    ],
)
def test_a_method_that_a_resource_does_not_know(client, method, path, allowed):
    response = client.open(path, method=method)
    assert response.headers["Allow"] == allowed
    assert response.status_code == 405
    if method != "HEAD":
        is_problem(response, 405, "method-not-allowed")


@pytest.mark.parametrize(
    "headers",
    [
        {},
        {"Content-Type": "text/plain"},
        {"Content-Type": "application/x-www-form-urlencoded"},
        {"Content-Type": "text/json"},
        {"Content-Type": "application/jsonx"},
        {"Content-Type": "image/svg+json"},
        {"Content-Type": "application/json; charset=utf-16"},
        {"Content-Type": "application/json", "Content-Encoding": "gzip"},
    ],
)
def test_a_media_type_that_is_not_taken(client, proposal, headers):
    is_problem(client.post("/v1/validations", data=proposal, headers=headers), 415, "unsupported-media-type")


def test_no_representation_comes_before_the_body_is_looked_at(client):
    response = client.post("/v1/validations", data=b"{", headers={"Accept": "image/png"})
    problem = is_problem(response, 406, "not-acceptable")
    assert "application/json" in problem["detail"]


class _Failing:
    """A service with a fault in it."""

    digest = "sha256:" + "0" * 64

    def __init__(self, service, fault):
        self._service = service
        self._fault = fault

    def __getattr__(self, name):
        return getattr(self._service, name)

    def report_on(self, *_, **__):
        raise self._fault


def test_a_fault_of_ours_tells_nothing_but_the_request_id(service, proposal, caplog):
    app = create_app(Settings(), _Failing(service, KeyError("dwelling at 12 Secret Street")))
    with caplog.at_level("INFO", logger="changeout"):
        response = app.test_client().post(
            "/v1/validations", data=proposal, content_type="application/json", headers={"X-Request-Id": "r-17"}
        )
    problem = is_problem(response, 500, "internal-error")
    assert "r-17" in problem["detail"]
    assert "errors" not in problem
    assert "Secret" not in response.text + caplog.text
    fault = next(json.loads(r.message) for r in caplog.records if r.name == "changeout.faults")
    assert (fault["fault"], fault["request_id"]) == ("KeyError", "r-17")
    assert fault["frames"][-1].endswith(" report_on")


@pytest.mark.parametrize("code", list(PROBLEMS))
def test_every_code_can_be_answered_with(service, proposal, code):
    app = create_app(Settings(), _Failing(service, Refusal(code, "Because.", headers=(("Retry-After", "3"),))))
    response = app.test_client().post("/v1/validations", data=proposal, content_type="application/json")
    is_problem(response, PROBLEMS[code].status, code)
    assert response.headers["Retry-After"] == "3"
