"""How a question about a member is answered: what kind of field it takes, and what an answer says in JSON."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final

from changeout.domain.problems import Refusal
from changeout.intake.fields import Count, Day, Flag, Numeric, Word, Words, Written
from changeout.intake.members import find
from changeout.intake.reader import parse
from changeout.intake.record import ListOf, Nested

YES: Final = "yes"
NO: Final = "no"
NONE: Final = "none"


@dataclass(frozen=True, slots=True, kw_only=True)
class Field:
    """The field for a member.

    ``kind`` is ``one`` (of *options*), ``several`` (of *options*), ``number``, ``whole``, ``day`` or ``text``.
    *hint* says how an answer is written, and is empty where the field shows it.
    """

    kind: str
    options: tuple[str, ...] = ()
    hint: str = ""


def field_for(pointer: str) -> Field | None:
    """Return the field for the member at *pointer*, or None where it can only be written in the document itself."""
    found = find(pointer)
    member = found[-1] if found else None
    if member is None or isinstance(member, Nested):
        return None
    if isinstance(member, ListOf):
        return Field(kind="one", options=(NONE,), hint="Entries are written in the document itself.")
    if isinstance(member, Flag):
        return Field(kind="one", options=(YES, NO))
    if isinstance(member, Words):
        return Field(kind="several", options=member.one.words)
    if isinstance(member, Word):
        return Field(kind="one", options=member.words)
    if isinstance(member, Day):
        return Field(kind="day")
    if isinstance(member, Numeric):
        hint = f"{'a whole number' if isinstance(member, Count) else 'a number'} {member.bounds.words}"
        return Field(kind="whole" if isinstance(member, Count) else "number", hint=hint)
    if isinstance(member, Written):
        return Field(kind="text", hint=f"{member.ranged}, such as {member.example}")
    return Field(kind="text", hint=member.expected)


def read_answer(pointer: str, given: Sequence[str]) -> object:
    """Return what an answer says as a JSON value; whether the member takes it is for the reader of proposals to say."""
    field = field_for(pointer)
    first = given[0].strip()
    found = find(pointer)
    if field is None or not found:
        return first
    member = found[-1]
    if isinstance(member, ListOf) and first == NONE:
        return []
    if isinstance(member, Flag) and first in (YES, NO):
        return first == YES
    if field.kind == "several":
        return [text for text in field.options if text in given]
    if field.kind in ("number", "whole"):
        return _number(first)
    return first


def _number(text: str) -> object:
    """Return the number that *text* spells, or the text where it spells none, so that it is refused with its reason."""
    try:
        value = parse(text)
    except Refusal:
        return text
    return value if isinstance(value, int | float) and not isinstance(value, bool) else text
