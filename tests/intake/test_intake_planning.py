"""An interface and a domain that do not fit together fail when they are loaded, not when a request comes."""

import dataclasses

import pytest
from intake_documents import refusal_of, smallest, with_member
from marshmallow import fields  # noqa: TID251  (to see one refused)

from changeout.domain import facts, proposal
from changeout.intake import build, ranges
from changeout.intake.fields import Count, Flag, Member, PowerOrCurrent, Text, about
from changeout.intake.json_schema import _value
from changeout.intake.quantity import TOTAL_LOAD
from changeout.intake.record import Nested, Record
from changeout.intake.schemas.panelboard import MainSchema

SAID = about("Title", "Meaning.", found_at="somewhere")


@dataclasses.dataclass(frozen=True, slots=True, kw_only=True)
class Thing:
    at: str
    count: facts.Number


@dataclasses.dataclass(frozen=True, slots=True, kw_only=True)
class Board:
    at: str
    main: proposal.MainDevice


class FlagForNumber(Record):
    builds = Thing
    count = Flag(SAID)


class MemberMissing(Record):
    builds = Thing
    other = Count(SAID, ranges.POLES, 1)


class PresenceDiffers(Record):
    builds = Board
    main = Nested(SAID, MainSchema, says_presence=True)


class BuildsNothing(Record):
    count = Count(SAID, ranges.POLES, 1)


class StockField(Record):
    count = fields.Integer()


@pytest.mark.parametrize("record, error", [(FlagForNumber, TypeError), (MemberMissing, KeyError)])
def test_a_class_and_an_object_of_different_members_do_not_load(record, error):
    with pytest.raises(error):
        build._plan(record())


@pytest.mark.parametrize("record", [PresenceDiffers, BuildsNothing])
def test_an_object_that_means_something_else_does_not_load(record):
    with pytest.raises(TypeError):
        build._plan(record())


def test_a_field_that_coerces_is_no_member():
    with pytest.raises(TypeError, match=r"StockField\.count"):
        StockField()


def test_a_number_without_a_range_does_not_load():
    with pytest.raises(TypeError, match="no range"):
        build._number(Text(SAID, 8, "x"))


def test_a_kind_of_member_without_a_schema_does_not_load():
    with pytest.raises(TypeError, match="no schema for Member"):
        _value(Member(SAID), "#")


def test_a_member_of_no_kind_takes_nothing():
    with pytest.raises(NotImplementedError):
        Member(SAID).take(1)


def test_a_value_that_would_be_refused_is_not_suggested():
    document = with_member(smallest(), "/panelboard/busbar_rating", "9000 amps")
    assert [(e.code, e.suggestion) for e in refusal_of(document).errors] == [("wrong-unit", None)]


def test_the_example_of_a_load_is_taken():
    load = PowerOrCurrent(SAID, TOTAL_LOAD, ranges.LOADS)
    assert load.take(load.example) == (24000.0, "VA")
