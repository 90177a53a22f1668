"""Which edition judges: the parameter rescues a proposal without one; what cannot be chosen is told of in its place."""

import json

import pytest


def post(client, path, document):
    return client.post(path, data=json.dumps(document, indent=1), content_type="application/json")


@pytest.fixture
def document(proposal):
    return json.loads(proposal)


@pytest.mark.parametrize("path", ["/v1/validations", "/v1/calculations/fault-current"])
def test_the_parameter_rescues_a_proposal_that_names_no_edition(client, document, path):
    del document["project"]["edition"]
    without = post(client, path, document)
    assert [e["code"] for e in without.json["errors"]] == ["no-edition"]
    assert post(client, path + "?edition=2020", document).status_code == 200


def test_the_report_says_that_the_parameter_chose(client, document):
    del document["project"]["edition"]
    report = post(client, "/v1/validations?edition=2020", document).json
    assert report["ruleset"]["edition"] == "2020"
    assert "parameter" in report["project"]["edition_chosen_by"]


@pytest.mark.parametrize("path", ["/v1/validations", "/v1/calculations/load"])
@pytest.mark.parametrize(
    "project, code, member",
    [
        ({"jurisdiction": "nowhere", "applied_on": "2024-01-01"}, "no-such-jurisdiction", "jurisdiction"),
        (
            {"jurisdiction": "demo-harbor-county", "applied_on": "1990-01-01"},
            "before-first-adoption",
            "applied_on",
        ),
    ],
)
def test_what_cannot_be_chosen_has_line_and_column(client, document, path, project, code, member):
    del document["project"]["edition"]
    document["project"].update(project)
    response = post(client, path, document)
    assert (response.status_code, response.json["code"]) == (422, "unreadable-proposal")
    (error,) = response.json["errors"]
    lines = json.dumps(document, indent=1).splitlines()
    line = next(n for n, text in enumerate(lines, 1) if f'"{member}": ' in text)
    assert (error["code"], error["pointer"]) == (code, f"/project/{member}")
    assert (error["line"], error["column"]) == (line, lines[line - 1].index(": ") + 3)


def test_a_proposal_within_a_request_keeps_its_place_there(client, document):
    del document["project"]["edition"]
    document["project"].update(jurisdiction="nowhere", applied_on="2024-01-01")
    response = post(client, "/v1/decision-diffs", {"old": document, "new": document})
    (error,) = response.json["errors"]
    assert error["pointer"] == "/old/project/jurisdiction"
    assert error["line"] > 1
