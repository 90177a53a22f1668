"""Reports and documents in forms other than JSON: well-formed, complete, safe to show."""

import json
from html.parser import HTMLParser
from xml.etree import ElementTree as ET

import pytest

from changeout.application.documents import DOCUMENTS
from changeout.render.page_html import style_hash

PATH = "/v1/validations"
RULE = "short-circuit-rating-at-least-fault-current"


@pytest.fixture
def violating(proposal):
    document = json.loads(proposal)
    document["panelboard"]["short_circuit_rating"] = "1 kA"
    document["project"]["reference"] = "<script>alert(1)</script> & more"
    return document


def ask(client, document, media_type, path=PATH):
    sent = json.dumps(document, indent=1)
    response = client.post(path, data=sent, content_type="application/json", headers={"Accept": media_type})
    assert (response.status_code, response.mimetype) == (200, media_type), response.text
    return response


class _Tags(HTMLParser):
    def __init__(self, text):
        super().__init__()
        self.found = []
        self.feed(text)

    def handle_starttag(self, tag, attributes):
        self.found.append((tag, dict(attributes)))


def test_sarif_points_at_lines_of_what_was_sent(client, violating):
    log = ask(client, violating, "application/sarif+json").json
    assert log["version"] == "2.1.0"
    (run,) = log["runs"]
    result = next(r for r in run["results"] if r["ruleId"] == RULE)
    place = result["locations"][0]["physicalLocation"]
    lines = json.dumps(violating, indent=1).splitlines()
    assert '"panelboard": {' in lines[place["region"]["startLine"] - 1]
    rule = next(r for r in run["tool"]["driver"]["rules"] if r["id"] == RULE)
    assert "Fails: " in rule["help"]["text"]


def test_junit_fails_where_the_report_has_a_violation(client, violating):
    root = ET.fromstring(ask(client, violating, "application/junit+xml").data)
    failed = [case.get("classname") for case in root.iter("testcase") if case.find("failure") is not None]
    assert f"changeout.{RULE}" in failed


def test_markdown_names_the_verdict_and_the_rule(client, violating):
    response = ask(client, violating, "text/markdown")
    assert response.content_type == "text/markdown; charset=utf-8"
    assert "<script>" not in response.text


@pytest.mark.parametrize("path", [PATH, *(f"/v1/documents/{kind}" for kind in DOCUMENTS)])
def test_html_runs_nothing_and_its_style_is_the_one_that_is_allowed(client, violating, path):
    response = ask(client, violating, "text/html", path)
    tags = _Tags(response.text).found
    assert "script" not in {tag for tag, _ in tags}
    assert not [a for _, attributes in tags for a in attributes if a.startswith("on") or a == "style"]
    assert style_hash() in response.headers["Content-Security-Policy"]
    assert "unsafe" not in response.headers["Content-Security-Policy"]


@pytest.mark.parametrize("kind", DOCUMENTS)
@pytest.mark.parametrize("media_type", ["text/html", "text/markdown"])
def test_a_document_is_made_from_the_proposal_alone_or_with_an_edition(client, violating, kind, media_type):
    path = f"/v1/documents/{kind}"
    alone = ask(client, violating, media_type, path).data
    assert ask(client, {"proposal": violating}, media_type, path).data == alone
    assert ask(client, violating, media_type, path + "?edition=2017").data


def test_a_letter_leaves_out_what_the_reviewer_dropped(client, violating):
    path = "/v1/documents/correction-letter"
    kept = ask(client, violating, "text/markdown", path).text
    dropped = [{"rule": RULE, "action": "drop", "text": "Seen on site to be another panelboard."}]
    letter = ask(client, {"proposal": violating, "decisions": dropped}, "text/markdown", path).text
    assert letter != kept


@pytest.mark.parametrize(
    "path, body, status, code",
    [
        ("/v1/documents/tea", {}, 404, "not-found"),
        ("/v1/documents/correction-letter", {"proposal": None}, 422, "unreadable-request"),
        ("/v1/documents/circuit-directory", {"proposal": {}, "decisions": []}, 422, "unreadable-request"),
        ("/v1/documents/circuit-directory", {"changeout": 1}, 422, "unreadable-proposal"),
    ],
)
def test_what_cannot_be_made_is_refused(client, path, body, status, code):
    response = client.post(path, data=json.dumps(body), content_type="application/json")
    assert (response.status_code, response.json["code"]) == (status, code)


def test_a_decision_on_nothing_is_refused_with_its_place(client, proposal):
    body = {"proposal": json.loads(proposal), "decisions": [{"rule": "nothing", "action": "keep"}]}
    response = client.post(
        "/v1/documents/correction-letter", data=json.dumps(body, indent=1), content_type="application/json"
    )
    (error,) = response.json["errors"]
    assert (error["code"], error["pointer"]) == ("no-such-finding", "/decisions/0/rule")
    assert error["line"] > 1


def test_a_dropped_finding_is_set_aside_with_reason_and_name(client, proposal):
    document = json.loads(proposal)
    document["panelboard"]["short_circuit_rating"] = "5 kA"
    decision = {
        "rule": "short-circuit-rating-at-least-fault-current",
        "subject": "/panelboard",
        "action": "drop",
        "text": "A newer nameplate was seen.",
        "by": "desk 4",
    }
    response = client.post(
        "/v1/documents/correction-letter",
        data=json.dumps({"proposal": document, "decisions": [decision]}),
        content_type="application/json",
        headers={"Accept": "text/markdown"},
    )
    assert response.status_code == 200
    set_aside = response.text[response.text.index("## Set aside") :]
    assert "Dropped by desk 4: A newer nameplate was seen." in set_aside
    assert "less than the available fault current" in set_aside


def test_the_schema_that_is_served_says_who_needs_a_member_and_when(client):
    schema = client.get("/v1/schemas/proposal").json
    said = schema["$defs"]["Source"]["properties"]["impedance_percent"]
    assert "short-circuit-rating-at-least-fault-current" in said["x-topics"]
    assert said["x-stage"] == "intake"
    assert said["x-found-at"] == "the nameplate of the transformer"
    assert said["x-shown-when"]["words"] == "unless kind is stated"
