"""The OpenAPI document is valid, complete, and the one that is committed."""

import json
from pathlib import Path

import pytest
import yaml
from openapi_spec_validator import OpenAPIV31SpecValidator

from changeout.domain.problems import PROBLEMS
from changeout.web.openapi import openapi_document, openapi_yaml
from changeout.web.operations import OPERATIONS

COMMITTED = Path(__file__).parents[2] / "openapi" / "openapi.yaml"


@pytest.fixture(scope="module")
def document(service):
    return openapi_document(service)


def test_the_committed_file_is_what_the_code_makes(document):
    assert COMMITTED.read_text("utf-8") == openapi_yaml(document), (
        "run: python -m changeout.web.openapi > openapi/openapi.yaml"
    )


def test_the_document_is_valid(document):
    OpenAPIV31SpecValidator(json.loads(json.dumps(document))).validate()


def test_the_yaml_says_the_same(document):
    assert yaml.safe_load(openapi_yaml(document)) == json.loads(json.dumps(document))


def test_the_served_document_is_the_same(client, document):
    assert client.get("/openapi.json").json == json.loads(json.dumps(document))


def test_nothing_from_an_older_version_is_in_it():
    text = COMMITTED.read_text("utf-8")
    assert "nullable:" not in text
    assert "openapi: 3.1.0" in text


def test_every_operation_is_in_it_once(document):
    described = {(path, method) for path, methods in document["paths"].items() for method in methods}
    assert described == {(o.path, o.method.lower()) for o in OPERATIONS}
    ids = [one["operationId"] for methods in document["paths"].values() for one in methods.values()]
    assert len(ids) == len(set(ids))


def test_every_problem_is_described_where_it_can_occur(document):
    for operation in OPERATIONS:
        responses = document["paths"][operation.path][operation.method.lower()]["responses"]
        for code in operation.problems:
            assert f"{code}:" in responses[str(PROBLEMS[code].status)]["description"]
        for status, response in responses.items():
            if status == "default" or int(status) >= 400:
                schema = response["content"]["application/problem+json"]["schema"]
                assert schema == {"$ref": "#/components/schemas/Problem"}


def test_the_examples_are_the_shipped_ones(document, service):
    body = document["paths"]["/v1/validations"]["post"]["requestBody"]["content"]["application/json"]
    assert list(body["examples"]) == list(service.examples())
    for name, example in document["components"]["examples"].items():
        assert body["examples"][name] == {"$ref": f"#/components/examples/{name}"}
        assert example["value"] == json.loads(service.example(name))


def test_no_reference_is_left_to_a_schemas_own_definitions(document):
    assert "#/$defs/" not in json.dumps(document)
