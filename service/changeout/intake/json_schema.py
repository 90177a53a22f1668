"""The JSON Schema (2020-12) of a proposal, made from the same members that read it.

What the schema says, the reader does, and the other way round, but for what a schema cannot say:

- the physical range of a quantity and of a voltage rating, which stand in a text, and how long its number may be;
- whether a day exists (30 February matches the pattern);
- ids and circuit numbers that are used twice, and documents that are named but not there;
- facts that contradict each other;
- that an edition, or a jurisdiction with a date, is named: a request can name the edition beside the document.

Two annotations are made here: ``x-found-at``, where in the field the fact is found, and ``x-shown-when``, under which
condition it is worth asking for: in ``words``, and as a schema that the object around the member (``here``) and the
whole proposal (``proposal``) are to be valid against, each left out where there is nothing to be valid against.
"""

from __future__ import annotations

import functools
from typing import Any, Final

from changeout.intake.conditions import Condition, shown_when, unless
from changeout.intake.fields import (
    DAY_PATTERN,
    TEXT_PATTERN,
    VOLTAGE_PATTERN,
    Annotations,
    Count,
    Day,
    Flag,
    Member,
    Numeric,
    Ratio,
    Text,
    Version,
    VoltageRating,
    Word,
    Words,
    Written,
)
from changeout.intake.quantity import LONGEST_TEXT
from changeout.intake.ranges import Bounds
from changeout.intake.record import Kinds, ListOf, Nested, Record
from changeout.intake.schemas.proposal import PROPOSAL
from changeout.intake.worth_asking import CONDITIONS

DIALECT: Final = "https://json-schema.org/draft/2020-12/schema"
_ABOUT_RANGES: Final = (
    "null means the same as leaving a member out: unknown. The physical ranges are common practice, no source; a "
    "value outside is refused, as a slip of the pen or a wrong unit."
)

_Schema = dict[str, Any]

_YES_NO_OR_NOT_KNOWN: Final[_Schema] = {
    "type": ["boolean", "null"],
    "oneOf": [
        {"const": True, "title": "yes"},
        {"const": False, "title": "no"},
        {"const": None, "title": "not known"},
    ],
}


def proposal_schema() -> _Schema:
    """Return the schema of a proposal as one document, its objects under ``$defs``."""
    schemas = object_schemas("#/$defs/")
    root = schemas.pop(_name(PROPOSAL))
    return {"$schema": DIALECT, **root, "$defs": schemas}


def object_schemas(base: str) -> dict[str, _Schema]:
    """Return the schema of every object of a proposal by name, referring to each other under *base*."""
    found: dict[str, _Schema] = {}
    _collect(PROPOSAL, base, found)
    found[_name(PROPOSAL)]["description"] += f" {_ABOUT_RANGES}"
    return found


def _collect(record: Record, base: str, found: dict[str, _Schema]) -> None:
    name = _name(record)
    if name in found:
        return
    found[name] = {}
    for member in record.members.values():
        if isinstance(member, Nested | ListOf):
            _collect(member.record, base, found)
    found[name] = _object(record, base)


def _name(record: Record) -> str:
    return type(record).__name__.removesuffix("Schema")


def _object(record: Record, base: str) -> _Schema:
    schema: _Schema = {
        "title": _name(record),
        "description": " ".join((type(record).__doc__ or "").replace("``", "").split()),
        "type": "object",
        "additionalProperties": False,
        "properties": {
            name: {**_member(member, base), **_asked(record, name)} for name, member in record.members.items()
        },
    }
    if record.required:
        schema["required"] = list(record.required)
    if record.kinds is not None:
        schema["allOf"] = [_kind(record.kinds, kind) for kind in record.kinds.members]
    return schema


def _asked(record: Record, name: str) -> _Schema:
    conditions = [*_of_kinds(record.kinds, name), *CONDITIONS.get(_name(record), {}).get(name, ())]
    return {"x-shown-when": shown_when(conditions)} if conditions else {}


def _of_kinds(kinds: Kinds | None, name: str) -> list[Condition]:
    """Return the condition that the kind of an object bars none of its members."""
    barred = [kind for kind in kinds.members if name in kinds.barred(kind)] if kinds is not None else []
    return [unless(kinds.chosen_by, *barred)] if kinds is not None and barred else []


def _kind(kinds: Kinds, kind: str) -> _Schema:
    barred = sorted(kinds.barred(kind))
    return {
        "if": {"properties": {kinds.chosen_by: {"const": kind}}, "required": [kinds.chosen_by]},
        "then": {"properties": {name: {"type": "null"} for name in barred}},
    }


def _member(member: Member, base: str) -> _Schema:
    said = member.metadata
    description = said["description"]
    if isinstance(member, Numeric | Written | VoltageRating):
        expected = member.expected
        description = f"{description} {expected[0].upper()}{expected[1:]}."
    value = _value(member, base)
    if not member.required:
        value = _YES_NO_OR_NOT_KNOWN if isinstance(member, Flag) else _nullable(value)
    return {"title": said["title"], "description": description, **value, "x-found-at": said["found_at"]}


def _nullable(value: _Schema) -> _Schema:
    if "$ref" in value:
        return {"anyOf": [value, {"type": "null"}]}
    nullable = {**value, "type": [value["type"], "null"]}
    if "enum" in value:
        nullable["enum"] = [*value["enum"], None]
    return nullable


@functools.singledispatch
def _value(member: Member, _base: str) -> _Schema:
    raise TypeError(f"no schema for {type(member).__name__}")


@_value.register
def _(_member: Flag, _base: str) -> _Schema:
    return {"type": "boolean"}


@_value.register
def _(member: Version, _base: str) -> _Schema:
    return {"type": "integer", "const": member.version}


@_value.register
def _(member: Ratio, _base: str) -> _Schema:
    return {"type": "number", **_range(member.bounds), "examples": [member.example]}


@_value.register
def _(member: Count, _base: str) -> _Schema:
    return {"type": "integer", **_range(member.bounds), "examples": [member.example]}


@_value.register
def _(member: Written, _base: str) -> _Schema:
    pattern = member.family.pattern
    return {"type": "string", "maxLength": LONGEST_TEXT, "pattern": pattern, "examples": [member.example]}


@_value.register
def _(_member: VoltageRating, _base: str) -> _Schema:
    return {"type": "string", "pattern": VOLTAGE_PATTERN, "examples": ["240 V", "120/240 V", "480Y/277 V"]}


@_value.register
def _(member: Text, _base: str) -> _Schema:
    return {**_text(member.longest), "examples": [member.example]}


@_value.register
def _(_member: Day, _base: str) -> _Schema:
    return {"type": "string", "format": "date", "pattern": DAY_PATTERN, "examples": ["2026-03-02"]}


@_value.register
def _(member: Word, _base: str) -> _Schema:
    words: _Schema = {"type": "string", "enum": list(member.words)}
    return {**words, "default": member.taken} if member.taken else words


@_value.register
def _(member: Words, _base: str) -> _Schema:
    return {"type": "array", "items": {"type": "string", "enum": list(member.one.words)}, "uniqueItems": True}


@_value.register
def _(member: Annotations, _base: str) -> _Schema:
    return {
        "type": "object",
        "maxProperties": member.most,
        "propertyNames": _text(member.key.longest),
        "additionalProperties": _nullable(_text(member.text.longest)),
    }


@_value.register
def _(member: Nested, base: str) -> _Schema:
    return {"$ref": f"{base}{_name(member.record)}"}


@_value.register
def _(member: ListOf, base: str) -> _Schema:
    return {"type": "array", "maxItems": member.most, "items": {"$ref": f"{base}{_name(member.record)}"}}


def _text(longest: int) -> _Schema:
    return {"type": "string", "minLength": 1, "maxLength": longest, "pattern": TEXT_PATTERN}


def _range(bounds: Bounds) -> _Schema:
    low = "exclusiveMinimum" if bounds.low_open else "minimum"
    high = "exclusiveMaximum" if bounds.high_open else "maximum"
    return {low: bounds.low, high: bounds.high}
