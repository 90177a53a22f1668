"""The published schema and the reader take and refuse the same documents, but for what a schema cannot say."""

import copy
import json
import re

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from intake_documents import dwelling, smallest, with_member
from jsonschema import Draft202012Validator, ValidationError, validators

from changeout.domain.problems import Refusal
from changeout.domain.vocabulary import CONDUCTOR_SIZES
from changeout.intake.fields import DAY_PATTERN, VOLTAGE_PATTERN
from changeout.intake.json_schema import object_schemas, proposal_schema
from changeout.intake.members import walk
from changeout.intake.pointers import split
from changeout.intake.read import read_value
from changeout.intake.record import ListOf, Nested
from changeout.intake.schemas.proposal import PROPOSAL

SCHEMA = proposal_schema()


def ecma_pattern(_validator, pattern, instance, _schema):
    """``pattern`` as ECMA-262 has it: the dollar sign stands at the end only, never before a last line break."""
    if isinstance(instance, str) and re.search(re.sub(r"\$$", r"\\Z", pattern), instance) is None:
        yield ValidationError(f"{instance!r} does not match {pattern}")


SAYS = validators.extend(Draft202012Validator, {"pattern": ecma_pattern})(SCHEMA)


def resolved(schema):
    """The schema without reference and null."""
    if "anyOf" in schema:
        schema = next(part for part in schema["anyOf"] if part.get("type") != "null")
    return SCHEMA["$defs"][schema["$ref"].rpartition("/")[2]] if "$ref" in schema else schema


def types_of(schema):
    return [schema["type"]] if isinstance(schema.get("type"), str) else schema.get("type", [])


def wordy(pattern):
    return st.from_regex(re.compile(pattern.replace("$", r"\Z"), re.ASCII))


@st.composite
def valid(draw, schema):
    """A value that the schema describes; now and then null where it may be."""
    if "null" in types_of(schema) and draw(st.integers(0, 9)) == 0:
        return None
    schema = resolved(schema)
    kinds = types_of(schema)
    if "properties" in schema:
        required = set(schema.get("required", ()))
        chosen = draw(st.sets(st.sampled_from(sorted(schema["properties"])), max_size=6))
        return {name: draw(valid(schema["properties"][name])) for name in sorted(required | chosen)}
    if "const" in schema:
        return schema["const"]
    if "enum" in schema:
        return draw(st.sampled_from([word for word in schema["enum"] if word is not None]))
    if "array" in kinds:
        unique = schema.get("uniqueItems", False)
        items = schema["items"]
        return draw(st.lists(valid(items), max_size=2, unique=unique))
    if "object" in kinds:
        return draw(st.dictionaries(st.sampled_from(["a", "b"]), st.just("x"), max_size=2))
    if "boolean" in kinds:
        return draw(st.booleans())
    if "integer" in kinds:
        number = draw(st.integers(int(schema["minimum"]), int(schema["maximum"])))
        return float(number) if draw(st.booleans()) else number
    if "number" in kinds:
        return draw(st.floats(schema["minimum"], schema["maximum"]) | st.sampled_from(schema["examples"]))
    examples = st.sampled_from(schema["examples"])
    return draw(examples if draw(st.integers(0, 4)) else wordy(schema["pattern"]).filter(lambda t: len(t) <= 64))


ODD = [
    None,
    True,
    False,
    0,
    1,
    1.0,
    3.0,
    1.5,
    -1,
    7,
    1e300,
    "",
    " ",
    "x",
    "1",
    "200 A",
    "200 A\n",
    "200A",
    "-5 A",
    "0 ft",
]
ODD += [
    "\u0663 A",
    "1e999 kA",
    "9" * 70 + " A",
    "2026-02-30",
    "2026-13-01",
    "2026-03-02\n",
    "240/120 V",
    "240 V\n",
    "48 V",
]
ODD += [
    "dry",
    "none",
    "breaker",
    "stated",
    "heat-pump",
    "4/0 AWG",
    "d1",
    [],
    [{}],
    {},
    {"x": 1},
    ["dry", "dry"],
    ["dry"],
]
ODD += [
    [None],
    ["dry", 1],
    "a\u202eb",
    "a\x00",
    "a" * 300,
    "d1\n",
    {"kind": "none"},
    {"rating": "5 kW"},
    "5 kW",
    "167 degF",
]

POINTERS = [pointer.replace("*", "0") for pointer, _ in walk(PROPOSAL, "")]


@st.composite
def documents(draw):
    """A document of the schema, as it is or with something done to it."""
    document = draw(valid(SCHEMA))
    if draw(st.booleans()):
        document = copy.deepcopy(draw(st.sampled_from([smallest(), dwelling(), document])))
    for _ in range(draw(st.integers(0, 3))):
        pointer = draw(st.sampled_from(POINTERS))
        pointer = draw(st.sampled_from([pointer, pointer, pointer + "x", pointer.rpartition("/")[0] + "/kind"]))
        document = placed(document, pointer, draw(st.sampled_from(ODD)))
    return document


def placed(document, pointer, value):
    """The document with the value there, unless something on the way is no container."""
    try:
        return with_member(document, pointer, value)
    except (TypeError, AttributeError, IndexError, ValueError, KeyError):
        return document


def errors_of(document):
    try:
        read_value(document)
    except Refusal as refusal:
        return refusal.errors
    return ()


def value_at(document, pointer):
    for token in split(pointer):
        document = document[int(token)] if isinstance(document, list) else document[token]
    return document


def only_code_can_say(error, document):
    """Whether the error is of the kinds that the schema's description of itself leaves to the reader."""
    if error.code in ("no-such-document", "contradiction", "no-edition"):
        return True
    if error.code == "not-unique":
        return error.pointer.endswith(("/id", "/number"))
    if error.code not in ("out-of-range", "bad-date", "bad-voltage"):
        return False
    value = value_at(document, error.pointer)
    patterns = {"bad-date": DAY_PATTERN, "bad-voltage": VOLTAGE_PATTERN}
    return isinstance(value, str) and (
        error.code == "out-of-range" or re.fullmatch(patterns[error.code], value, re.ASCII) is not None
    )


@given(documents())
@settings(max_examples=250, deadline=None, suppress_health_check=list(HealthCheck))
def test_schema_and_reader_say_the_same(document):
    errors = errors_of(document)
    of_schema = [error for error in errors if not only_code_can_say(error, document)]
    assert SAYS.is_valid(document) == (not of_schema), (of_schema, [e.message for e in SAYS.iter_errors(document)])


@pytest.mark.parametrize("pointer", POINTERS)
def test_schema_and_reader_say_the_same_of_every_odd_value(pointer):
    for value in ODD:
        document = placed(smallest(), pointer, value)
        of_schema = [error for error in errors_of(document) if not only_code_can_say(error, document)]
        assert SAYS.is_valid(document) == (not of_schema), (value, of_schema)


CODE_ONLY = [
    ("/panelboard/busbar_rating", "7000 A", "out-of-range"),
    ("/panelboard/busbar_rating", "-200 A", "out-of-range"),
    ("/panelboard/busbar_rating", "1e999 A", "out-of-range"),
    ("/panelboard/main/voltage_rating", "48 V", "out-of-range"),
    ("/panelboard/main/voltage_rating", "240/120 V", "bad-voltage"),
    ("/project/applied_on", "2026-02-30", "bad-date"),
    ("/panelboard/circuits", [{"number": 1}, {"number": 1}], "not-unique"),
    ("/documents", [{"id": "a"}, {"id": "a"}], "not-unique"),
    ("/panelboard/identification_document", "d9", "no-such-document"),
    ("/service/surge_protection", {"kind": "none", "nominal_discharge_current": "10 kA"}, "contradiction"),
    ("/project/edition", None, "no-edition"),
]


@pytest.mark.parametrize("pointer, value, code", CODE_ONLY)
def test_what_only_the_reader_can_say_is_said_by_it(pointer, value, code):
    document = with_member(smallest(), pointer, value)
    assert SAYS.is_valid(document)
    assert [error.code for error in errors_of(document)] == [code]


def test_it_is_a_schema_of_its_dialect():
    Draft202012Validator.check_schema(SCHEMA)
    assert SCHEMA["$schema"] == "https://json-schema.org/draft/2020-12/schema"
    assert SAYS.is_valid(smallest())
    assert SAYS.is_valid(dwelling())


def schemas_within(schema):
    if isinstance(schema, dict):
        yield schema
        for inner in schema.values():
            yield from schemas_within(inner)
    elif isinstance(schema, list):
        for inner in schema:
            yield from schemas_within(inner)


def test_it_is_closed_and_uses_nothing_of_older_dialects():
    for schema in schemas_within(SCHEMA):
        if "properties" in schema and "title" in schema and schema.get("type") == "object":
            assert schema["additionalProperties"] is False
        assert "nullable" not in schema
        assert "definitions" not in schema


def test_patterns_are_ecma_262():
    patterns = {schema["pattern"] for schema in schemas_within(SCHEMA) if isinstance(schema.get("pattern"), str)}
    assert len(patterns) > 8
    for pattern in patterns:
        assert pattern.startswith("^")
        assert pattern.endswith("$")
        assert not re.search(r"\\[AZzdDwWbBG]|\(\?[<P#i]|\\Z", pattern), pattern


@pytest.mark.parametrize(
    "pointer, member", list(walk(PROPOSAL, "")), ids=[pointer for pointer, _ in walk(PROPOSAL, "")]
)
def test_every_member_is_described(pointer, member):
    *parents, name = split(pointer)
    schema = SCHEMA
    for token in parents:
        inner = schema["items"] if token == "*" else schema["properties"][token]
        schema = resolved(inner)
    published = schema["properties"][name]
    assert published["title"] == member.metadata["title"]
    assert published["description"].startswith(member.metadata["description"])
    assert published["x-found-at"] == member.metadata["found_at"]
    assert ("null" in types_of(published) or "anyOf" in published) is not member.required
    for example in published.get("examples", ()):
        member.take(example) if not isinstance(member, Nested | ListOf) else None


def test_physical_ranges_are_published_in_words_and_numbers():
    source = SCHEMA["$defs"]["Source"]["properties"]
    assert source["impedance_percent"]["minimum"] == 0.1
    assert source["impedance_percent"]["maximum"] == 20.0
    assert "from 0.1 % to 20 %" in source["impedance_percent"]["description"]
    assert "above 0 ft and below 52800 ft (10 miles)" in SCHEMA["$defs"]["Run"]["properties"]["length"]["description"]
    assert "common practice, no source" in SCHEMA["description"]
    size = SCHEMA["$defs"]["Run"]["properties"]["size"]
    assert size["enum"] == [*CONDUCTOR_SIZES, None]
    assert SCHEMA["$defs"]["Work"]["properties"]["status"]["default"] == "proposed"


def test_objects_can_stand_elsewhere():
    schemas = object_schemas("#/components/schemas/")
    text = json.dumps(schemas)
    assert "#/$defs/" not in text
    for reference in set(re.findall(r'"\$ref": "#/components/schemas/([^"]+)"', text)):
        assert reference in schemas
    assert set(schemas) == {"Proposal", *SCHEMA["$defs"]}
