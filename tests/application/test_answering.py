"""Questions have fields that suit their members, and what is given in them becomes what the member takes."""

import pytest

from changeout.application.answering import field_for, read_answer
from changeout.application.service import Service
from changeout.intake.members import walk
from changeout.intake.record import Nested
from changeout.intake.schemas.proposal import PROPOSAL

SERVICE = Service.load()


@pytest.mark.parametrize(
    ("pointer", "kind"),
    [
        ("/panelboard/listed", "one"),
        ("/panelboard/circuits/3/conductor/size", "one"),
        ("/location/conditions", "several"),
        ("/supply/source/impedance_percent", "number"),
        ("/panelboard/marked_maximum_poles", "whole"),
        ("/project/applied_on", "day"),
        ("/supply/runs/0/length", "text"),
        ("/panelboard/main/voltage_rating", "text"),
        ("/generation", "one"),
    ],
)
def test_each_kind_of_member_has_its_field(pointer, kind):
    assert field_for(pointer).kind == kind


@pytest.mark.parametrize("pointer", ["/panelboard/main", "/nothing", ""])
def test_what_is_no_single_value_has_none(pointer):
    assert field_for(pointer) is None


def test_every_member_has_a_field_that_says_how_it_is_written_or_lists_what_it_takes():
    for pointer, member in walk(PROPOSAL, ""):
        field = field_for(pointer.replace("*", "0"))
        if isinstance(member, Nested):
            assert field is None, pointer
        else:
            assert field.options or field.hint or field.kind == "day", pointer


@pytest.mark.parametrize(
    ("pointer", "given", "value"),
    [
        ("/panelboard/listed", ["yes"], True),
        ("/panelboard/listed", ["no"], False),
        ("/panelboard/listed", ["true"], "true"),
        ("/supply/source/impedance_percent", ["1.9"], 1.9),
        ("/supply/source/impedance_percent", [" 5 "], 5),
        ("/supply/source/impedance_percent", ["5 %"], "5 %"),
        ("/supply/source/impedance_percent", ["true"], "true"),
        ("/supply/source/impedance_percent", ["NaN"], "NaN"),
        ("/location/conditions", ["wet", "dry", "odd"], ["dry", "wet"]),
        ("/supply/runs/0/length", [" 60 ft "], "60 ft"),
        ("/generation", ["none"], []),
        ("/generation", ["some"], "some"),
        ("/nothing", ["x"], "x"),
    ],
)
def test_an_answer_becomes_what_its_member_takes_or_stays_the_text_that_it_is(pointer, given, value):
    read = read_answer(pointer, given)
    assert (type(read), read) == (type(value), value)
