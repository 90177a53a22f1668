"""A document that is no proposal is refused with every error, each at its place, each said in one sentence."""

import json

import pytest
from intake_documents import codes_of, dwelling, read, refusal_of, smallest, text_of, with_member

from changeout.domain.problems import ERRORS, PROBLEMS, Refusal
from changeout.intake.fields import (
    Annotations,
    Count,
    Day,
    DocumentRef,
    Flag,
    PowerOrCurrent,
    Quantity,
    Ratio,
    Text,
    Version,
    VoltageRating,
    Word,
    Words,
)
from changeout.intake.members import walk
from changeout.intake.read import MOST_ERRORS, Within, read_proposal, read_value
from changeout.intake.reader import read_json
from changeout.intake.record import ListOf, Nested
from changeout.intake.schemas.proposal import PROPOSAL

MEMBERS = {pointer.replace("*", "0"): member for pointer, member in walk(PROPOSAL, "")}
OBJECTS = {"": PROPOSAL} | {
    pointer + ("/0" if isinstance(member, ListOf) else ""): member.record
    for pointer, member in MEMBERS.items()
    if isinstance(member, Nested | ListOf)
}


def test_the_smallest_and_a_full_document_are_read():
    read(smallest())
    read(dwelling())


@pytest.mark.parametrize("pointer", OBJECTS)
def test_a_member_that_is_not_known_is_refused_at_every_level(pointer):
    known = next(iter(OBJECTS[pointer].members))
    document = with_member(with_member(dwelling(), pointer, {}) if pointer else dwelling(), f"{pointer}/{known}x", 1)
    found = [e for e in refusal_of(document).errors if e.code == "unknown-member"]
    assert [(e.pointer, e.suggestion) for e in found] == [(f"{pointer}/{known}x", known)]
    line = text_of(document).decode().split("\n")[found[0].line - 1]
    assert line[found[0].column - 1 :].startswith(f'"{known}x"')


@pytest.mark.parametrize("pointer", OBJECTS)
@pytest.mark.parametrize("value", ["x", 1, True, [[]]])
def test_an_object_is_an_object(pointer, value):
    document = with_member(dwelling(), pointer, value) if pointer else value
    assert (pointer, "wrong-type") in codes_of(document)


WRONG = {
    Flag: ("yes", "wrong-type"),
    Version: (2, "not-in-list"),
    Ratio: (1000, "out-of-range"),
    Count: (1.5, "wrong-type"),
    Quantity: (200, "bare-number"),
    PowerOrCurrent: ("5 lumen", "wrong-unit"),
    Text: ("", "bad-text"),
    DocumentRef: ("nowhere", "no-such-document"),
    Day: ("2026-02-30", "bad-date"),
    Word: ("no such word", "not-in-list"),
    Words: ("dry", "wrong-type"),
    VoltageRating: ("240V", "bad-voltage"),
    Annotations: ([], "wrong-type"),
    Nested: (1, "wrong-type"),
    ListOf: ({}, "wrong-type"),
}


@pytest.mark.parametrize("pointer", MEMBERS)
def test_every_member_is_judged_and_placed(pointer):
    member = MEMBERS[pointer]
    value, code = WRONG[next(kind for kind in type(member).__mro__ if kind in WRONG)]
    document = with_member(smallest(), pointer, value)
    (error,) = [e for e in refusal_of(document).errors if e.pointer == pointer]
    assert error.code == code
    line = text_of(document).decode().split("\n")[error.line - 1]
    assert line[error.column - 1 :].startswith(json.dumps(value)[0])
    assert error.detail.endswith(".")
    assert "such as" in error.detail or "one of" in error.detail or pointer == "/changeout"


@pytest.mark.parametrize("pointer", MEMBERS)
def test_null_is_the_same_as_leaving_a_member_out(pointer):
    member = MEMBERS[pointer]
    document = with_member(smallest(), pointer, None)
    parent = pointer.rpartition("/")[0]
    bare = with_member(smallest(), parent, {}) if parent and parent not in ("/project", "/work") else smallest()
    if pointer == "/project/edition":
        del bare["project"]["edition"]
    if member.required:
        assert (pointer, "missing-member") in codes_of(document)
        return
    assert outcome_of(document) == outcome_of(bare)


def outcome_of(document):
    try:
        return read(document).proposal
    except Refusal as refusal:
        return [(e.pointer, e.code) for e in refusal.errors]


def test_everything_wrong_is_said_at_once_in_the_order_of_the_text():
    body = b"""{
  "changeout": 1,
  "project": {"edition": "2024", "occupancy": "commercial", "colour": "red"},
  "work": {"status": "done"},
  "supply": {
    "source": {"kind": "transformer", "rating": "50kVA", "impedance_percent": "1.9"},
    "runs": [{"id": "a", "length": 60}, {"id": "a", "length": "0 ft"}]
  },
  "panelboard": {"busbar_rating": "200 amps", "identification_document": "d9",
    "circuits": [{"number": 1}, {"number": 1, "poles": 7}]}
}"""
    refusal = refusal_of(body)
    assert refusal.problem.code == "unreadable-proposal"
    assert refusal.problem.status == 422
    assert [(e.line, e.column, e.pointer, e.code, e.suggestion, e.also) for e in refusal.errors] == [
        (3, 26, "/project/edition", "not-in-list", None, ()),
        (3, 61, "/project/colour", "unknown-member", None, ()),
        (4, 11, "/work/scope", "missing-member", None, ()),
        (4, 22, "/work/status", "not-in-list", None, ()),
        (6, 49, "/supply/source/rating", "bad-quantity", "50 kVA", ()),
        (6, 79, "/supply/source/impedance_percent", "wrong-type", None, ()),
        (7, 36, "/supply/runs/0/length", "bare-number", None, ()),
        (7, 48, "/supply/runs/1/id", "not-unique", None, ("/supply/runs/0/id",)),
        (7, 63, "/supply/runs/1/length", "out-of-range", None, ()),
        (9, 35, "/panelboard/busbar_rating", "wrong-unit", "200 A", ()),
        (9, 74, "/panelboard/identification_document", "no-such-document", None, ()),
        (10, 44, "/panelboard/circuits/1/number", "not-unique", None, ("/panelboard/circuits/0/number",)),
        (10, 56, "/panelboard/circuits/1/poles", "out-of-range", None, ()),
    ]
    assert refusal.detail.startswith("The document has 13 errors; the first is at line 3, column 26: ")
    assert {e.code for e in refusal.errors} <= set(ERRORS)


def test_a_hundred_errors_are_listed_and_the_rest_counted():
    document = smallest() | {f"extra{n}": n for n in range(250)}
    refusal = refusal_of(document)
    assert len(refusal.errors) == MOST_ERRORS
    assert "250 errors, of which the first 100 are listed" in refusal.detail
    assert [e.pointer for e in refusal.errors] == [f"/extra{n}" for n in range(100)]


def test_a_list_that_is_too_long_is_refused_as_a_whole():
    document = smallest() | {"panelboard": {"circuits": [{"number": 1, "bad": 1}] * 201}}
    assert codes_of(document) == [("/panelboard/circuits", "too-many")]


MESSAGES = [
    (
        "/panelboard/busbar_rating",
        200,
        'A number alone has no unit; expected here: a current in A or kA, such as "200 A".',
    ),
    (
        "/supply/runs/0/length",
        "36",
        'A number alone has no unit; expected here: a length in ft, in, m, cm or mm, such as "60 ft".',
    ),
    (
        "/supply/runs/0/length",
        "10 miles",
        'This unit is not taken here; expected: a length in ft, in, m, cm or mm, such as "60 ft".',
    ),
    (
        "/supply/runs/0/length",
        "52800 ft",
        'Expected here: a length in ft, in, m, cm or mm, above 0 ft and below 52800 ft (10 miles), such as "60 ft".',
    ),
    ("/supply/source/impedance_percent", 0.05, "Expected here: a number from 0.1 % to 20 %, such as 1.9."),
    ("/panelboard/main/poles", 7, "Expected here: a whole number from 1 to 6, such as 2."),
    ("/panelboard/listed", 1, "Expected here: true or false, such as true."),
    ("/project/ocupancy", 1, "No member of this name is known here; the nearest known name is occupancy."),
]


@pytest.mark.parametrize("pointer, value, detail", MESSAGES)
def test_a_message_says_what_was_expected_with_an_example(pointer, value, detail):
    assert refusal_of(with_member(smallest(), pointer, value)).errors[0].detail == detail


def test_required_members_are_named_at_the_object_that_lacks_them():
    refusal = refusal_of(b'{\n "project": {"edition": "2023"},\n "work": null}')
    assert [(e.line, e.column, e.pointer, e.code) for e in refusal.errors] == [
        (1, 1, "/changeout", "missing-member"),
        (2, 13, "/project/occupancy", "missing-member"),
        (3, 10, "/work", "missing-member"),
    ]


@pytest.mark.parametrize("body", [b"null", b"[]", b'"x"', b"1", b"true"])
def test_a_document_that_is_no_object_is_no_proposal(body):
    refusal = refusal_of(body)
    assert [(e.pointer, e.code) for e in refusal.errors] == [("", "wrong-type")]
    assert refusal.problem.code == "unreadable-proposal"


EDITIONS = [
    ({}, True),
    ({"jurisdiction": "demo-harbor-county"}, True),
    ({"applied_on": "2026-03-02"}, True),
    ({"jurisdiction": None, "applied_on": "2026-03-02", "edition": None}, True),
    ({"jurisdiction": "demo-harbor-county", "applied_on": "2026-03-02"}, False),
    ({"edition": "2023"}, False),
]


@pytest.mark.parametrize("project, lacks", EDITIONS)
def test_an_edition_must_be_named_or_chosen(project, lacks):
    document = smallest() | {"project": {"occupancy": "commercial", **project}}
    if lacks:
        assert codes_of(document) == [("/project", "no-edition")]
        assert read_proposal(text_of(document), edition_chosen=True).proposal.project.edition.value is None
    else:
        read(document)


def test_a_wrong_edition_is_not_also_a_missing_one():
    document = with_member(smallest(), "/project/edition", 2023)
    assert codes_of(document) == [("/project/edition", "wrong-type")]


KINDS = [
    ("/supply/source", {"kind": "transformer", "available_fault_current": "14 kA"}, ["available_fault_current"]),
    ("/supply/source", {"kind": "stated", "rating": "50 kVA", "upstream": {}}, ["rating", "upstream"]),
    ("/supply/source", {"kind": "stated", "rating": None, "x_over_r": 4}, []),
    ("/supply/source", {"rating": "50 kVA", "available_fault_current": "14 kA"}, []),
    (
        "/load",
        {"method": "stated", "calculated_load": "24 kVA", "small_appliance_circuits": 2},
        ["small_appliance_circuits"],
    ),
    ("/load", {"method": "stated", "floor_area": "2000 ft2", "general_lighting": "6 kVA"}, []),
    (
        "/load",
        {"method": "dwelling-optional", "calculated_load": "24 kVA", "added_load": "5 kVA"},
        ["calculated_load", "added_load"],
    ),
    ("/load", {"method": "dwelling-existing", "added_load": "5 kVA", "laundry_circuits": 1}, []),
    ("/load", {"method": "measured-demand", "floor_area": "2000 ft2", "maximum_demand": "30 kVA"}, ["floor_area"]),
    ("/load", {"method": "no-such-method", "floor_area": "2000 ft2"}, None),
    ("/load/appliances/0", {"kind": "range", "supplemental": "5 kW"}, ["supplemental"]),
    ("/load/appliances/0", {"kind": "heat-pump", "supplemental": "5 kW"}, []),
]


@pytest.mark.parametrize("pointer, value, wrong", KINDS)
def test_members_go_with_the_kind_or_method_beside_them(pointer, value, wrong):
    document = with_member(smallest(), pointer, value)
    if wrong == []:
        read(document)
        return
    found = codes_of(document)
    if wrong is None:
        assert [code for _, code in found] == ["not-in-list"]
    else:
        assert found == [(f"{pointer}/{name}", "wrong-for-kind") for name in wrong]


def stated(fault_type, available, to_neutral=None):
    source = {"kind": "stated", "fault_type": fault_type, "available_fault_current": available}
    return source if to_neutral is None else source | {"line_to_neutral_fault_current": to_neutral}


CONTRADICTIONS = [
    ("/work/scope", "/enclosure/kind", {"/work/scope": "interior-only", "/enclosure/kind": "new"}),
    ("/work/scope", "/enclosure/kind", {"/work/scope": "interior-in-new-enclosure", "/enclosure/kind": "existing"}),
    (
        "/supply/source/upstream/kind",
        "/supply/source/upstream/value",
        {"/supply/source/upstream": {"kind": "unlimited", "value": "150 MVA"}},
    ),
    (
        "/supply/conductors_upsized",
        "/supply/upsized_from",
        {"/supply/conductors_upsized": False, "/supply/upsized_from": "2 AWG"},
    ),
    ("/panelboard/main/kind", "/panelboard/main/class", {"/panelboard/main": {"kind": "breaker", "class": "fuse"}}),
    (
        "/panelboard/second_main/kind",
        "/panelboard/second_main/class",
        {"/panelboard/second_main": {"kind": "breaker", "class": "fuse"}},
    ),
    (
        "/grounding/main_bonding_jumper/kind",
        "/grounding/main_bonding_jumper/size",
        {"/grounding/main_bonding_jumper": {"kind": "none", "size": "4 AWG"}},
    ),
    (
        "/grounding/equipment_grounding_conductor/kind",
        "/grounding/equipment_grounding_conductor/size",
        {"/grounding/equipment_grounding_conductor": {"kind": "none", "size": "4 AWG"}},
    ),
    (
        "/service/surge_protection/kind",
        "/service/surge_protection/nominal_discharge_current",
        {"/service/surge_protection": {"kind": "none", "nominal_discharge_current": "10 kA"}},
    ),
    (
        "/supply/system",
        "/supply/source/fault_type",
        {"/supply/system": "480V-3ph-3w", "/supply/source": stated("line-to-neutral", "14 kA")},
    ),
    (
        "/supply/system",
        "/supply/source/line_to_neutral_fault_current",
        {"/supply/system": "240V-3ph-3w", "/supply/source": stated("three-phase", "14 kA", "10 kA")},
    ),
    (
        "/supply/system",
        "/supply/source/fault_type",
        {"/supply/system": "120/240V-1ph-3w", "/supply/source": stated("three-phase", "14 kA")},
    ),
    (
        "/supply/separately_derived/primary_system",
        "/supply/source/fault_type",
        {
            "/supply/system": "208Y/120V-3ph-4w",
            "/supply/separately_derived": {"primary_system": "480V-3ph-3w"},
            "/supply/source": stated("line-to-neutral", "14 kA"),
        },
    ),
    *(
        (
            "/supply/source/bank",
            "/supply/source/rating",
            {"/supply/source": {"kind": "transformer", "bank": bank, "rating": "75 kVA", "impedance_percent": 2.1}},
        )
        for bank in ("open-delta", "unequal-units")
    ),
    *(
        ("/supply/tap", "/supply/tap_rule", {"/supply/tap": False, "/supply/tap_rule": rule})
        for rule in ("ten-foot", "twenty-five-foot", "outside")
    ),
    (
        "/enclosure/mounting",
        "/enclosure/air_space",
        {"/enclosure/mounting": "flush", "/enclosure/air_space": "0.25 in"},
    ),
    (
        "/supply/source/available_fault_current",
        "/supply/source/line_to_neutral_fault_current",
        {"/supply/source": stated("greatest", "10 kA", "10.1 kA")},
    ),
    (
        "/supply/source/available_fault_current",
        "/supply/source/line_to_neutral_fault_current",
        {"/supply/source": stated("line-to-neutral", "10 kA", "9 kA")},
    ),
]


@pytest.mark.parametrize("first, second, members", CONTRADICTIONS)
def test_facts_that_cannot_both_be_true_are_refused_with_both_pointers(first, second, members):
    document = smallest()
    for pointer, value in members.items():
        document = with_member(document, pointer, value)
    (error,) = refusal_of(document).errors
    assert (error.pointer, error.code, error.also) == (second, "contradiction", (first,))


NO_CONTRADICTIONS = [
    {"/work/scope": "interior-only", "/enclosure/kind": "existing"},
    {"/work/scope": "enclosed-panelboard", "/enclosure/kind": "existing"},
    {"/work/scope": "enclosed-panelboard", "/enclosure/kind": "new"},
    {"/work/scope": "interior-only"},
    {"/supply/source/upstream": {"kind": "unlimited", "value": None, "x_over_r": 8}},
    {"/supply/conductors_upsized": True, "/supply/upsized_from": "2 AWG"},
    {"/supply/upsized_from": "2 AWG"},
    {"/panelboard/main": {"kind": "fusible", "class": "fuse"}},
    {"/panelboard/main": {"kind": "lugs", "interrupting_rating": "22 kA"}},
    {"/panelboard/rating_basis": "fully-rated", "/panelboard/series_rating": {"combination_rating": "22 kA"}},
    {"/panelboard/listed": False, "/enclosure/listed_for_panelboard": True},
    {"/enclosure/kind": "new", "/enclosure/former_listing_marks": "present"},
    {"/enclosure/field_label": {"state": "none", "evaluated_for": "14 kA"}},
    {"/grounding/main_bonding_jumper": {"kind": "none", "size": None}},
    {"/service/surge_protection": {"kind": "none"}},
    {"/supply/system": "120/208V-1ph-3w", "/supply/source": stated("three-phase", "14 kA")},
    {"/supply/system": "208Y/120V-3ph-4w", "/supply/source": stated("line-to-neutral", "14 kA", "14000 A")},
    {"/supply/source": stated("greatest", "14 kA", "14 kA")},
    {"/supply/source": stated("line-to-line", "10 kA", "14 kA")},
    {
        "/supply/system": "240V-3ph-3w",
        "/supply/separately_derived": {"primary_system": "480Y/277V-3ph-4w"},
        "/supply/source": stated("line-to-neutral", "14 kA"),
    },
    {
        "/supply/system": "240V-3ph-3w",
        "/supply/separately_derived": {},
        "/supply/source": stated("line-to-neutral", "14 kA"),
    },
    {"/work/status": "completed", "/enclosure/field_label": {"state": "arranged"}},
    *(
        {"/supply/source": {"kind": "transformer", "bank": bank, "rating": "75 kVA"}}
        for bank in ("single-unit", "closed-delta-equal")
    ),
    {"/supply/source": {"kind": "transformer", "bank": "open-delta", "impedance_percent": 2.1}},
    {"/supply/source": stated("greatest", "14 kA") | {"bank": "open-delta"}},
    {"/supply/tap": False, "/supply/tap_rule": "transformer-secondary", "/supply/tap_length": "20 ft"},
    {"/supply/tap": True, "/supply/tap_rule": "ten-foot", "/supply/tap_length": "10 ft"},
    {"/enclosure/mounting": "surface", "/enclosure/air_space": "0 in"},
    {"/supply/building": "detached-garage", "/supply/carries_entire_dwelling_load": True},
]


@pytest.mark.parametrize("members", NO_CONTRADICTIONS)
def test_what_a_rule_judges_is_not_refused(members):
    document = smallest()
    for pointer, value in members.items():
        document = with_member(document, pointer, value)
    read(document)


def test_ids_are_unique_among_their_like():
    document = dwelling()
    document["documents"].append({"id": "d2"})
    document["supply"]["separately_derived"] = {"primary_runs": [{"id": "lateral"}, {"id": "p"}]}
    document["panelboard"]["circuits"].append({"number": 2.0})
    assert sorted(codes_of(document)) == [
        ("/documents/2/id", "not-unique"),
        ("/panelboard/circuits/2/number", "not-unique"),
        ("/supply/separately_derived/primary_runs/0/id", "not-unique"),
    ]


def test_entries_without_number_or_id_are_not_alike():
    document = with_member(smallest(), "/panelboard/circuits", [{}, {}, {"number": 1}])
    document = with_member(document, "/supply/runs", [{}, {}])
    read(document)


def test_a_proposal_within_a_request_is_placed_in_the_request():
    text = read_json(
        b'{"editions": ["2023"],\n "proposal": {"changeout": 1,\n  "work": {"scope": "x"}, "project": {}}}'
    )
    with pytest.raises(Refusal) as refused:
        read_value(text.value["proposal"], within=Within(text=text, pointer="/proposal"), edition_chosen=True)
    assert [(e.line, e.column, e.pointer, e.code) for e in refused.value.errors] == [
        (3, 21, "/proposal/work/scope", "not-in-list"),
        (3, 38, "/proposal/project/occupancy", "missing-member"),
    ]


def test_a_value_without_a_text_is_refused_without_places():
    document = with_member(smallest(), "/work/scope", "x")
    with pytest.raises(Refusal) as refused:
        read_value(document)
    assert [(e.line, e.column, e.pointer) for e in refused.value.errors] == [(None, None, "/work/scope")]
    assert "the first is at /work/scope: " in refused.value.detail
    assert read_value(smallest()).proposal == read(smallest()).proposal


def test_a_pointer_is_escaped():
    document = smallest() | {"a/b~c": 1}
    assert codes_of(document) == [("/a~1b~0c", "unknown-member")]


def test_hostile_names_cost_little_and_are_not_repeated():
    name = "occupancyy" * 10_000
    document = with_member(smallest(), "/project", {"occupancy": "commercial", "edition": "2023", name: 1})
    (error,) = refusal_of(document).errors
    assert error.suggestion is None
    assert len(error.detail) < 400


def test_marshmallow_alone_says_the_same():
    document = with_member(with_member(smallest(), "/work/scope", "x"), "/supply", {"tap": 1, "runs": [{"sets": 0}]})
    errors = PROPOSAL.validate(document)
    assert {name: type(inner) for name, inner in errors.items()} == {"work": dict, "supply": dict}
    assert errors["supply"]["runs"][0]["sets"][0].code == "out-of-range"
    assert PROPOSAL.load(smallest()) == PROPOSAL.take(smallest())


def test_every_code_that_intake_uses_is_explained():
    assert {code for _, code in WRONG.values()} <= set(ERRORS)
    assert {"malformed-json", "duplicate-key", "not-a-number", "lone-surrogate", "nesting-too-deep"} <= set(PROBLEMS)
