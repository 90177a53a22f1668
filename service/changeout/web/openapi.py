"""The OpenAPI document, made from the table of operations.

``python -m changeout.web.openapi`` writes it as YAML.
"""

from __future__ import annotations

import json
import sys
from collections import defaultdict
from collections.abc import Mapping
from typing import Any, Final

import yaml
from apispec import APISpec

from changeout import __version__
from changeout.application.service import Service
from changeout.domain.problems import PROBLEMS
from changeout.intake.json_schema import proposal_schema
from changeout.render.problem_json import problem_schema
from changeout.render.report_schema import report_schema
from changeout.web.answer_schemas import ANSWER_SCHEMAS
from changeout.web.operation import Operation, Parameter
from changeout.web.operations import OPERATIONS, TAGS
from changeout.web.problems import PROBLEM_JSON
from changeout.web.token import ASKED_UNDER
from changeout.web.trial_schemas import TRIAL_SCHEMAS

DESCRIPTION: Final = """\
Judges a proposed panelboard replacement against an edition of the electrical code and shows why.

A proposal goes in, a report comes out. A proposal that breaks the code is judged with success, and its report says so.
A request that cannot be read is answered with a problem document (RFC 9457). The service keeps nothing.

GET implies HEAD; OPTIONS answers with the methods of an address. Unknown query parameters are refused.
"""
BEARER: Final = "bearer"
_HEADERS: Final = {
    "Changeout-Engine": "The version of the software.",
    "Changeout-Interface": "The revision of this interface.",
    "Changeout-Ruleset": "The digest of all rulesets together.",
    "X-Request-Id": "Of this request, as in the service's log; a well-formed one that was sent is kept.",
}


def openapi_document(service: Service) -> dict[str, Any]:
    """Return the document of the interface as *service* serves it."""
    spec = APISpec(
        title="changeout",
        version=__version__,
        openapi_version="3.1.0",
        info={"description": DESCRIPTION, "license": {"name": "MIT", "identifier": "MIT"}},
        tags=[{"name": name, "description": description} for name, description in TAGS.items()],
    )
    for name, description in _HEADERS.items():
        spec.components.header(name, {"description": description, "schema": {"type": "string"}})
    for name, schema in _components().items():
        spec.components.schema(name, schema)
    for name in service.examples():
        spec.components.example(name, {"value": json.loads(service.example(name))})
    spec.components.security_scheme(
        BEARER, {"type": "http", "scheme": "bearer", "description": "Where the service is set up to ask for one."}
    )
    for operation in OPERATIONS:
        spec.path(operation.path, operations={operation.method.lower(): _described(operation, service)})
    document: dict[str, Any] = spec.to_dict()
    return document


def _components() -> dict[str, dict[str, Any]]:
    found: dict[str, dict[str, Any]] = {}
    for name, schema in (("Proposal", proposal_schema()), ("Report", report_schema()), ("Problem", problem_schema())):
        definitions = schema.get("$defs", {})
        names = {definition: f"{name}{definition[0].upper()}{definition[1:]}" for definition in definitions}
        for definition, inner in definitions.items():
            found[names[definition]] = _moved(inner, names)
        found[name] = _moved({key: value for key, value in schema.items() if not key.startswith("$")}, names)
    return {**found, **ANSWER_SCHEMAS, **TRIAL_SCHEMAS}


def _moved(schema: Mapping[str, Any], names: Mapping[str, str]) -> dict[str, Any]:
    """Return *schema* with its references to ``$defs`` led to the components of the document."""
    moved = {key: _moved_value(value, names) for key, value in schema.items()}
    reference = schema.get("$ref")
    if isinstance(reference, str):
        moved["$ref"] = f"#/components/schemas/{names[reference.removeprefix('#/$defs/')]}"
    return moved


def _moved_value(value: object, names: Mapping[str, str]) -> object:
    if isinstance(value, dict):
        return _moved(value, names)
    return [_moved_value(item, names) for item in value] if isinstance(value, list) else value


def _described(operation: Operation, service: Service) -> dict[str, Any]:
    described: dict[str, Any] = {
        "operationId": operation.id,
        "tags": [operation.tag],
        "summary": operation.summary,
    }
    if operation.description:
        described["description"] = operation.description
    if operation.parameters:
        described["parameters"] = [_parameter(parameter, service) for parameter in operation.parameters]
    if operation.body is not None:
        schema = _reference(operation.body.schema) if operation.body.schema else {"type": "string"}
        examples = dict(operation.body.examples(service))
        described["requestBody"] = {
            "required": True,
            "description": operation.body.description,
            "content": {operation.body.media_type: {"schema": schema, "examples": examples}},
        }
    if operation.path.startswith(ASKED_UNDER):
        described["security"] = [{}, {BEARER: []}]
    described["responses"] = _responses(operation)
    return described


def _parameter(parameter: Parameter, service: Service) -> dict[str, Any]:
    values = list(parameter.values(service)) if parameter.values is not None else []
    return {
        "name": parameter.name,
        "in": parameter.place,
        "required": parameter.required,
        "description": parameter.description,
        "schema": {"type": "string", "enum": values} if values else {"type": "string"},
    }


def _responses(operation: Operation) -> dict[str, Any]:
    headers = {name: {"$ref": f"#/components/headers/{name}"} for name in _HEADERS}
    content = {
        form.media_type: {"schema": _reference(form.schema) if form.schema else {"type": "string"}}
        for form in operation.produces
    }
    responses: dict[str, Any] = {"200": {"description": operation.answer, "headers": headers, "content": content}}
    cacheable = operation.method == "GET" and operation.negotiated
    if cacheable:
        responses["304"] = {"description": "What If-None-Match names is still current.", "headers": headers}
    by_status: dict[int, list[str]] = defaultdict(list)
    asked = ["unauthorized"] if operation.path.startswith(ASKED_UNDER) else []
    general = ["bad-query", *asked, *(["not-acceptable"] if operation.negotiated else []), "internal-error"]
    for code in (*operation.problems, *general):
        by_status[PROBLEMS[code].status].append(code)
    for status in sorted(by_status):
        responses[str(status)] = _problem("; ".join(f"{code}: {PROBLEMS[code].title}" for code in by_status[status]))
        responses[str(status)]["headers"] = headers
    responses["default"] = _problem("Any other problem, such as too many requests (429) or overload (503).")
    return responses


def _problem(description: str) -> dict[str, Any]:
    return {"description": description, "content": {PROBLEM_JSON: {"schema": _reference("Problem")}}}


def _reference(name: str) -> dict[str, str]:
    return {"$ref": f"#/components/schemas/{name}"}


def openapi_yaml(document: dict[str, Any]) -> str:
    """Return the document as YAML, members in their own order, every text spelled out where it stands."""
    unshared = json.loads(json.dumps(document, allow_nan=False))
    text: str = yaml.safe_dump(unshared, sort_keys=False, allow_unicode=True, width=110)
    return text


if __name__ == "__main__":
    sys.stdout.write(openapi_yaml(openapi_document(Service.load())))
