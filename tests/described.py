"""What the OpenAPI document says, for tests that hold answers against it."""

import json
from typing import Any

from jsonschema import Draft202012Validator
from referencing import Registry, Resource
from referencing.jsonschema import DRAFT202012


def checked(document: dict[str, Any], name: str) -> Draft202012Validator:
    registry = Registry().with_resource("urn:openapi", Resource(document, DRAFT202012))
    return Draft202012Validator({"$ref": f"urn:openapi#/components/schemas/{name}"}, registry=registry)


def examples_of(document, operation):
    """Return the bodies that the document shows for an operation, as they are sent."""
    content = document["paths"][operation.path]["post"]["requestBody"]["content"][operation.body.media_type]
    shared = document["components"]["examples"]
    values = [shared[e["$ref"].rsplit("/", 1)[1]] if "$ref" in e else e for e in content["examples"].values()]
    return [v["value"] if isinstance(v["value"], str) else json.dumps(v["value"]) for v in values]
