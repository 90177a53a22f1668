"""The published schema builds a form: each member says what it is, where it is found, who needs it, and when."""

import json
import re

import jsonschema
import pytest

from application.asked_form import SCHEMA, at, chain, hidden_by, is_valid
from changeout.application.published_schema import published_schema, reference
from changeout.application.service import Service
from changeout.intake.conditions import shown_when, unless, unless_no, unless_without, unless_yes, when_said
from changeout.intake.fields import Flag, Numeric, VoltageRating, Written
from changeout.intake.members import find
from changeout.intake.record import ListOf, Nested, Record
from changeout.intake.schemas.proposal import PROPOSAL
from changeout.intake.worth_asking import CONDITIONS
from changeout.rules import load_rules
from rules.table import cases, proposal_of

SERVICE = Service.load()
RULES = load_rules()
OBJECTS = {"Proposal": SCHEMA, **SCHEMA["$defs"]}
MEMBERS = {(name, member): said for name, found in OBJECTS.items() for member, said in found["properties"].items()}
IDS = [f"{name}-{member}" for name, member in MEMBERS]
READ_BY_NO_RULE = {
    ("Proposal", "changeout"),
    ("Proposal", "waivers"),
    ("Project", "reference"),
    ("Project", "annotations"),
    ("Main", "poles"),
    ("Circuit", "load"),
    ("Waiver", "rule"),
    ("Waiver", "reason"),
    ("Waiver", "granted_by"),
    ("Waiver", "expires_on"),
}
NAMED_WITHOUT_NEED = {("equipment-grounding-conductor-size", "/supply/upsized_from")}
"""A finding that names, among what is not stated, a size that cannot matter where nothing was upsized."""


def records(record: Record = PROPOSAL):
    yield record
    for member in record.members.values():
        if isinstance(member, Nested | ListOf):
            yield from records(member.record)


RECORDS = {type(record).__name__.removesuffix("Schema"): record for record in records()}


def undecided():
    """One document for each case in which a rule cannot tell."""
    found = {(case.rule, case.name): case for case in cases() if case.kind == "cannot-tell"}
    return [(case, proposal_of(case, SERVICE.example(case.start))) for case in found.values()]


@pytest.mark.parametrize("said", MEMBERS.values(), ids=IDS)
def test_a_member_says_what_it_is_where_it_is_found_who_needs_it_and_at_which_stage(said):
    for name in ("title", "description", "x-found-at"):
        assert said[name].strip()
    assert said["description"].endswith(".")
    assert set(said["x-topics"]) <= set(RULES)
    assert said["x-topics"] == sorted(set(said["x-topics"]))
    stages = {RULES[name].stage.value for name in said["x-topics"]}
    assert said["x-stage"] == ("intake" if "intake" in stages else "inspection" if stages else None)


def test_only_these_members_are_read_by_no_rule():
    assert {name for name, said in MEMBERS.items() if not said["x-topics"]} == READ_BY_NO_RULE


def test_each_rule_is_named_by_the_members_that_it_reads():
    named = {topic for said in MEMBERS.values() for topic in said["x-topics"]}
    assert named == {name for name, rule in RULES.items() if rule.needs}
    for rule in RULES.values():
        for need in rule.needs:
            if not need.startswith("calculation:"):
                assert rule.id in chain(need.replace("*", "0"))[-1][0]["x-topics"], (rule.id, need)


@pytest.mark.parametrize(
    "member",
    [pytest.param(m, id=f"{n}-{k}") for n, r in RECORDS.items() for k, m in r.members.items()],
)
def test_a_number_has_its_unit_and_range_in_its_description(member):
    name = type(member.parent).__name__.removesuffix("Schema")
    said = MEMBERS[name, member.data_key]
    if isinstance(member, Numeric):
        assert member.bounds.words in said["description"]
    if isinstance(member, Written):
        for unit in member.family.units:
            assert re.search(rf"\b{re.escape(unit)}(?![\w/])", said["description"]), unit
        assert re.search(r"(from|above) .* (to|below) ", said["description"])
    if isinstance(member, VoltageRating):
        assert "from 100 V to 1000 V" in said["description"]


@pytest.mark.parametrize("said", MEMBERS.values(), ids=IDS)
def test_a_flag_is_offered_as_yes_no_and_not_known(said):
    if "boolean" in said.get("type", ()):
        assert [(one["const"], one["title"]) for one in said["oneOf"]] == [
            (True, "yes"),
            (False, "no"),
            (None, "not known"),
        ]
        for value, good in ((True, True), (False, True), (None, True), ("yes", False), (1, False)):
            assert is_valid({"type": said["type"], "oneOf": said["oneOf"]}, value) is good


def test_every_flag_of_the_reader_is_one_of_the_schema():
    flags = {(n, k) for n, r in RECORDS.items() for k, m in r.members.items() if isinstance(m, Flag)}
    assert flags == {name for name, said in MEMBERS.items() if "boolean" in said.get("type", ())}
    assert flags


# When a member is worth asking for


def test_every_condition_is_on_a_member_and_says_so_in_the_schema():
    for name, conditions in CONDITIONS.items():
        for member, found in conditions.items():
            said = MEMBERS[name, member]["x-shown-when"]
            assert set(said) <= {"words", "here", "proposal"}
            assert len(said) > 1
            for one in found:
                assert one.words in said["words"]
                jsonschema.Draft202012Validator.check_schema(said[one.where])


def test_what_a_kind_bars_is_not_asked():
    for name, record in RECORDS.items():
        for kind in record.kinds.members if record.kinds else ():
            for member in record.kinds.barred(kind):
                here = MEMBERS[name, member]["x-shown-when"]["here"]
                assert not is_valid(here, {record.kinds.chosen_by: kind})
                assert is_valid(here, {})


@pytest.mark.parametrize("name, member", [(n, m) for n, found in CONDITIONS.items() for m in found])
def test_a_condition_is_on_a_member_and_a_value_that_there_are(name, member):
    for one in CONDITIONS[name][member]:
        if one.where == "proposal":
            schema = chain(one.path)[-1][0]
            assert find(one.path)
        else:
            first, *rest = one.path.split("/")
            schema = MEMBERS[name, first]
            for step in rest:
                schema = MEMBERS[reference(schema), step]
        values = one.schema.get("enum") or one.schema.get("not", {}).get("contains", {}).get("enum", [])
        words = schema.get("enum") or schema.get("items", {}).get("enum", [])
        assert all(value in words for value in values if value != [])


def test_nothing_that_a_finding_misses_is_left_out_of_the_form():
    hidden, unnamed, asked = set(), set(), 0
    for case, document in undecided():
        report = SERVICE.validate(json.dumps(document).encode(), detail="findings")
        for rule, pointer in {(f.rule, pointer) for f in report.findings for pointer in f.missing}:
            asked += 1
            for name in hidden_by(pointer, document):
                if not barred_by_kind(pointer, document) and (rule, pointer) not in NAMED_WITHOUT_NEED:
                    hidden.add((name, rule, case.rule, case.name))
            if rule not in chain(pointer)[-1][0]["x-topics"]:
                unnamed.add((pointer, rule))
    assert not hidden
    assert not unnamed
    assert asked > 1000


def barred_by_kind(pointer, document):
    """Whether the kind of the object around a member bars it, so that the kind is what would have to change."""
    _, way, (name, member) = chain(pointer)[-1]
    kinds = RECORDS[name].kinds if name else None
    kind = at(document, way).get(kinds.chosen_by) if kinds else None
    return kind is not None and member in kinds.barred(kind)


def test_the_form_of_a_plain_house_leaves_out_what_is_of_no_use_there():
    document = json.loads(SERVICE.example("dwelling-service"))
    left_out = [
        "/supply/source/available_fault_current",
        "/supply/source/upstream/value",
        "/panelboard/series_rating",
        "/panelboard/high_leg_phase",
        "/grounding/equipment_grounding_conductor/size",
        "/load/maximum_demand",
    ]
    assert all(hidden_by(pointer, document) for pointer in left_out)
    assert not hidden_by("/supply/source/impedance_percent", document)
    assert not hidden_by("/panelboard/circuits/0/breaker/afci", document)


@pytest.mark.parametrize(
    "condition, shown, left_out",
    [
        (unless("a/b", "x"), [{}, {"a": None}, {"a": {}}, {"a": {"b": None}}, {"a": {"b": "y"}}], [{"a": {"b": "x"}}]),
        (unless("a", []), [{}, {"a": [1]}, {"a": None}], [{"a": []}]),
        (unless_yes("a"), [{}, {"a": None}, {"a": False}], [{"a": True}]),
        (unless_no("a"), [{}, {"a": None}, {"a": True}], [{"a": False}]),
        (when_said("a/b"), [{"a": {"b": 1}}, {"a": {"b": False}}], [{}, {"a": None}, {"a": {"b": None}}]),
        (unless_without("a", "x", "y"), [{}, {"a": None}, {"a": ["z", "y"]}], [{"a": []}, {"a": ["z"]}]),
    ],
)
def test_unknown_is_not_false_in_a_condition(condition, shown, left_out):
    assert all(is_valid(condition.as_schema(), value) for value in shown)
    assert not any(is_valid(condition.as_schema(), value) for value in left_out)


def test_conditions_on_the_object_and_on_the_proposal_are_apart():
    said = shown_when((unless("kind", "x"), unless_no("flag"), unless("/a/b", "y")))
    assert said["words"] == "unless kind is x and unless flag is false and unless /a/b is y"
    assert is_valid(said["here"], {"kind": "z"})
    assert not is_valid(said["here"], {"kind": "z", "flag": False})
    assert not is_valid(said["proposal"], {"a": {"b": "y"}})


def test_the_schema_may_be_changed_by_who_asked_for_it():
    published_schema()["properties"].clear()
    assert published_schema()["properties"]
