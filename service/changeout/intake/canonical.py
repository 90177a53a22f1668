"""The part of a proposal that a decision rests on, in one form: base units, no nulls, no empty objects."""

from __future__ import annotations

import datetime as dt
from collections.abc import Mapping
from typing import Any

from changeout.intake.fields import Load, Voltage
from changeout.intake.record import ListOf, Nested, Record
from changeout.intake.schemas.proposal import PROPOSAL

_OF_THE_SENDER = ("reference", "annotations")
"""Members of the project that are echoed and never interpreted."""


def canonical_proposal(read: Mapping[str, Any]) -> dict[str, Any]:
    """Return what was read as JSON values, by the interface's names.

    Quantities are numbers in base units; a load keeps its base unit beside the number, since volt-amperes, watts and
    amperes are not the same. Two spellings of the same facts give the same result.
    """
    project = {name: value for name, value in read["project"].items() if name not in _OF_THE_SENDER}
    return _of_record(PROPOSAL, {**read, "project": project})


def _of_record(record: Record, read: Mapping[str, Any]) -> dict[str, Any]:
    written: dict[str, Any] = {}
    for name_when_read, value in read.items():
        name, member = record.by_name_when_read[name_when_read]
        if isinstance(member, Nested):
            inner = _of_record(member.record, value)
            if inner or member.says_presence:
                written[name] = inner
        elif isinstance(member, ListOf):
            written[name] = [_of_record(member.record, item) for item in value]
        else:
            written[name] = _of_value(value)
    return written


def _of_value(value: object) -> object:
    if isinstance(value, Load):
        return {"value": _of_value(value.value), "unit": value.unit}
    if isinstance(value, Voltage):
        return value.text
    if isinstance(value, dt.date):
        return value.isoformat()
    if isinstance(value, float) and value.is_integer():
        return int(value)
    return list(value) if isinstance(value, tuple) else value
