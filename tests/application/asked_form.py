"""Which members a form made from the published schema would show for a document."""

import json
from functools import cache

from jsonschema import Draft202012Validator

from changeout.application.published_schema import published_schema, reference
from changeout.intake.pointers import split

SCHEMA = published_schema()


@cache
def chain(pointer):
    """Every member on the way to a pointer: its schema, the tokens of the object around it, and its name."""
    found, name, way, in_list = [], "", [], False
    for token in split(pointer):
        if in_list:
            way, in_list = [*way, token], False
            continue
        said = (SCHEMA["$defs"][name] if name else SCHEMA)["properties"][token]
        found.append((said, way, (name, token)))
        way, in_list = [*way, token], "items" in said
        name = reference(said)
    return found


def at(document, way):
    found = document
    for token in way:
        found = found[int(token)] if isinstance(found, list) else (found or {}).get(token)
    return {} if found is None else found


@cache
def validator(schema):
    return Draft202012Validator(json.loads(schema))


def is_valid(schema, value):
    return schema is True or validator(json.dumps(schema)).is_valid(value)


def hidden_by(pointer, document):
    """The members on the way to a pointer that the form does not show for this document."""
    return [
        name
        for said, way, name in chain(pointer)
        for condition in [said.get("x-shown-when", {})]
        if not is_valid(condition.get("here", True), at(document, way))
        or not is_valid(condition.get("proposal", True), document)
    ]
