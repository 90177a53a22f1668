"""Every member of the interface reaches the fact it is meant for, in base units; what is not said is said so."""

import dataclasses
import datetime as dt
import json
import math

import pytest
from intake_documents import dwelling, read, smallest, with_member

from changeout.domain import facts, proposal
from changeout.domain.member_values import MemberValues
from changeout.domain.truth import Truth
from changeout.domain.walk import facts_of
from changeout.intake.fields import (
    Annotations,
    Count,
    Day,
    DocumentRef,
    Flag,
    PowerOrCurrent,
    Quantity,
    Ratio,
    Size,
    Text,
    Version,
    VoltageRating,
    Word,
    Words,
)
from changeout.intake.members import MemberPath, member_values, members, question, walk
from changeout.intake.record import ListOf, Nested, Record
from changeout.intake.schemas.proposal import PROPOSAL

MEMBERS = {pointer.replace("*", "0"): member for pointer, member in walk(PROPOSAL, "")}
LEAVES = {
    pointer: member
    for pointer, member in MEMBERS.items()
    if not isinstance(member, Nested | ListOf | Version | Annotations)
}
PLAIN_TEXTS = {"/waivers/0/rule", "/waivers/0/reason", "/waivers/0/granted_by", "/documents/0/id"}

# What the examples of the interface say, by the units' definitions.
IN_BASE_UNITS = {
    "200 A": 200.0,
    "22 kA": 22000.0,
    "14 kA": 14000.0,
    "10 kA": 10000.0,
    "28 A": 28.0,
    "75 kVA": 75000.0,
    "150 MVA": 150_000_000.0,
    "7200 VA": 7200.0,
    "10 kW": 10000.0,
    "36 in": 36.0,
    "60 ft": 720.0,
    "4 ft": 48.0,
    "10 ft": 120.0,
    "0.25 in": 0.25,
    "3 ft": 36.0,
    "2000 ft2": 2000.0,
    "60 in2": 60.0,
    "20 in2": 20.0,
    "25 ohm": 25.0,
    "0.1 ohm/kft": 0.1,
    "75 degC": 75.0,
    "30 degC": 30.0,
}


def of_examples(pointer, member):
    return member.example, facts.Number(pointer, member.example, member.example, member.example)


def of_quantity(pointer, member):
    value = IN_BASE_UNITS[member.example]
    return member.example, facts.Number(pointer, value, value, value)


SAMPLES = {
    Flag: lambda pointer, _: (True, facts.Flag(pointer, Truth.YES)),
    Quantity: of_quantity,
    Ratio: of_examples,
    Count: of_examples,
    PowerOrCurrent: lambda pointer, _: ("7.5 kVA", facts.PowerOrCurrent(pointer, 7500.0, "VA")),
    DocumentRef: lambda pointer, _: ("d7", facts.Evidence(pointer, D7)),
    Text: lambda pointer, member: (member.example, facts.Text(pointer, member.example)),
    Day: lambda pointer, _: ("2026-03-02", facts.Day(pointer, dt.date(2026, 3, 2))),
    Size: lambda pointer, _: ("4/0 AWG", facts.ConductorSize(pointer, "4/0 AWG")),
    Word: lambda pointer, member: (member.words[-1], facts.Choice(pointer, member.words[-1])),
    Words: lambda pointer, member: (list(member.one.words[:2]), facts.Choices(pointer, member.one.words[:2])),
    VoltageRating: lambda pointer, _: ("480Y/277 V", facts.VoltageRating(pointer, "480Y/277 V", 480.0, 277.0)),
}
"""Of each kind of member, a value and the fact that it must become."""


D7 = facts.Document(
    at="/documents/0",
    id="d7",
    kind=facts.Choice("/documents/0/kind", None),
    title=facts.Text("/documents/0/title", None),
    dated=facts.Day("/documents/0/dated", None),
)
BEGINNINGS = {
    "/documents/0": {"id": "d7"},
    "/waivers/0": {"rule": "a", "reason": "b", "granted_by": "c"},
}


def documents_with(pointer, value):
    document = smallest()
    for beginning, entry in BEGINNINGS.items():
        if pointer.startswith(beginning):
            document = with_member(document, beginning, entry)
    if value == "d7":
        document = with_member(document, "/documents/0", {"id": "d7"})
    return with_member(document, pointer, value)


@pytest.mark.parametrize("pointer", sorted(LEAVES.keys() - PLAIN_TEXTS))
def test_every_member_becomes_the_fact_of_its_pointer(pointer):
    value, expected = SAMPLES[type(LEAVES[pointer])](pointer, LEAVES[pointer])
    found = facts_of(read(documents_with(pointer, value)).proposal)
    assert found[pointer] == expected
    assert found[pointer].stated
    said = {at for at, fact in found.items() if fact.stated and not isinstance(fact, facts.Listed)}
    assert said == {"/project/edition", "/project/occupancy", "/work/scope", "/work/status", pointer}


@pytest.mark.parametrize("pointer", sorted(LEAVES.keys() - PLAIN_TEXTS))
def test_every_member_that_is_left_out_is_a_fact_not_stated(pointer):
    if LEAVES[pointer].required or pointer == "/work/status":
        return
    parent = pointer.rpartition("/")[0]
    document = with_member(documents_with(pointer, None), "/project/edition", "2023")
    if parent not in ("/project", "/work", "/documents/0", "/waivers/0"):
        document = with_member(document, parent, {})
    if pointer == "/project/edition":
        document["project"] |= {"edition": None, "jurisdiction": "x", "applied_on": "2026-03-02"}
    fact = facts_of(read(document).proposal)[pointer]
    assert type(fact) is LEAVES[pointer].fact
    assert not fact.stated
    assert fact.missing == (pointer,)
    if isinstance(fact, facts.Number):
        bounds = LEAVES[pointer].bounds
        assert (fact.low, fact.high, fact.value) == (bounds.low, bounds.high, None)
        assert math.isfinite(fact.high)


def test_every_fact_of_the_domain_is_a_member_of_the_interface():
    document = dwelling()
    document["supply"] |= {"separately_derived": {"primary_runs": [{"device_after": {}}]}}
    document["supply"]["runs"][0]["device_after"] = {}
    document["panelboard"]["second_main"] = {}
    document["generation"] = [{}]
    found = {pointer.replace("/1/", "/0/") for pointer in facts_of(read(document).proposal)}
    lists = {pointer for pointer, member in MEMBERS.items() if isinstance(member, ListOf)} - {"/waivers"}
    assert found == (LEAVES.keys() - PLAIN_TEXTS) | lists | {"/grounding/electrode_conductor/kind"}


def test_a_house_in_base_units():
    read_document = read(dwelling())
    house = read_document.proposal
    assert house.supply.source.rating_va.value == 50_000.0
    assert house.supply.source.upstream.value_va.value == 150e6
    run = house.supply.runs.items[0]
    assert (run.length_in.value, run.resistance_ohm_per_kft.value, run.reactance_ohm_per_kft.value) == (
        720.0,
        0.1,
        0.041,
    )
    assert house.panelboard.termination_temperature_degc.value == 75.0
    assert house.panelboard.main.device_class.value == "molded-case"
    assert house.panelboard.main.voltage_rating == facts.VoltageRating(
        "/panelboard/main/voltage_rating", "120/240 V", 240.0, 120.0
    )
    assert house.panelboard.identification_document.document == house.documents.items[0]
    first, second = house.panelboard.circuits
    assert (first.at, first.breaker.at, first.breaker.secured.truth) == (
        "/panelboard/circuits/0",
        "/panelboard/circuits/0/breaker",
        Truth.UNKNOWN,
    )
    assert first.load == facts.PowerOrCurrent("/panelboard/circuits/0/load", 1200.0, "VA")
    assert second.load == facts.PowerOrCurrent("/panelboard/circuits/1/load", 5.0, "hp")
    assert second.conductor.size.at == "/panelboard/circuits/1/conductor/size"
    assert house.location.working_space.depth_in.value == 36.0
    assert house.location.working_space.width_in.value == 30.0
    heat_pump = house.load.appliances.items[1]
    assert heat_pump.rating == facts.PowerOrCurrent("/load/appliances/1/rating", 20.0, "A")
    assert heat_pump.supplemental_w.value == 10_000.0
    assert house.documents.items[0].dated.value == dt.date(2025, 6, 1)
    assert house.waivers == (
        proposal.Waiver(
            at="/waivers/0",
            rule="working-space-depth",
            reason="existing room",
            granted_by="the authority",
            expires_on=facts.Day("/waivers/0/expires_on", None),
        ),
    )
    assert (read_document.reference, read_document.annotations) == ("HB-2041", {"permit": "B-17"})
    assert read_document.document == dwelling()


def test_an_empty_list_says_that_there_is_none():
    assert read(smallest()).proposal.generation == facts.Listed("/generation", (), given=False)
    assert read(smallest() | {"generation": None}).proposal.generation.stated is False
    assert read(smallest() | {"generation": []}).proposal.generation == facts.Listed("/generation", (), given=True)


def test_equipment_that_may_be_absent_is_none_only_when_left_out():
    bare = read(smallest()).proposal
    assert (bare.supply.separately_derived, bare.supply.overcurrent_device, bare.panelboard.second_main) == (None,) * 3
    for value in ({}, {"rating": None}):
        document = with_member(smallest(), "/supply/overcurrent_device", value)
        device = read(document).proposal.supply.overcurrent_device
        assert device is not None
        assert not device.rating_a.stated


def test_work_is_proposed_unless_it_is_said_to_be_done():
    for document in (smallest(), with_member(smallest(), "/work/status", None)):
        assert read(document).proposal.work.status == facts.Choice("/work/status", "proposed")
    done = with_member(smallest(), "/work/status", "completed")
    assert read(done).proposal.work.status.value == "completed"


def test_a_whole_number_is_one_however_it_is_written():
    document = with_member(smallest(), "/panelboard/circuits", [{"number": 3.0, "poles": 2e0}])
    circuit = read(document).proposal.panelboard.circuits.items[0]
    assert (circuit.number.value, circuit.poles.value) == (3, 2)
    assert type(circuit.number.value) is int


@pytest.mark.parametrize("pointer", MEMBERS)
def test_a_member_says_what_it_is_and_where_it_is_found(pointer):
    said = MEMBERS[pointer].metadata
    assert said["title"]
    assert said["title"][0].isupper()
    assert said["description"].endswith(".")
    assert said["found_at"]
    asked = question(pointer)
    assert asked.startswith(f"{said['title']}? ")
    assert asked.endswith(f"{said['found_at']}.")


def test_a_question_about_no_member_still_names_the_place():
    assert question("/no/such") == "What is to be said at /no/such?"


def test_the_members_of_the_proposal_as_a_whole():
    known = members()
    assert {"/panelboard/busbar_rating", "/generation", "/work/items"} <= known
    assert not {"/panelboard", "/changeout", "/project/annotations", "/panelboard/circuits/*/number"} & known


def test_what_a_member_may_be_is_told_for_each_of_them():
    known = member_values()
    assert set(known) == members()
    assert known["/panelboard/busbar_rating"] == MemberValues(tests=("at_least", "at_most", "stated"))
    assert known["/panelboard/listed"] == MemberValues(tests=("equals", "stated"), closed=(True, False))
    assert known["/enclosure/kind"].closed == ("existing", "new")
    assert known["/location/conditions"].closed == ("dry", "damp", "wet", "corrosive")
    assert known["/project/jurisdiction"].closed is None
    assert known["/generation"].tests == ("stated",)


@pytest.mark.parametrize("pointer", ["/no/such", "/panelboard/circuits/0/number", "", "/work/scope/x"])
def test_there_is_no_path_to_what_is_no_single_member(pointer):
    with pytest.raises(KeyError):
        MemberPath(pointer)


def records(record):
    yield record
    for member in record.members.values():
        if isinstance(member, Nested | ListOf):
            yield from records(member.record)


@pytest.mark.parametrize("record", {type(r): r for r in records(PROPOSAL)}.values(), ids=lambda r: type(r).__name__)
def test_an_object_reads_its_own_example_and_fits_its_class(record):
    assert isinstance(record, Record)
    record.take(json.loads(record.example))
    attributes = {field.name for field in dataclasses.fields(record.builds)} - {"at", "given"}
    names = {member.name_when_read for member in record.members.values()}
    assert names - attributes <= {"changeout", "annotations"}
    assert attributes - names == set(record.never_stated)
