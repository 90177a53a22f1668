"""Every operation answers as its description says."""

import json

import pytest
from jsonschema import Draft202012Validator

from changeout.render.report_schema import report_schema
from changeout.web.operations import OPERATIONS
from described import checked, examples_of

ADDRESSES = {
    "/v1/calculations/{kind}": "/v1/calculations/fault-current",
    "/v1/documents/{kind}": "/v1/documents/inspection-checklist",
    "/v1/editions/{edition}": "/v1/editions/2023",
    "/v1/editions/{edition}/rules/{rule}": "/v1/editions/2023/rules/short-circuit-rating-at-least-fault-current",
    "/v1/editions/{edition}/changes": "/v1/editions/2023/changes?since=2020",
    "/v1/jurisdictions/{jurisdiction}": "/v1/jurisdictions/demo-harbor-county",
    "/v1/examples/{example}": "/v1/examples/dwelling-service",
    "/docs/{page}": "/docs/problems",
}


def an_example(document, operation):
    return examples_of(document, operation)[1 if operation.body.schema == "Proposal" else 0]


@pytest.mark.parametrize("operation", OPERATIONS, ids=lambda operation: operation.id)
def test_each_operation_answers_in_every_form_it_names(client, operation):
    document = client.get("/openapi.json").json
    address = ADDRESSES.get(operation.path, operation.path)
    for form in operation.produces:
        sent = (
            {"data": an_example(document, operation), "content_type": operation.body.media_type}
            if operation.body
            else {}
        )
        response = client.open(address, method=operation.method, headers={"Accept": form.media_type}, **sent)
        assert response.status_code == 200, response.text
        assert response.mimetype == form.media_type
        assert response.data
        if form.schema:
            checked(document, form.schema).validate(response.json)


@pytest.mark.parametrize("operation", [o for o in OPERATIONS if o.method == "GET"], ids=lambda operation: operation.id)
def test_head_answers_like_get_without_the_body(client, operation):
    address = ADDRESSES.get(operation.path, operation.path)
    got, headed = client.get(address), client.head(address)
    assert headed.status_code == 200
    assert headed.data == b""
    assert headed.content_type == got.content_type
    if operation.id != "metrics":
        assert headed.content_length == len(got.data)


@pytest.mark.parametrize("operation", OPERATIONS, ids=lambda operation: operation.id)
def test_options_names_the_methods(client, operation):
    response = client.options(ADDRESSES.get(operation.path, operation.path))
    assert response.status_code == 204
    assert response.data == b""
    expected = "GET, HEAD, OPTIONS" if operation.method == "GET" else "OPTIONS, POST"
    assert response.headers["Allow"] == expected


def test_every_example_gets_a_report_of_the_published_schema(client, service):
    schema = Draft202012Validator(report_schema())
    for name in service.examples():
        response = client.post("/v1/validations", data=service.example(name), content_type="application/json")
        assert response.status_code == 200, name
        schema.validate(response.json)


def test_the_same_proposal_gets_the_same_bytes(client, proposal):
    sent = {"data": proposal, "content_type": "application/json"}
    assert client.post("/v1/validations", **sent).data == client.post("/v1/validations", **sent).data


def test_the_edition_parameter_overrides_and_is_told(client, proposal):
    response = client.post("/v1/validations?edition=2017", data=proposal, content_type="application/json")
    assert response.json["ruleset"]["edition"] == "2017"
    assert "edition" in response.json["project"]["edition_chosen_by"]


def test_detail_findings_leaves_out_what_it_says(client, proposal):
    full = client.post("/v1/validations", data=proposal, content_type="application/json").json
    short = client.post("/v1/validations?detail=findings", data=proposal, content_type="application/json").json
    assert {"questions", "calculations"} <= set(full)
    assert not {"questions", "calculations"} & set(short)
    assert all("remedies" not in finding for finding in short["findings"])
    assert short["decision_id"] == full["decision_id"]
    assert [f["outcome"] for f in short["findings"]] == [f["outcome"] for f in full["findings"]]
    Draft202012Validator(report_schema()).validate(short)


def test_an_example_comes_byte_for_byte(client, service):
    for name in client.get("/v1/examples").json["examples"]:
        assert client.get(f"/v1/examples/{name}").data == service.example(name)


def test_a_json_content_type_with_a_suffix_is_taken(client, proposal):
    for content_type in ("application/vnd.example+json", "application/json; charset=UTF-8"):
        assert client.post("/v1/validations", data=proposal, content_type=content_type).status_code == 200


def test_a_report_as_text_names_the_verdict(client, proposal):
    response = client.post(
        "/v1/validations", data=proposal, content_type="application/json", headers={"Accept": "text/plain"}
    )
    assert response.content_type == "text/plain; charset=utf-8"
    assert "under edition 2023" in response.text
    assert "\x1b" not in response.text


def test_readiness_names_ruleset_and_editions(client, service):
    assert client.get("/readyz").json == {
        "status": "ready",
        "editions": list(service.editions()),
        "ruleset": service.digest,
    }


def test_members_keep_their_order(client, proposal):
    response = client.post("/v1/validations", data=proposal, content_type="application/json")
    assert list(json.loads(response.data))[:4] == ["changeout_report", "decision_id", "proposal_digest", "verdict"]
