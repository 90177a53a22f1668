"""What-if, comparison and decision-diff over HTTP: as described, refused with places, and bounded."""

import json

import pytest
from jsonschema import Draft202012Validator

from changeout.render.problem_json import problem_schema
from changeout.web.judging import JUDGING
from described import checked, examples_of

PROBLEM = Draft202012Validator(problem_schema())
TRIALS = [o for o in JUDGING if o.id in {"whatIf", "compare", "decisionDiff"}]
RATING = "/panelboard/short_circuit_rating"
RULE = "short-circuit-rating-at-least-fault-current"


@pytest.fixture
def document(proposal):
    return json.loads(proposal)


def post(client, path, body):
    return client.post(path, data=json.dumps(body), content_type="application/json")


def refused(response, code="unreadable-request", status=422):
    assert (response.status_code, response.json["code"]) == (status, code), response.text
    PROBLEM.validate(response.json)
    return response.json


@pytest.mark.parametrize("operation", TRIALS, ids=lambda operation: operation.id)
def test_every_example_shown_is_answered_as_described(client, operation):
    document = client.get("/openapi.json").json
    schema = checked(document, operation.produces[0].schema)
    request_schema = checked(document, operation.body.schema)
    for body in examples_of(document, operation):
        request_schema.validate(json.loads(body))
        response = client.post(operation.path, data=body, content_type="application/json")
        assert response.status_code == 200
        schema.validate(response.json)


class TestWhatIf:
    def test_a_patch_that_breaks_a_rule_says_what_moved(self, client, document):
        patch = [{"op": "replace", "path": RATING, "value": "1 kA"}]
        answer = post(client, "/v1/what-if", {"proposal": document, "patch": patch}).json
        (variant,) = answer["variants"]
        assert variant["verdict"] == "violations"
        assert variant["patch"] == patch
        assert {"rule": RULE, "before": "satisfied", "after": "violation"}.items() <= next(
            m for m in variant["moved"] if m["rule"] == RULE
        ).items()

    def test_a_sweep_answers_each_value_in_order(self, client, document):
        values = ["1 kA", "200 kA", 5]
        answer = post(
            client, "/v1/what-if", {"proposal": document, "sweep": {"pointer": RATING, "values": values}}
        ).json
        first, second, third = answer["variants"]
        assert [v["value"] for v in answer["variants"]] == values
        assert first["verdict"] == "violations"
        assert RULE not in {m["rule"] for m in second["moved"] if m["after"] == "violation"}
        assert third["unreadable"] == [{**third["unreadable"][0], "pointer": RATING, "code": "bare-number"}]

    @pytest.mark.parametrize(
        "rest",
        [
            {},
            {"patch": [], "sweep": {"pointer": "", "values": [1]}},
            {"patch": []},
            {"patch": [{"op": "add"}]},
            {"patch": [{"op": "test", "path": "/changeout", "value": 2}]},
            {"patch": [1]},
            {"sweep": {"pointer": 1, "values": [1]}},
            {"sweep": {"pointer": "/a", "values": []}},
            {"sweep": {"pointer": "/a", "values": list(range(51))}},
            {"patch": [{"op": "remove", "path": "/nothing"}]},
            {"edition": "1999", "patch": [{"op": "remove", "path": "/work"}]},
            {"odd": 1, "patch": [{"op": "remove", "path": "/work"}]},
        ],
    )
    def test_what_cannot_be_tried_is_refused(self, client, document, rest):
        refused(post(client, "/v1/what-if", {"proposal": document, **rest}))

    def test_a_patch_cannot_fill_the_memory(self, client, document):
        doubling = [{"op": "copy", "from": "/panelboard", "path": f"/panelboard/x{i}"} for i in range(40)]
        problem = refused(post(client, "/v1/what-if", {"proposal": document, "patch": doubling}))
        assert problem["errors"][0]["code"] == "bad-patch"

    def test_a_patch_cannot_nest_without_end(self, client, document):
        deeper = [{"op": "add", "path": "/x", "value": {}}]
        deeper += [{"op": "copy", "from": "/x", "path": "/x" + "/x" * i} for i in range(1, 45)]
        problem = refused(post(client, "/v1/what-if", {"proposal": document, "patch": deeper}))
        assert problem["errors"][0]["code"] == "bad-patch"

    @pytest.mark.parametrize(("levels", "told"), [(31, "unknown-member"), (32, "bad-patch"), (33, "bad-patch")])
    def test_a_patched_document_has_as_many_levels_as_one_may(self, client, document, levels, told):
        """Source of the limit: the documentation, 32 levels; the document itself is one."""
        patch = [{"op": "add", "path": "/x" * level, "value": {}} for level in range(1, levels + 1)]
        answer = post(client, "/v1/what-if", {"proposal": document, "patch": patch}).json
        errors = answer["errors"] if told == "bad-patch" else answer["variants"][0]["unreadable"]
        assert errors[0]["code"] == told

    @pytest.mark.parametrize(("copies", "told"), [(5, "unknown-member"), (7, "bad-patch")])
    def test_a_patched_document_has_as_many_values_as_one_may(self, client, document, copies, told):
        """Source of the limit: the documentation, 20,000 values."""
        patch = [{"op": "add", "path": "/x", "value": [0] * 3000}]
        patch += [{"op": "copy", "from": "/x", "path": f"/x{i}"} for i in range(copies)]
        answer = post(client, "/v1/what-if", {"proposal": document, "patch": patch}).json
        errors = answer["errors"] if told == "bad-patch" else answer["variants"][0]["unreadable"]
        assert errors[0]["code"] == told

    def test_a_patch_is_echoed_as_it_was_sent(self, client, document):
        patch = [{"op": "add", "path": "/load", "value": {}}, {"op": "add", "path": "/load/method", "value": "stated"}]
        answer = post(client, "/v1/what-if", {"proposal": document, "patch": patch}).json
        assert answer["variants"][0]["patch"] == patch

    def test_errors_of_the_proposal_have_their_place_in_the_request(self, client):
        body = b'{"patch": [],\n "proposal": {"changeout": 2}}'
        problem = refused(client.post("/v1/what-if", data=body, content_type="application/json"))
        assert problem["errors"][0]["pointer"] == "/patch"
        body = b'{"patch": [{"op": "remove", "path": "/a"}],\n "proposal": {"changeout": 2}}'
        problem = refused(client.post("/v1/what-if", data=body, content_type="application/json"), "unreadable-proposal")
        wrong = next(e for e in problem["errors"] if e["pointer"] == "/proposal/changeout")
        assert (wrong["line"], wrong["column"]) == (2, 28)


class TestComparison:
    def test_editions_named_are_the_sides_in_order(self, client, document):
        answer = post(client, "/v1/comparisons", {"proposal": document, "editions": ["2023", "2017"]}).json
        assert [side["label"] for side in answer["sides"]] == ["2023", "2017"]
        assert all(set(d["answers"]) == {"2023", "2017"} for d in answer["differences"])

    def test_a_proposal_without_an_edition_can_be_compared(self, client, document):
        del document["project"]["edition"]
        assert post(client, "/v1/comparisons", {"proposal": document}).status_code == 200

    def test_an_unknown_name_is_refused_where_it_stands(self, client, document):
        problem = refused(post(client, "/v1/comparisons", {"proposal": document, "editions": ["2023", "1999"]}))
        assert [e["pointer"] for e in problem["errors"]] == ["/editions/1"]

    def test_a_jurisdiction_takes_the_edition_of_the_date(self, client, document):
        document["project"]["applied_on"] = "2022-01-01"
        answer = post(client, "/v1/comparisons", {"proposal": document, "jurisdictions": ["demo-harbor-county"]}).json
        assert [(s["edition"], s["jurisdiction"]) for s in answer["sides"]] == [("2020", "demo-harbor-county")]


class TestDecisionDiff:
    def test_what_was_fixed_is_told(self, client, document):
        old = json.loads(json.dumps(document))
        old["panelboard"]["short_circuit_rating"] = "1 kA"
        answer = post(client, "/v1/decision-diffs", {"old": old, "new": document}).json
        assert RULE in {m["rule"] for m in answer["fixed"]}
        changed = {m["pointer"]: m for m in answer["changed_members"]}
        assert changed[RATING]["old"] == 1000
        assert changed[RATING]["silent"] is False

    def test_both_proposals_are_needed(self, client, document):
        problem = refused(post(client, "/v1/decision-diffs", {"old": document}))
        assert [e["pointer"] for e in problem["errors"]] == ["/new"]
